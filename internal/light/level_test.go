//go:build !race

// Arithmetic in one goroutine, where the race detector finds nothing and takes eight times as long: deploy/tests.sh runs this without it.

package light

import (
	"math"
	"math/rand/v2"
	"testing"

	"kitspan/internal/geom"
)

// TestAgainstTracing holds sky, ground with its shadows, glow, shares in the sun, direct and lamp light of random scenes
// against the model's text walked ray by ray.
func TestAgainstTracing(t *testing.T) {
	scenes, grid := 60, 300
	if testing.Short() {
		scenes = 10
	}
	r := rand.New(rand.NewPCG(20, 26))
	var l Lit
	shaded, sunk, worst := 0, 0, 0.0
	for i := range scenes {
		s := randomScene(r, 1+r.IntN(6))
		placed := i%2 == 0
		if !placed {
			s.Hard = s.Hard[:1]
		}
		p := geom.Vec{X: 0.3 * r.NormFloat64(), Y: 0.3 * r.NormFloat64(), Z: 1 + r.Float64()}
		n := randomUnit(r)
		l.Set(s)
		if l.sunk {
			sunk++
		}
		got, want := l.Face(p, n), traced(s, &l, p, n, grid)
		if placed { // its light on the ground is a sum over patches, told to be within so much
			if off := math.Abs(got.Ground-want.Ground) / (s.SkyLx*s.GroundReflectance + want.Ground); off > 0.02 {
				t.Errorf("ground %.2g off: %v, traced %v", off, got.Ground, want.Ground)
			}
			got.Ground = want.Ground
		}
		ground := got.Ground
		tolerance := 1.5e-3
		if differ(s, got, want) > tolerance {
			// Rays that a panel's edge divides, some hundreds of the grid's 90 000: a finer grid has fewer of them.
			want, tolerance = traced(s, &l, p, n, 5*grid), 3e-4
			if placed {
				want.Ground = ground
			}
		}
		worst = math.Max(worst, differ(s, got, want))
		if d := differ(s, got, want); d > tolerance {
			t.Errorf("%.2g off: %+v, traced %+v", d, got, want)
		}
		want = Level{}
		for h := range s.Hard {
			dir, lx, pass := arrives(s, &s.Hard[h], p, -1)
			want.Direct += lx * pass * math.Max(0, n.Dot(dir))
		}
		for _, lamp := range s.Lamps {
			d := lamp.At.Sub(p)
			off := geom.AngleDeg(d.Scale(-1), lamp.Aim.Sub(lamp.At))
			want.Lamp += lamp.Candela(off) / d.Dot(d) * passes(s, p, d.Unit(), d.Len(), -1) * math.Max(0, n.Dot(d.Unit()))
		}
		near(t, "direct", got.Direct, want.Direct, 1e-9*(1+want.Direct))
		near(t, "lamp", got.Lamp, want.Lamp, 1e-9*(1+want.Lamp))
		for k := range s.Panels {
			for h := range s.Hard {
				want := 0.0
				const side = 120
				q := &l.panels[k]
				for a := range side {
					for b := range side {
						_, _, pass := arrives(s, &s.Hard[h], q.at((float64(a)+0.5)/side, (float64(b)+0.5)/side), k)
						want += pass / side / side
					}
				}
				near(t, "share in the light", l.LitShare(k, h), want, 1e-2)
				if want > 0.01 && want < 0.99 {
					shaded++
				}
			}
		}
		if t.Failed() {
			t.Fatalf("scene %d: face at %v along %v in %+v", i, p, n, s)
		}
	}
	if shaded < scenes/2 || sunk == 0 {
		t.Errorf("only %d shares were in part, %d scenes with panels in the ground", shaded, sunk)
	}
	t.Logf("worst difference %.2g of the full level", worst)
}

// differ is the largest difference of sky, ground and glow, against about what they would be unhindered.
func differ(s *Scene, got, want Level) float64 {
	ground, glow := s.SkyLx*s.GroundReflectance+want.Ground, 0.1*s.SkyLx+want.Glow
	return max(math.Abs(got.Sky-want.Sky)/s.SkyLx, math.Abs(got.Ground-want.Ground)/(1+ground), math.Abs(got.Glow-want.Glow)/glow)
}

