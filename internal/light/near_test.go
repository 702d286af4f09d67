//go:build !race

// Arithmetic in one goroutine, where the race detector finds nothing and takes eight times as long: deploy/tests.sh runs this without it.

package light

import (
	"math"
	"testing"

	"kitspan/internal/geom"
)

// TestBeamHiddenByArea: a board before half of what shines takes half of the beam, be it between the mirror and the face or
// between the source and the mirror; a cloth takes as much of the half as it stops. One that hides the middle alone takes the middle
// alone.
func TestBeamHiddenByArea(t *testing.T) {
	// The lobe's disc lies within the mirror, its middle in the mirror's.
	s, l := mirrorScene(2, 30, 6)
	p, n := geom.Vec{Y: 5, Z: 50}, geom.Vec{Y: -1}
	open := l.Face(p, n).Beam
	near(t, "open", open, 90000, 1e-6*90000)
	add := func(c geom.Vec, facing geom.Vec, w, h float64, pass float64) float64 {
		with := *s
		with.Panels = append(append([]Panel(nil), s.Panels...), Panel{Corners: board(c, facing, w, h), Transmittance: pass, BeamShare: 1})
		return Light(&with).Face(p, n).Beam / open
	}
	up := geom.Vec{Z: 1}
	// Before the upper half, on the first leg and on the second.
	between := geom.Vec{Y: 2.5, Z: 50}
	near(t, "half of the second leg", add(between.Add(up.Scale(2)), n, 4, 4, 0), 0.5, 1e-9)
	near(t, "half by a cloth", add(between.Add(up.Scale(2)), n, 4, 4, 0.4), 0.7, 1e-9)
	near(t, "what ends beside the middle", add(between.Add(up.Scale(2.001)), n, 4, 4, 0), 0.5, 5e-3)
	sun := s.Hard[0].Dir
	toSun := geom.Vec{Z: 50}.Add(sun.Scale(3))
	near(t, "half of the first leg", add(toSun.Add(up.Scale(2)), sun, 4, 4, 0), 0.5, 1e-9)
	near(t, "half of it by a cloth", add(toSun.Add(up.Scale(2)), sun, 4, 4, 0.4), 0.7, 1e-9)
	// A small board in the middle of the way: the share of the disc half-way, of radius 2.5·tan.
	r := 2.5 * math.Tan((6+sunRadius)*math.Pi/180)
	near(t, "the middle alone", add(between, n, 0.1, 0.1, 0), 1-0.01/(math.Pi*r*r), 1e-9)
	near(t, "beside the light", add(between.Add(up.Scale(2+r)), n, 4, 4, 0), 1, 0)
}

// lampBefore is a mirror of side w and height h about (0, 0, 50) that faces north, with a lamp at a place before it.
func lampBefore(w, h, lobe float64, at geom.Vec) *Scene {
	return &Scene{Hard: []Hard{{At: &at, IntensityCd: 9000}}, Panels: []Panel{{
		Corners: board(geom.Vec{Z: 50}, geom.Vec{Y: 1}, w, h), A: Surface{Specular: 0.9, LobeDeg: lobe}}}}
}

// TestMirroredLamp: by the image method a flat mirror gives of a lamp as much as the lamp gave at the distance of the whole way,
// in a patch that grows as its distance from the image (inverse square law; Born and Wolf, Principles of Optics, on plane
// mirrors).
func TestMirroredLamp(t *testing.T) {
	for _, c := range []struct{ a, b float64 }{{1, 1}, {3, 2}, {2, 6}} {
		for _, tilt := range []float64{0, 35, 60} {
			way := geom.Vec{X: math.Sin(tilt * math.Pi / 180), Y: math.Cos(tilt * math.Pi / 180)}
			lamp := geom.Vec{X: -way.X, Y: way.Y}.Scale(c.a).Add(geom.Vec{Z: 50})
			l := Light(lampBefore(0.8, 0.8, 0.05, lamp))
			p := way.Scale(c.b).Add(geom.Vec{Z: 50})
			want := 0.9 * 9000 / (c.a + c.b) / (c.a + c.b)
			near(t, "on the axis", l.Face(p, way.Scale(-1)).Beam, want, 1e-3*want)
			// Upward the patch ends at 0.4 · (a+b)/a.
			edge := 0.4 * (c.a + c.b) / c.a
			in, out := p.Add(geom.Vec{Z: edge - 0.02}), p.Add(geom.Vec{Z: edge + 0.02})
			if got := l.Face(in, way.Scale(-1)).Beam; got < 0.5*want {
				t.Errorf("a %v, b %v, %v°: within the patch %v of %v", c.a, c.b, tilt, got, want)
			}
			near(t, "beside the patch", l.Face(out, way.Scale(-1)).Beam, 0, 0)
		}
	}
}

