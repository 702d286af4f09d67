package geom_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"kitspan/internal/geom"
)

// randomFlat is a random convex polygon in a random plane: points around a circle, in order.
func randomFlat(r *rand.Rand) []geom.Vec {
	e := randomUnit(r)
	f := e.Cross(randomUnit(r)).Unit()
	center := randomUnit(r).Scale(2 * r.Float64())
	var polygon []geom.Vec
	angle := 0.0
	for sides := 3 + r.IntN(5); sides > 0; sides-- {
		angle += (2*math.Pi - angle) * r.Float64() / float64(sides) * 1.7
		s, c := math.Sincos(math.Min(angle, 2*math.Pi))
		polygon = append(polygon, center.Add(e.Scale(c)).Add(f.Scale(0.7*s)))
	}
	return polygon
}

// TestClipAgainstSampling: a point of the polygon is in the clipped one exactly where it is on the plane's side, and
// what both sides of the plane leave adds up to the whole.
func TestClipAgainstSampling(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 1))
	divided := 0
	for i := range 2000 {
		polygon := randomFlat(r)
		n := randomUnit(r)
		d := n.Dot(polygon[0]) + 0.5*r.NormFloat64()
		in := geom.Clip(nil, polygon, n, d)
		out := geom.Clip(nil, polygon, n.Scale(-1), -d)
		whole := geom.AreaVec(polygon)
		if len(in) > len(polygon)+1 || len(out) > len(polygon)+1 {
			t.Fatalf("case %d: %d corners make %d and %d", i, len(polygon), len(in), len(out))
		}
		sum := geom.AreaVec(in).Add(geom.AreaVec(out))
		within(t, "both parts", sum.Sub(whole).Len(), 0, 1e-12)
		for _, v := range in {
			if n.Dot(v) < d-1e-12 {
				t.Fatalf("case %d: a corner at %v", i, n.Dot(v)-d)
			}
		}
		if len(in) >= 3 && len(out) >= 3 {
			divided++
		}
		for range 10 {
			w := make([]float64, len(polygon))
			total := 0.0
			for k := range w {
				w[k] = r.ExpFloat64()
				total += w[k]
			}
			var p geom.Vec
			for k, v := range polygon {
				p = p.Add(v.Scale(w[k] / total))
			}
			if math.Abs(n.Dot(p)-d) < 1e-9 {
				continue
			}
			if got, want := inFlat(p, in, whole), n.Dot(p) > d; got != want {
				t.Fatalf("case %d: %v is in: %v, want %v", i, p, got, want)
			}
		}
	}
	if divided < 500 {
		t.Errorf("only %d polygons were divided", divided)
	}
}

// inFlat reports whether a point of the plane lies in a convex polygon that runs about the normal.
func inFlat(p geom.Vec, polygon []geom.Vec, normal geom.Vec) bool {
	if len(polygon) < 3 {
		return false
	}
	for i, a := range polygon {
		if polygon[(i+1)%len(polygon)].Sub(a).Cross(p.Sub(a)).Dot(normal) < -1e-12 {
			return false
		}
	}
	return true
}

func TestClipAppends(t *testing.T) {
	kept := geom.Vec{X: 42}
	got := geom.Clip([]geom.Vec{kept}, level(0, 2, 0, 1, 0), east, 1)
	if len(got) != 5 || got[0] != kept {
		t.Fatalf("%v", got)
	}
	within(t, "half", geom.AreaVec(got[1:]).Z, 1, 1e-15)
	if got := geom.Clip(nil, nil, east, 0); len(got) != 0 {
		t.Errorf("nothing makes %v", got)
	}
	if got := geom.Clip(nil, level(0, 2, 0, 1, 0), east, 3); len(got) != 0 {
		t.Errorf("beyond: %v", got)
	}
}
