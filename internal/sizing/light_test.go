//go:build !race

// Arithmetic in one goroutine, where the race detector finds nothing and takes eight times as long: deploy/tests.sh runs this without it.

package sizing_test

import (
	"math"
	"slices"
	"testing"

	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/geom"
	"kitspan/internal/lighting"
	"kitspan/internal/scene"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
)

// What the light of a plan must be like whatever the numbers: facts of the trade (common practice, no source) and of
// geometry. The levels themselves are held against rays by the second opinion in oracle.

func withRole(o sizing.Option, role finding.Role) []sizing.Piece {
	var out []sizing.Piece
	for _, p := range o.Pieces {
		if p.Role == role {
			out = append(out, p)
		}
	}
	return out
}

func TestKeyAndContrastComeWithinAThirdOrAreNoted(t *testing.T) {
	t.Parallel()
	for _, key := range []float64{-2, -1, -0.5, 0, 0.5} {
		for _, contrast := range []float64{0.5, 1.5, 3} {
			d := jetty()
			d.Look.KeyStops, d.Look.ContrastStops = some(key), some(contrast)
			o := option(t, plan(t, d), sizing.LabelOverhead)
			near := math.Abs(o.Levels.KeyStops-key) <= 1.0/3 && math.Abs(o.Levels.ContrastStops-contrast) <= 1.0/3
			if near != o.Serves() {
				t.Errorf("asked %+.1f and %.1f, got %+.2f and %.2f, serves %v", key, contrast, o.Levels.KeyStops, o.Levels.ContrastStops, o.Serves())
			}
			if !near && !has[finding.KeyTooBright](o) && !has[finding.KeyTooDark](o) && !has[finding.KeyMissed](o) && !has[finding.ContrastMissed](o) {
				t.Errorf("asked %+.1f and %.1f, got %+.2f and %.2f, and no note says so: %q", key, contrast, o.Levels.KeyStops, o.Levels.ContrastStops, o.Notes)
			}
		}
	}
}

func TestAReflectorStandsWhereTheDomainPutsIt(t *testing.T) {
	r := plan(t, jetty())
	o := option(t, r, sizing.LabelOverhead)
	boards := withRole(o, finding.RoleReflector)
	if len(boards) == 0 {
		t.Fatalf("no reflector; levels %+v", o.Levels)
	}
	side := geom.Toward(r.Shot.Camera.BearingDeg+90, 0) // to the right of the picture
	if r.Shot.Look.KeySide == shot.SideLeft {
		side = side.Scale(-1)
	}
	mid := geom.Vec{Z: (r.Shot.Zone.BaseM + r.Shot.Zone.TopM) / 2}
	first, last := r.Sources[0].Track[0], r.Sources[0].Track[len(r.Sources[0].Track)-1]
	noon := r.Sources[0].Track[len(r.Sources[0].Track)/2]
	for _, b := range boards {
		c := b.Corners[0].Add(b.Corners[2]).Scale(0.5)
		n := b.Corners[1].Sub(b.Corners[0]).Cross(b.Corners[3].Sub(b.Corners[0])).Unit()
		if c.Dot(side) <= 0 {
			t.Errorf("a reflector at %v stands off the key side", c)
		}
		for _, at := range []scene.TrackPoint{first, last} {
			if n.Dot(geom.Toward(at.AzimuthDeg, at.ElevationDeg)) <= 0 {
				t.Errorf("the working side of the reflector at %v turns from the sun at %s", c, at.At)
			}
		}
		// The law of reflection: what it throws in mid-window lands on the zone.
		s := geom.Toward(noon.AzimuthDeg, noon.ElevationDeg)
		out := n.Scale(2 * n.Dot(s)).Sub(s)
		along := mid.Sub(c).Dot(out)
		if miss := c.Add(out.Scale(along)).Sub(mid).Len(); along <= 0 || miss > r.Shot.Zone.WidthM {
			t.Errorf("the beam of the reflector at %v passes %.2f m from the middle of the zone", c, miss)
		}
	}
}

