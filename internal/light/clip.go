package light

import (
	"math"

	"kitspan/internal/geom"
)

// cone is a flat convex polygon as seen from a point, corners by their place from it (or direction alone), and all that
// lies behind it.
type cone struct {
	corner [6]geom.Vec
	edge   [6]geom.Vec // inward normals of the planes through the point and the sides
	from   [6]float64  // where these planes lie along them: 0, but for a shadow that starts elsewhere than from the point
	n      int         // how many corners; none: it hides nothing
	sign   float64     // −1 where the corners run counter-clockwise as seen from the point
	pass   float64     // straight transmittance
	own    geom.Vec    // the polygon's plane is own·x = off with off > 0
	off    float64
	// A circular cone about axis that holds it; with cos 0 it is not known.
	axis     geom.Vec
	cos, sin float64
}

// seal works out the sides of corners in place. sign is 1 where they run clockwise as seen from the point.
func (c *cone) seal(sign float64) {
	c.sign, c.cos = sign, 0
	last := c.n - 1
	a := c.corner[last]
	for i := range c.n {
		b := c.corner[i]
		c.edge[last] = a.Cross(b).Scale(sign)
		a, last = b, i
	}
}

// beside reports whether a ball of a radius so far off along way certainly shares no direction with the cone: it lies
// outside one of its sides.
func (c *cone) beside(way geom.Vec, far, radius float64) bool {
	if c.cos > 0 && far > radius {
		sin := radius / far
		if c.axis.Dot(way) < far*(c.cos*math.Sqrt(1-sin*sin)-c.sin*sin)-1e-12 {
			return true
		}
	}
	for _, e := range c.edge[:c.n] {
		if d := e.Dot(way); d < 0 && d*d > radius*radius*e.Dot(e) {
			return true
		}
	}
	return false
}

// apart reports whether two cones certainly share no direction.
func (c *cone) apart(d *cone) bool {
	if c.cos > 0 && d.cos > 0 && c.axis.Dot(d.axis) < c.cos*d.cos-c.sin*d.sin-1e-12 {
		return true
	}
	return c.parts(d) || d.parts(c)
}

// parts reports whether a side of c has all of d outside.
func (c *cone) parts(d *cone) bool {
	for _, e := range c.edge[:c.n] {
		outside := e != geom.Vec{} // two corners in one have no side between them
		for _, v := range d.corner[:d.n] {
			if e.Dot(v) > 0 {
				outside = false
				break
			}
		}
		if outside {
			return true
		}
	}
	return false
}

// holds reports whether a direction lies in the cone.
func (c *cone) holds(d geom.Vec) bool {
	if c.n == 0 {
		return false
	}
	for _, e := range c.edge[:c.n] {
		if e.Dot(d) < 0 {
			return false
		}
	}
	return true
}

// clip is what of a convex polygon lies where n·x ≥ d: the polygon itself, nil, or corners added to buf.
func clip(buf *[]geom.Vec, polygon []geom.Vec, n geom.Vec, d float64) []geom.Vec {
	in, out := false, false
	for _, v := range polygon {
		if n.Dot(v) >= d {
			in = true
		} else {
			out = true
		}
	}
	switch {
	case !out:
		return polygon
	case !in:
		return nil
	}
	mark := len(*buf)
	*buf = geom.Clip(*buf, polygon, n, d)
	return (*buf)[mark:]
}

// seen is the contour vector of a convex polygon through the cones before it: behind each one the share that it stops
// is taken off, and of that what the later ones stop is given back. near means that a cone stops only what lies beyond
// its own plane.
func (g *sight) seen(polygon []geom.Vec, blocks []*cone, near bool) geom.Vec {
	v := geom.Contour(polygon)
	for i, c := range blocks {
		mark := len(g.buf)
		part := polygon
		if near {
			part = clip(&g.buf, part, c.own, c.off)
		}
		for e := 0; e < c.n && len(part) >= 3; e++ {
			part = clip(&g.buf, part, c.edge[e], c.from[e])
		}
		if len(part) >= 3 {
			v = v.Sub(g.seen(part, blocks[i+1:], near).Scale(1 - c.pass))
		}
		g.buf = g.buf[:mark]
	}
	return v
}
