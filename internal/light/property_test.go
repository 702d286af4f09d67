package light

import (
	"math"
	"math/rand/v2"
	"testing"

	"kitspan/internal/geom"
)

// levels is a level as numbers, in the order of its fields.
func levels(l Level) [6]float64 {
	return [6]float64{l.Sky, l.Ground, l.Direct, l.Glow, l.Beam, l.Lamp}
}

// patched is how much the order of panels may change the ground's light under a source at a place, which is a sum over
// patches of shadows less what hides them.
const patched = 3e-3

func sameLevel(t *testing.T, what string, got, want Level, tolerance float64) {
	t.Helper()
	g, w := levels(got), levels(want)
	for i := range g {
		if !(math.Abs(g[i]-w[i]) <= tolerance*(1+want.Total())) {
			t.Errorf("%s: %+v, want %+v", what, got, want)
			return
		}
	}
}

// eachScene runs over random scenes, with fed panels among them, and a point and a face in each.
func eachScene(t *testing.T, seed uint64, count int, f func(s *Scene, p, n geom.Vec, r *rand.Rand)) {
	t.Helper()
	r := rand.New(rand.NewPCG(seed, 77))
	for i := range count {
		s := randomScene(r, r.IntN(7))
		for k := range s.Panels {
			s.Panels[k].Fed = r.IntN(5) == 0
		}
		p := geom.Vec{X: 0.3 * r.NormFloat64(), Y: 0.3 * r.NormFloat64(), Z: 1 + r.Float64()}
		f(s, p, randomUnit(r), r)
		if t.Failed() {
			t.Fatalf("scene %d of seed %d: %+v", i, seed, s)
		}
	}
}

// moved is a scene with every place and direction changed and every intensity at a place times k.
func moved(s *Scene, place, dir func(geom.Vec) geom.Vec, k float64) *Scene {
	m := *s
	m.Hard, m.Panels, m.Lamps = nil, nil, nil
	for _, h := range s.Hard {
		h.Dir = dir(h.Dir)
		if h.At != nil {
			at := place(*h.At)
			h.At = &at
		}
		h.IntensityCd *= k
		m.Hard = append(m.Hard, h)
	}
	for _, p := range s.Panels {
		for i := range p.Corners {
			p.Corners[i] = place(p.Corners[i])
		}
		m.Panels = append(m.Panels, p)
	}
	for _, l := range s.Lamps {
		l.At, l.Aim = place(l.At), place(l.Aim)
		l.IntensityCd *= k
		m.Lamps = append(m.Lamps, l)
	}
	return &m
}

// TestSameEverywhere: a set at another scale, with its lamps' intensities by the square, turned about the vertical, shifted
// over the ground, or mirrored has the same light; so has one whose panels are named in another order.
func TestSameEverywhere(t *testing.T) {
	same := func(v geom.Vec) geom.Vec { return v }
	eachScene(t, 1, 400, func(s *Scene, p, n geom.Vec, r *rand.Rand) {
		want := Light(s).Face(p, n)
		k := math.Exp(2 * r.NormFloat64())
		scale := func(v geom.Vec) geom.Vec { return v.Scale(k) }
		sameLevel(t, "scale", Light(moved(s, scale, same, k*k)).Face(scale(p), n), want, 1e-9)
		sin, cos := math.Sincos(7 * r.Float64())
		turn := func(v geom.Vec) geom.Vec { return geom.Vec{X: cos*v.X - sin*v.Y, Y: sin*v.X + cos*v.Y, Z: v.Z} }
		sameLevel(t, "turn", Light(moved(s, turn, turn, 1)).Face(turn(p), turn(n)), want, 1e-9)
		by := geom.Vec{X: 100 * r.NormFloat64(), Y: 100 * r.NormFloat64()}
		sameLevel(t, "shift", Light(moved(s, by.Add, same, 1)).Face(by.Add(p), n), want, 1e-9)
		flip := func(v geom.Vec) geom.Vec { return geom.Vec{X: -v.X, Y: v.Y, Z: v.Z} }
		mirrored := moved(s, flip, flip, 1)
		for i := range mirrored.Panels {
			c := &mirrored.Panels[i].Corners
			c[1], c[3] = c[3], c[1] // side A is the same side
		}
		sameLevel(t, "mirror", Light(mirrored).Face(flip(p), flip(n)), want, 1e-9)
		r.Shuffle(len(s.Panels), func(i, j int) { s.Panels[i], s.Panels[j] = s.Panels[j], s.Panels[i] })
		sameLevel(t, "order", Light(s).Face(p, n), want, patched)
	})
}

// TestSetKeepsNothing: a Lit that has worked out other scenes says the same as a new one, whichever faces were asked before.
func TestSetKeepsNothing(t *testing.T) {
	var l Lit
	eachScene(t, 2, 300, func(s *Scene, p, n geom.Vec, r *rand.Rand) {
		l.Set(s)
		if r.IntN(2) == 0 {
			l.Face(p, randomUnit(r))
			l.Face(randomUnit(r), n)
		}
		if got, want := l.Face(p, n), Light(s).Face(p, n); got != want {
			t.Errorf("%+v, new %+v", got, want)
		}
	})
}