// TestExitance walks the sum of a side's light by hand: reflected and let through, of sun, lamp and sky.
func TestExitance(t *testing.T) {
	sun := geom.Toward(180, 30)
	s := &Scene{SkyLx: 8000, Hard: []Hard{{Dir: sun, NormalLx: 60000}}, Panels: []Panel{{
		Corners: board(geom.Vec{Z: 2}, geom.Vec{Y: -1}, 1, 1), // side A looks south, into the sun
		A:       Surface{Diffuse: 0.3, Specular: 0.2}, B: Surface{Diffuse: 0.1, Specular: 0.05},
		Transmittance: 0.4, BeamShare: 0.25,
	}}}
	s.Lamps = []Lamp{{At: geom.Vec{Y: 300, Z: 2}, Aim: geom.Vec{Z: 2}, IntensityCd: 9e7, BeamDeg: 40}} // 1000 lx from the north
	a, b := Light(s).Exitance(0)
	front, back, sky := 60000*math.Cos(math.Pi/6), 1000.0, 4000.0
	near(t, "side A", a, 0.3*front+0.5*sky+0.3*(back+sky), 0.05)
	near(t, "side B", b, 0.1*back+0.15*sky+0.3*(front+sky), 0.05)
}

// TestOverheadExample is the worked end-to-end example of the check values: clear IES daylight with the sun at 45°, a level
// frame of 12 × 12 ft 3 m above the point that passes a quarter, all of it spread. Sun alone, then with the sky.
func TestOverheadExample(t *testing.T) {
	const sun, sky = 67013.75, 80847.64 - 67013.75 // on the level
	up := geom.Vec{Z: 1}
	s := &Scene{Hard: []Hard{{Dir: geom.Toward(70, 45), NormalLx: sun * math.Sqrt2}}, Panels: []Panel{{
		Corners: board(geom.Vec{Z: 3}, up, 12*0.3048, 12*0.3048), Transmittance: 0.25}}}
	l := Light(s)
	got := l.Face(geom.Vec{}, up)
	near(t, "by the frame", got.Glow, 5328.60, 0.01)
	near(t, "EV100", EV100(got.Glow), 11.0576, 5e-5)
	// At 45° the frame's shadow has left the point.
	near(t, "the sun beside it", got.Direct, sun, 0.01)
	s.SkyLx = sky
	l.Set(s)
	got = l.Face(geom.Vec{}, up)
	near(t, "with the sky", got.Glow+got.Sky, 15862.49, 0.01)
	if open := got.Sky; open <= 0.25*sun*0.31805999 {
		t.Errorf("the open sky gives %v, less than the frame", open)
	}
	s.Panels = nil
	l.Set(s)
	near(t, "open", l.Face(geom.Vec{}, up).Total(), 80847.64, 0.01)
	near(t, "open EV100", EV100(l.Face(geom.Vec{}, up).Total()), 14.9810, 5e-5)
}

// TestBounceExample is the worked bounce of the check values: 4 × 4 ft of 0.8, sun at 20° to its normal, 2 m off on axis.
func TestBounceExample(t *testing.T) {
	s := &Scene{Hard: []Hard{{Dir: geom.Toward(20, 0), NormalLx: 94771.7}}, Panels: []Panel{{
		Corners: board(geom.Vec{Z: 5}, geom.Vec{Y: 1}, 4*0.3048, 4*0.3048), A: Surface{Diffuse: 0.8}}}}
	l := Light(s)
	near(t, "bounce", l.Face(geom.Vec{Y: 2, Z: 5}, geom.Vec{Y: -1}).Glow, 7503.05, 0.01)
	near(t, "behind it", l.Face(geom.Vec{Y: -2, Z: 5}, geom.Vec{Y: 1}).Glow, 0, 0)
}

// TestObstructedSquares is the mean view factor of unit squares 1 apart with a centred half-size square between, 0.75 from
// the first: 0.11562061 in NISTIR 6925, recomputed as 0.115620602.
func TestObstructedSquares(t *testing.T) {
	s := &Scene{SkyLx: 2, Panels: []Panel{
		// The sky gives half of its level to an upright side, so that side A's exitance is 1.
		{Corners: board(geom.Vec{Z: 5}, geom.Vec{X: 1}, 1, 1), A: Surface{Diffuse: 1}},
		{Corners: board(geom.Vec{X: 0.75, Z: 5}, geom.Vec{X: 1}, 0.5, 0.5)},
	}}
	l := Light(s)
	const pieces = 24 // the second square in pieces of 4 × 4 Gauss points; a quarter of it stands for all
	sum := 0.0
	for i := range pieces {
		for j := range pieces {
			for _, u := range gauss4 {
				for _, v := range gauss4 {
					p := geom.Vec{X: 1, Y: (float64(i) + u[0]) / pieces / 2, Z: 5 + (float64(j)+v[0])/pieces/2}
					sum += u[1] * v[1] * l.Face(p, geom.Vec{X: -1}).Glow
				}
			}
		}
	}
	near(t, "obstructed squares", sum/pieces/pieces, 0.115620602, 2e-7)
}

