//go:build !race

// Arithmetic in one goroutine, where the race detector finds nothing and takes eight times as long: deploy/tests.sh runs this without it.

package sizing_test

import (
	"context"
	"errors"
	"math"
	"slices"
	"testing"

	"kitspan/internal/finding"
	"kitspan/internal/price"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
)

// hall is a shot under a roof with a floodlight behind on either side and one before the people, which the switchable may be.
func hall(switchable ...string) shot.Draft {
	d := jetty()
	d.Site.Roofed, d.GustMS = some(true), some(0.0)
	d.Background.Faces, d.Background.EV100 = nil, some(7.0)
	add := func(label string, x, y, z float64) {
		bearing := *d.Camera.BearingDeg * math.Pi / 180
		d.Lamps = append(d.Lamps, shot.DraftLamp{
			Label: &label, PositionM: []float64{x*math.Cos(bearing) + y*math.Sin(bearing), y*math.Cos(bearing) - x*math.Sin(bearing), z},
			IntensityCd: some(60000.0), CanBeOff: some(slices.Contains(switchable, label)),
		})
	}
	add("left", -6, 10, 9)
	add("right", 7, 9, 9)
	add("front", -8, -9, 9)
	return d
}

// frames are the opening areas of the best option that keeps on all but some lamps.
func bestWith(r sizing.Result, off ...string) *sizing.Option {
	for i := range r.Options {
		if slices.Equal(r.Options[i].SwitchOff, off) {
			return &r.Options[i]
		}
	}
	return nil
}

func TestOnlyLampsThatMayBeAreSwitchedOff(t *testing.T) {
	t.Parallel()
	r := plan(t, hall("right", "front"))
	tried := map[string]bool{}
	for _, o := range r.Options {
		for _, label := range o.SwitchOff {
			tried[label] = true
		}
		if n, ok := noted[finding.SwitchedOff](o); ok != (len(o.SwitchOff) > 0) || ok && !slices.Equal(n.Lamps, o.SwitchOff) {
			t.Errorf("%s has %v off, its note says %v", o.Name, o.SwitchOff, n.Lamps)
		}
		for _, p := range o.Pieces {
			if slices.ContainsFunc(p.Covers, func(label string) bool { return slices.Contains(o.SwitchOff, label) }) {
				t.Errorf("%s: a %s covers %v, of which some are off: %v", o.Name, p.Role, p.Covers, o.SwitchOff)
			}
		}
	}
	if tried["left"] || !tried["right"] || !tried["front"] {
		t.Errorf("lamps off in some option: %v; right and front may be", tried)
	}
}

// TestWithALampOffThePlanIsThatOfAShotWithoutIt compares with a request that never had the lamps.
func TestWithALampOffThePlanIsThatOfAShotWithoutIt(t *testing.T) {
	t.Parallel()
	r := plan(t, hall("right", "front"))
	off := bestWith(r, "right", "front")
	if off == nil {
		t.Fatal("no option with both off")
	}
	bare := hall()
	bare.Lamps = bare.Lamps[:1]
	without := plan(t, bare)
	i := slices.IndexFunc(without.Options, func(o sizing.Option) bool { return o.Label == off.Label && o.State == off.State })
	if i < 0 {
		t.Fatalf("the shot without them has no %s that %s", off.Label, off.State)
	}
	if got, want := off.TotalPerDay.Number(), without.Options[i].TotalPerDay.Number(); got != want || off.Levels.KeyLx != without.Options[i].Levels.KeyLx {
		t.Errorf("%s a day and a key of %.1f lx; without the lamps %s and %.1f lx", got, off.Levels.KeyLx, want, without.Options[i].Levels.KeyLx)
	}
}

