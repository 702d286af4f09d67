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
	lows  []cone // of what of them stands above the ground
	shade []cone // of their shadows on the ground, by source
	forms []form
	rays  []ray
	open  [2]float64 // of the sky and of the ground where nothing stands before it
	// blocks and buf are stacks.
	blocks []*cone
	buf    []geom.Vec
}

// form is a convex polygon that gives light all around or takes some of the sky's or the ground's.
type form struct {
	corner [7]geom.Vec
	n      int
	sign   float64
	near   bool // what stands before it does so up to its own plane
	from   int  // blocks before it: from, to
	to     int
	whole  geom.Vec // contour vector through the blocks, once it is known
	known  bool
	lux    [3]float64 // of sky, ground and glow
	panel  int
}

// ray is light from one direction.
type ray struct {
	dir geom.Vec
	lux float64 // facing it
	way way
	// For a beam: its number, and how large the lit spot is at which distance.
	beam      int
	area, far float64
}

type way int

const (
	direct way = iota
	specular
	placed
)

// look works out the point, unless it was the last one. unfedOnly leaves out the fed panels and all but what panels give.
func (g *sight) look(l *Lit, p geom.Vec, unfedOnly bool) {
	if g.have && p == g.at {
		return
	}
	g.have, g.at = true, p
	g.forms, g.rays, g.blocks, g.buf = g.forms[:0], g.rays[:0], g.blocks[:0], g.buf[:0]
	g.cones = grown(g.cones, len(l.panels))
	for k := range l.panels {
		g.cones[k].n = 0
		if q := &l.panels[k]; !q.void() && !(unfedOnly && q.fed) {
			g.cones[k].panel(q, p)
		}
	}
	g.glows(l, unfedOnly)
	g.specular(l)
	if unfedOnly {
		return
	}
	g.skyAndGround(l)
	for h := range l.hard {
		src := &l.hard[h]
		dir, lx := src.toward(p)
		if lx > 0 {
			g.rays = append(g.rays, ray{dir: dir, lux: lx * g.straight(dir, src.distance(p), -1), way: direct})
		}
	}
	for i := range l.lamps {
		if dir, lx := l.lamps[i].lux(p); lx > 0 {
			g.rays = append(g.rays, ray{dir: dir, lux: lx * g.straight(dir, l.lamps[i].at.Sub(p).Len(), -1), way: placed})
		}
	}
}

