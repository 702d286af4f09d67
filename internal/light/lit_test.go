package light

import (
	"math"
	"testing"

	"kitspan/internal/geom"
)

// level is an upright or flat rectangle about a centre, side A along normal.
func board(center, normal geom.Vec, width, height float64) [4]geom.Vec {
	e1, e2 := frame(normal.Unit())
	return geom.Rect{Center: center, U: e1, V: e2, HalfU: width / 2, HalfV: height / 2}.Corners()
}

func TestOverheadExample(t *testing.T) {
	s := &Scene{SkyLx: 0, Hard: []Hard{{Dir: geom.Toward(0, 45), NormalLx: 94771.7}}}
	s.Panels = []Panel{{Corners: board(geom.Vec{Z: 3}, geom.Vec{Z: 1}, 12*0.3048, 12*0.3048), Transmittance: 0.25}}
	l := Light(s)
	got := l.Face(geom.Vec{}, geom.Vec{Z: 1})
	near(t, "glow", got.Glow, 5328.60, 0.5)
	near(t, "lit", l.LitShare(0, 0), 1, 1e-12)
	s.SkyLx = 80847.64 - 67013.75
	s.Hard[0].NormalLx = 67013.75 / math.Sqrt(0.5)
	s.Hard[0].Dir = geom.Toward(0, 45)
	got = Light(s).Face(geom.Vec{}, geom.Vec{Z: 1})
	near(t, "glow and sky", got.Glow+got.Sky, 15862.49, 0.5)
	t.Logf("%+v", got)
}

func benchScene(more bool) *Scene {
	s := &Scene{SkyLx: 12000, GroundReflectance: 0.2, Hard: []Hard{{Dir: geom.Toward(180, 40), NormalLx: 90000, RadiusDeg: 0.2665}}}
	p := geom.Vec{Z: 1.6}
	add := func(bearing, distance, z, w, h float64, aim geom.Vec, panel Panel) {
		d := geom.Toward(bearing, 0)
		c := geom.Vec{X: d.X * distance, Y: d.Y * distance, Z: z}
		n := aim.Sub(c).Unit()
		panel.Corners = board(c, n, w, h)
		s.Panels = append(s.Panels, panel)
	}
	white := Surface{Diffuse: 0.8}
	silver := Surface{Diffuse: 0.15, Specular: 0.6, LobeDeg: 6}
	add(180, 0.3, 3.4, 2.4, 2.4, geom.Vec{Y: -0.3}, Panel{A: Surface{Diffuse: 0.4}, B: Surface{Diffuse: 0.4}, Transmittance: 0.4, BeamShare: 0.1})
	add(45, 3, 1.8, 1.2, 1.2, p.Add(geom.Toward(180, 40).Scale(3)), Panel{A: silver, B: white})
	add(315, 2, 1.5, 1.2, 1.8, p, Panel{A: white, B: white})
	if more {
		add(300, 1.2, 1.5, 1, 2, p, Panel{A: Surface{Diffuse: 0.03}, B: Surface{Diffuse: 0.03}})
		add(45, 1.8, 1.7, 1.5, 1.5, p, Panel{Transmittance: 0.5, BeamShare: 0, A: Surface{Diffuse: 0.3}, B: Surface{Diffuse: 0.3}, Fed: true})
		add(90, 3, 1.7, 1.5, 1.5, p, Panel{A: silver, B: white})
		add(170, 2.5, 2.5, 1, 1, p, Panel{Transmittance: 0.5, BeamShare: 1})
		s.Lamps = []Lamp{{At: geom.Vec{X: 3, Y: 3, Z: 2}, Aim: p, IntensityCd: 50000, BeamDeg: 30}}
	}
	return s
}

func benchmarkLevels(b *testing.B, s *Scene) {
	l := Light(s)
	p := geom.Vec{Z: 1.6}
	n := [3]geom.Vec{geom.Toward(45, 0), geom.Toward(315, 0), geom.Toward(180, 45)}
	b.ReportAllocs()
	sum := 0.0
	for b.Loop() {
		l.Set(s)
		for _, n := range n {
			sum += l.Face(p, n).Total()
		}
	}
	if !(sum > 0) {
		b.Fatal(sum)
	}
}

func BenchmarkLevels(b *testing.B) {
	b.Run("3 panels", func(b *testing.B) { benchmarkLevels(b, benchScene(false)) })
	b.Run("7 panels", func(b *testing.B) { benchmarkLevels(b, benchScene(true)) })
}

func TestLook(t *testing.T) {
	for _, more := range []bool{false, true} {
		s := benchScene(more)
		l := Light(s)
		for _, n := range []geom.Vec{geom.Toward(45, 0), geom.Toward(315, 0), geom.Toward(180, 45)} {
			t.Logf("%+v", l.Face(geom.Vec{Z: 1.6}, n))
		}
		for k := range s.Panels {
			a, b := l.Exitance(k)
			t.Log(k, l.LitShare(k, 0), a, b, l.SourceDeg(geom.Vec{Z: 1.6}, k))
		}
	}
}
