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

// openGround is the exitance of the ground where nothing stands before it: under an open sky, and under the sources as they
// shine at the point.
func (g *sight) openGround(l *Lit) float64 {
	if l.ground == 0 || g.at.Z < 0 {
		return 0
	}
	lux := l.sky
	for h := range l.hard {
		dir, lx := l.hard[h].toward(g.at)
		lux += lx * math.Max(0, dir.Z)
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
		if !reflecting || l.panels[k].reflects {
			glow = l.panels[k].exitance[c.side()]
		}
		hides := 1 - c.pass
		if glow == 0 && hides == 0 {
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
			if g.at.Z > 0 && !l.sunk { // nothing stands between a point and its own ground; for sunk ones see ground
				lux[ofGround] = -hides * g.open[ofGround]
			}
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

// beyond says whether any of c lies beyond the plane of d.
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
	if g.open[ofGround] == 0 || g.at.Z == 0 {
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
			g.forms = append(g.forms, form{corner: part, sign: c.sign, blocks: g.hiding[from:], panel: -1,
				lux: [3]float64{ofGround: (1 - c.pass) * -g.open[ofGround]}})
		}
	}
	g.shade = grown(g.shade, len(l.hard)*len(l.panels))
	for h := range l.hard {
		dir, lx := l.hard[h].toward(g.at)
		if lx > 0 && dir.Z > 0 {
			g.shadows(l, &l.hard[h], g.shade[h*len(l.panels):][:len(l.panels)], lows, l.ground*lx*dir.Z)
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
func (g *sight) shadows(l *Lit, src *Hard, shade, lows []cone, lux float64) {
	p := g.at
	mark := len(g.buf)
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
		g.forms = append(g.forms, form{corner: c.corner[:c.n], sign: c.sign, blocks: g.hiding[from:], panel: -1,
			lux: [3]float64{ofGround: (1 - c.pass) * -lux}})
	}
	g.buf = g.buf[:mark]
}
