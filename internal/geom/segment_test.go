package geom_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"kitspan/internal/geom"
)

func TestDistanceToASegmentIsThatOfItsNearestPoint(t *testing.T) {
	// A 3-4-5 triangle, past the end, beside the middle, and where the segment stands upright.
	a, b := geom.Vec{X: 0, Y: 0, Z: 7}, geom.Vec{X: 10, Y: 0, Z: -2}
	for _, c := range []struct {
		p    geom.Vec
		want float64
	}{{geom.Vec{X: 13, Y: 4}, 5}, {geom.Vec{X: -3, Y: -4, Z: 1}, 5}, {geom.Vec{X: 6, Y: 2, Z: 100}, 2}, {geom.Vec{X: 6}, 0}} {
		if got := geom.DistanceInPlan(c.p, a, b); math.Abs(got-c.want) > 1e-12 {
			t.Errorf("%v: %v, want %v", c.p, got, c.want)
		}
	}
	if got := geom.DistanceInPlan(geom.Vec{X: 3, Y: 4, Z: 9}, geom.Vec{}, geom.Vec{Z: 5}); got != 5 {
		t.Errorf("from an upright segment: %v, want 5", got)
	}
	rapid.Check(t, func(t *rapid.T) {
		p, a, b := drawVec(t, "p", 10), drawVec(t, "a", 10), drawVec(t, "b", 10)
		got := geom.DistanceInPlan(p, a, b)
		want, step := math.Inf(1), math.Hypot(b.X-a.X, b.Y-a.Y)/1000
		for i := range 1001 {
			q := a.Add(b.Sub(a).Scale(float64(i) / 1000))
			want = math.Min(want, math.Hypot(p.X-q.X, p.Y-q.Y))
		}
		if got > want+1e-12 || got < want-step {
			t.Errorf("%v, sampled %v", got, want)
		}
		if back := geom.DistanceInPlan(p, b, a); math.Abs(back-got) > 1e-12*(1+got) {
			t.Errorf("%v from b to a, %v from a to b", back, got)
		}
	})
}