// TestWhatStandsBeyond: a board behind a lamp, a source at a place, a mirror or a white panel takes nothing of their light;
// one before them takes all.
func TestWhatStandsBeyond(t *testing.T) {
	p, at := geom.Vec{Z: 1.6}, geom.Vec{Y: 2, Z: 1.6}
	north := geom.Vec{Y: 1}
	sun := geom.Toward(120, 20)
	for what, s := range map[string]*Scene{
		"lamp":   {Lamps: []Lamp{{At: at, Aim: p, IntensityCd: 1000, BeamDeg: 40}}},
		"place":  {Hard: []Hard{{At: &at, IntensityCd: 1000}}},
		"mirror": {Hard: []Hard{{Dir: sun, NormalLx: 1000, RadiusDeg: sunRadius}}, Panels: []Panel{{Corners: mirrorOf(at, p, sun, 1, 1), A: silver}}},
	} {
		want := Light(s).Face(p, north)
		s.Panels = append(s.Panels, Panel{Corners: board(at.Add(north), north, 2, 2)})
		if got := Light(s).Face(p, north); got != want || got.Total() < 100 {
			t.Errorf("%s before a board: %+v, without it %+v", what, got, want)
		}
		s.Panels[len(s.Panels)-1].Corners = board(p.Add(north.Scale(0.5)), north, 2, 2)
		if got := Light(s).Face(p, north); got.Total() != 0 {
			t.Errorf("%s behind a board: %+v", what, got)
		}
	}
}

// TestOnThePanel: a point on a panel does not see it, however the panel is turned.
func TestOnThePanel(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 1))
	for range 500 {
		s := &Scene{SkyLx: 10000, GroundReflectance: 0.3, Panels: []Panel{
			{Corners: board(geom.Vec{X: r.Float64(), Z: 2}, randomUnit(r), 1, 2), A: white, B: white}}}
		n, p := randomUnit(r), Light(s).panels[0].at(r.Float64(), r.Float64())
		got := Light(s).Face(p, n)
		s.Panels = nil
		sameLevel(t, "on the panel", got, Light(s).Face(p, n), 1e-12)
	}
}

// TestTriangle: a panel two of whose corners fall together is a triangle, and hides half of what its square does.
func TestTriangle(t *testing.T) {
	p, up := geom.Vec{}, geom.Vec{Z: 1}
	s := &Scene{SkyLx: 10000, Panels: []Panel{{Corners: board(geom.Vec{Z: 4}, up, 6, 6), A: white, B: white}}}
	open := Light(s).Face(p, up)
	black := Panel{Corners: board(geom.Vec{Z: 1}, up, 1, 1)}
	s.Panels = append(s.Panels, black)
	square := Light(s).Face(p, up)
	s.Panels[1].Corners[2] = s.Panels[1].Corners[1]
	triangle := Light(s).Face(p, up)
	near(t, "glow", open.Glow-triangle.Glow, (open.Glow-square.Glow)/2, 1e-9*open.Glow)
	near(t, "sky", triangle.Sky, open.Sky, 1e-9*open.Sky) // it hides nothing but the white
}

