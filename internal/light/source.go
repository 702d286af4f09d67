package light

import (
	"math"
	"slices"

	"kitspan/internal/geom"
)

// source is a hard source as its light is worked out: two are the same where they are equal.
type source struct {
	near      bool
	dir       geom.Vec // toward a distant one
	normalLx  float64
	at        geom.Vec // of a near one
	candela   float64
	radiusDeg float64
}

// setHard takes over the hard sources and the ground that they light.
func setHard(l *Lit, s *Scene) {
	same := l.ground == s.GroundReflectance && len(l.hard) == len(s.Hard)
	l.ground = s.GroundReflectance
	l.hard = grown(l.hard, len(s.Hard))
	for i := range s.Hard {
		h := &s.Hard[i]
		src := source{dir: h.Dir, normalLx: h.NormalLx, radiusDeg: h.RadiusDeg}
		if h.At != nil {
			src = source{near: true, at: *h.At, candela: h.IntensityCd, radiusDeg: h.RadiusDeg}
		}
		same = same && l.hard[i] == src
		l.hard[i] = src
	}
	if !same {
		clear(l.plain)
	}
}

// nearby reports whether some hard source is at a place.
func nearby(l *Lit) bool {
	return slices.ContainsFunc(l.hard, func(h source) bool { return h.near })
}

// toward is the direction of a hard source from p and its lux there, facing it.
func (h *source) toward(p geom.Vec) (dir geom.Vec, lx float64) {
	if !h.near {
		return h.dir, h.normalLx
	}
	d := h.at.Sub(p)
	d2 := d.Dot(d)
	if !(d2 > 0) {
		return geom.Vec{}, 0
	}
	return d.Scale(1 / math.Sqrt(d2)), h.candela / d2
}

func (h *source) distance(p geom.Vec) float64 {
	if !h.near {
		return math.Inf(1)
	}
	return h.at.Sub(p).Len()
}

// flux is the light of a hard source, in lumens, on a part of a panel's plane whose area is known: of a distant one by the
// cosine, of a near one that shines alike all around its intensity times the solid angle of the part.
func (h *source) flux(p *panel, part []geom.Vec, area float64) float64 {
	if !h.near {
		return h.normalLx * math.Abs(p.normal.Dot(h.dir)) * area
	}
	return h.candela * geom.SolidAngle(h.at, part)
}

// side is the side of a panel on which the source is.
func (h *source) side(p *panel) int {
	toward := p.normal.Dot(h.dir)
	if h.near {
		toward = p.normal.Dot(h.at) - p.offset
	}
	if toward < 0 {
		return 1
	}
	return 0
}
