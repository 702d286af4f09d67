//go:build !race

// Arithmetic in one goroutine, where the race detector finds nothing and takes eight times as long: deploy/tests.sh runs this without it.

package geom_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"kitspan/internal/geom"
)

// overlap is the area that a disc about any centre and a polygon share.
func overlap(center [2]float64, radius float64, polygon [][2]float64) float64 {
	var moved [][2]float64
	for _, p := range polygon {
		moved = append(moved, [2]float64{p[0] - center[0], p[1] - center[1]})
	}
	return geom.DiscMoments(radius, moved).Area
}

// TestDiscArea are figures of school geometry: whole, quarter, half, segment, lens of a square's corner.
func TestDiscArea(t *testing.T) {
	square := [][2]float64{{-1, -1}, {1, -1}, {1, 1}, {-1, 1}}
	for _, c := range []struct {
		what   string
		center [2]float64
		radius float64
		want   float64
	}{
		{"disc within", [2]float64{0.2, -0.1}, 0.5, math.Pi / 4},
		{"square within", [2]float64{0.2, -0.1}, 3, 4},
		{"touching from within", [2]float64{}, 1, math.Pi},
		{"through the corners", [2]float64{}, math.Sqrt2, 4},
		{"on a side", [2]float64{1, 0}, 0.5, math.Pi / 8},
		{"on a corner", [2]float64{1, 1}, 0.5, math.Pi / 16},
		{"apart", [2]float64{3, 0}, 1, 0},
		{"apart beside a corner", [2]float64{1.8, 1.8}, 1, 0},
		// The segment of height ½ of the unit disc: π/3 − √3/4.
		{"segment", [2]float64{1.5, 0}, 1, math.Pi/3 - math.Sqrt(3)/4},
		// All but four segments of height r − 1 for r = 1.2.
		{"four segments off", [2]float64{}, 1.2, 1.44*math.Pi - 4*(1.44*math.Acos(1/1.2)-math.Sqrt(0.44))},
		{"no radius", [2]float64{}, 0, 0},
	} {
		within(t, c.what, overlap(c.center, c.radius, square), c.want, 1e-14)
	}
	within(t, "no polygon", overlap([2]float64{}, 1, square[:2]), 0, 0)
}

// TestDiscAreaAgainstStrips integrates the chord that disc and polygon share, strip by strip.
func TestDiscAreaAgainstStrips(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 2))
	partly := 0
	for i := range 400 {
		var polygon [][2]float64
		sides := 3 + r.IntN(6)
		a, b, turn := 0.2+r.Float64(), 0.2+r.Float64(), r.Float64()
		for k := range sides {
			s, c := math.Sincos(2 * math.Pi * (float64(k) + turn) / float64(sides))
			polygon = append(polygon, [2]float64{a * c, b * s})
		}
		if i%2 == 0 { // the other way round
			for k, l := 0, sides-1; k < l; k, l = k+1, l-1 {
				polygon[k], polygon[l] = polygon[l], polygon[k]
			}
		}
		center := [2]float64{r.NormFloat64(), r.NormFloat64()}
		radius := 0.1 + 1.5*r.Float64()
		const strips = 20000
		want := 0.0
		for k := range strips {
			x := center[0] + radius*(2*(float64(k)+0.5)/strips-1)
			half := math.Sqrt(math.Max(0, radius*radius-(x-center[0])*(x-center[0])))
			lo, hi := math.Inf(1), math.Inf(-1)
			for m, p := range polygon {
				q := polygon[(m+1)%sides]
				if (p[0] < x) != (q[0] < x) {
					y := p[1] + (q[1]-p[1])*(x-p[0])/(q[0]-p[0])
					lo, hi = math.Min(lo, y), math.Max(hi, y)
				}
			}
			want += math.Max(0, math.Min(hi, center[1]+half)-math.Max(lo, center[1]-half)) * 2 * radius / strips
		}
		if want > 0.01 && want < math.Pi*radius*radius-0.01 {
			partly++
		}
		within(t, "overlap", overlap(center, radius, polygon), want, 2e-6*(1+radius*radius))
		if t.Failed() {
			t.Fatalf("case %d: disc %v %v, polygon %v", i, center, radius, polygon)
		}
	}
	if partly < 100 {
		t.Errorf("only %d pairs overlapped in part", partly)
	}
}

