package oracle_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"sync/atomic"
	"testing"

	"kitspan/internal/catalog"
	"kitspan/internal/geom"
	"kitspan/internal/rigging"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
	"kitspan/internal/sizing/oracle"
)

// samePlace reports whether two pieces are the same things in the same place on the same stands.
func samePlace(p, q sizing.Piece) bool {
	off := func(a, b geom.Vec) bool { return a.Sub(b).Len() > 1e-9 }
	if p.Role != q.Role || !slices.Equal(p.Items, q.Items) || len(p.Supports) != len(q.Supports) || (p.Lamp == nil) != (q.Lamp == nil) {
		return false
	}
	for i := range p.Corners {
		if off(p.Corners[i], q.Corners[i]) {
			return false
		}
	}
	for i := range p.Supports {
		a, b := &p.Supports[i], &q.Supports[i]
		if a.SKU != b.SKU || off(a.Base, b.Base) || math.Abs(a.HeightM-b.HeightM) > 1e-9 {
			return false
		}
	}
	return p.Lamp == nil || !off(p.Lamp.Position, q.Lamp.Position)
}

// pairOf are the pieces of two answers that stand alike, piece by piece.
func pairOf(a, b sizing.Result) (list [][2]sizing.Piece) {
	for _, o := range a.Options {
		k := slices.IndexFunc(b.Options, func(other sizing.Option) bool { return other.Label == o.Label })
		if k < 0 {
			continue
		}
		for _, p := range o.Pieces {
			for _, q := range b.Options[k].Pieces {
				if samePlace(p, q) {
					list = append(list, [2]sizing.Piece{p, q})
				}
			}
		}
	}
	return list
}

// TestMoreGustIsMoreForceAndNoLessBallast asks for the same shot in two winds: on what stands alike the force goes with the
// square of the gust, and each stand has no less ballast but for what a coarser kind is too much.
func TestMoreGustIsMoreForceAndNoLessBallast(t *testing.T) {
	t.Parallel()
	stock := demo(t, "quayside")
	var forces, stands atomic.Int64
	t.Cleanup(func() {
		if t.Logf("%d forces, %d stands", forces.Load(), stands.Load()); forces.Load() < 50 || stands.Load() < 25 {
			t.Errorf("too few to compare: %d forces, %d stands", forces.Load(), stands.Load())
		}
	})
	massOf := func(c catalog.Count) (all, one float64) {
		if c.Quantity == 0 {
			return 0, 0
		}
		one = stock.Item(c.SKU).MassKg
		return float64(c.Quantity) * one, one
	}
	inParts(t, oracle.Scenes(8000, scenes(8, 400)), func(t *testing.T, s oracle.Shoot) {
		const light, strong = 4.0, 6.0
		var res [2]sizing.Result
		for i, gust := range []float64{light, strong} {
			d := s.Draft
			d.GustMS = &gust
			var ok bool
			if res[i], ok = answered(t, s, d, stock); !ok {
				return
			}
		}
		for _, pair := range pairOf(res[0], res[1]) {
			p, q := pair[0], pair[1]
			forces.Add(1)
			if want := p.Hold.ForceN * strong * strong / light / light; math.Abs(q.Hold.ForceN-want) > 1e-9*want {
				t.Errorf("%s: %.6f N on the %s at %.0f m/s, %.6f N at %.0f m/s", s, p.Hold.ForceN, p.Role, light, q.Hold.ForceN, strong)
			}
			if len(p.Lines)+len(q.Lines) > 0 || q.Hold.LowerAtMS < strong {
				continue
			}
			for i := range p.Supports {
				less, one := massOf(p.Supports[i].Ballast)
				more, _ := massOf(q.Supports[i].Ballast)
				stands.Add(1)
				if more > 0 || less > 0 {
					if more <= less-one && less > 0 {
						t.Errorf("%s: support %d of the %s takes %v at %.0f m/s and %v at %.0f m/s", s, i+1, p.Role, p.Supports[i].Ballast, light, q.Supports[i].Ballast, strong)
					}
				}
			}
		}
	})
}

