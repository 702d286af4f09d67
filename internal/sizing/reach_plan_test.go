//go:build !race

// Arithmetic in one goroutine, where the race detector finds nothing and takes eight times as long: deploy/tests.sh runs this without it.

package sizing_test

import (
	"math"
	"testing"

	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/price"
	"kitspan/internal/sizing"
)

// overheadsOnly is a house with nothing but frames that takes accepts, diffusing fabric and supports: Plan chooses the
// same overheads, and has nothing else to try.
func overheadsOnly(stock *catalog.Snapshot, takes func(frame string) bool) *catalog.Snapshot {
	var items []catalog.Item
	for _, item := range stock.Items() {
		switch spec := item.Spec.(type) {
		case *catalog.Frame:
			if takes(item.SKU) {
				items = append(items, item)
			}
		case *catalog.Fabric:
			if spec.Use == catalog.UseDiffusion {
				items = append(items, item)
			}
		case *catalog.Support, *catalog.Labour, *catalog.Ballast, *catalog.Line, *catalog.Anchor, *catalog.Vehicle:
			items = append(items, item)
		}
	}
	return catalog.NewSnapshot(stock.House, items)
}

// withOnly is such a house with one frame.
func withOnly(stock *catalog.Snapshot, sku string) *catalog.Snapshot {
	return overheadsOnly(stock, func(frame string) bool { return frame == sku })
}

// TestPlanTakesAFrameWithinItsReachAndRefusesItBeyond asks Plan, with a house that has one frame alone, a hundredth inside
// and a hundredth outside each width that the answer gives; and that Plan's own widest zone, found in another way and less exactly,
// is never wider.
func TestPlanTakesAFrameWithinItsReachAndRefusesItBeyond(t *testing.T) {
	t.Parallel()
	for _, name := range []string{"01-two-anglers", "07-noon-on-the-beach", "08-ferry-captain-upright"} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			shot, stock := exampleShot(t, name)
			asked, near := 0, 0
			for _, f := range reached(t, shot, stock, framesOf(stock)...).Frames {
				one := withOnly(stock, f.SKU)
				plan := func(zoneM, shotM float64) sizing.Result {
					s := shot
					s.Zone.WidthM, s.Framing.WidthM = zoneM, shotM
					r, err := sizing.Plan(t.Context(), s, one, price.NewDesk(one, s.Window.Date))
					if err != nil {
						t.Fatal(err)
					}
					return r
				}
				does := func(zoneM, shotM float64) bool {
					_, found := overheadAlone(plan(zoneM, shotM))
					return found
				}
				zone, wide := shot.Zone.WidthM, shot.Framing.WidthM
				if f.WidestZoneM > 0 {
					asked++
					for _, share := range []float64{0.998, 0.99} {
						if !does(share*f.WidestZoneM, wide) {
							t.Errorf("%s: refused at %.1f %% of its %.3f m of zone", f.SKU, 100*share, f.WidestZoneM)
						}
					}
				}
				if does(1.01*math.Max(f.WidestZoneM, 0.02), wide) {
					t.Errorf("%s: taken beyond its %.3f m of zone", f.SKU, f.WidestZoneM)
				}
				if f.WidestShotM > 0 {
					asked++
					if w := 0.99 * f.WidestShotM; !does(zone*w/wide, w) {
						t.Errorf("%s: refused within its %.3f m of picture", f.SKU, f.WidestShotM)
					}
				}
				if w := 1.01 * math.Max(f.WidestShotM, 0.02); does(zone*w/wide, w) {
					t.Errorf("%s: taken beyond its %.3f m of picture", f.SKU, f.WidestShotM)
				}
				if (f.Because == nil) != (f.WidestZoneM > 0 && f.WidestShotM > 0) {
					t.Errorf("%s: %+v", f.SKU, f)
				}
				widest := plan(zone, wide).WidestZoneM
				switch {
				case widest > f.WidestZoneM+1e-9:
					t.Errorf("%s: widest zone %.4f, but reach %.4f", f.SKU, widest, f.WidestZoneM)
				case f.WidestZoneM <= 1.015*widest:
					near++
				}
			}
			if asked < 8 {
				t.Errorf("only %d widths were asked", asked)
			}
			if n := len(framesOf(stock)); near < n*3/4 {
				t.Errorf("only %d of %d zones are Plan's widest to 1.5 %%", near, n)
			}
		})
	}
}

// overheadAlone is the label of an option, not at another hour, in which one frame stops everything.
func overheadAlone(r sizing.Result) (sizing.Label, bool) {
	for _, o := range r.Options {
		if o.Label != sizing.LabelOverhead && o.Label != sizing.LabelOnLift {
			continue
		}
		n := 0
		for _, p := range o.Pieces {
			if p.Role == finding.RoleOverhead || p.Role == finding.RoleSide {
				n++
			}
		}
		if n == 1 {
			return o.Label, true
		}
	}
	return "", false
}
