//go:build !race

// Arithmetic in one goroutine, where the race detector finds nothing and takes eight times as long: deploy/tests.sh runs this without it.

package geom_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"kitspan/internal/geom"
)

func randomView(r *rand.Rand) geom.View {
	eye := geom.Vec{X: r.NormFloat64(), Y: -2 - 5*r.Float64(), Z: 0.5 + 2*r.Float64()}
	aim := geom.Vec{X: r.NormFloat64() * 0.2, Z: 3 * r.Float64()}
	return geom.Look(eye, aim, 0.05+r.Float64(), 0.05+0.6*r.Float64())
}

func randomPoint(r *rand.Rand) geom.Vec {
	return geom.Vec{X: r.NormFloat64() * 4, Y: r.NormFloat64() * 6, Z: r.NormFloat64() * 3}
}

// Field of view 2·atan(w/2f) of published formats, checks of a pinhole: 36 × 24 mm at 24, 35, 50, 85 mm; Super 35 full
// aperture and 65 mm 5-perf at 50 mm (formats from memory, angles computed from the definition).
func TestViewWidthIsThatOfThePinhole(t *testing.T) {
	for _, c := range []struct{ sensor, focal, angle float64 }{
		{36, 24, 73.73980}, {36, 35, 54.43222}, {36, 50, 39.59775}, {36, 85, 23.91317},
		{24.89, 50, 27.95382}, {52.48, 50, 55.38098},
	} {
		v := geom.Look(geom.Vec{Y: -5, Z: 1.5}, geom.Vec{Z: 1.5}, c.sensor/c.focal/2, 0.2)
		if got := geom.AngleDeg(v.Ray(-1, 0), v.Ray(1, 0)); math.Abs(got-c.angle) > 1e-4 {
			t.Errorf("%g mm on %g mm: %.5f°, want %.5f°", c.focal, c.sensor, got, c.angle)
		}
	}
	// 36 mm at f 50 and 5 m is 3.6 m wide; behind the subject it widens as (d+g)/d.
	v := geom.Look(geom.Vec{Y: -5, Z: 1.5}, geom.Vec{Z: 1.5}, 36.0/50/2, 0.2)
	for _, g := range []float64{0, 3, 10} {
		half := 1.8 * (5 + g) / 5
		in, out := geom.Vec{X: half - 1e-9, Y: g, Z: 1.5}, geom.Vec{X: half + 0.25, Y: g, Z: 1.5}
		if v.Clearance(in) != 0 || math.Abs(v.Clearance(out)-0.25) > 1e-9 {
			t.Errorf("%g m behind: edge not at %.4f m", g, half)
		}
	}
}

// least samples a function of (s, t) on the unit square.
func least(n int, f func(s, t float64) float64) float64 {
	best := math.Inf(1)
	for i := range n + 1 {
		for k := range n + 1 {
			best = math.Min(best, f(float64(i)/float64(n), float64(k)/float64(n)))
		}
	}
	return best
}

func TestSegmentClearanceIsTheLeastAlongIt(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 1))
	finite := 0
	for i := range 4000 {
		v := randomView(r)
		a, b := randomPoint(r), randomPoint(r)
		got := v.SegmentClearance(a, b)
		want := math.Inf(1)
		for k := range 2001 {
			want = math.Min(want, v.Clearance(a.Add(b.Sub(a).Scale(float64(k)/2000))))
		}
		if math.IsInf(want, 1) {
			continue // sampling may miss a segment that barely comes ahead of the lens
		}
		finite++
		// A sample is at most half a step from the true least place, and the clearance changes by no more than 2.5 m/m.
		step := b.Sub(a).Len() / 4000 * 2.5
		if got > want+1e-9 || got < want-step {
			t.Fatalf("case %d: %.6f, sampled %.6f", i, got, want)
		}
	}
	if finite < 3000 {
		t.Errorf("only %d segments ahead of the lens", finite)
	}
}

