package light

import (
	"math"

	"kitspan/internal/geom"
)

// beam is what a specular side throws of one hard source.
//
// The side sends the light that falls on each of its points, E square to the source, into a circular cone about the way
// in which a mirror would send it (image method: the light seems to come from the source's mirror image). The cone's
// half-angle α is that of the lobe and of the source's radius together; over a plane square to the axis its light is even,
// so that in the direction at the angle φ off the axis the luminance is E·ρ / (π·tan²α·cos⁴φ). What leaves the sheet is
// then ρ times what falls on it.
type beam struct {
	panel  int
	normal geom.Vec // of the side
	near   bool
	dir    geom.Vec // from a lit point toward the image of a distant source; with e1 and e2 a right-handed frame
	e1, e2 geom.Vec
	image  geom.Vec // of a near source
	height float64  // of a near source over the panel's plane
	// power is what the side sends on: of a distant source lux facing it, of a near one candela.
	power     float64
	tan       float64 // of α
	cosA, sin float64 // of α
	half      float64 // angular radius of the source in degrees
	// shades are the prisms of the panels that shade part of this one: those from first up to last.
	first, last int
}

const (
	// grazing is the cosine to a panel's normal below which a source throws no beam: less than a millionth of its light
	// falls on the panel.
	grazing = 1e-6
	// narrowestRad is the least half-angle of a beam: two seconds of arc, which no mirror and no source keeps.
	narrowestRad = 1e-5
	// widestDeg is the widest one.
	widestDeg = 89
)

// throw keeps the beam of hard source h from a side of panel k.
func throw(l *Lit, k, h, side int, share float64, first int) {
	p, src := &l.panels[k], &l.hard[h]
	surface := p.side[side]
	if surface.Specular <= 0 || share <= 0 {
		return
	}
	half := math.Max(0, src.radiusDeg)
	alpha := math.Max(narrowestRad, math.Min(math.Max(0, surface.LobeDeg)+half, widestDeg)*math.Pi/180)
	b := beam{panel: k, normal: p.facing(side), half: half, tan: math.Tan(alpha), near: src.near, first: first, last: len(l.shades)}
	b.sin, b.cosA = math.Sincos(alpha)
	if src.near {
		b.height = math.Abs(p.normal.Dot(src.at) - p.offset)
		b.image = src.at.Sub(b.normal.Scale(2 * b.height))
		if b.height < grazing*src.at.Sub(p.center).Len() {
			return
		}
		b.power = surface.Specular * src.candela
	} else {
		cos := b.normal.Dot(src.dir)
		if cos < grazing {
			return
		}
		b.dir = src.dir.Sub(b.normal.Scale(2 * cos))
		b.e1, b.e2 = slope(b.dir, b.normal)
		b.power = surface.Specular * src.normalLx * kept(cos, b.tan)
	}
	l.beams = append(l.beams, b)
}

// kept is the factor that dims a cone that reaches behind its own sheet, so that no more leaves the sheet than falls on it:
// cos over the mean of (cos + y·sin) over the part of the disc |y| ≤ tan α where that is positive, with the cosine of the
// axis to the normal and y along its slope.
func kept(cos, tan float64) float64 {
	slope := math.Sqrt(math.Max(0, 1-cos*cos)) * tan
	if slope <= cos {
		return 1
	}
	// Over the unit disc where cos + slope·y > 0.
	c := cos / slope
	root := math.Sqrt(1 - c*c)
	area := math.Pi - math.Acos(c) + c*root
	moment := root * root * root * 2 / 3
	return math.Min(1, math.Pi*cos/(cos*area+slope*moment))
}

// spot is a beam as seen from a point: the part of a panel that shines on it.
type spot struct {
	beam         int
	axis, e1, e2 geom.Vec // toward the source's image
	image        float64  // how far that is; +Inf for a distant source
	polygon      []geom.Vec
	blocks       []prism // what hides or shades part of it, seen from the point
	// light is the vector whose scalar product with a face's normal is the face's light, where all of the spot is above
	// the face's horizon.
	light geom.Vec
	size  float64 // the area of what shines, at the distance of 1
}