// FuzzDiscOverlap holds bounds and symmetry for any rectangle and disc.
func FuzzDiscOverlap(f *testing.F) {
	f.Add(0.0, 0.0, 1.0, 2.0, 3.0, 0.5)
	f.Add(1.0, 1.0, 1.0, 1.0, 1.0, 0.0)
	f.Add(-1e-9, 1e-9, 1e-9, 1e6, 1e-6, 3.0)
	f.Fuzz(func(t *testing.T, x, y, radius, a, b, turn float64) {
		for _, v := range []float64{x, y, radius, a, b, turn} {
			if math.IsNaN(v) || math.Abs(v) > 1e9 {
				return
			}
		}
		a, b = math.Abs(a), math.Abs(b)
		s, c := math.Sincos(turn)
		var polygon, back [][2]float64
		for _, k := range [4][2]float64{{-1, -1}, {1, -1}, {1, 1}, {-1, 1}} {
			polygon = append(polygon, [2]float64{k[0]*a*c - k[1]*b*s, k[0]*a*s + k[1]*b*c})
		}
		for i := range polygon {
			back = append(back, polygon[len(polygon)-1-i])
		}
		got := overlap([2]float64{x, y}, radius, polygon)
		whole := math.Min(4*a*b, math.Pi*radius*radius)
		scale := a*a + b*b + x*x + y*y + radius*radius
		if !(got >= 0) || got > whole+1e-12*scale {
			t.Fatalf("%v of %v", got, whole)
		}
		if other := overlap([2]float64{x, y}, radius, back); math.Abs(got-other) > 1e-12*scale {
			t.Fatalf("%v, the other way round %v", got, other)
		}
	})
}

// TestDiscMoments are figures of school geometry, and those of a polygon and a disc found by strips.
func TestDiscMoments(t *testing.T) {
	square := [][2]float64{{0, 0}, {1, 0}, {1, 1}, {0, 1}}
	m := geom.DiscMoments(1, square) // a quarter of the disc: centroid 4/3π, π/8 about the middle
	within(t, "quarter, area", m.Area, math.Pi/4, 1e-14)
	within(t, "quarter, x", m.X, 1.0/3, 1e-14)
	within(t, "quarter, y", m.Y, 1.0/3, 1e-14)
	within(t, "quarter, polar", m.Polar, math.Pi/8, 1e-14)
	m = geom.DiscMoments(3, square)
	within(t, "square, x", m.X, 0.5, 1e-14)
	within(t, "square, polar", m.Polar, 2.0/3, 1e-14)
	r := rand.New(rand.NewPCG(9, 3))
	for range 60 {
		x, y, a, b, radius := r.NormFloat64(), r.NormFloat64(), r.Float64()+0.1, r.Float64()+0.1, r.Float64()+0.3
		box := [][2]float64{{x, y}, {x, y + b}, {x + a, y + b}, {x + a, y}} // clockwise
		const strips = 20000
		var want geom.Moments
		for k := range strips {
			u := x + a*(float64(k)+0.5)/strips
			h := math.Sqrt(math.Max(0, radius*radius-u*u))
			lo, hi := math.Max(-h, y), math.Min(h, y+b)
			if lo >= hi {
				continue
			}
			w := a / strips
			want.Area += w * (hi - lo)
			want.X += w * (hi - lo) * u
			want.Y += w * (hi*hi - lo*lo) / 2
			want.Polar += w * ((hi-lo)*u*u + (hi*hi*hi-lo*lo*lo)/3)
		}
		got := geom.DiscMoments(radius, box)
		for _, c := range [][2]float64{{got.Area, want.Area}, {got.X, want.X}, {got.Y, want.Y}, {got.Polar, want.Polar}} {
			within(t, "against strips", c[0], c[1], 1e-5)
		}
	}
}
