package geom_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"kitspan/internal/geom"
)

func within(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: %.10g, want %.10g within %g", what, got, want, tolerance)
	}
}

// level is a rectangle of the plane z between x0..x1, y0..y1.
func level(x0, x1, y0, y1, z float64) []geom.Vec {
	return []geom.Vec{{X: x0, Y: y0, Z: z}, {X: x1, Y: y0, Z: z}, {X: x1, Y: y1, Z: z}, {X: x0, Y: y1, Z: z}}
}

var (
	origin = geom.Vec{}
	up     = geom.Vec{Z: 1}
	east   = geom.Vec{X: 1}
	north  = geom.Vec{Y: 1}
)

// TestFormFactorParallel is configuration B-3 of the catalogues of view factors, a face under one corner of a parallel
// rectangle: the closed form (Tregenza and Sharples, algorithm 3.14), and the digits that the tests of fsetools carry.
func TestFormFactorParallel(t *testing.T) {
	closed := func(a, b, c float64) float64 {
		A, B := a/c, b/c
		ra, rb := math.Sqrt(1+A*A), math.Sqrt(1+B*B)
		return (A/ra*math.Atan(B/ra) + B/rb*math.Atan(A/rb)) / (2 * math.Pi)
	}
	for _, c := range []struct{ a, b, c, want float64 }{
		{1, 1, 1, 0.1385316060}, {1, 2, 1, 0.1673750099}, {2, 2, 1, 0.2077571250}, {0.5, 0.5, 1, 0.0598641176},
		{7, 7, 7, 0.1385316060},
	} {
		within(t, "B-3 closed form", closed(c.a, c.b, c.c), c.want, 5e-11)
		within(t, "B-3", geom.FormFactor(origin, up, level(0, c.a, 0, c.b, c.c)), c.want, 5e-11)
	}
	r := rand.New(rand.NewPCG(1, 1))
	for range 1000 {
		a, b, c := math.Exp(2*r.NormFloat64()), math.Exp(2*r.NormFloat64()), math.Exp(2*r.NormFloat64())
		within(t, "B-3 swept", geom.FormFactor(origin, up, level(0, a, 0, b, c)), closed(a, b, c), 1e-12)
	}
	// Receivers beside the rectangle's 10 × 10 at 10 m (tests of fsetools).
	within(t, "outside at 5, 15", geom.FormFactor(geom.Vec{X: 5, Y: 15}, up, level(0, 10, 0, 10, 10)), 0.0843536644, 5e-11)
	within(t, "outside at 20, 15", geom.FormFactor(geom.Vec{X: 20, Y: 15}, up, level(0, 10, 0, 10, 10)), 0.0195607021, 5e-11)
}

// TestFormFactorPerpendicular is configuration B-4, a face at the foot of a corner that looks along a side: the closed
// form (view_rect2 of a Monte Carlo collection), and the digits that the tests of fsetools carry.
func TestFormFactorPerpendicular(t *testing.T) {
	closed := func(a, b, c float64) float64 {
		x, y := a/b, c/b
		r := math.Sqrt(x*x + y*y)
		return (math.Atan(1/y) - y/r*math.Atan(1/r)) / (2 * math.Pi)
	}
	for _, c := range []struct{ a, b, c, want float64 }{
		{1, 1, 1, 0.0557341970}, {2, 1, 1, 0.0950679412}, {1, 2, 1, 0.0686972989}, {1, 1, 0.5, 0.1242689099},
	} {
		within(t, "B-4 closed form", closed(c.a, c.b, c.c), c.want, 5e-11)
		within(t, "B-4", geom.FormFactor(origin, east, level(0, c.a, 0, c.b, c.c)), c.want, 5e-11)
		// The half behind the face's horizon gives nothing.
		within(t, "B-4 cut", geom.FormFactor(origin, east, level(-3, c.a, 0, c.b, c.c)), c.want, 5e-11)
	}
	square := level(0, 10, 0, 10, 10)
	within(t, "at 2, 0", geom.FormFactor(geom.Vec{X: 2}, north, square), 0.0650581639, 5e-11)
	within(t, "at 5, -10", geom.FormFactor(geom.Vec{X: 5, Y: -10}, north, square), 0.0451743381, 5e-11)
	// The one published digit that is the sum of both faces.
	beside := geom.Vec{Y: 2}
	within(t, "one face at 0, 2", geom.FormFactor(beside, north, square), 0.0426071323, 5e-11)
	within(t, "both faces at 0, 2", geom.FormFactor(beside, north, square)+geom.FormFactor(beside, north.Scale(-1), square),
		0.04656468770, 5e-11)
}

