package light

import (
	"math"
	"math/rand/v2"

	"kitspan/internal/geom"
)

// board is a rectangle about a centre, side A along normal.
func board(center, normal geom.Vec, width, height float64) [4]geom.Vec {
	e1, e2 := frame(normal.Unit())
	return geom.Rect{Center: center, U: e1, V: e2, HalfU: width / 2, HalfV: height / 2}.Corners()
}

// toward is a board at a bearing and distance from p and a height, side A to p.
func toward(p geom.Vec, bearing, distance, z, width, height float64) [4]geom.Vec {
	c := p.Add(geom.Toward(bearing, 0).Scale(distance))
	c.Z = z
	return board(c, p.Sub(c), width, height)
}

// mirrorOf is a board at c that throws the light of a source in direction s to p.
func mirrorOf(c, p, s geom.Vec, width, height float64) [4]geom.Vec {
	return board(c, p.Sub(c).Unit().Add(s), width, height)
}

func randomUnit(r *rand.Rand) geom.Vec {
	return geom.Vec{X: r.NormFloat64(), Y: r.NormFloat64(), Z: r.NormFloat64()}.Unit()
}

func randomSurface(r *rand.Rand) Surface {
	total := r.Float64()
	diffuse := total * r.Float64()
	return Surface{Diffuse: diffuse, Specular: total - diffuse, LobeDeg: 20 * r.Float64()}
}

// randomScene has panels all about (0, 0, 1.5), some of them through one another, in one scene of four some in the ground; a
// sun, a source at a place and lamps.
func randomScene(r *rand.Rand, panels int) *Scene {
	place := geom.Vec{X: 4 * r.NormFloat64(), Y: 4 * r.NormFloat64(), Z: 1 + 4*r.Float64()}
	s := &Scene{
		SkyLx: 10000, GroundReflectance: r.Float64(),
		Hard: []Hard{
			{Dir: geom.Toward(360*r.Float64(), 5+80*r.Float64()), NormalLx: 50000, RadiusDeg: 0.2665},
			{At: &place, IntensityCd: 200000, RadiusDeg: 1},
		},
	}
	for range r.IntN(3) {
		s.Lamps = append(s.Lamps, Lamp{At: geom.Vec{X: 3 * r.NormFloat64(), Y: 3 * r.NormFloat64(), Z: 4 * r.Float64()},
			Aim: geom.Vec{Z: 1.5}, IntensityCd: 50000, BeamDeg: 10 + 110*r.Float64()})
	}
	sunk := r.IntN(4) == 0
	for len(s.Panels) < panels {
		c := geom.Vec{Z: 1.5}.Add(randomUnit(r).Scale(0.6 + 2*r.Float64()))
		corners := board(c, randomUnit(r), 0.3+2*r.Float64(), 0.3+2*r.Float64())
		low := false
		for _, v := range corners {
			low = low || v.Z < 0
		}
		if low && !sunk {
			continue
		}
		p := Panel{Corners: corners, A: randomSurface(r), B: randomSurface(r)}
		if r.IntN(2) == 0 {
			p.Transmittance = (1 - math.Max(p.A.Diffuse+p.A.Specular, p.B.Diffuse+p.B.Specular)) * r.Float64()
			p.BeamShare = r.Float64()
		}
		s.Panels = append(s.Panels, p)
	}
	return s
}

// through is how far along a ray it crosses a panel, if it does. This and what follows walk the model's text ray by ray
// and share nothing with the clips.
func through(p *Panel, from, dir geom.Vec) (along float64, ok bool) {
	u, v := p.Corners[1].Sub(p.Corners[0]), p.Corners[3].Sub(p.Corners[0])
	n := u.Cross(v)
	along = n.Dot(p.Corners[0].Sub(from)) / n.Dot(dir)
	if !(along > 1e-9) {
		return 0, false
	}
	q := from.Add(dir.Scale(along)).Sub(p.Corners[0])
	a, b := q.Dot(u)/u.Dot(u), q.Dot(v)/v.Dot(v)
	return along, a >= 0 && a <= 1 && b >= 0 && b <= 1
}