func TestPolygonClearanceIsTheLeastOverIt(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 2))
	zero, clear := 0, 0
	for i := range 600 {
		v := randomView(r)
		rect := geom.Rect{Center: randomPoint(r), HalfU: 0.2 + 3*r.Float64(), HalfV: 0.2 + 3*r.Float64()}
		rect.U = geom.Vec{X: r.NormFloat64(), Y: r.NormFloat64(), Z: r.NormFloat64()}.Unit()
		rect.V = rect.U.Cross(geom.Vec{X: r.NormFloat64(), Y: r.NormFloat64(), Z: r.NormFloat64()}).Unit()
		c := rect.Corners()
		got := v.PolygonClearance(c[:])
		want := least(150, func(s, u float64) float64 {
			return v.Clearance(c[0].Add(c[1].Sub(c[0]).Scale(s)).Add(c[3].Sub(c[0]).Scale(u)))
		})
		if math.IsInf(want, 1) {
			continue
		}
		if want == 0 {
			zero++
		} else {
			clear++
		}
		step := (rect.HalfU + rect.HalfV) / 150 * 2.5
		if got > want+1e-9 || got < want-step {
			t.Fatalf("case %d: %.6f, sampled %.6f", i, got, want)
		}
	}
	if zero < 50 || clear < 100 {
		t.Errorf("%d rectangles in view, %d clear: too few of one kind", zero, clear)
	}
}

func TestDiscClearanceIsTheLeastOverIt(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 3))
	for i := range 300 {
		v := randomView(r)
		at, radius := randomPoint(r), 0.2+r.Float64()
		at.Z = 0
		got := v.DiscClearance(at, radius)
		want := least(160, func(s, u float64) float64 {
			q := radius * math.Sqrt(s)
			return v.Clearance(at.Add(geom.Vec{X: q * math.Cos(2*math.Pi*u), Y: q * math.Sin(2*math.Pi*u)}))
		})
		if math.IsInf(want, 1) {
			continue
		}
		// The polygon that stands for the circle lies up to 0.12 % of the radius outside it.
		if got > want+1e-9 || got < want-0.03*radius-0.003*radius {
			t.Fatalf("case %d: %.6f, sampled %.6f", i, got, want)
		}
	}
}

func TestSeesDiscWhenAnyPointOfItIsInThePicture(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 4))
	seen, edge := 0, 0
	for range 20000 {
		v := randomView(r)
		dir := randomPoint(r).Unit()
		const radius = 2.0
		want := false
		side := dir.Cross(geom.Vec{Z: 1}).Unit()
		up := side.Cross(dir)
		for k := 0; k < 720 && !want; k++ {
			s, c := math.Sincos(float64(k) * math.Pi / 360)
			for _, q := range []float64{0, 0.5, 1} {
				d := dir.Add(side.Scale(c).Add(up.Scale(s)).Scale(q * math.Tan(radius*math.Pi/180)))
				x, y, depth := d.Dot(v.Right), d.Dot(v.Up), d.Dot(v.Forward)
				want = want || depth > 0 && math.Abs(x) <= v.TanX*depth && math.Abs(y) <= v.TanY*depth
			}
		}
		got := v.SeesDisc(dir, radius)
		if got == want {
			if got {
				seen++
			}
			continue
		}
		// Sampling may miss a disc that only just touches: then a disc smaller by 0.01° is not seen.
		if !got || v.SeesDisc(dir, radius-0.01) {
			t.Fatalf("sees %v, sampled %v: dir %v view %+v", got, want, dir, v)
		}
		edge++
	}
	if seen < 500 {
		t.Errorf("only %d discs in the picture (%d on its edge)", seen, edge)
	}
}