// TestNoLightFromNothing: no side gives more than its panel gets, and under the sky alone nothing anywhere is brighter than
// an open sky all around.
func TestNoLightFromNothing(t *testing.T) {
	eachScene(t, 3, 1000, func(s *Scene, p, n geom.Vec, r *rand.Rand) {
		l := Light(s)
		for k := range s.Panels {
			q := &l.panels[k]
			got := q.got[0] + q.got[1] + s.SkyLx // both sides together have the whole dome
			a, b := l.Exitance(k)
			if a < 0 || b < 0 || a+b > got*(1+1e-12) {
				t.Errorf("panel %d gets %v and gives %v and %v", k, got, a, b)
			}
			straight, placed := 0.0, false
			for h := range s.Hard {
				placed = placed || s.Hard[h].At != nil
				straight += s.Hard[h].NormalLx * math.Abs(s.Hard[h].Dir.Dot(q.normal)) * l.LitShare(k, h)
				if share := l.LitShare(k, h); share < 0 || share > 1 {
					t.Errorf("panel %d: share %v", k, share)
				}
			}
			if !s.Panels[k].Fed && len(s.Lamps) == 0 && !placed {
				near(t, "hard light", q.got[0]+q.got[1], straight, 1e-9*(1+straight))
			}
		}
		s.Hard, s.Lamps = nil, nil
		for k := range s.Panels {
			s.Panels[k].Fed = false
		}
		l.Set(s)
		if got := l.Face(p, n).Total(); got > s.SkyLx*(1+1e-9) {
			t.Errorf("a face has %v under a sky of %v", got, s.SkyLx)
		}
	})
}

// box is six panels around a point.
func box(center geom.Vec, half float64, p Panel) (panels []Panel) {
	for _, n := range []geom.Vec{{X: 1}, {X: -1}, {Y: 1}, {Y: -1}, {Z: 1}, {Z: -1}} {
		p.Corners = board(center.Add(n.Scale(half)), n, 2*half, 2*half)
		panels = append(panels, p)
	}
	return panels
}

// TestClosedBox: in a black box it is dark; in one of clear film nothing is changed; over snow that gives all back the light
// comes alike from everywhere; and from within a box every face sees walls alone, so that its walls of one exitance
// give just that.
func TestClosedBox(t *testing.T) {
	r := rand.New(rand.NewPCG(6, 6))
	p := geom.Vec{X: 0.1, Y: -0.2, Z: 1.4}
	s := &Scene{SkyLx: 10000, GroundReflectance: 1, Hard: []Hard{{Dir: geom.Toward(30, 50), NormalLx: 80000}},
		Lamps: []Lamp{{At: geom.Vec{X: 4, Z: 1}, Aim: p, IntensityCd: 1000, BeamDeg: 30}}}
	open, dark, film, white := Light(s), *s, *s, *s
	dark.Panels = box(geom.Vec{Z: 1.5}, 0.8, Panel{})
	film.Panels = box(geom.Vec{Z: 1.5}, 0.8, Panel{Transmittance: 1, BeamShare: 1})
	white.Hard, white.Lamps = nil, nil
	white.Panels = box(geom.Vec{Z: 1.5}, 0.8, Panel{Transmittance: 1}) // passes the sky of both sides: all walls are alike
	for i := range white.Panels {
		white.Panels[i].A.Diffuse, white.Panels[i].B.Diffuse = 1, 1 // twice what there is, but alike
	}
	for range 300 {
		n := randomUnit(r)
		sameLevel(t, "dark", Light(&dark).Face(p, n), Level{}, 1e-9)
		sameLevel(t, "film", Light(&film).Face(p, n), open.Face(p, n), 1e-12)
		got := Light(&white).Face(p, n)
		near(t, "white walls", got.Glow, 10000, 1e-7)
		near(t, "behind them", got.Sky+got.Ground, 0, 1e-7)
		level := *s
		level.Hard, level.Lamps = nil, nil
		near(t, "snow", Light(&level).Face(p, n).Total(), 10000, 1e-8)
	}
}

// TestCutInFour: under the sky alone a panel and its four quarters are the same thing.
func TestCutInFour(t *testing.T) {
	eachScene(t, 4, 300, func(s *Scene, p, n geom.Vec, _ *rand.Rand) {
		s.Hard, s.Lamps = nil, nil
		if len(s.Panels) > 3 {
			s.Panels = s.Panels[:3]
		}
		cut := *s
		cut.Panels = nil
		for k := range s.Panels {
			s.Panels[k].Fed = false
			var whole panel
			whole.set(&s.Panels[k])
			for i := range 4 {
				q := s.Panels[k]
				u, v := 0.5*float64(i&1), 0.5*float64(i>>1)
				q.Corners = [4]geom.Vec{whole.at(u, v), whole.at(u+0.5, v), whole.at(u+0.5, v+0.5), whole.at(u, v+0.5)}
				cut.Panels = append(cut.Panels, q)
			}
		}
		sameLevel(t, "quarters", Light(&cut).Face(p, n), Light(s).Face(p, n), 1e-9)
	})
}