// beams finds what shines on the point of each beam.
func (g *sight) beams(l *Lit) {
	for i := range l.beams {
		b := &l.beams[i]
		c := &g.cones[b.panel]
		if c.n == 0 || !(c.own.Dot(b.normal) < 0) {
			continue
		}
		s := spot{beam: i, axis: b.dir, e1: b.e1, e2: b.e2, image: math.Inf(1), polygon: c.corner[:c.n]}
		if b.near {
			s.axis = b.image.Sub(g.at)
			s.image = s.axis.Len()
			s.axis = s.axis.Scale(1 / s.image)
		}
		if c.clears(s.axis, b) {
			continue
		}
		if b.near {
			s.e1, s.e2 = slope(s.axis, b.normal)
		}
		if s.polygon = g.within(&s, b); len(s.polygon) < 3 {
			continue
		}
		from := len(g.stops)
		g.hide(l, &s, b, c)
		s.blocks = g.stops[from:]
		s.light, s.size = g.shining(&s, b, s.polygon)
		if s.size > 0 {
			g.spots = append(g.spots, s)
		}
	}
}

// clears reports whether a panel's cone certainly has no direction in common with a beam's.
func (c *cone) clears(axis geom.Vec, b *beam) bool {
	return c.cos > 0 && axis.Dot(c.axis) < b.cosA*c.cos-b.sin*c.sin-1e-12
}

// within is the part of a spot's panel that must be looked at: of a near source's the square about the cone; of a distant
// one all of it, unless some lies beside or behind the point, where it has no place in the plane square to the axis.
func (g *sight) within(s *spot, b *beam) []geom.Vec {
	polygon := s.polygon
	if !b.near {
		before := true
		for _, v := range polygon {
			before = before && s.axis.Dot(v) > sidelong*v.Len()
		}
		if before {
			return polygon
		}
	}
	for _, e := range [4]geom.Vec{s.e1, s.e1.Scale(-1), s.e2, s.e2.Scale(-1)} {
		if polygon = clip(&g.buf, polygon, s.axis.Scale(b.tan).Add(e), 0); len(polygon) < 3 {
			return nil
		}
	}
	if b.near {
		polygon = clip(&g.buf, polygon, s.axis.Scale(-1), -s.image*(1-sidelong))
	}
	return polygon
}

// sidelong is the cosine to the axis under which a corner counts as beside the point.
const sidelong = 1e-3

// hide adds what stands in the way of a spot: between the point and the panel, and between the panel and the source.
func (g *sight) hide(l *Lit, s *spot, b *beam, c *cone) {
	for j := range g.cones {
		d := &g.cones[j]
		if j == b.panel || d.n == 0 || d.pass == 1 || d.clears(s.axis, b) || d.apart(c) || !beyond(c, d) {
			continue
		}
		r := prism{pass: d.pass}
		copy(r.normal[:4], d.edge[:4])
		r.normal[4], r.offset[4] = d.own, d.off
		g.stops = append(g.stops, r)
	}
	for i := b.first; i < b.last; i++ {
		r := l.shades[i]
		for e := range r.normal {
			r.offset[e] -= r.normal[e].Dot(g.at)
		}
		g.stops = append(g.stops, r)
	}
}

const (
	// stripShare is the depth of a strip of a panel against its distance from the image of a near source. Over a strip
	// the inverse square and the cone's width are those of its middle: the error is of the order of stripShare²/4 at the
	// ends of a strip, and of a third of that, 0.2 %, over it.
	stripShare = 0.15
	mostStrips = 8
)

// shining is the light that a part of a spot's panel throws on the point, and its size at the distance of 1.
func (g *sight) shining(s *spot, b *beam, polygon []geom.Vec) (lightAt geom.Vec, size float64) {
	disc := math.Pi * b.tan * b.tan
	if !b.near {
		m := g.lens(s, polygon, b.tan, s.blocks)
		k := b.power / disc
		return s.axis.Scale(k * m.Area).Add(s.e1.Scale(k * m.X)).Add(s.e2.Scale(k * m.Y)), math.Max(0, m.Area)
	}
	low, high := math.Inf(1), math.Inf(-1)
	for _, v := range polygon {
		d := s.axis.Dot(v)
		low, high = math.Min(low, d), math.Max(high, d)
	}
	n := math.Ceil((high - low) / (stripShare * (s.image - high)))
	strips := max(1, int(math.Min(n, mostStrips)))
	for i := range strips {
		from, to := low+(high-low)*float64(i)/float64(strips), low+(high-low)*float64(i+1)/float64(strips)
		mark := len(g.buf)
		part := polygon
		if strips > 1 {
			part = clip(&g.buf, part, s.axis, from)
			if len(part) >= 3 {
				part = clip(&g.buf, part, s.axis.Scale(-1), -to)
			}
		}
		if len(part) >= 3 {
			at, more := g.strip(s, b, part, (from+to)/2)
			lightAt, size = lightAt.Add(at), size+more
		}
		g.buf = g.buf[:mark]
	}
	return lightAt, size
}