// TestBeamEnergy: all that a side throws, caught on a sphere far about it, is the specular share of what falls on it: E·cos·A
// of a distant source, I·Ω of a lamp, at whatever angle it comes, and where the lobe reaches behind the board, too.
func TestBeamEnergy(t *testing.T) {
	const far = 300.0
	caught := func(s *Scene) float64 {
		l, sum := Light(s), 0.0
		const rings, spokes = 240, 480
		for i := range rings {
			y := (float64(i) + 0.5) / rings
			for k := range spokes {
				sin, cos := math.Sincos(2 * math.Pi * (float64(k) + 0.5) / spokes)
				out := geom.Vec{X: math.Sqrt(1-y*y) * cos, Y: y, Z: math.Sqrt(1-y*y) * sin}
				sum += l.Face(geom.Vec{Z: 50}.Add(out.Scale(far)), out.Scale(-1)).Beam
			}
		}
		return sum * 2 * math.Pi * far * far / rings / spokes
	}
	for _, c := range []struct{ incidence, lobe float64 }{{20, 15}, {45, 18}, {70, 12}, {80, 18}, {88, 15}} {
		s := &Scene{Hard: []Hard{{Dir: geom.Toward(c.incidence, 0), NormalLx: 1000}}, Panels: []Panel{{
			Corners: board(geom.Vec{Z: 50}, geom.Vec{Y: 1}, 1, 1.5), A: Surface{Specular: 0.8, LobeDeg: c.lobe}}}}
		want := 0.8 * 1000 * 1.5 * math.Cos(c.incidence*math.Pi/180)
		near(t, "of a distant source", caught(s)/want, 1, 0.01)
	}
	for _, c := range []struct {
		at   geom.Vec
		lobe float64
	}{{geom.Vec{Y: 4, Z: 50}, 15}, {geom.Vec{X: 3, Y: 3, Z: 51}, 10}, {geom.Vec{X: 3, Y: 1, Z: 50}, 18}} {
		s := lampBefore(1, 1.5, c.lobe, c.at)
		want := 0.9 * 9000 * geom.SolidAngle(c.at, s.Panels[0].Corners[:])
		near(t, "of a lamp", caught(s)/want, 1, 0.02)
	}
}

// TestSheetUnderLamp: a sheet gets of a lamp that shines alike all around its intensity times the solid angle, wherever the
// lamp hangs, and gives back its share of it; the part before the lamp is the brighter.
func TestSheetUnderLamp(t *testing.T) {
	for _, at := range []geom.Vec{{Z: 51}, {X: 1, Z: 50.6}, {X: 4, Y: 2, Z: 53}} {
		c := board(geom.Vec{Z: 50}, geom.Vec{Z: 1}, 2, 3)
		s := &Scene{Hard: []Hard{{At: &at, IntensityCd: 1000}}, Panels: []Panel{{Corners: c, A: Surface{Diffuse: 0.8}, Transmittance: 0.15}}}
		a, b := Light(s).Exitance(0)
		got := 1000 * geom.SolidAngle(at, c[:]) / 6
		near(t, "given back", a, 0.8*got, 1e-9*a)
		near(t, "let through", b, 0.15*got, 1e-9*b)
	}
	at := geom.Vec{X: 0.6, Z: 50.7}
	l := Light(&Scene{Hard: []Hard{{At: &at, IntensityCd: 1000}}, Panels: []Panel{{
		Corners: board(geom.Vec{Z: 50}, geom.Vec{Z: 1}, 2, 3), Transmittance: 0.5}}})
	under := l.Face(geom.Vec{X: 0.6, Z: 49}, geom.Vec{Z: 1}).Glow
	beside := l.Face(geom.Vec{X: -0.6, Z: 49}, geom.Vec{Z: 1}).Glow
	if under < 1.5*beside {
		t.Errorf("under the lamp %v, beside it %v", under, beside)
	}
}

// TestGroundUnderLamp: a face that looks down from beside a lamp at the height H gets 2/5 of ρ·I/H² off the ground, as the
// integral of 2·H³·r / (H²+r²)^(7/2) is; a face low over the ground half of what falls just below.
func TestGroundUnderLamp(t *testing.T) {
	at := geom.Vec{Z: 3}
	s := &Scene{GroundReflectance: 0.5, Hard: []Hard{{At: &at, IntensityCd: 9000}}}
	l := Light(s)
	near(t, "from beside the lamp", l.Face(geom.Vec{Z: 3 - 1e-9}, geom.Vec{Z: -1}).Ground, 0.4*0.5*1000, 1)
	p := geom.Vec{X: 4, Z: 1e-3}
	below := 0.5 * 9000 * 3 / 125
	near(t, "low over the ground", l.Face(p, geom.Vec{Z: -1}).Ground, below, 0.01*below)
	near(t, "upright there", l.Face(p, geom.Vec{Y: 1}).Ground, below/2, 0.01*below)
	// Beyond the lamp's pool the ground that one looks back at is brighter than that behind.
	q := geom.Vec{X: 8, Z: 1}
	if to, away := l.Face(q, geom.Vec{X: -1}).Ground, l.Face(q, geom.Vec{X: 1}).Ground; to < 3*away {
		t.Errorf("toward the pool %v, away from it %v", to, away)
	}
}
