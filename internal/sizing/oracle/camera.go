package oracle

import (
	"fmt"
	"math"

	"kitspan/internal/finding"
	"kitspan/internal/sizing"
)

const (
	// lensRoomM is how far everything on the ground keeps from the lens in plan, for the body and its support.
	lensRoomM = 0.8
	// operatorHalfM and operatorBackM are the operator's strip: half its width, and how far behind the lens it ends.
	operatorHalfM = 0.3
	operatorBackM = 1.5
	// anchorRadiusM is the ground that an anchor takes.
	anchorRadiusM = 0.4
)

// besideLens is a point of the ground as the camera sees it: how far to the right of the line along which it looks, and how far
// behind the lens.
func (v View) besideLens(p vec) (right, behind float64) {
	d := p.minus(v.lens)
	return d.dot(v.right), -d.dot(up.cross(v.right))
}

// offCamera is by how much a disc on the ground keeps off the lens's room and the operator's strip; negative where it does not.
func (v View) offCamera(p vec, radius float64) float64 {
	right, behind := v.besideLens(p)
	strip := math.Hypot(math.Max(0, math.Abs(right)-operatorHalfM), math.Max(0, math.Max(-behind, behind-operatorBackM)))
	return math.Min(math.Hypot(right, behind)-lensRoomM, strip) - radius
}

// checkCameraRoom keeps feet and anchors off the camera and its operator, lines out of the operator's strip under head height, and
// the feet of a lens shade as far beside the line along which the lens looks, up to the people.
func checkCameraRoom(s *Scene, p sizing.Piece) []Violation {
	var bad []Violation
	near := func(what string, by float64) {
		if by < -placeTolM {
			bad = append(bad, broken(RuleCamera, -by, "%s: the %s stands %.4f m too near to the camera or its operator", p.Role, what, -by))
		}
	}
	for i, sp := range p.Supports {
		base := fromGeom(sp.Base)
		near(fmt.Sprintf("foot %d", i+1), s.View.offCamera(base, sp.FootprintM))
		if right, behind := s.View.besideLens(base); p.Role == finding.RoleCameraShade && behind < operatorBackM && -behind < s.View.ahead(s.Zone.middle) {
			near(fmt.Sprintf("foot %d of the shade", i+1), math.Abs(right)-lensRoomM-sp.FootprintM)
		}
	}
	for i, l := range p.Lines {
		from, to := fromGeom(l.From), fromGeom(l.To)
		near(fmt.Sprintf("anchor of line %d", i+1), s.View.offCamera(to, anchorRadiusM))
		for k := range 200 { // where it is under head height, step by step
			at := from.along(to.minus(from), float64(k)/199)
			right, behind := s.View.besideLens(at)
			if at.z < s.Shot.Allowance.HeadM && math.Abs(right) < operatorHalfM-placeTolM && behind > placeTolM && behind < operatorBackM-placeTolM {
				near(fmt.Sprintf("line %d", i+1), -operatorHalfM+math.Abs(right))
				break
			}
		}
	}
	return bad
}

// ahead is how far before the lens a point lies, as seen from above.
func (v View) ahead(p vec) float64 {
	_, behind := v.besideLens(p)
	return -behind
}
