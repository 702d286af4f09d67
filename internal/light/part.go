package light

import (
	"math"

	"kitspan/internal/geom"
)

// Part is the light on a face from one of the things that give it.
type Part struct {
	Lx float64
	// Sr is how large what gives it looks from the face, as far as it is above the face's horizon: its solid angle, in
	// steradians. It is 0 for a lamp, which is a point.
	Sr float64
}

// Deg returns the full angle, in degrees, of the circular cone that has the part's solid angle: 0 to 180 for what lies above a horizon.
func (p Part) Deg() float64 { return coneDeg(p.Sr) }

// And returns two parts that lie side by side as one.
func (p Part) And(q Part) Part { return Part{p.Lx + q.Lx, p.Sr + q.Sr} }

// coneDeg returns the full angle, in degrees, of the circular cone with a solid angle.
func coneDeg(sr float64) float64 {
	return 4 * math.Asin(math.Sqrt(math.Min(1, sr/(4*math.Pi)))) * 180 / math.Pi
}

// FromPanel returns what a panel gives to a small face at p with the unit normal n: of a panel that glows with its whole sheet,
// of one that mirrors with the lit spot on it, the size of whichever is more light; of several spots that of the brightest. The spot never looks
// smaller than the source that it mirrors.
func (l *Lit) FromPanel(p, n geom.Vec, panel int) Part {
	g := &l.eye
	g.look(l, p, false)
	glow := 0.0
	for i := range g.forms {
		if f := &g.forms[i]; f.panel == panel && f.lux[ofGlow] > 0 {
			glow += math.Max(0, f.lux[ofGlow]*g.factor(f, n))
		}
	}
	var beam, most, size, least float64
	for i := range g.spots {
		s := &g.spots[i]
		if l.beams[s.beam].panel != panel {
			continue
		}
		lx, area := g.onWith(l, s, n)
		if beam += lx; lx > most {
			most, size, least = lx, area, l.beams[s.beam].half
		}
	}
	part := Part{Lx: glow + beam}
	switch {
	case part.Lx == 0:
	case beam > glow:
		part.Sr = math.Max(capSr(math.Atan(math.Sqrt(size/math.Pi))), discSr(least))
	default:
		mark := len(g.buf)
		corner := l.panels[panel].corner
		if above := clip(&g.buf, corner[:], n, n.Dot(p)); len(above) >= 3 {
			part.Sr = geom.SolidAngle(p, above)
		}
		g.buf = g.buf[:mark]
	}
	return part
}

// FromHard returns what a hard source gives a face straight, through any cloths.
func (l *Lit) FromHard(p, n geom.Vec, hard int) Part {
	g := &l.eye
	g.look(l, p, false)
	for i := range g.rays {
		if r := &g.rays[i]; r.way == direct && r.of == hard {
			if lx := r.lux * n.Dot(r.dir); lx > 0 {
				return Part{lx, discSr(l.hard[hard].radiusDeg)}
			}
		}
	}
	return Part{}
}

// FromLamp returns what a placed lamp gives a face straight, through any cloths.
func (l *Lit) FromLamp(p, n geom.Vec, lamp int) Part {
	g := &l.eye
	g.look(l, p, false)
	for i := range g.rays {
		if r := &g.rays[i]; r.way == placed && r.of == lamp {
			return Part{Lx: math.Max(0, r.lux*n.Dot(r.dir))}
		}
	}
	return Part{}
}

// discSr returns the solid angle of a disc of an angular radius in degrees, capSr that of a cone of a half-angle in radians.
func discSr(radiusDeg float64) float64 { return capSr(math.Max(0, radiusDeg) * math.Pi / 180) }

func capSr(half float64) float64 {
	s := math.Sin(half / 2)
	return 4 * math.Pi * s * s
}
