package light

import (
	"math"

	"kitspan/internal/geom"
)

// ApparentDeg returns how large a rectangle looks from a point: the full angle of the circular cone with its solid angle, 0
// to 180.
func ApparentDeg(p geom.Vec, corners [4]geom.Vec) float64 {
	return 4 * math.Asin(math.Sqrt(geom.SolidAngle(p, corners[:])/(4*math.Pi))) * 180 / math.Pi
}

// SourceDeg returns how large what gives light to p of a panel looks from there: the whole of a panel that glows, of a
// specular one the lit spot, whichever is more light; the full angle in degrees of a circular cone. The spot never
// looks smaller than the source that it mirrors. It is 0 for a panel that gives p no light.
func (l *Lit) SourceDeg(p geom.Vec, panel int) float64 {
	g := &l.eye
	g.look(l, p, false)
	// The contour vector's length is the view factor for the face that has most of it.
	var glow geom.Vec
	for i := range g.forms {
		if f := &g.forms[i]; f.panel == panel && f.lux[ofGlow] > 0 {
			glow = glow.Add(g.all(f).Scale(f.lux[ofGlow]))
		}
	}
	best, size := glow.Len(), 0.0
	if best > 0 {
		size = ApparentDeg(p, l.panels[panel].corner)
	}
	for i := range g.spots {
		s := &g.spots[i]
		lx := s.light.Len()
		if l.beams[s.beam].panel != panel || !(lx > best) {
			continue
		}
		spot := math.Atan(math.Sqrt(s.size/math.Pi)) * 360 / math.Pi
		best, size = lx, math.Max(spot, 2*l.beams[s.beam].half)
	}
	return size
}
