package light

import (
	"math"

	"kitspan/internal/geom"
)

// Of what a form gives or takes.
const (
	ofSky = iota
	ofGround
	ofGlow
)

// openGround is the exitance of the ground where nothing stands before it, under an open sky and the distant sources.
func (g *sight) openGround(l *Lit) float64 {
	if l.ground == 0 || g.at.Z < 0 {
		return 0
	}
	lux := l.sky
	for h := range l.hard {
		if src := &l.hard[h]; !src.near {
			lux += src.normalLx * math.Max(0, src.dir.Z)
		}
	}
	return l.ground * lux
}

// panels adds the panels as what glows and as what hides the sky and the ground. Where nothing stands before a panel one
// form does for both.
func (g *sight) panels(l *Lit, reflecting bool) {
	for k := range g.cones {
		c := &g.cones[k]
		if c.n == 0 {
			continue
		}
		var glow float64
		var casts []cast
		var cells []cell
		switch {
		case !reflecting:
			glow, casts, cells = l.panels[k].base[c.side()], l.castsOf(&l.panels[k]), l.cellsOf(&l.panels[k])
		case l.panels[k].reflects: // with shadows by the mean, as what is fed gets it from all over
			glow, cells = l.panels[k].exitance[c.side()], l.cellsOf(&l.panels[k])
		}
		hides := 1 - c.pass
		if glow == 0 && hides == 0 && len(casts) == 0 {
			continue
		}
		near, far := len(g.before), len(g.hiding)
		for j := range g.cones {
			d := &g.cones[j]
			if j == k || d.n == 0 || d.pass == 1 || d.apart(c) {
				continue
			}
			if beyond(c, d) {
				g.before = append(g.before, d)
			}
			if j < k {
				g.hiding = append(g.hiding, d)
			}
		}
		corner := c.corner[:c.n]
		before, hiding := g.before[near:], g.hiding[far:]
		var lux [2]float64
		if hides != 0 {
			lux[ofSky] = -hides * g.open[ofSky]
			switch {
			case g.at.Z <= 0 || l.sunk: // nothing stands between a point and its own ground; for sunk ones see ground
			case g.lamplit:
				if part := clip(&g.buf, corner, geom.Vec{Z: -1}, 0); len(part) >= 3 {
					darken(g, l, everySource, hides, form{corner: part, sign: c.sign, blocks: hiding, panel: k}, mostHalvings)
				}
			default:
				lux[ofGround] = -hides * g.open[ofGround]
			}
		}
		for i := range casts {
			g.inShadow(l, &casts[i], c, k, before)
		}
		if glow != 0 && cells != nil {
			g.glowing(cells, c, k, before)
			glow = 0
		}
		if glow != 0 && (len(before) > 0 || len(hiding) > 0 || lux == [2]float64{}) {
			g.forms = append(g.forms, form{corner: corner, sign: c.sign, blocks: before, near: true, panel: k,
				lux: [3]float64{ofGlow: glow}})
			glow = 0
		}
		for of, lx := range lux {
			if lx == 0 && glow == 0 {
				continue
			}
			part := clip(&g.buf, corner, geom.Vec{Z: float64(1 - 2*of)}, 0)
			if len(part) < 3 {
				continue
			}
			f := form{corner: part, sign: c.sign, blocks: hiding, panel: k}
			f.lux[of], f.lux[ofGlow] = lx, glow
			g.forms = append(g.forms, f)
		}
	}
}

// inShadow adds what a panel gives of a source whose light a part of it gets, that part being in no shadow.
func (g *sight) inShadow(l *Lit, by *cast, c *cone, panel int, before []*cone) {
	q := &l.panels[panel]
	lux := by.lux * q.spread
	if c.side() == by.side {
		lux = by.lux * q.side[by.side].Diffuse
	}
	if lux == 0 {
		return
	}
	from := len(g.before)
	g.before = append(g.before, before...)
	for i := by.first; i < by.last; i++ {
		r, d := &l.shades[i], &g.cast[i]
		d.n, d.pass, d.own, d.off = 4, r.pass, r.normal[4], r.offset[4]-r.normal[4].Dot(g.at)
		for e := range d.n {
			d.edge[e], d.from[e] = r.normal[e], r.offset[e]-r.normal[e].Dot(g.at)
		}
		g.before = append(g.before, d)
	}
	g.forms = append(g.forms, form{corner: c.corner[:c.n], sign: c.sign, blocks: g.before[from:], near: true, panel: panel,
		lux: [3]float64{ofGlow: lux}})
}