// passes is the product of straight transmittances along a ray up to a distance, but for one panel.
func passes(s *Scene, from, dir geom.Vec, distance float64, but int) float64 {
	t := 1.0
	for k := range s.Panels {
		if along, ok := through(&s.Panels[k], from, dir); ok && k != but && along < distance {
			t *= s.Panels[k].Transmittance * s.Panels[k].BeamShare
		}
	}
	return t
}

// arrives is a hard source's direction, lux facing it, and transmittance at a place.
func arrives(s *Scene, h *Hard, at geom.Vec, but int) (dir geom.Vec, lx, t float64) {
	if h.At == nil {
		return h.Dir, h.NormalLx, passes(s, at, h.Dir, math.Inf(1), but)
	}
	d := h.At.Sub(at)
	return d.Unit(), h.IntensityCd / d.Dot(d), passes(s, at, d.Unit(), d.Len(), but)
}

// gives is what a side of a panel gives at a point of it, as l has worked it out: by its cells, or with what lies in the
// shade found by a ray.
func gives(s *Scene, l *Lit, k, side int, at geom.Vec) float64 {
	q := &l.panels[k]
	lx := q.base[side]
	for _, c := range l.castsOf(q) {
		_, _, pass := arrives(s, &s.Hard[0], at, k) // the only distant one
		if c.side == side {
			lx += c.lux * pass * q.side[side].Diffuse
		} else {
			lx += c.lux * pass * q.spread
		}
	}
	for _, c := range l.cellsOf(q) {
		if _, ok := through(&Panel{Corners: c.corner}, at.Add(q.normal), q.normal.Scale(-1)); ok {
			return c.exitance[side]
		}
	}
	return lx
}

// traced is sky, ground and glow on a face by rays in all its directions, cosine-weighted, on a grid; l gives the exitances.
func traced(s *Scene, l *Lit, p, n geom.Vec, grid int) (level Level) {
	e1, e2 := frame(n)
	type crossing struct {
		at   float64
		k    int
		glow float64
	}
	for i := range grid {
		for j := range grid {
			sin2 := (float64(i) + 0.5) / float64(grid)
			sin, cos := math.Sqrt(sin2), math.Sqrt(1-sin2)
			sy, cy := math.Sincos(2 * math.Pi * (float64(j) + 0.5 + 0.618*float64(i)) / float64(grid))
			d := e1.Scale(sin * cy).Add(e2.Scale(sin * sy)).Add(n.Scale(cos))
			var hits []crossing
			for k := range s.Panels {
				if at, ok := through(&s.Panels[k], p, d); ok {
					side := 0
					u, v := s.Panels[k].Corners[1].Sub(s.Panels[k].Corners[0]), s.Panels[k].Corners[3].Sub(s.Panels[k].Corners[0])
					if u.Cross(v).Dot(d) > 0 {
						side = 1 // it goes the way that side A looks: it meets side B
					}
					hits = append(hits, crossing{at, k, gives(s, l, k, side, p.Add(d.Scale(at)))})
				}
			}
			for a := range hits {
				for b := a; b > 0 && hits[b].at < hits[b-1].at; b-- {
					hits[b], hits[b-1] = hits[b-1], hits[b]
				}
			}
			t := 1.0
			for _, h := range hits {
				level.Glow += t * h.glow
				t *= s.Panels[h.k].Transmittance * s.Panels[h.k].BeamShare
			}
			switch {
			case d.Z > 0:
				level.Sky += t * s.SkyLx
			case d.Z < 0:
				far := -p.Z / d.Z
				g := p.Add(d.Scale(far))
				g.Z = 0
				lx := s.SkyLx
				for h := range s.Hard {
					dir, e, t := arrives(s, &s.Hard[h], g, -1)
					lx += e * math.Max(0, dir.Z) * t
				}
				level.Ground += s.GroundReflectance * lx * passes(s, p, d, far, -1)
			}
		}
	}
	rays := float64(grid * grid)
	return Level{Sky: level.Sky / rays, Ground: level.Ground / rays, Glow: level.Glow / rays}
}
