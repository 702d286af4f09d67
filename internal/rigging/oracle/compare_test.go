package oracle

import (
	"math"
	"math/rand/v2"
	"os"
	"testing"
)

const (
	// alike is how far two answers may be apart: cones whose sides lie otherwise differ by up to 0.5 % in force.
	alike = 0.01
	// alikeTwisted is the same where a joint may twist a stand: the ratio by which that counts is searched for, and neither search
	// promises the last per cent; the sum of ballast is then the least near by.
	alikeTwisted, alikeTwistedKg = 0.015, 0.025
)

func structures(t *testing.T, few, many uint64) uint64 {
	switch {
	case os.Getenv("KITSPAN_ORACLE") == "full":
		return many
	case testing.Short():
		return few / 4
	}
	t.Logf("%d structures; KITSPAN_ORACLE=full tries %d", few, many)
	return few
}

// barelyMS is how far two answers may be apart near no wind at all, in m/s.
const barelyMS = 0.05

func TestSolverStandsAsLong(t *testing.T) {
	compared, none := 0, 0
	many := structures(t, 20, 400)
	for seed := range many {
		rng := rand.New(rand.NewPCG(seed, 1))
		s := Random(rng)
		kg := RandomBallast(rng, &s)
		within := alike
		if twists(&s) {
			within = alikeTwisted
		}
		got := s.Solver().Stability(kg)
		safe, goes := SafeTo(&s, kg, s.SafetyFactor), SafeTo(&s, kg, 1)
		if compared++; safe < 0 {
			none++
		}
		if !sameGust(got.SafeToMS, safe, within) || !sameGust(got.GoesAtMS, goes, within) {
			t.Errorf("seed %d: %+v\nballast %v: safe to %.3f m/s and goes at %.3f, by the second way %.3f and %.3f",
				seed, s, kg, got.SafeToMS, got.GoesAtMS, safe, goes)
		}
	}
	if compared < int(many)*3/4 || none > compared/3 {
		t.Errorf("%d structures compared, %d do not stand in calm air", compared, none)
	}
}

// sameGust reports whether two gusts are the same, −1 for what does not stand in calm air.
func sameGust(a, b, within float64) bool {
	if a < 0 || b < 0 {
		return a < barelyMS && b < barelyMS
	}
	return math.Abs(a-b) <= math.Max(barelyMS, within*b)
}

func TestSolverAsksForAsMuchBallast(t *testing.T) {
	compared := 0
	for seed := range structures(t, 14, 200) {
		rng := rand.New(rand.NewPCG(seed, 1))
		s := Random(rng)
		if len(s.Stands) == 4 && twists(&s) {
			continue // a minute each
		}
		floor := make([]float64, len(s.Stands))
		for i := range floor {
			floor[i] = 15
		}
		gust := 1.2 * SafeTo(&s, RandomBallast(rng, &s), s.SafetyFactor)
		if gust < 2 || gust > 50 {
			continue
		}
		within := alike
		if twists(&s) {
			within = alikeTwistedKg
		}
		got, ok := s.Solver().LeastBallast(gust, floor)
		want, sumKg := LeastBallast(&s, gust, s.SafetyFactor, floor)
		if ok != (want != nil) {
			t.Errorf("seed %d: %+v\nat %.2f m/s: ballast %v, by the second way %v", seed, s, gust, got, want)
			continue
		}
		if !ok {
			continue
		}
		compared++
		if math.Abs(total(got)-sumKg) > within*sumKg {
			t.Errorf("seed %d: %+v\nat %.2f m/s: ballast %v, %.2f kg, by the second way %v, %.2f kg", seed, s, gust, got, total(got), want, sumKg)
		}
		for i := range got {
			got[i] *= 1 + alike
		}
		if stands, slack := Stands(&s, got, gust, s.SafetyFactor); !stands {
			t.Errorf("seed %d: %+v\nat %.2f m/s: ballast %v lacks %g N", seed, s, gust, got, -slack)
		}
	}
	if compared < 5 {
		t.Errorf("%d structures compared", compared)
	}
}