func TestTheTrimTableIsOfTheDistanceChosen(t *testing.T) {
	o := option(t, plan(t, jetty()), sizing.LabelOverhead)
	if len(o.Trim) != 5 {
		t.Fatalf("%d distances", len(o.Trim))
	}
	if mid := o.Trim[2]; math.Abs(mid.KeyLx-o.Levels.KeyLx) > 1e-6*mid.KeyLx {
		t.Errorf("the middle distance gives %.1f lx, the plan %.1f", mid.KeyLx, o.Levels.KeyLx)
	}
	if !slices.IsSortedFunc(o.Trim, func(a, b lighting.TrimStep) int { return int(math.Copysign(1, a.DistanceM-b.DistanceM)) }) {
		t.Errorf("distances out of order: %+v", o.Trim)
	}
	if o.Trim[0].KeyLx <= o.Trim[4].KeyLx {
		t.Errorf("a lobed silver gives no less from further off: %+v", o.Trim)
	}
}

func TestANetFillsTheViewOrIsSaidToBeTooSmall(t *testing.T) {
	d := jetty()
	d.Look.NetStops = some(1.0)
	r := plan(t, d)
	nets := withRole(r.Options[0], finding.RoleNet)
	if len(nets) != 1 {
		t.Fatalf("%d nets; notes %q", len(nets), r.Options[0].Notes)
	}
	// Gap g behind a level lens: at least W (d + g) / d wide (domain).
	c := nets[0].Corners
	forward := geom.Toward(r.Shot.Camera.BearingDeg, 0)
	gap := c[0].Add(c[2]).Scale(0.5).Dot(forward)
	width := math.Max(c[1].Sub(c[0]).Len(), c[2].Sub(c[1]).Len())
	if need := r.Shot.Framing.WidthM * (r.Shot.Framing.DistanceM + gap) / r.Shot.Framing.DistanceM; width < need {
		t.Errorf("the net is %.2f m wide, the view %.2f m", width, need)
	}
	if gap < r.Shot.Zone.DepthM/2 || nets[0].MarginM <= 0 {
		t.Errorf("gap %.2f m, margin %.3f m", gap, nets[0].MarginM)
	}

	d.Framing.WidthM, d.Framing.DistanceM = some(14.0), some(10.0)
	wide := plan(t, d).Options[0]
	if len(withRole(wide, finding.RoleNet)) != 0 || !has[finding.NetTooSmall](wide) || wide.Serves() {
		t.Errorf("a net for 14 m: serves %v, notes %q", wide.Serves(), wide.Notes)
	}
}

func TestANetThatThePictureDoesNotReachIsLeftOut(t *testing.T) {
	d := jetty()
	d.Look.NetStops = some(1.0)
	// From 6 m up, aimed at the ground 4 m off, the top ray meets the ground within 2 m of the aim: no net is seen behind it.
	d.Camera.HeightM, d.Camera.AimHeightM = some(6.0), some(0.0)
	d.Framing.WidthM, d.Framing.DistanceM = some(1.0), some(4.0)
	d.Zone = shot.DraftZone{WidthM: some(1.0), DepthM: some(0.5), BaseM: some(0.0), TopM: some(0.4)}
	for _, o := range plan(t, d).Options {
		if nets := withRole(o, finding.RoleNet); len(nets) != 0 {
			t.Errorf("%s: a net at %v is not in the picture", o.Label, nets[0].Corners)
		}
	}
}

func TestALampBehindMakesUpTheBack(t *testing.T) {
	plain := option(t, plan(t, jetty()), sizing.LabelOverhead)
	d := jetty()
	d.Look.BackStops = some(0.1)
	o := option(t, plan(t, d), sizing.LabelOverhead)
	lamps := withRole(o, finding.RoleLamp)
	if len(lamps) == 0 || o.Levels.BackLx <= plain.Levels.BackLx {
		t.Fatalf("%d lamps, back %.0f lx, %.0f without; notes %q", len(lamps), o.Levels.BackLx, plain.Levels.BackLx, o.Notes)
	}
	forward := geom.Toward(*d.Camera.BearingDeg, 0)
	for _, l := range lamps {
		if l.Lamp == nil || l.Lamp.Position.Dot(forward) <= 0 {
			t.Errorf("lamp %+v stands in front", l.Lamp)
		}
	}
	if o.PowerW <= 0 {
		t.Errorf("the lamps draw %v W", o.PowerW)
	}
}