// TestFormFactorOnAxis uses a list of hand calculations (rows that three methods confirm), the overhead squares that
// closed form, polygon formula and quadrature agree on, and the disc's R²/(R² + d²) from memory of the textbooks.
func TestFormFactorOnAxis(t *testing.T) {
	const ft = 0.3048
	for _, c := range []struct{ w, h, d, want float64 }{
		{5.1, 2.1, 0.05, 0.99880509}, {5.1, 2.1, 1, 0.70274325}, {20.02, 1.05, 0.81, 0.54375100}, {20.02, 1.05, 1.8, 0.27930797},
		{21, 1, 3.67, 0.13284537}, {5, 2, 3.8, 0.16752291},
		{4 * ft, 4 * ft, 1, 0.31805999}, {4 * ft, 4 * ft, 2, 0.10531339}, {4 * ft, 4 * ft, 3, 0.04983583},
		{6 * ft, 6 * ft, 1, 0.51004137}, {6 * ft, 6 * ft, 2, 0.20861910}, {6 * ft, 6 * ft, 3, 0.10531339},
		{8 * ft, 8 * ft, 1, 0.64794496}, {8 * ft, 8 * ft, 2, 0.31805999}, {8 * ft, 8 * ft, 3, 0.17261245},
		{12 * ft, 12 * ft, 1, 0.80454513}, {12 * ft, 12 * ft, 2, 0.51004137}, {12 * ft, 12 * ft, 3, 0.31805999},
		{20 * ft, 20 * ft, 1, 0.91926294}, {20 * ft, 20 * ft, 2, 0.74129212}, {20 * ft, 20 * ft, 3, 0.56187917},
		{3, 3, 1, 0.73520258}, {3, 3, 2, 0.41285009}, {3, 3, 3, 0.23945647},
		{2, 1, 1, 0.36073748}, {2, 1, 2, 0.13236523}, {2, 1, 3, 0.06481616},
	} {
		within(t, "on axis", geom.FormFactor(origin, up, level(-c.w/2, c.w/2, -c.h/2, c.h/2, c.d)), c.want, 5.1e-9)
	}
	// How far a point source of the same light is off, for a square of side 1 (computed twice for the check values).
	for _, c := range []struct{ d, percent, digit float64 }{{1, 32.93, 0.005}, {2, 8.30, 0.005}, {3, 3.70, 0.005}, {5, 1.33, 0.005}, {10, 0.333, 0.0005}} {
		f := geom.FormFactor(origin, up, level(-0.5, 0.5, -0.5, 0.5, c.d))
		within(t, "point source error", 100*(1/(math.Pi*c.d*c.d)/f-1), c.percent, c.digit)
	}
	for _, c := range []struct{ r, d, want float64 }{{1, 1, 0.5}, {1, 2, 0.2}, {0.5, 2, 0.0588235}} {
		const sides = 4000 // the polygon's area is 4e-7 of itself under the disc's
		within(t, "disc", geom.FormFactor(origin, up, ngon(sides, c.r, c.d)), c.want, 4e-7)
	}
}

func ngon(sides int, radius, z float64) []geom.Vec {
	p := make([]geom.Vec, sides)
	for i := range p {
		s, c := math.Sincos(2 * math.Pi * float64(i) / float64(sides))
		p[i] = geom.Vec{X: radius * c, Y: radius * s, Z: z}
	}
	return p
}

// TestFormFactorTilted is a square turned 30° about x, looked at with and without the horizon's cut; polygon formula and
// quadrature agree on the values.
func TestFormFactorTilted(t *testing.T) {
	s, c := math.Sincos(math.Pi / 6)
	square := []geom.Vec{{X: -1, Y: -c, Z: 2.5 - s}, {X: 1, Y: -c, Z: 2.5 - s}, {X: 1, Y: c, Z: 2.5 + s}, {X: -1, Y: c, Z: 2.5 + s}}
	for _, test := range []struct {
		n    geom.Vec
		want float64
	}{
		{up, 0.1571210581}, {geom.Vec{Y: 1, Z: 1}.Unit(), 0.1021680319}, {east, 0.0155785317}, {north, 0.0080790249},
		{north.Scale(-1), 0.0207126666}, {up.Scale(-1), 0},
	} {
		within(t, "tilted", geom.FormFactor(origin, test.n, square), test.want, 5.1e-11)
	}
}

