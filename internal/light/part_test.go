package light

import (
	"math"
	"math/rand/v2"
	"testing"

	"kitspan/internal/geom"
)

// TestPartsAddUpToTheLevel: what panels, hard sources and lamps give one by one is the face's glow, beams, direct light and lamps.
func TestPartsAddUpToTheLevel(t *testing.T) {
	for seed := range uint64(40) {
		s := randomScene(rand.New(rand.NewPCG(seed, 7)), 5)
		l := Light(s)
		for _, n := range []geom.Vec{{Y: 1}, {X: 1}, {X: -0.6, Z: 0.8}, {Z: -1}} {
			p := geom.Vec{X: 0.1, Y: -0.2, Z: 1.4}
			want := l.Face(p, n)
			var got Part
			for k := range s.Panels {
				got = got.And(l.FromPanel(p, n, k))
			}
			alike(t, seed, "glow and beams", got.Lx, want.Glow+want.Beam)
			got = Part{}
			for h := range s.Hard {
				got = got.And(l.FromHard(p, n, h))
			}
			alike(t, seed, "hard sources", got.Lx, want.Direct)
			got = Part{}
			for i := range s.Lamps {
				got = got.And(l.FromLamp(p, n, i))
			}
			alike(t, seed, "lamps", got.Lx, want.Lamp)
		}
	}
}

func alike(t *testing.T, seed uint64, what string, got, want float64) {
	t.Helper()
	if math.Abs(got-want) > 1e-9*(1+want) {
		t.Errorf("seed %d: %s one by one %.6f lx, together %.6f", seed, what, got, want)
	}
}

// TestPartLooksAsLargeAsItIs compares sizes with what can be computed by hand.
func TestPartLooksAsLargeAsItIs(t *testing.T) {
	face, north := geom.Vec{Z: 1.5}, geom.Vec{Y: 1}
	// A square of half-side 1 at the distance of 1 fills a sixth of all around (a side of a cube from its middle): a cone of
	// 4·asin √(1/6).
	white := Panel{Corners: [4]geom.Vec{{X: 1, Y: 1, Z: 0.5}, {X: -1, Y: 1, Z: 0.5}, {X: -1, Y: 1, Z: 2.5}, {X: 1, Y: 1, Z: 2.5}}, A: Surface{Diffuse: 0.8}, B: Surface{Diffuse: 0.8}}
	sun := Hard{Dir: geom.Toward(180, 40), NormalLx: 80000, RadiusDeg: 0.2666}
	cube := 4 * math.Asin(math.Sqrt(1.0/6)) * 180 / math.Pi
	l := Light(&Scene{SkyLx: 10000, Hard: []Hard{sun}, Panels: []Panel{white}})
	if got := l.FromPanel(face, north, 0).Deg(); math.Abs(got-cube) > 1e-9 {
		t.Errorf("a side of a cube from its middle looks %.4f° large, by hand %.4f°", got, cube)
	}
	// Half of it is above the horizon of a face that looks along it.
	if got, half := l.FromPanel(face, geom.Vec{X: 1}, 0).Sr, 4*math.Pi/12; math.Abs(got-half) > 1e-9 {
		t.Errorf("the half above the horizon has %.4f sr, by hand %.4f", got, half)
	}
	if got := l.FromHard(face, geom.Vec{Y: -1}, 0).Deg(); math.Abs(got-2*0.2666) > 1e-9 {
		t.Errorf("the sun looks %.4f° large, its disc is %.4f°", got, 2*0.2666)
	}
	// A mirror of a lobe far narrower than itself shows a lit spot of the lobe and the source: 2·(3° + 0.2666°).
	mirror := white
	mirror.A = Surface{Specular: 0.9, LobeDeg: 3}
	mirror.B = mirror.A
	sun.Dir = geom.Toward(180, 0)
	l = Light(&Scene{Hard: []Hard{sun}, Panels: []Panel{mirror}})
	if got := l.FromPanel(face, north, 0).Deg(); math.Abs(got-2*3.2666) > 1e-6 {
		t.Errorf("the spot looks %.4f° large, by hand %.4f°", got, 2*3.2666)
	}
}