// TestTheHousesOwnLimitGoesBefore asks a house that lets no frame stand in more than a breeze.
func TestTheHousesOwnLimitGoesBefore(t *testing.T) {
	t.Parallel()
	const breezeMS = 3.0
	whole := demo(t, "quayside")
	items := slices.Clone(whole.Items())
	for i := range items {
		if f, ok := items[i].Spec.(*catalog.Frame); ok {
			c := *f
			c.GustLimitMS = breezeMS
			items[i].Spec = &c
		}
	}
	stock := catalog.NewSnapshot(whole.House, items)
	governed := 0
	for _, s := range oracle.Scenes(800, scenes(6, 100)) {
		for _, gust := range []float64{2, 4} {
			s.Draft.GustMS = &gust
			res, ok := answered(t, s, s.Draft, stock)
			if !ok {
				continue
			}
			report(t, s, oracle.CheckResult(res, stock, res.Shot.Window.Date, rand.New(rand.NewPCG(s.Seed, 1))))
			for _, o := range res.Options {
				for _, p := range o.Pieces {
					if p.Hold.Governs == rigging.GovernsHouseLimit {
						governed++
					}
				}
			}
		}
	}
	if governed < 5 {
		t.Errorf("the house's limit governs %d pieces: too few to check", governed)
	}
}

// TestLimitsAreTold asks again with limits that the answer just passed: what passes one is not workable, and says so.
func TestLimitsAreTold(t *testing.T) {
	t.Parallel()
	stock := demo(t, "quayside")
	passed := map[string]int{}
	for _, s := range oracle.Scenes(8500, scenes(8, 200)) {
		free, ok := answered(t, s, s.Draft, stock)
		if !ok || len(free.Options) == 0 {
			continue
		}
		o := free.Options[0]
		fewer, lighter := o.Crew.Total-1, o.Load.MassKg*0.8
		lower := 0.0
		for _, p := range o.Pieces {
			for _, sp := range p.Supports {
				lower = math.Max(lower, sp.HeightM)
			}
		}
		lower *= 0.9
		for what, limit := range map[string]func(l *shot.DraftLimits){
			"crew":   func(l *shot.DraftLimits) { l.Crew = &fewer },
			"mass":   func(l *shot.DraftLimits) { l.MassKg = &lighter },
			"height": func(l *shot.DraftLimits) { l.RigHeightM = &lower },
		} {
			d := s.Draft
			limit(&d.Limits)
			if _, faults := d.Resolve(); len(faults) > 0 {
				continue
			}
			res, ok := answered(t, s, d, stock)
			if !ok {
				continue
			}
			passed[what]++
			report(t, s, oracle.CheckResult(res, stock, res.Shot.Window.Date, rand.New(rand.NewPCG(s.Seed, 1))))
		}
	}
	for _, what := range []string{"crew", "mass", "height"} {
		if passed[what] < 5 {
			t.Errorf("the limit on %s was set %d times", what, passed[what])
		}
	}
}

// TestMoreHandsFirstAreCaught puts an option with more hands before one of its class with fewer, where few hands are preferred.
func TestMoreHandsFirstAreCaught(t *testing.T) {
	t.Parallel()
	stock := demo(t, "quayside")
	prefer := shot.PreferFewestHands
	tried := 0
	for _, s := range oracle.Scenes(800, scenes(14, 200)) {
		s.Draft.Prefer = &prefer
		res, ok := answered(t, s, s.Draft, stock)
		if !ok {
			continue
		}
		report(t, s, oracle.CheckWithoutHolds(res, stock, res.Shot.Window.Date, rand.New(rand.NewPCG(s.Seed, 1))))
		for k := 1; k < len(res.Options); k++ {
			a, b := res.Options[k-1], res.Options[k]
			if a.State != b.State || a.Workable != b.Workable || a.Crew.Total == b.Crew.Total || b.Label == sizing.LabelOtherHour {
				continue
			}
			tried++
			changed := res
			changed.Options = slices.Clone(res.Options)
			changed.Options[k-1], changed.Options[k] = b, a
			bad := oracle.CheckWithoutHolds(changed, stock, res.Shot.Window.Date, rand.New(rand.NewPCG(9, 9)))
			if !slices.ContainsFunc(bad, func(v oracle.Violation) bool { return v.Rule == oracle.RuleOptions }) {
				t.Errorf("%s: %s with %d hands before %s with %d is not caught", s, b.Label, b.Crew.Total, a.Label, a.Crew.Total)
			}
		}
	}
	if tried < 3 {
		t.Errorf("%d pairs were exchanged: too few", tried)
	}
}