// TestShadowsOfALowSun: toward the horizon the ground's share of the sun goes to nothing, its shadows with it.
func TestShadowsOfALowSun(t *testing.T) {
	s := &Scene{SkyLx: 100, GroundReflectance: 0.5, Hard: []Hard{{NormalLx: 10000}},
		Panels: []Panel{{Corners: board(geom.Vec{Y: 1, Z: 1}, geom.Vec{Y: 1, Z: 0.1}, 1, 2)}}}
	for _, elevation := range []float64{10, 1, 0.1, 1e-3, 1e-6, 1e-12, 0, -1e-9, -5} {
		s.Hard[0].Dir = geom.Toward(10, elevation)
		l := Light(s)
		p, n := geom.Vec{X: 0.3, Z: 1.5}, geom.Toward(20, -30)
		got := l.Face(p, n).Ground
		dark := *s
		dark.Hard = nil
		alone := Light(&dark).Face(p, n).Ground
		most := 0.5 * 10000 * math.Max(0, s.Hard[0].Dir.Z)
		if !(got >= alone-1e-9) || got > alone+most {
			t.Errorf("%v°: %v, without sun %v, at most %v more", elevation, got, alone, most)
		}
	}
}

// TestFiniteWhateverComes: on a coarse grid of places and directions points lie on panels, panels on panels, lamps in points,
// sources in planes and on the horizon; corners fall together. All numbers stay finite and none is negative.
func TestFiniteWhateverComes(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 5))
	grid := func() geom.Vec {
		return geom.Vec{X: float64(r.IntN(4) - 1), Y: float64(r.IntN(4) - 1), Z: float64(r.IntN(4) - 1)}
	}
	dir := func() geom.Vec {
		for {
			if d := grid(); d != (geom.Vec{}) {
				return d.Unit()
			}
		}
	}
	sizes := []float64{1e-9, 1e-3, 1, 1e6}
	var l Lit
	for i := range 20000 {
		k := sizes[r.IntN(len(sizes))]
		s := &Scene{SkyLx: 1e4, GroundReflectance: r.Float64()}
		for range r.IntN(3) {
			at := grid().Scale(k)
			s.Hard = append(s.Hard, Hard{Dir: dir(), NormalLx: 1e5, RadiusDeg: 0.3 * float64(r.IntN(3)), IntensityCd: 1e5})
			if r.IntN(2) == 0 {
				s.Hard[len(s.Hard)-1].At = &at
			}
		}
		for range 1 + r.IntN(5) {
			c, u, v := grid(), dir().Scale(float64(r.IntN(3))), dir().Scale(float64(r.IntN(3)))
			p := Panel{A: randomSurface(r), B: randomSurface(r), Fed: r.IntN(3) == 0}
			p.A.LobeDeg = 45 * float64(r.IntN(4))
			p.Transmittance, p.BeamShare = 0.5*float64(r.IntN(3)), 0.5*float64(r.IntN(3))
			p.Corners = [4]geom.Vec{c.Scale(k), c.Add(u).Scale(k), c.Add(u).Add(v).Scale(k), c.Add(v).Scale(k)}
			s.Panels = append(s.Panels, p)
		}
		for range r.IntN(3) {
			s.Lamps = append(s.Lamps, Lamp{At: grid().Scale(k), Aim: grid().Scale(k), IntensityCd: 1e4, BeamDeg: 60 * float64(r.IntN(5)-1)})
		}
		l.Set(s)
		p := grid().Scale(k)
		ok := func(x float64) bool { return x >= 0 && !math.IsInf(x, 0) }
		for range 3 {
			n := dir()
			for _, x := range levels(l.Face(p, n)) {
				if !ok(x) {
					t.Fatalf("case %d: face at %v along %v: %+v in %+v", i, p, n, l.Face(p, n), s)
				}
			}
		}
		for j := range s.Panels {
			a, b := l.Exitance(j)
			size, apparent := l.SourceDeg(p, j), ApparentDeg(p, s.Panels[j].Corners)
			if !ok(a) || !ok(b) || !(size >= 0 && size <= 360) || !(apparent >= 0 && apparent <= 180) {
				t.Fatalf("case %d: panel %d gives %v and %v, looks %v of %v large from %v: %+v", i, j, a, b, size, apparent, p, s)
			}
			for h := range s.Hard {
				if share := l.LitShare(j, h); !(share >= 0 && share <= 1) {
					t.Fatalf("case %d: share %v of panel %d: %+v", i, share, j, s)
				}
			}
		}
	}
}
