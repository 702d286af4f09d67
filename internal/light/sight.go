package light

import (
	"math"

	"kitspan/internal/geom"
)

// sight is a scene from one point: all that gives light there, for whichever way a face looks.
type sight struct {
	have  bool
	at    geom.Vec
	cones []cone // of the panels
	sunk  []cone // of what of them stands above the ground, where some stand in it
	shade []cone // of their shadows on the ground, by source
	cast  []cone // of their shadows on one another
	forms []form
	rays  []ray
	spots []spot
	open  [2]float64 // of the sky and of the ground where nothing stands before it
	// Stacks: what stands before panels and before the sky behind them, and corners.
	before, hiding []*cone
	stops          []prism
	buf            []geom.Vec
	flat           [][2]float64
	lamplit        bool    // near sources light the ground
	below          float64 // exitance of the bare ground under the point
}

// form is a convex polygon that gives light all around or takes some of the sky's or the ground's.
type form struct {
	corner []geom.Vec
	sign   float64
	blocks []*cone
	near   bool       // blocks stop what lies beyond their own planes, not all of their directions
	lux    [3]float64 // of sky, ground and glow, where it fills the view
	panel  int
	whole  geom.Vec // contour vector through the blocks, once it is known
	known  bool
}

// ray is light from one direction.
type ray struct {
	dir geom.Vec
	lux float64 // facing it
	way way
	of  int // the source's or the lamp's place in its list
}

type way int

const (
	direct way = iota
	placed
)

// look works out the point, unless it was the last one. unfedOnly leaves out the fed panels and all but what panels give.
func (g *sight) look(l *Lit, p geom.Vec, unfedOnly bool) {
	if g.have && p == g.at {
		return
	}
	g.have, g.at = true, p
	g.forms, g.rays, g.spots, g.before, g.hiding = g.forms[:0], g.rays[:0], g.spots[:0], g.before[:0], g.hiding[:0]
	g.stops, g.buf = g.stops[:0], g.buf[:0]
	g.cones = grown(g.cones, len(l.panels))
	g.cast = grown(g.cast, len(l.shades))
	for k := range l.panels {
		g.cones[k].n = 0
		if q := &l.panels[k]; !q.void() && (!q.fed || !unfedOnly) {
			g.cones[k].panel(q, p)
		}
	}
	if unfedOnly {
		g.open, g.lamplit = [2]float64{}, false
		g.panels(l, true)
		return
	}
	g.beams(l)
	g.lamplit = l.ground > 0 && p.Z >= 0 && nearby(l)
	g.open = [2]float64{l.sky, g.openGround(l)}
	g.below = exitance(g, l, everySource, geom.Vec{Z: -1})
	g.panels(l, false)
	g.ground(l)
	for h := range l.hard {
		src := &l.hard[h]
		dir, lx := src.toward(p)
		if lx > 0 {
			g.rays = append(g.rays, ray{dir: dir, lux: lx * g.straight(dir, src.distance(p), -1), way: direct, of: h})
		}
	}
	for i := range l.lamps {
		if dir, lx := l.lamps[i].lux(p); lx > 0 {
			g.rays = append(g.rays, ray{dir: dir, lux: lx * g.straight(dir, l.lamps[i].at.Sub(p).Len(), -1), way: placed, of: i})
		}
	}
}

// grown is s with n elements, in its own memory where there is room.
func grown[T any](s []T, n int) []T {
	if cap(s) < n {
		return make([]T, n, 2*n)
	}
	return s[:n]
}

// panel sees a panel from p; in its own plane it is nothing.
func (c *cone) panel(q *panel, p geom.Vec) {
	d := q.offset - q.normal.Dot(p)
	far := 0.0
	for i, v := range q.corner {
		c.corner[i] = v.Sub(p)
		far = math.Max(far, math.Abs(c.corner[i].X)+math.Abs(c.corner[i].Y)+math.Abs(c.corner[i].Z))
	}
	if !(math.Abs(d) > inPlane*far) {
		return
	}
	c.n, c.pass = 4, q.pass
	c.own, c.off = q.normal, d
	if d < 0 {
		c.own, c.off = q.normal.Scale(-1), -d
	}
	c.seal(math.Copysign(1, d))
	c.axis = q.center.Sub(p)
	if d2 := c.axis.Dot(c.axis); d2 > q.radius*q.radius {
		k := 1 / math.Sqrt(d2)
		c.axis, c.sin = c.axis.Scale(k), q.radius*k
		c.cos = math.Sqrt(1 - c.sin*c.sin)
	}
}

// inPlane is the distance from a panel's plane, against that from its corners, below which a point counts as in it.
const inPlane = 1e-12

// side is the side of a panel that the point sees: 0 for A.
func (c *cone) side() int {
	if c.sign > 0 {
		return 1
	}
	return 0
}

// straight is the product of the straight transmittances of the panels, but for one, up to a distance along dir.
func (g *sight) straight(dir geom.Vec, distance float64, but int) float64 {
	t := 1.0
	for j := range g.cones {
		c := &g.cones[j]
		if j != but && c.n > 0 && c.pass != 1 && c.own.Dot(dir)*distance > c.off && c.holds(dir) {
			t *= c.pass
		}
	}
	return t
}

// face is the light on a face that looks along the unit normal n.
func (g *sight) face(l *Lit, n geom.Vec) Level {
	sum := [3]float64{g.open[0] * (1 + n.Z) / 2, g.open[1] * (1 - n.Z) / 2, 0}
	if g.lamplit {
		sum[ofGround] += plainGround(l, g.at, n)
	}
	for i := range g.forms {
		f := &g.forms[i]
		if factor := g.factor(f, n); factor > 0 {
			for w := range sum {
				sum[w] += f.lux[w] * factor
			}
		}
	}
	level := Level{Sky: tidy(sum[0]), Ground: tidy(sum[1]), Glow: tidy(sum[2])}
	for i := range g.rays {
		r := &g.rays[i]
		cos := n.Dot(r.dir)
		if !(cos > 0) {
			continue
		}
		switch r.way {
		case direct:
			level.Direct += r.lux * cos
		case placed:
			level.Lamp += r.lux * cos
		}
	}
	for i := range g.spots {
		level.Beam += g.on(l, &g.spots[i], n)
	}
	return level
}

// factor is the form's view factor through all that stands before it.
func (g *sight) factor(f *form, n geom.Vec) float64 {
	above, below := false, false
	for _, v := range f.corner {
		d := n.Dot(v)
		above, below = above || d > 0, below || d < 0
	}
	switch {
	case !above:
		return 0
	case !below:
		return f.sign * g.all(f).Dot(n)
	}
	mark := len(g.buf)
	factor := f.sign * g.seen(clip(&g.buf, f.corner, n, 0), f.blocks, f.near).Dot(n)
	g.buf = g.buf[:mark]
	return factor
}

// all is the contour vector of all of a form.
func (g *sight) all(f *form) geom.Vec {
	if !f.known {
		f.whole, f.known = g.seen(f.corner, f.blocks, f.near), true
	}
	return f.whole
}

// tidy takes the rounding below nothing for nothing.
func tidy(x float64) float64 {
	if !(x > 0) {
		return 0
	}
	return x
}