// glowing adds the cells of a panel as what glows.
func (g *sight) glowing(cells []cell, c *cone, panel int, before []*cone) {
	for i := range cells {
		lux := cells[i].exitance[c.side()]
		if lux == 0 {
			continue
		}
		mark, from := len(g.buf), len(g.before)
		for _, v := range cells[i].corner {
			g.buf = append(g.buf, v.Sub(g.at))
		}
		way := cells[i].center.Sub(g.at)
		far := way.Len()
		for _, d := range before {
			if !d.beside(way, far, cells[i].radius) {
				g.before = append(g.before, d)
			}
		}
		g.forms = append(g.forms, form{corner: g.buf[mark:len(g.buf):len(g.buf)], sign: c.sign, blocks: g.before[from:], near: true, panel: panel,
			lux: [3]float64{ofGlow: lux}})
	}
}

// beyond reports whether any of c lies beyond the plane of d.
func beyond(c, d *cone) bool {
	for _, v := range c.corner[:c.n] {
		if d.own.Dot(v) > d.off {
			return true
		}
	}
	return false
}

// stand adds cones to what hides c.
func (g *sight) stand(cones []cone, c *cone) {
	for j := range cones {
		if d := &cones[j]; d.n > 0 && d.pass != 1 && !d.apart(c) {
			g.hiding = append(g.hiding, d)
		}
	}
}

// ground adds what the panels' shadows take of the ground's light, and what panels that stand in the ground hide of it.
func (g *sight) ground(l *Lit) {
	if g.open[ofGround] == 0 && !g.lamplit || g.at.Z <= 0 {
		return
	}
	lows := g.cones
	if l.sunk {
		lows = g.aboveGround(l)
		for k := range lows {
			c := &lows[k]
			if c.n == 0 || c.pass == 1 {
				continue
			}
			part := clip(&g.buf, c.corner[:c.n], geom.Vec{Z: -1}, 0)
			if len(part) < 3 {
				continue
			}
			from := len(g.hiding)
			g.stand(lows[:k], c)
			darken(g, l, everySource, 1-c.pass, form{corner: part, sign: c.sign, blocks: g.hiding[from:], panel: -1}, mostHalvings)
		}
	}
	g.shade = grown(g.shade, len(l.hard)*len(l.panels))
	for h := range l.hard {
		if src := &l.hard[h]; src.near && src.at.Z > 0 || !src.near && src.dir.Z > 0 {
			g.shadows(l, h, g.shade[h*len(l.panels):][:len(l.panels)], lows)
		}
	}
}

// aboveGround are the cones of what of the panels stands above the ground.
func (g *sight) aboveGround(l *Lit) []cone {
	g.sunk = grown(g.sunk, len(g.cones))
	for k := range g.cones {
		c := &g.sunk[k]
		*c = g.cones[k]
		q := &l.panels[k]
		if c.n == 0 {
			continue
		}
		c.n = q.lows
		for i, v := range q.low[:q.lows] {
			c.corner[i] = v.Sub(g.at)
		}
		if c.n < 3 {
			c.n = 0
			continue
		}
		c.seal(c.sign)
	}
	return g.sunk
}

// shadows adds the panels' shadows on the ground of one source as what takes of the ground's light. A shadow's corners are
// kept as directions, which has room for those that run to the horizon.
func (g *sight) shadows(l *Lit, h int, shade, lows []cone) {
	src := &l.hard[h]
	p := g.at
	for k := range shade {
		c, q := &shade[k], &l.panels[k]
		c.n, c.pass = 0, q.pass
		if q.void() || q.pass == 1 || q.lows < 3 {
			continue
		}
		polygon := q.low[:q.lows]
		if src.near {
			polygon = clip(&g.buf, polygon, geom.Vec{Z: -1}, -src.at.Z)
		}
		if len(polygon) > len(c.corner) {
			continue
		}
		for i, x := range polygon {
			if !src.near {
				c.corner[i] = x.Sub(p).Scale(src.dir.Z).Sub(src.dir.Scale(x.Z))
				c.corner[i].Z = -p.Z * src.dir.Z
			} else {
				under := math.Max(0, src.at.Z-x.Z)
				c.corner[i] = src.at.Sub(p).Scale(under).Add(x.Sub(src.at).Scale(src.at.Z))
				c.corner[i].Z = -p.Z * under
			}
		}
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
		from := len(g.hiding)
		g.stand(shade[:k], c)
		g.stand(lows, c)
		darken(g, l, h, 1-c.pass, form{corner: c.corner[:c.n], sign: c.sign, blocks: g.hiding[from:], panel: -1}, mostHalvings)
	}
}