// mean averages a function over a rectangle by Gauss-Legendre points on pieces that are halved toward its edges, where
// view factors have their corners.
func mean(u, v geom.Vec, f func(geom.Vec) float64) float64 {
	nodes := [4][2]float64{{0.0694318442029737, 0.1739274225687269}, {0.3300094782075719, 0.3260725774312731},
		{0.6699905217924281, 0.3260725774312731}, {0.9305681557970263, 0.1739274225687269}}
	var x, w []float64
	hi := 0.5
	for k := range 16 {
		lo := hi / 2
		if k == 15 {
			lo = 0
		}
		for _, n := range nodes {
			p := lo + n[0]*(hi-lo)
			x, w = append(x, p, 1-p), append(w, n[1]*(hi-lo), n[1]*(hi-lo))
		}
		hi = lo
	}
	sum := 0.0
	for i := range x {
		for j := range x {
			sum += w[i] * w[j] * f(u.Scale(x[i]).Add(v.Scale(x[j])))
		}
	}
	return sum
}

// TestAveragedFactors are C-11, equal rectangles opposite, and C-14, rectangles at a right angle along an edge: closed forms
// of the catalogue (ffpy, heattransfer.org), unit squares also as quoted from NISTIR 6925.
func TestAveragedFactors(t *testing.T) {
	for _, c := range []struct{ a, b, d, want float64 }{
		{1, 1, 1, 0.1998248957}, {1, 2, 1, 0.28587538}, {2, 2, 1, 0.41525328}, {1, 1, 2, 0.06858959}, {10, 10, 1, 0.82699452},
	} {
		got := mean(geom.Vec{X: c.a}, geom.Vec{Y: c.b}, func(p geom.Vec) float64 {
			return geom.FormFactor(p, up, level(0, c.a, 0, c.b, c.d))
		})
		within(t, "C-11", got, c.want, 1e-7)
	}
	// Emitter width w, receiver height h, common edge l.
	for _, c := range []struct{ w, h, l, want float64 }{
		{1, 1, 1, 0.2000437761}, {1, 2, 1, 0.23285260}, {2, 1, 1, 0.11642630}, {1, 1, 2, 0.24063601}, {0.5, 1, 1, 0.29237336},
	} {
		wall := []geom.Vec{{}, {Y: c.l}, {Y: c.l, Z: c.h}, {Z: c.h}}
		got := mean(geom.Vec{X: c.w}, geom.Vec{Y: c.l}, func(p geom.Vec) float64 { return geom.FormFactor(p, up, wall) })
		within(t, "C-14", got, c.want, 1e-8)
	}
}

// quadrature integrates n·d over the polygon as seen, divided by π: triangles are quartered three times, and
// then where it still moves.
func quadrature(n geom.Vec, a, b, c geom.Vec, tolerance float64, depth int) float64 {
	rule := func(a, b, c geom.Vec) float64 {
		area := b.Sub(a).Cross(c.Sub(a)).Scale(0.5)
		at := func(x, y, z float64) float64 {
			p := a.Scale(x).Add(b.Scale(y)).Add(c.Scale(z))
			r2 := p.Dot(p)
			return math.Max(0, n.Dot(p)) * math.Abs(area.Dot(p)) / (math.Pi * r2 * r2)
		}
		// Radon's seven points of degree 5.
		const p1, q1, w1 = 0.059715871789770, 0.470142064105115, 0.132394152788506
		const p2, q2, w2 = 0.797426985353087, 0.101286507323456, 0.125939180544827
		return 0.225*at(1./3, 1./3, 1./3) + w1*(at(p1, q1, q1)+at(q1, p1, q1)+at(q1, q1, p1)) +
			w2*(at(p2, q2, q2)+at(q2, p2, q2)+at(q2, q2, p2))
	}
	ab, bc, ca := a.Add(b).Scale(0.5), b.Add(c).Scale(0.5), c.Add(a).Scale(0.5)
	fine := rule(a, ab, ca) + rule(ab, b, bc) + rule(ca, bc, c) + rule(ab, bc, ca)
	if depth == 0 || depth < 9 && math.Abs(fine-rule(a, b, c)) < tolerance {
		return fine
	}
	sum := 0.0
	for _, s := range [4][3]geom.Vec{{a, ab, ca}, {ab, b, bc}, {ca, bc, c}, {ab, bc, ca}} {
		sum += quadrature(n, s[0], s[1], s[2], tolerance/2, depth-1)
	}
	return sum
}

