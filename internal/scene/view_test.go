package scene

import (
	"math/rand/v2"
	"testing"

	"kitspan/internal/geom"
)

// TestSeesWhatAnyPointShows holds boxes to the points of a lattice in them: one in the picture is enough, and where none is near it the
// box is not.
func TestSeesWhatAnyPointShows(t *testing.T) {
	t.Parallel()
	rng := rand.New(rand.NewPCG(7, 7))
	in := func(lo, hi float64) float64 { return lo + (hi-lo)*rng.Float64() }
	const n = 24
	seen, unseen := 0, 0
	for range 400 {
		st := &Stage{View: geom.Look(geom.Vec{Y: -5, Z: in(0.5, 2)}, geom.Vec{Z: in(0.5, 2)}, in(0.1, 0.6), in(0.1, 0.4))}
		z := geom.Box{Mid: geom.Vec{X: in(-6, 6), Y: in(-10, 8), Z: in(0, 3)}, Half: geom.Vec{X: in(0.1, 2), Y: in(0.1, 2), Z: in(0.1, 1)}}
		shows, nearly := false, false
		for i := range n * n * n {
			at := func(k int, half float64) float64 { return half * (2*float64(k%n)/(n-1) - 1) }
			d := geom.Vec{X: at(i, z.Half.X), Y: at(i/n, z.Half.Y), Z: at(i/n/n, z.Half.Z)}
			shows = shows || st.View.Clearance(z.Mid.Add(d)) == 0
			nearly = nearly || st.View.Clearance(z.Mid.Add(d)) < 4.0/n
		}
		got := st.Sees(&z)
		if shows && !got || got && !nearly {
			t.Errorf("box %+v before %+v: told %v, a point of it shows %v", z, st.View, got, shows)
		}
		if got {
			seen++
		} else {
			unseen++
		}
	}
	if seen < 50 || unseen < 50 {
		t.Errorf("%d seen, %d not: too few to tell", seen, unseen)
	}
}
