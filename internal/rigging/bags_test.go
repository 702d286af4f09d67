package rigging_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"kitspan/internal/rigging"
	"kitspan/internal/rigging/oracle"
)

// TestBagsFoundForAGustHoldIt asks how much a gust takes and then what so much holds, which is not to be a hair less.
func TestBagsFoundForAGustHoldIt(t *testing.T) {
	held := 0
	for seed := range uint64(800) {
		rng := rand.New(rand.NewPCG(seed, 3))
		s := oracle.Random(rng)
		twists := slices.ContainsFunc(s.Stands, func(st rigging.Stand) bool { return math.Hypot(st.Held.X-st.Foot.X, st.Held.Y-st.Foot.Y) > 1e-9 })
		if len(s.Ropes) > 0 || twists && len(s.Stands) > 1 { // where twists are searched for, another search may find less
			continue
		}
		gust := 3 + 5*rng.Float64()
		solver := s.Solver()
		need, ok := solver.Need(gust, make([]float64, len(s.Stands)), 0, 0)
		if !ok {
			continue
		}
		if slices.Max(need.Kg()) < 5 {
			continue
		}
		units := rigging.Units{StandKg: slices.Max(need.Kg()) / 2.0005, MostStand: 1000} // two are not quite enough
		load, fits := need.In(units)
		if !fits {
			continue
		}
		held++
		if h := rigging.HoldOf(s.Solver().With(&load, &units), 0, -1); !h.Holds(gust) || h.LowerAtMS != math.Min(h.SafeToMS, rigging.LowerShare*h.GoesAtMS) {
			t.Errorf("seed %d: %v of %.3f kg are to hold %.6f m/s, and lower at %.6f m/s", seed, load.OnStands[:len(s.Stands)], units.StandKg, gust, h.LowerAtMS)
		}
	}
	if held < 50 {
		t.Errorf("%d structures are held: too few", held)
	}
}