// TestFormFactorAgainstQuadrature takes random convex polygons, many of them cut by the face's horizon, against the
// integral itself.
func TestFormFactorAgainstQuadrature(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 6))
	cut := 0
	for i := range 300 {
		e := randomUnit(r)
		f := e.Cross(randomUnit(r)).Unit()
		center := randomUnit(r).Scale(0.6 + 3*r.Float64())
		if math.Abs(center.Dot(e.Cross(f))) < 0.3 {
			continue // so near to the plane the integral itself would take too long
		}
		var polygon []geom.Vec
		sides, turn := 3+r.IntN(6), r.Float64()
		for k := range sides {
			s, c := math.Sincos(2 * math.Pi * (float64(k) + turn) / float64(sides))
			polygon = append(polygon, center.Add(e.Scale(1.3*c)).Add(f.Scale(0.8*s)))
		}
		n := randomUnit(r)
		below := 0
		want := 0.0
		for k, v := range polygon {
			if n.Dot(v) < 0 {
				below++
			}
			if k >= 2 {
				want += quadrature(n, polygon[0], polygon[k-1], v, 1e-9, 13)
			}
		}
		if below > 0 && below < sides {
			cut++
		}
		p := randomUnit(r).Scale(10)
		for k := range polygon {
			polygon[k] = polygon[k].Add(p)
		}
		within(t, "polygon", geom.FormFactor(p, n, polygon), want, 1e-6)
		for a, b := 0, sides-1; a < b; a, b = a+1, b-1 {
			polygon[a], polygon[b] = polygon[b], polygon[a]
		}
		within(t, "other way round", geom.FormFactor(p, n, polygon), want, 1e-6)
		if t.Failed() {
			t.Fatalf("case %d", i)
		}
	}
	if cut < 50 {
		t.Errorf("only %d polygons were cut by the horizon", cut)
	}
}

func randomUnit(r *rand.Rand) geom.Vec {
	return geom.Vec{X: r.NormFloat64(), Y: r.NormFloat64(), Z: r.NormFloat64()}.Unit()
}

func TestFormFactorFromThePlaneIsNothing(t *testing.T) {
	square := level(-1, 1, -1, 1, 2)
	for _, p := range []geom.Vec{{Z: 2}, {X: 0.3, Y: -0.9, Z: 2}, {X: 1, Y: 1, Z: 2}, {X: 1, Z: 2}, {X: 5, Z: 2}} {
		for _, n := range []geom.Vec{up, east, {X: 0.6, Z: -0.8}} {
			if got := geom.FormFactor(p, n, square); got != 0 {
				t.Errorf("from %v along %v: %v", p, n, got)
			}
		}
	}
	// In turned planes a point lies in the plane but for its rounding.
	r := rand.New(rand.NewPCG(3, 3))
	for range 500 {
		polygon := randomFlat(r)
		p := polygon[0].Add(polygon[1]).Add(polygon[2]).Scale(1. / 3)
		if got := geom.FormFactor(p, randomUnit(r), polygon); got != 0 {
			t.Fatalf("from %v in %v: %v", p, polygon, got)
		}
	}
	line := []geom.Vec{{X: 1, Z: 1}, {X: 2, Z: 1}, {X: 3, Z: 1}}
	if got := geom.FormFactor(origin, up, line); got != 0 {
		t.Errorf("a line gives %v", got)
	}
	if got := geom.FormFactor(origin, up, nil); got != 0 {
		t.Errorf("no polygon gives %v", got)
	}
}

// TestSolidAngle uses the cube, whose sides share 4π, the sphere's octant, and the small square far off.
func TestSolidAngle(t *testing.T) {
	within(t, "a cube's side", geom.SolidAngle(origin, level(-1, 1, -1, 1, 1)), 4*math.Pi/6, 1e-14)
	within(t, "an octant", geom.SolidAngle(origin, []geom.Vec{{X: 3}, {Y: 1}, {Z: 2}}), math.Pi/2, 1e-14)
	within(t, "far off", geom.SolidAngle(origin, level(-0.5, 0.5, -0.5, 0.5, 1000))*1e6, 1, 1e-6)
	within(t, "from within", geom.SolidAngle(origin, level(-1, 2, -1, 3, 0)), 2*math.Pi, 1e-12)
	within(t, "from beside", geom.SolidAngle(geom.Vec{X: 9}, level(-1, 2, -1, 3, 0)), 0, 1e-12)
	within(t, "no polygon", geom.SolidAngle(origin, level(0, 1, 0, 1, 1)[:2]), 0, 0)
}

func BenchmarkFormFactor(b *testing.B) {
	square := level(-1, 2, -1, 1, 2)
	b.ReportAllocs()
	for b.Loop() {
		geom.FormFactor(origin, geom.Vec{X: 0.6, Z: 0.8}, square)
	}
}