func TestWhatSwitchingOffSavesIsTold(t *testing.T) {
	t.Parallel()
	r := plan(t, hall("right", "front"))
	told := 0
	for i := range r.Options {
		o := &r.Options[i]
		n, ok := noted[finding.SwitchedOff](*o)
		if !ok || n.Saves == nil {
			continue
		}
		on := slices.IndexFunc(r.Options, func(q sizing.Option) bool { return len(q.SwitchOff) == 0 && q.State == o.State })
		if on < 0 {
			continue // dropped from the answer
		}
		told++
		less, err := r.Options[on].TotalPerDay.Sub(o.TotalPerDay)
		if err != nil || !less.Equal(n.Saves.Total) || n.Saves.People != r.Options[on].Crew.Total-o.Crew.Total || !n.BackgroundRead {
			t.Errorf("%s saves %+v against %s, by their totals %s (%v)", o.Name, *n.Saves, r.Options[on].Name, less, err)
		}
		if n.OnlySo {
			t.Errorf("%s says that nothing with every lamp on does as much as it, and %s does", o.Name, r.Options[on].Name)
		}
	}
	if told == 0 {
		t.Error("no option says what it saves")
	}
}

// TestNoLampMayBeOffByDefault: and what is far weaker than the others, so that it need not be softened, is left on.
func TestNoLampMayBeOffByDefault(t *testing.T) {
	t.Parallel()
	weak := hall("weak")
	weak.Lamps = append(weak.Lamps, shot.DraftLamp{Label: some("weak"), AzimuthDeg: some(10.0), ElevationDeg: some(30.0), IlluminanceLx: some(20.0), CanBeOff: some(true)})
	for name, d := range map[string]shot.Draft{"none said": hall(), "one that is not hard": weak} {
		for _, o := range plan(t, d).Options {
			if len(o.SwitchOff) > 0 {
				t.Errorf("%s: %s has %v off", name, o.Name, o.SwitchOff)
			}
		}
	}
}

// TestPreferredSofteningLeavesSmallPracticals: by the key wanted, 2^7 · 2.5 lx · 2^-0.5 = 226 lx, of which an eighth is 28 lx.
func TestPreferredSofteningLeavesSmallPracticals(t *testing.T) {
	t.Parallel()
	for lx, left := range map[float64]bool{27: true, 30: false} {
		for soften, prefers := range map[string]bool{shot.SoftenPreferred: true, shot.SoftenRequired: false} {
			d := hall()
			d.Look.Soften, d.Look.KeyStops = &soften, some(-0.5)
			d.Lamps = []shot.DraftLamp{{Label: some("bulb"), AzimuthDeg: some(250.0), ElevationDeg: some(40.0), IlluminanceLx: &lx}}
			r := plan(t, d)
			n, ok := noted[finding.PracticalsLeft](r.Options[0])
			if ok != (left && prefers) || ok && (!slices.Equal(n.Lamps, []string{"bulb"}) || math.Abs(n.UnderLx-250*128/100/math.Sqrt2/8) > 0.01) {
				t.Errorf("%g lx, softening %s: left as it is %v: %+v", lx, soften, ok, n)
			}
			covered := slices.ContainsFunc(r.Options, func(o sizing.Option) bool {
				return slices.ContainsFunc(o.Pieces, func(p sizing.Piece) bool {
					return (p.Role == finding.RoleOverhead || p.Role == finding.RoleSide) && slices.Contains(p.Covers, "bulb")
				})
			})
			if covered == (left && prefers) {
				t.Errorf("%g lx, softening %s: stopped %v", lx, soften, covered)
			}
		}
	}
}

// TestSwitchingOffEndsWithTheContext: each search more is cut short as any other.
func TestSwitchingOffEndsWithTheContext(t *testing.T) {
	t.Parallel()
	s, faults := hall("left", "right", "front").Resolve()
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	stock := house(t)
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if _, err := sizing.Plan(ctx, s, stock, price.NewDesk(stock, s.Window.Date)); !errors.Is(err, context.Canceled) {
		t.Errorf("a plan whose context has ended: %v", err)
	}
}