// strip is what a part of a near source's spot gives whose depth along the axis is d.
//
// A point of the panel at the depth d, the tangent q off the axis as seen from the lit point, is τ·q off it as seen from
// the image, τ = d/(D−d), D being the distance of the image. There the light turns by both angles together, the exterior
// angle of the triangle: it comes while (1+τ)·q / (1−τ·q²) ≤ tan α. Its luminance goes as the inverse square of the
// distance to the source, (D−d)²·(1+τ²q²), and as 1/cos⁴ of the angle of turning. Through the second order in q that
// makes cd/(D−d)² · (1 + (τ² + 4τ)·q²) over the disc; on the axis, with all of the disc filled, cd/D².
func (g *sight) strip(s *spot, b *beam, part []geom.Vec, d float64) (lightAt geom.Vec, size float64) {
	off := s.image - d
	tau := d / off
	radius := 2 * b.tan / (1 + tau + math.Sqrt((1+tau)*(1+tau)+4*tau*b.tan*b.tan))
	m := g.lens(s, part, radius, s.blocks)
	k := b.power / (off * off) * kept(math.Min(1, b.height/off), b.tan) / (math.Pi * b.tan * b.tan)
	along := k * (m.Area + tau*(tau+4)*m.Polar)
	return s.axis.Scale(along).Add(s.e1.Scale(k * m.X)).Add(s.e2.Scale(k * m.Y)), math.Max(0, m.Area)
}

// lens is the moments, in the plane square to a spot's axis at the distance of 1, of what a convex part of its panel and
// the disc of a radius about the axis share, through the blocks: of what is behind each one the share that it stops is
// taken off, and of that what the later ones stop is given back.
func (g *sight) lens(s *spot, part []geom.Vec, radius float64, blocks []prism) geom.Moments {
	mark := len(g.flat)
	for _, v := range part {
		k := 1 / s.axis.Dot(v)
		g.flat = append(g.flat, [2]float64{k * s.e1.Dot(v), k * s.e2.Dot(v)})
	}
	m := geom.DiscMoments(radius, g.flat[mark:])
	g.flat = g.flat[:mark]
	if m.Area == 0 {
		return m
	}
	for i := range blocks {
		b := &blocks[i]
		mark := len(g.buf)
		behind := part
		for e := 0; e < len(b.normal) && len(behind) >= 3; e++ {
			behind = clip(&g.buf, behind, b.normal[e], b.offset[e])
		}
		if len(behind) >= 3 {
			m = m.Less(1-b.pass, g.lens(s, behind, radius, blocks[i+1:]))
		}
		g.buf = g.buf[:mark]
	}
	return m
}

// on is the light of a spot on a face that looks along the unit normal n.
func (g *sight) on(l *Lit, s *spot, n geom.Vec) float64 {
	lx, _ := g.onWith(l, s, n)
	return lx
}

// onWith is the same with the size of what of the spot is above the face's horizon: its area at the distance of 1.
func (g *sight) onWith(l *Lit, s *spot, n geom.Vec) (lx, size float64) {
	b := &l.beams[s.beam]
	cos := n.Dot(s.axis)
	reach := b.tan * math.Sqrt(math.Max(0, 1-cos*cos))
	switch {
	case cos <= -reach:
		return 0, 0
	case cos >= reach:
		return tidy(n.Dot(s.light)), s.size
	}
	mark := len(g.buf)
	above := clip(&g.buf, s.polygon, n, 0)
	if len(above) >= 3 {
		lightAt, area := g.shining(s, b, above)
		lx, size = tidy(n.Dot(lightAt)), area
	}
	g.buf = g.buf[:mark]
	return lx, size
}

// slope is two unit vectors square to the axis and to each other, the depth of a plane with the normal n changing along
// the first alone.
func slope(axis, n geom.Vec) (e1, e2 geom.Vec) {
	e1 = n.Sub(axis.Scale(n.Dot(axis)))
	if e1.Dot(e1) < 1e-12 {
		return frame(axis)
	}
	e1 = e1.Unit()
	return e1, axis.Cross(e1)
}

// frame is two unit vectors square to the unit vector d and to each other.
func frame(d geom.Vec) (e1, e2 geom.Vec) {
	if math.Abs(d.Z) < 0.9 {
		e1 = geom.Vec{X: -d.Y, Y: d.X}.Unit()
	} else {
		e1 = geom.Vec{Y: -d.Z, Z: d.Y}.Unit()
	}
	return e1, d.Cross(e1)
}