// TestFedPanel: what a fed panel gets from a reflector is the mean of the reflector's glow and beam on faces all over its
// place; nothing else of it changes.
func TestFedPanel(t *testing.T) {
	sun := geom.Toward(200, 35)
	at := geom.Vec{X: 0.2, Y: 3, Z: 1.6}
	fed := Panel{Corners: board(geom.Vec{Y: 1.5, Z: 1.6}, geom.Vec{X: 0.1, Y: -1, Z: 0.05}, 1, 1.2),
		A: Surface{Diffuse: 0.2}, B: Surface{Diffuse: 0.25}, Transmittance: 0.6, BeamShare: 0.2}
	s := &Scene{SkyLx: 9000, GroundReflectance: 0.2, Hard: []Hard{{Dir: sun, NormalLx: 70000, RadiusDeg: 0.2665}}, Panels: []Panel{
		{Corners: mirrorOf(at, geom.Vec{Z: 1.6}, sun, 1.5, 1.5), A: Surface{Diffuse: 0.2, Specular: 0.6, LobeDeg: 8}}, fed}}
	l := Light(s)
	m, _ := l.Exitance(0)
	a0, b0 := l.Exitance(1)
	c := fed.Corners
	n := c[1].Sub(c[0]).Cross(c[3].Sub(c[0])).Unit()
	var got [2]float64
	const across = 80
	for i := range across {
		for j := range across {
			u, v := (float64(i)+0.5)/across, (float64(j)+0.5)/across
			p := c[0].Add(c[1].Sub(c[0]).Scale(u)).Add(c[3].Sub(c[0]).Scale(v))
			for side, n := range []geom.Vec{n, n.Scale(-1)} {
				e := l.Face(p, n) // in its own plane the frame hides nothing, but it shades the reflector
				got[side] += (e.Glow + e.Beam) / across / across
			}
		}
	}
	s.Panels[1].Fed = true
	l.Set(s)
	a1, b1 := l.Exitance(1)
	if got[1] < 10000 || got[0] != 0 {
		t.Errorf("the sides get %v", got)
	}
	near(t, "side A", a1-a0, 0.2*got[0]+0.48*got[1], 0.01*a1)
	near(t, "side B", b1-b0, 0.25*got[1]+0.48*got[0], 0.01*b1)
	after, _ := l.Exitance(0)
	near(t, "the reflector is as before", after, m, 0)
	// A cloth that gives nothing back feeds nothing, bright as it may be; here it hangs beyond, and shades neither.
	s.Panels = append(s.Panels, Panel{Corners: board(geom.Vec{Y: 4, Z: 4}, geom.Vec{Z: 1}, 1, 1), Transmittance: 0.8})
	l.Set(s)
	if _, glow := l.Exitance(2); glow < 1000 {
		t.Errorf("the cloth gives %v", glow)
	}
	a2, b2 := l.Exitance(1)
	near(t, "side A beside a cloth", a2, a1, 1e-6*a1)
	near(t, "side B beside a cloth", b2, b1, 1e-6*b1)
}

// TestCandela: half at half the beam angle by definition; m = 1 for 120°, which is Lambert's cosine.
func TestCandela(t *testing.T) {
	for _, beam := range []float64{0.5, 10, 60, 120, 179} {
		l := Lamp{IntensityCd: 1000, BeamDeg: beam}
		near(t, "axis", l.Candela(0), 1000, 1e-9)
		near(t, "half beam", l.Candela(beam/2), 500, 1e-9)
		near(t, "other side", l.Candela(-beam/2), 500, 1e-9)
		near(t, "90°", l.Candela(90), 0, 0)
		near(t, "behind", l.Candela(135), 0, 0)
	}
	near(t, "Lambert at 35°", Lamp{IntensityCd: 1, BeamDeg: 120}.Candela(35), math.Cos(35*math.Pi/180), 1e-12)
	near(t, "half-space", Lamp{IntensityCd: 7, BeamDeg: 180}.Candela(80), 7, 0)
	near(t, "no beam", Lamp{IntensityCd: 7}.Candela(0.1), 0, 0)
	near(t, "no beam, axis", Lamp{IntensityCd: 7}.Candela(0), 7, 0)
	// 1200 cd at 2 m is 300 lx by the inverse square; at 60° incidence half of that.
	s := &Scene{Lamps: []Lamp{{At: geom.Vec{Z: 3}, Aim: geom.Vec{Z: 1}, IntensityCd: 1200, BeamDeg: 30}}}
	near(t, "inverse square", Light(s).Face(geom.Vec{Z: 1}, geom.Vec{Z: 1}).Lamp, 300, 1e-9)
	near(t, "turned away 60°", Light(s).Face(geom.Vec{Z: 1}, geom.Toward(0, 30)).Lamp, 150, 1e-9)
}

// TestApparentDeg: a sphere of directions has six sides of a cube of 2π/3 each; a small square at 100 has the cone of the
// disc of its area.
func TestApparentDeg(t *testing.T) {
	cube := board(geom.Vec{X: 1}, geom.Vec{X: 1}, 2, 2)
	near(t, "a cube's side", ApparentDeg(geom.Vec{}, cube), 2*math.Acos(1-1.0/3)*180/math.Pi, 1e-10)
	small := board(geom.Vec{X: 100}, geom.Vec{X: 1}, 1, 1)
	near(t, "a small square", ApparentDeg(geom.Vec{}, small), 2*math.Atan(1/math.Sqrt(math.Pi)/100)*180/math.Pi, 1e-5)
	near(t, "from itself", ApparentDeg(geom.Vec{X: 1, Y: 0.3}, cube), 180, 1e-9)
	near(t, "from its plane", ApparentDeg(geom.Vec{X: 1, Y: 9}, cube), 0, 1e-5)
}
