package light

import "kitspan/internal/geom"

// prism is where a panel takes a hard source's light: the points from which the way to the source goes through it.
type prism struct {
	normal [5]geom.Vec // inside is normal·x ≥ offset; the last is the panel's own plane
	offset [5]float64
	pass   float64
}

// shadesOn are the prisms of the panels that may shade some of panel k from a hard source, until it is next called.
func shadesOn(l *Lit, k int, src *source) []prism {
	l.prisms = l.prisms[:0]
	p := &l.panels[k]
	for j := range l.panels {
		q := &l.panels[j]
		if j != k && !q.void() && q.pass != 1 {
			addPrism(l, p, q, src)
		}
	}
	return l.prisms
}

// reached is what of a source's light, in lumens, reaches a convex part of panel p through the prisms; without a source
// the area that it reaches, by the transmittances of what stands before it.
func reached(l *Lit, p *panel, src *source, part []geom.Vec, prisms []prism) float64 {
	area := geom.AreaVec(part).Dot(p.normal)
	if !(area > 0) {
		return 0
	}
	sum := area
	if src != nil {
		sum = src.flux(p, part, area)
	}
	for i := range prisms {
		mark := len(l.buf)
		behind := part
		for e := 0; e < len(prisms[i].normal) && len(behind) >= 3; e++ {
			behind = clip(&l.buf, behind, prisms[i].normal[e], prisms[i].offset[e])
		}
		if len(behind) >= 3 {
			sum -= (1 - prisms[i].pass) * reached(l, p, src, behind, prisms[i+1:])
		}
		l.buf = l.buf[:mark]
	}
	return sum
}

// addPrism adds the prism of panel q if it may meet panel p.
func addPrism(l *Lit, p, q *panel, src *source) {
	// Whether q stands to the source's side of any of p, and on which side of q the source is.
	var toward float64
	if !src.near {
		toward = q.normal.Dot(src.dir)
	} else {
		toward = q.normal.Dot(src.at) - q.offset
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
	if !src.near {
		// Apart as seen along the light?
		d := p.center.Sub(q.center)
		along := d.Dot(src.dir)
		reach := p.radius + q.radius
		if along > reach || d.Dot(d)-along*along > reach*reach {
			return
		}
	}
	for i, c := range q.corner {
		side := q.corner[(i+1)&3].Sub(c)
		var n geom.Vec
		if !src.near {
			n = side.Cross(src.dir)
		} else {
			n = side.Cross(src.at.Sub(c))
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
