package light

import (
	"math"
	"math/rand/v2"
	"testing"

	"kitspan/internal/geom"
)

const (
	sunDiameter = 0.009304835 // rad at 1 AU: 2 · 959.63″
	sunRadius   = sunDiameter / 2 * 180 / math.Pi
	sunSr       = 6.799962e-5
)

// mirrorScene is a square mirror of side a at the origin's height 50 that throws the sun north; incidence is the angle of
// the sun to its normal.
func mirrorScene(a, incidenceDeg, lobeDeg float64) (s *Scene, l *Lit) {
	sun := geom.Toward(2*incidenceDeg, 0)
	s = &Scene{Hard: []Hard{{Dir: sun, NormalLx: 100000, RadiusDeg: sunRadius}}, Panels: []Panel{{
		Corners: mirrorOf(geom.Vec{Z: 50}, geom.Vec{Y: 1000, Z: 50}, sun, a, a), A: Surface{Specular: 0.9, LobeDeg: lobeDeg}}}}
	return s, Light(s)
}

// beamAt is the beam on a face that looks at the mirror from d away and x beside its axis, against ρ·E_n.
func beamAt(l *Lit, x, d float64) float64 {
	return l.Face(geom.Vec{X: x, Y: d, Z: 50}, geom.Vec{Y: -1}).Beam / 90000
}

// TestMirrorHasNoFalloff: while the mirror looks larger than the sun, up to d* = a/θ (printed for five sizes), its light on
// the axis is that of the sun times ρ; beyond it falls by the inverse square.
func TestMirrorHasNoFalloff(t *testing.T) {
	for a, reach := range map[float64]float64{0.3: 32.2413, 0.6: 64.4826, 1: 107.4710, 1.2: 128.9652, 2.4: 257.9304} {
		_, l := mirrorScene(a, 0, 0)
		for _, share := range []float64{0.01, 0.1, 0.5, 0.9, 0.9999} {
			near(t, "before d*", beamAt(l, 0, share*reach), 1, 1e-9)
		}
		if got := beamAt(l, 0, 1.001*reach); got >= 1 {
			t.Errorf("beyond d* of %v m: %v", a, got)
		}
		far := 2 * reach // all corners look nearer to the axis than the sun's edge
		for _, k := range []float64{1, 1.5, 3} {
			near(t, "beyond d*", beamAt(l, 0, k*far), a*a/(k*far*k*far)/sunSr, 3e-5)
		}
	}
	// 40° incidence at 150 and 300 m.
	_, l := mirrorScene(1, 40, 0)
	near(t, "40° at 150 m", beamAt(l, 0, 150), 0.500685, 2e-5)
	near(t, "40° at 300 m", beamAt(l, 0, 300), 0.125171, 5e-6)
	near(t, "40° near by", beamAt(l, 0, 30), 1, 1e-9)
}

// TestRoundMirror is the table of a mirror 1 m across: on axis, footprint, core, and the mean over the footprint.
func TestRoundMirror(t *testing.T) {
	const sides = 2000
	var disc [][2]float64
	for i := range sides {
		s, c := math.Sincos(2 * math.Pi * float64(i) / sides)
		disc = append(disc, [2]float64{c / 2, s / 2})
	}
	for _, c := range []struct{ d, axis, outer, core, mean float64 }{
		{5, 1, 1.0465, 0.9535, 0.913065}, {20, 1, 1.1861, 0.8139, 0.710820}, {50, 1, 1.4652, 0.5348, 0.465781},
		{150, 0.513331, 2.3957, 0, 0.174231}, {200, 0.288750, 2.8610, 0, 0.122173}, {400, 0.072188, 4.7219, 0, 0.044850},
	} {
		r := c.d * math.Tan(sunDiameter/2)
		share := func(x float64) float64 {
			moved := make([][2]float64, len(disc))
			for i, v := range disc {
				moved[i] = [2]float64{v[0] - x, v[1]}
			}
			return geom.DiscMoments(r, moved).Area / (math.Pi * r * r)
		}
		near(t, "on axis", share(0), c.axis, 1e-5)
		near(t, "outer edge", share(c.outer/2+1e-4), 0, 0)
		if share(c.outer/2-1e-4) <= 0 {
			t.Errorf("at %v m nothing within the outer edge", c.d)
		}
		if c.core > 0 {
			near(t, "core", share(c.core/2-1e-4), 1, 1e-6)
			if share(c.core/2+2e-4) >= 1 {
				t.Errorf("at %v m all of it outside the core", c.d)
			}
		}
		const rings = 2000
		flux := 0.0
		for i := range rings {
			x := c.outer / 2 * (float64(i) + 0.5) / rings
			flux += share(x) * 2 * math.Pi * x * c.outer / 2 / rings
		}
		near(t, "mean", flux/(math.Pi*c.outer*c.outer/4), c.mean, 5e-5)
	}
}