// A level frame at height h casts its shadow h/tan(elevation) away from the sun, its own size: shadow lengths per unit
// height from the definition 1/tan (5° 11.430052, 10° 5.671282, 30° 1.732051, 45° 1, 60° 0.577350).
func TestInsetPutsTheShadowWhereTheSunDoes(t *testing.T) {
	for el, length := range map[float64]float64{5: 11.430052, 10: 5.671282, 30: 1.732051, 45: 1, 60: 0.577350} {
		for _, bearing := range []float64{0, 77, 180, 303} {
			const h = 3.5
			sun := geom.Toward(bearing, el)
			frame := geom.Rect{Center: geom.Vec{Z: h}, U: geom.Vec{X: 1}, V: geom.Vec{Y: 1}, HalfU: 1.2, HalfV: 0.6}
			away := geom.Toward(bearing+180, 0).Scale(h * length)
			inset, along := frame.Inset(away, sun)
			if math.Abs(inset-0.6) > 2e-5 || math.Abs(along*math.Sin(el*math.Pi/180)-h) > 1e-9 {
				t.Errorf("el %g°: middle of the shadow has inset %.6f, want 0.6", el, inset)
			}
			if inset, _ := frame.Inset(away.Add(geom.Vec{X: 1.2, Y: 0}), sun); math.Abs(inset) > 2e-5 {
				t.Errorf("el %g°: edge of the shadow has inset %.6f, want 0", el, inset)
			}
		}
	}
}

func TestTowardBearingElevationRoundTrip(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 5))
	for range 1000 {
		b, e := 360*r.Float64(), 179*r.Float64()-89.5
		d := geom.Toward(b, e)
		if math.Abs(d.Bearing()-b) > 1e-9 || math.Abs(d.Elevation()-e) > 1e-9 || math.Abs(d.Len()-1) > 1e-12 {
			t.Fatalf("(%g, %g) came back as (%g, %g)", b, e, d.Bearing(), d.Elevation())
		}
	}
}

func TestRectsMeetWhenTheirEdgesPass(t *testing.T) {
	flat := geom.Rect{U: geom.Vec{X: 1}, V: geom.Vec{Y: 1}, HalfU: 1, HalfV: 1}
	upright := geom.Rect{U: geom.Vec{X: 1}, V: geom.Vec{Z: 1}, HalfU: 0.5, HalfV: 0.5}
	for _, c := range []struct {
		at   geom.Vec
		want bool
	}{
		{geom.Vec{}, true}, {geom.Vec{Y: 0.9}, true}, {geom.Vec{Y: 1.1}, false}, {geom.Vec{X: 1.4}, true},
		{geom.Vec{X: 1.6}, false}, {geom.Vec{Z: 0.4}, true}, {geom.Vec{Z: 0.6}, false},
	} {
		upright.Center = c.at
		if got := flat.Meets(upright); got != c.want {
			t.Errorf("upright at %v: meets %v, want %v", c.at, got, c.want)
		}
	}
}

// A sheet that reaches from behind the lens to ahead of it comes nearest to the view at the plane of the lens, where the
// view is a point: its clearance is the distance from the eye to the sheet's line there, however the line is turned.
func TestPolygonClearanceAtThePlaneOfTheLens(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 6))
	for i := range 2000 {
		v := geom.Look(geom.Vec{X: r.NormFloat64(), Y: r.NormFloat64(), Z: 1 + r.Float64()},
			geom.Vec{X: 5 * r.NormFloat64(), Y: 20, Z: 1 + r.Float64()}, 0.3, 0.2)
		up := 0.05 + 0.5*r.Float64() // of the sheet's middle over the eye; it rises ahead faster than the view widens
		slope := v.Forward.Add(v.Up.Scale(0.5 + r.Float64())).Unit()
		rect := geom.Rect{Center: v.Eye.Add(v.Up.Scale(up)), U: v.Right, V: slope, HalfU: 0.2 + r.Float64(), HalfV: 0.5 + r.Float64()}
		c := rect.Corners()
		if got := v.PolygonClearance(c[:]); math.Abs(got-up) > 1e-9 {
			t.Fatalf("case %d: %.6f, want %.6f", i, got, up)
		}
	}
}