func TestWithoutSunLampsLift(t *testing.T) {
	d := jetty()
	d.Sky.Condition = some("overcast")
	d.Look.KeyStops = some(0.0)
	d.Zone.WidthM, d.Framing.WidthM = some(0.8), some(1.2) // no lamp of the house lights two people abreast by day
	r := plan(t, d)
	o := option(t, r, sizing.LabelLamps)
	if len(withRole(o, finding.RoleLamp)) == 0 || len(withRole(o, finding.RoleLampDiffuser)) != 1 {
		t.Errorf("pieces %+v", o.Pieces)
	}
	if base := option(t, r, sizing.LabelOverhead); o.Levels.KeyLx <= base.Levels.KeyLx && !base.Serves() {
		t.Errorf("lamps give %.0f lx, boards %.0f", o.Levels.KeyLx, base.Levels.KeyLx)
	}
}

func TestFurtherZonesGetPiecesOfTheirOwn(t *testing.T) {
	d := jetty()
	at := geom.Toward(*d.Camera.BearingDeg, 0).Scale(4).Add(geom.Toward(*d.Camera.BearingDeg-90, 0).Scale(1.5))
	d.OtherZones = []shot.DraftOtherZone{{
		Label: some("mates"), CenterM: []float64{at.X, at.Y}, WidthM: some(0.8), DepthM: some(0.5), KeyStops: some(-1.0),
	}}
	r := plan(t, d)
	o := option(t, r, sizing.LabelOverhead)
	if len(o.Levels.OtherZones) != 1 || o.Levels.OtherZones[0].Label != "mates" {
		t.Fatalf("levels of further zones %+v", o.Levels.OtherZones)
	}
	own := slices.ContainsFunc(o.Pieces, func(p sizing.Piece) bool { return p.Serves == "mates" })
	if miss := o.Levels.OtherZones[0].KeyStops + 1; math.Abs(miss) > 1.0/3 && !has[finding.ZoneMissed](o) {
		t.Errorf("mates miss by %.2f stops, own pieces %v, notes %q", miss, own, o.Notes)
	} else if math.Abs(miss) <= 1.0/3 && !own {
		t.Errorf("mates are lit as asked by nothing of their own: %+v", o.Levels)
	}
}

func TestPiecesTakeNoMoreThanTheHouseOwns(t *testing.T) {
	stock := house(t)
	for _, o := range plan(t, jetty()).Options {
		for _, l := range o.Kit.Lines {
			if own := stock.Item(l.SKU).Owned; l.Quantity > own {
				t.Errorf("%s takes %d of %s, the house owns %d", o.Label, l.Quantity, l.SKU, own)
			}
		}
	}
}

func TestWithoutBoardsTheOptionSaysSo(t *testing.T) {
	full := house(t)
	var items []catalog.Item
	for _, item := range full.Items() {
		if fabric, ok := item.Spec.(*catalog.Fabric); item.Kind() != catalog.KindReflector && (!ok || fabric.Use != catalog.UseBounce) {
			items = append(items, item)
		}
	}
	r := planOf(t, jetty(), catalog.NewSnapshot(full.House, items))
	o := option(t, r, sizing.LabelOverhead)
	if o.Serves() || !darkBy(o, finding.ByReflector) {
		t.Errorf("serves %v, notes %q", o.Serves(), o.Notes)
	}
}

// darkBy reports whether an option says that the key is too dark, or not as asked, by some means.
func darkBy(o sizing.Option, by finding.Means) bool {
	dark, _ := noted[finding.KeyTooDark](o)
	missed, _ := noted[finding.KeyMissed](o)
	return dark.By == by || missed.By == by
}