// TestPatchGrows: the patch of a flat mirror is a + θ·d across, its core a − θ·d: both move by 9.3 mrad.
func TestPatchGrows(t *testing.T) {
	const a = 1.2
	_, l := mirrorScene(a, 0, 0)
	for _, d := range []float64{3, 10, 30} {
		edge := func(level float64) float64 { // where the light falls through a level, by halving
			lo, hi := 0.0, 5.0
			for range 60 {
				if mid := (lo + hi) / 2; beamAt(l, mid, d) > level {
					lo = mid
				} else {
					hi = mid
				}
			}
			return 2 * lo
		}
		near(t, "footprint", edge(0), a+0.0093048*d, 1e-5)
		near(t, "core", edge(1-1e-9), a-0.0093048*d, 1e-4)
	}
}

// TestBeamFlux: all that a specular side throws, added up over its patch, is rs · E_n · the area square to the sun.
func TestBeamFlux(t *testing.T) {
	for _, c := range []struct{ incidence, lobe, d float64 }{{0, 0, 20}, {40, 0, 5}, {40, 3, 5}, {25, 10, 8}, {60, 6, 3}} {
		s, l := mirrorScene(1.2, c.incidence, c.lobe)
		half := 0.9 + (c.d+1.2)*math.Tan((c.lobe+sunRadius)*math.Pi/180)
		const steps = 400
		flux := 0.0
		for i := range steps {
			for j := range steps {
				x, z := half*(2*(float64(i)+0.5)/steps-1), half*(2*(float64(j)+0.5)/steps-1)
				flux += l.Face(geom.Vec{X: x, Y: c.d, Z: 50 + z}, geom.Vec{Y: -1}).Beam
			}
		}
		flux *= 4 * half * half / steps / steps
		want := 0.9 * s.Hard[0].NormalLx * 1.44 * math.Cos(c.incidence*math.Pi/180)
		// Off the axis of a tilted mirror its points are nearer on one side and farther on the other.
		near(t, "flux", flux/want, 1, 0.01)
	}
}

