package oracle

import (
	"math"

	"kitspan/internal/geom"
	"kitspan/internal/light"
)

const (
	// elbowM is the least room between a panel and a lamp.
	elbowM = 0.3
	// faceRoomM is that between a panel and a face: a planner keeps sheets half a metre off the zone whose middle it
	// lights. sourceRoomM is that between a panel and a source at a place. Nearer, the parts in which the levels take
	// the light of a sheet are too wide for 3 %.
	faceRoomM   = 0.75
	sourceRoomM = 1.2
)

// Places tried for a piece before the rig goes without.
const tries = 60

// place tries to put the panel up at a centre, square to a direction, so long and so wide; side A looks along the
// direction, and in half of the cases what is written as A and B is exchanged with the order of the corners.
func (g *rigger) place(draw func() (center, normal geom.Vec, long, wide float64), p light.Panel) {
	for range tries {
		c, n, long, wide := draw()
		if n.Len() < 0.05 {
			continue
		}
		a, b := frame(n.Unit())
		if n.Unit().Z < 0.99 { // edges level and down the slope, as stands hold them, at times turned
			a = geom.Vec{Z: 1}.Cross(n).Unit()
			b = n.Unit().Cross(a)
		}
		if g.chance(0.2) {
			s, co := math.Sincos(g.in(0, math.Pi))
			a, b = a.Scale(co).Add(b.Scale(s)), b.Scale(co).Sub(a.Scale(s))
		}
		low := c.Z - (math.Abs(a.Z)*long+math.Abs(b.Z)*wide)/2
		switch {
		case low < 0: // stand it on the ground, or a little above
			c.Z -= low
			if g.chance(0.5) {
				c.Z += g.in(0, 0.4)
			}
		case low < 0.3 && g.chance(0.5):
			c.Z -= low
		}
		la, wb := a.Scale(long/2), b.Scale(wide/2)
		q := [4]geom.Vec{c.Sub(la).Sub(wb), c.Add(la).Sub(wb), c.Add(la).Add(wb), c.Sub(la).Add(wb)}
		if !g.clear(q) {
			continue
		}
		if g.chance(0.5) {
			q[1], q[3] = q[3], q[1]
			p.A, p.B = p.B, p.A
		}
		p.Corners = q
		g.scene.Panels = append(g.scene.Panels, p)
		return
	}
}

// clear reports whether a panel keeps off faces, lamps and sources and cuts through no other panel.
func (g *rigger) clear(q [4]geom.Vec) bool {
	if !g.keepsOff(newSheet(light.Panel{Corners: q})) {
		return false
	}
	for _, o := range g.scene.Panels {
		if cut(q, o.Corners) {
			return false
		}
	}
	return true
}

// keepsOff reports whether no face, lamp or source at a place is near the sheet.
func (g *rigger) keepsOff(s *sheet) bool {
	for _, f := range g.faces {
		if s.away(f.P) < faceRoomM {
			return false
		}
	}
	for _, l := range g.scene.Lamps {
		if s.away(l.At) < elbowM {
			return false
		}
	}
	for _, h := range g.scene.Hard {
		if h.At != nil && s.away(*h.At) < sourceRoomM {
			return false
		}
	}
	return true
}

// away is how far a point is from the sheet.
func (s *sheet) away(p geom.Vec) float64 {
	d := p.Sub(s.origin)
	u := math.Min(1, math.Max(0, d.Dot(s.along)*s.perLong))
	v := math.Min(1, math.Max(0, d.Dot(s.across)*s.perWide))
	return p.Sub(s.at(u, v)).Len()
}

// cut reports whether two rectangles go through each other.
func cut(q, r [4]geom.Vec) bool {
	return newSheet(light.Panel{Corners: q}).cutBy(r) || newSheet(light.Panel{Corners: r}).cutBy(q)
}

// cutBy reports whether an edge of the rectangle q goes through the sheet.
func (s *sheet) cutBy(q [4]geom.Vec) bool {
	for i := range q {
		edge := q[(i+1)%4].Sub(q[i])
		if l, inside := s.meet(q[i], edge); inside && l >= 0 && l <= 1 {
			return true
		}
	}
	return false
}
