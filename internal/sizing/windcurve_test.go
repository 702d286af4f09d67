//go:build !race

// Arithmetic in one goroutine, where the race detector finds nothing and takes eight times as long: deploy/tests.sh runs this without it.

package sizing_test

import (
	"math"
	"path/filepath"
	"slices"
	"testing"

	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
	"kitspan/internal/sizing/oracle"
)

// lyingKg is the ballast of an option, on the bases and at the feet of ropes, in the part of its window that has most.
func lyingKg(o *sizing.Option, stock *catalog.Snapshot) (most float64) {
	for k := range o.Parts() {
		part := o.Part(k)
		most = math.Max(most, partKg(&part, stock))
	}
	return most
}

func partKg(o *sizing.Option, stock *catalog.Snapshot) (kg float64) {
	add := func(c catalog.Count) {
		if c.Quantity > 0 {
			if a, ok := stock.Item(c.SKU).Spec.(*catalog.Anchor); !ok || a.Form != catalog.FormStake {
				kg += float64(c.Quantity) * stock.Item(c.SKU).MassKg
			}
		}
	}
	for i := range o.Pieces {
		for _, s := range o.Pieces[i].Supports {
			add(s.Ballast)
		}
		for _, l := range o.Pieces[i].Lines {
			add(l.Anchor)
		}
	}
	return kg
}

// rising holds a curve to what it means: more wind never takes less of anything, and the step of the gust asked is the plan.
func rising(t *testing.T, res *sizing.Result, stock *catalog.Snapshot) {
	t.Helper()
	for i := range res.Options {
		o := &res.Options[i]
		var gusts []float64
		for k := range o.Wind {
			w := &o.Wind[k]
			gusts = append(gusts, w.GustMS)
			if w.GustMS == res.Shot.GustMS {
				if math.Abs(w.BallastKg-lyingKg(o, stock)) > 1e-9 || w.People != o.Crew.Total || !w.TotalPerDay.Equal(o.TotalPerDay) {
					t.Errorf("%s: %+v, the plan has %v kg, %d people, %s", o.Label, w, lyingKg(o, stock), o.Crew.Total, o.TotalPerDay)
				}
			}
			if k == 0 {
				continue
			}
			v := &o.Wind[k-1]
			dearer, err := w.TotalPerDay.Cmp(v.TotalPerDay)
			up := slices.ContainsFunc(v.Down, func(r finding.Role) bool { return !slices.Contains(w.Down, r) })
			if err != nil || dearer < 0 || w.BallastKg < v.BallastKg || w.People < v.People || up {
				t.Errorf("%s: %+v after %+v", o.Label, w, v)
			}
		}
		if !slices.Equal(gusts, []float64{3, 4, 5, 6, 8, 10, 12}) {
			t.Errorf("%s: steps for %v", o.Label, gusts)
		}
	}
}

// TestMoreWindNeverTakesLess: all examples, in the wind that they ask for, in a calm and in a storm, and a few random shots.
func TestMoreWindNeverTakesLess(t *testing.T) {
	t.Parallel()
	files, err := filepath.Glob("../../docs/examples/*.json")
	if err != nil || len(files) == 0 {
		t.Fatalf("%d examples: %v", len(files), err)
	}
	for _, file := range files {
		t.Run(filepath.Base(file), func(t *testing.T) {
			t.Parallel()
			house, d := exampleDraft(t, file)
			stock := demoHouse(t, house)
			for _, gust := range []*float64{d.GustMS, is(0.0), is(7.5), is(20.0)} {
				if d.GustMS = gust; gust != nil {
					d.MeanWindMS = nil
				}
				res := planOf(t, d, stock)
				rising(t, &res, stock)
			}
		})
	}
	stock := demoHouse(t, "quayside")
	for _, s := range oracle.Scenes(4400, 12) {
		t.Run(s.String(), func(t *testing.T) {
			t.Parallel()
			res, err := oracle.Size(t.Context(), s, stock)
			if err != nil {
				t.Fatal(err)
			}
			rising(t, &res, stock)
		})
	}
}

// TestTheCurveTakesNoMoreThanAPlanForItsGust asks for each gust of a curve by itself. Where that plan puts the same pieces in the same
// places on the same supports, the curve's step costs no more and takes no more people, and more ballast only where that saves
// money: bags in place of blocks that take two to carry, say. In more wind than was asked it may have what the plan has. Most take
// just the same.
func TestTheCurveTakesNoMoreThanAPlanForItsGust(t *testing.T) {
	t.Parallel()
	compared, same := 0, 0
	for _, name := range []string{"02-letter-close-up", "05-six-rowers", "08-ferry-captain-upright", "10-late-light"} {
		house, d := exampleDraft(t, filepath.Join("../../docs/examples", name+".json"))
		stock := demoHouse(t, house)
		d.MeanWindMS, d.Limits = nil, shot.DraftLimits{}
		d.GustMS = is(6.0)
		asked := planOf(t, d, stock)
		for _, gust := range sizing.CurveMS() {
			d.GustMS = is(gust)
			res := planOf(t, d, stock)
			for i := range asked.Options {
				o := &asked.Options[i]
				at := slices.IndexFunc(res.Options, func(p sizing.Option) bool {
					return p.Label == o.Label && p.Window.From.Equal(o.Window.From) && sameStands(o, &p)
				})
				if at < 0 || len(o.Pieces) == 0 {
					continue
				}
				p := &res.Options[at]
				step := o.Wind[slices.Index(sizing.CurveMS(), gust)]
				weak := slices.ContainsFunc(p.Pieces, func(v sizing.Piece) bool { return v.Hold.LowerAtMS < gust*(1-heldMS) })
				if weak != (len(step.Down) > 0) {
					t.Errorf("%s, %s at %v m/s: down are %v, a plan for it holds %v", name, o.Label, gust, step.Down, !weak)
				}
				if weak {
					continue
				}
				compared++
				kg := lyingKg(p, stock)
				dearer, err := step.TotalPerDay.Cmp(p.TotalPerDay)
				planned := gust > asked.Shot.GustMS && step.BallastKg >= lyingKg(o, stock) && step.People == o.Crew.Total
				if err != nil || !planned && (dearer > 0 || step.BallastKg > kg+1e-9 && dearer == 0 || step.People > p.Crew.Total) {
					t.Errorf("%s, %s at %v m/s: %+v, a plan for it takes %v kg, %d people, %s", name, o.Label, gust, step, kg, p.Crew.Total, p.TotalPerDay)
				}
				if dearer == 0 && math.Abs(step.BallastKg-kg) < 1e-9 && step.People == p.Crew.Total {
					same++
				}
			}
		}
	}
	if compared < 20 || 4*same < 3*compared {
		t.Errorf("%d steps compared, %d the same", compared, same)
	}
	t.Logf("%d steps compared, %d the same", compared, same)
}

// heldMS is the share of a gust by which a piece may miss it: rounding.
const heldMS = 1e-9

// sameStands reports whether two options have the same pieces on the same supports, whatever holds these down.
func sameStands(o, p *sizing.Option) bool {
	return slices.EqualFunc(o.Pieces, p.Pieces, func(a, b sizing.Piece) bool {
		return a.Role == b.Role && slices.Equal(a.Items, b.Items) && a.Corners == b.Corners && slices.EqualFunc(a.Supports, b.Supports, func(s, u sizing.Support) bool {
			return s.SKU == u.SKU && s.Base == u.Base && s.HeightM == u.HeightM
		})
	})
}