// TestBeamComesFromWhereItIsSeen: a face square to the beam has all of it, one along it none, whatever way the mirror hangs.
func TestBeamComesFromWhereItIsSeen(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 4))
	for range 200 {
		sun := geom.Toward(360*r.Float64(), 60*r.Float64())
		p := geom.Vec{X: r.NormFloat64(), Y: r.NormFloat64(), Z: 1.6}
		c := p.Add(randomUnit(r).Scale(1 + 3*r.Float64()))
		if c.Sub(p).Unit().Dot(sun) > 0.9 {
			continue // it would stand in its own light
		}
		s := &Scene{Hard: []Hard{{Dir: sun, NormalLx: 50000, RadiusDeg: sunRadius}},
			Panels: []Panel{{Corners: mirrorOf(c, p, sun, 1, 1.5), A: Surface{Specular: 0.8}}}}
		if math.Abs(p.Sub(c).Unit().Dot(sun)) > 0.95 {
			continue
		}
		l := Light(s)
		to := c.Sub(p).Unit()
		near(t, "facing", l.Face(p, to).Beam, 40000, 1e-3)
		near(t, "at 60°", l.Face(p, to.Scale(0.5).Add(to.Cross(randomUnit(r)).Unit().Scale(math.Sqrt(0.75)))).Beam, 20000, 1e-3)
		near(t, "turned away", l.Face(p, to.Scale(-1)).Beam, 0, 0)
		behind := c.Add(c.Sub(p).Scale(0.5))
		near(t, "behind the mirror", l.Face(behind, to.Scale(-1)).Beam, 0, 0)
		near(t, "behind it, turned away", l.Face(behind, to).Beam, 0, 0)
		// The other side, where it is the silver one.
		s.Panels[0].A, s.Panels[0].B = s.Panels[0].B, s.Panels[0].A
		back := &s.Panels[0].Corners
		back[1], back[3] = back[3], back[1]
		near(t, "side B", Light(s).Face(p, to).Beam, 40000, 1e-3)
	}
}

// TestBeamThroughCloth: a cloth of straight transmittance t in the way takes its share off, as it does in the mirror's own
// light; a board in front of the mirror takes it all.
func TestBeamThroughCloth(t *testing.T) {
	s, _ := mirrorScene(1, 40, 3)
	p, n := geom.Vec{Y: 5, Z: 50}, geom.Vec{Y: -1}
	open := Light(s).Face(p, n).Beam
	cloth := Panel{Corners: board(geom.Vec{Y: 2.5, Z: 50}, geom.Vec{Y: 1}, 1, 1), Transmittance: 0.8, BeamShare: 0.5}
	s.Panels = append(s.Panels, cloth)
	near(t, "between mirror and face", Light(s).Face(p, n).Beam/open, 0.4, 1e-9)
	s.Panels[1].Corners = board(geom.Vec{Z: 50}.Add(s.Hard[0].Dir.Scale(3)), s.Hard[0].Dir, 3, 3)
	l := Light(s)
	near(t, "between sun and mirror", l.Face(p, n).Beam/open, 0.4, 1e-9)
	near(t, "share", l.LitShare(0, 0), 0.4, 1e-9)
	s.Panels[1].Transmittance = 0
	near(t, "a board", Light(s).Face(p, n).Beam, 0, 0)
}

// TestSourceDeg: a mirror lights as the sun's disc, a lobed one as its lobe while that fits in, a white one whole.
func TestSourceDeg(t *testing.T) {
	p := geom.Vec{Y: 5, Z: 50}
	s, l := mirrorScene(1, 30, 0)
	near(t, "flat mirror", l.SourceDeg(p, 0), 2*sunRadius, 1e-9)
	_, l = mirrorScene(1, 30, 3)
	near(t, "lobe", l.SourceDeg(p, 0), 2*(3+sunRadius), 1e-9)
	// A lobe of 30° sees all of it: the rectangle as seen from there, within the 2 % of a flat patch for a solid angle.
	_, l = mirrorScene(1, 30, 30)
	near(t, "all of it", l.SourceDeg(p, 0)/ApparentDeg(p, s.Panels[0].Corners), 1, 0.02)
	// From far off the spot is the mirror, and looks no smaller than the sun.
	near(t, "far off", l.SourceDeg(geom.Vec{Y: 400, Z: 50}, 0), 2*sunRadius, 1e-9)
	s.Panels[0].A = Surface{Diffuse: 0.8}
	l.Set(s)
	near(t, "white", l.SourceDeg(p, 0), ApparentDeg(p, s.Panels[0].Corners), 0)
	s.Panels[0].A = Surface{}
	l.Set(s)
	near(t, "black", l.SourceDeg(p, 0), 0, 0)
}
