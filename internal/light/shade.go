package light

import "kitspan/internal/geom"

// prism is where a panel takes a hard source's light: the points from which the way to the source goes through it.
type prism struct {
	normal [5]geom.Vec // inside is normal·x ≥ offset; the last is the panel's own plane
	offset [5]float64
	pass   float64
}

// shadeless is the mean over panel k of the straight transmittances on the way to hard source h.
func (l *Lit) shadeless(k, h int) float64 {
	p := &l.panels[k]
	if p.void() {
		return 0
	}
	src := &l.hard[h]
	l.prisms = l.prisms[:0]
	for j := range l.panels {
		q := &l.panels[j]
		if j == k || q.void() || q.pass == 1 {
			continue
		}
		l.prism(p, q, src)
	}
	if len(l.prisms) == 0 {
		return 1
	}
	l.buf = l.buf[:0]
	return clampShare(l.reached(p, p.corner[:], l.prisms) / p.area)
}

// reached is the integral over a convex part of panel p of the transmittances of the prisms.
func (l *Lit) reached(p *panel, polygon []geom.Vec, prisms []prism) float64 {
	area := geom.AreaVec(polygon).Dot(p.normal)
	if !(area > 0) {
		return 0
	}
	for i := range prisms {
		mark := len(l.buf)
		part := polygon
		for e := 0; e < len(prisms[i].normal) && len(part) >= 3; e++ {
			part = clip(&l.buf, part, prisms[i].normal[e], prisms[i].offset[e])
		}
		if len(part) >= 3 {
			area -= (1 - prisms[i].pass) * l.reached(p, part, prisms[i+1:])
		}
		l.buf = l.buf[:mark]
	}
	return area
}

// prism adds the prism of panel q if it may meet panel p.
func (l *Lit) prism(p, q *panel, src *Hard) {
	// Whether q stands to the source's side of any of p, and on which side of q the source is.
	var toward float64
	if src.At == nil {
		toward = q.normal.Dot(src.Dir)
	} else {
		toward = q.normal.Dot(*src.At) - q.offset
	}
	if toward == 0 {
		return
	}
	own := q.normal.Scale(-1)
	if toward < 0 {
		own = q.normal
	}
	offset := own.Dot(q.center)
	behind := false
	for _, c := range p.corner {
		behind = behind || own.Dot(c) > offset
	}
	if !behind {
		return
	}
	r := prism{pass: q.pass}
	r.normal[4], r.offset[4] = own, offset
	if src.At == nil {
		// Apart as seen along the light?
		d := p.center.Sub(q.center)
		along := d.Dot(src.Dir)
		reach := p.radius + q.radius
		if along > reach || d.Dot(d)-along*along > reach*reach {
			return
		}
	}
	for i, c := range q.corner {
		side := q.corner[(i+1)&3].Sub(c)
		var n geom.Vec
		if src.At == nil {
			n = side.Cross(src.Dir)
		} else {
			n = side.Cross(src.At.Sub(c))
		}
		if toward > 0 {
			n = n.Scale(-1)
		}
		r.normal[i], r.offset[i] = n, n.Dot(c)
	}
	l.prisms = append(l.prisms, r)
}

func clampShare(x float64) float64 {
	if !(x > 0) {
		return 0
	}
	return min(x, 1)
}