func (h *Hard) distance(p geom.Vec) float64 {
	if h.At == nil {
		return math.Inf(1)
	}
	return h.At.Sub(p).Len()
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

// glows adds the panels as what gives light, and as what hides the sky.
func (g *sight) glows(l *Lit, reflecting bool) {
	for k := range g.cones {
		c := &g.cones[k]
		if c.n == 0 {
			continue
		}
		f := g.form(c.corner[:4], c.sign)
		if f == nil {
			continue
		}
		f.panel = k
		if m := l.panels[k].exitance[c.side()]; !reflecting || l.panels[k].reflects {
			f.lux[2] = m
		}
		f.near = true
		for j := range g.cones {
			d := &g.cones[j]
			if j == k || d.n == 0 || d.pass == 1 || !beyond(c, d) || d.apart(c) {
				continue
			}
			g.blocks = append(g.blocks, d)
		}
		f.to = len(g.blocks)
	}
}

// beyond says whether any of c lies beyond the plane of d.
func beyond(c, d *cone) bool {
	for _, v := range c.corner[:c.n] {
		if d.own.Dot(v) > d.off {
			return true
		}
	}
	return false
}

// form starts a form, with no blocks before it; nil if nothing is left of the polygon.
func (g *sight) form(polygon []geom.Vec, sign float64) *form {
	if len(polygon) < 3 {
		return nil
	}
	g.forms = append(g.forms, form{sign: sign, from: len(g.blocks), to: len(g.blocks), panel: -1})
	f := &g.forms[len(g.forms)-1]
	f.n = copy(f.corner[:], polygon)
	return f
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

// specular adds the beams that specular sides throw to the point.
func (g *sight) specular(l *Lit) {
	for i := range l.beams {
		b := &l.beams[i]
		c := &g.cones[b.panel]
		if c.n == 0 || !(c.own.Dot(b.normal) < 0) {
			continue
		}
		far := c.off / b.cos
		x, y := b.e1.Dot(g.at), b.e2.Dot(g.at)
		r := far * b.tan
		var corner [4][2]float64
		for i, v := range b.corner {
			corner[i] = [2]float64{v[0] - x, v[1] - y}
		}
		share := 0.0
		area := 0.0
		if r > 0 {
			area = geom.DiscOverlap([2]float64{}, r, corner[:])
			share = clampShare(area / (math.Pi * r * r))
		} else if holdsOrigin(&corner) {
			share = 1
		}
		if share > 0 {
			g.rays = append(g.rays, ray{dir: b.dir, lux: b.lux * share * g.straight(b.dir, far, b.panel), way: specular,
				beam: i, area: area, far: far})
		}
	}
}

// holdsOrigin says whether a convex polygon, either way round, holds the origin.
func holdsOrigin(corner *[4][2]float64) bool {
	pos, neg := false, false
	a := corner[3]
	for _, b := range corner {
		cross := a[0]*b[1] - a[1]*b[0]
		pos, neg = pos || cross > 0, neg || cross < 0
		a = b
	}
	return pos != neg
}

// skyAndGround adds what the panels and their shadows take of the sky's and of the ground's light.
func (g *sight) skyAndGround(l *Lit) {
	up, down := geom.Vec{Z: 1}, geom.Vec{Z: -1}
	g.open = [2]float64{l.sky, 0}
	if l.sky != 0 {
		for k := range g.cones {
			c := &g.cones[k]
			if c.n == 0 || c.pass == 1 {
				continue
			}
			g.hide(g.cones[:k], c, clip(&g.buf, c.corner[:c.n], up, 0), (1-c.pass)*-l.sky, 0)
			g.buf = g.buf[:0]
		}
	}
	if l.ground == 0 || g.at.Z < 0 {
		return
	}
	onGround := l.sky
	for h := range l.hard {
		dir, lx := l.hard[h].toward(g.at)
		onGround += lx * math.Max(0, dir.Z)
	}
	g.open[1] = l.ground * onGround
	if g.at.Z == 0 {
		return // nothing stands between a point and its own ground
	}
	g.lows = grown(g.lows, len(g.cones))
	for k := range g.cones {
		c := &g.lows[k]
		*c = g.cones[k]
		if q := &l.panels[k]; c.n > 0 && (q.lows != 4 || q.low[0] != q.corner[0] || q.low[3] != q.corner[3]) {
			c.n = q.lows
			for i, v := range q.low[:q.lows] {
				c.corner[i] = v.Sub(g.at)
			}
			if c.n < 3 {
				c.n = 0
			} else {
				c.seal(c.sign)
			}
		}
	}
	for k := range g.lows {
		c := &g.lows[k]
		if c.n == 0 || c.pass == 1 {
			continue
		}
		g.hide(g.lows[:k], c, clip(&g.buf, c.corner[:c.n], down, 0), (1-c.pass)*-g.open[1], 1)
		g.buf = g.buf[:0]
	}
	g.shade = grown(g.shade, len(l.hard)*len(l.panels))
	for h := range l.hard {
		dir, lx := l.hard[h].toward(g.at)
		if lx > 0 && dir.Z > 0 {
			g.shadows(l, &l.hard[h], g.shade[h*len(l.panels):][:len(l.panels)], l.ground*lx*dir.Z)
		}
	}
}

// hide adds a form that takes light of the sky or the ground through the cones before it.
func (g *sight) hide(before []cone, c *cone, polygon []geom.Vec, lux float64, of int) {
	f := g.form(polygon, c.sign)
	if f == nil {
		return
	}
	f.lux[of] = lux
	g.behind(before, c)
	f.to = len(g.blocks)
}

func (g *sight) behind(before []cone, c *cone) {
	for j := range before {
		if d := &before[j]; d.n > 0 && d.pass != 1 && !d.apart(c) {
			g.blocks = append(g.blocks, d)
		}
	}
}

// shadows adds the panels' shadows on the ground of one source as what takes of the ground's light. A shadow's corners are
// kept as directions, which has room for those that run to the horizon.
func (g *sight) shadows(l *Lit, src *Hard, shade []cone, lux float64) {
	p := g.at
	for k := range shade {
		c, q := &shade[k], &l.panels[k]
		c.n, c.pass = 0, q.pass
		if q.void() || q.pass == 1 || q.lows < 3 {
			continue
		}
		polygon := q.low[:q.lows]
		if src.At != nil {
			polygon = clip(&g.buf, polygon, geom.Vec{Z: -1}, -src.At.Z)
		}
		if len(polygon) > len(c.corner) {
			continue
		}
		for i, x := range polygon {
			if src.At == nil {
				c.corner[i] = x.Sub(p).Scale(src.Dir.Z).Sub(src.Dir.Scale(x.Z))
				c.corner[i].Z = -p.Z * src.Dir.Z
			} else {
				under := math.Max(0, src.At.Z-x.Z)
				c.corner[i] = src.At.Sub(p).Scale(under).Add(x.Sub(*src.At).Scale(src.At.Z))
				c.corner[i].Z = -p.Z * under
			}
		}
		g.buf = g.buf[:0]
		var turn, mid geom.Vec
		for i := range polygon {
			turn = turn.Add(c.corner[i].Cross(c.corner[(i+1)%len(polygon)]))
			mid = mid.Add(c.corner[i])
		}
		s := turn.Dot(mid)
		if len(polygon) < 3 || s == 0 {
			continue
		}
		c.n = len(polygon)
		c.seal(math.Copysign(1, s))
		f := g.form(c.corner[:c.n], c.sign)
		f.lux[1] = (1 - c.pass) * -lux
		g.behind(shade[:k], c)
		g.behind(g.lows, c)
		f.to = len(g.blocks)
	}
}

// face is the light on a face that looks along the unit normal n.
func (g *sight) face(n geom.Vec) Level {
	sum := [3]float64{g.open[0] * (1 + n.Z) / 2, g.open[1] * (1 - n.Z) / 2, 0}
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
		case specular:
			level.Beam += r.lux * cos
		case placed:
			level.Lamp += r.lux * cos
		}
	}
	return level
}

// factor is the form's view factor through all that stands before it.
func (g *sight) factor(f *form, n geom.Vec) float64 {
	above, below := false, false
	for _, v := range f.corner[:f.n] {
		d := n.Dot(v)
		above, below = above || d > 0, below || d < 0
	}
	switch {
	case !above:
		return 0
	case !below:
		return f.sign * g.all(f).Dot(n)
	}
	g.buf = g.buf[:0]
	part := clip(&g.buf, f.corner[:f.n], n, 0)
	return f.sign * g.seen(part, g.blocks[f.from:f.to], f.near).Dot(n)
}

// all is the contour vector of all of a form.
func (g *sight) all(f *form) geom.Vec {
	if !f.known {
		f.whole, f.known = g.seen(f.corner[:f.n], g.blocks[f.from:f.to], f.near), true
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
