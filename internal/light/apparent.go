package light

import "kitspan/internal/geom"

// ApparentDeg returns how large a rectangle looks from a point: the full angle of the circular cone with its solid angle, 0
// to 180.
func ApparentDeg(p geom.Vec, corners [4]geom.Vec) float64 {
	return coneDeg(geom.SolidAngle(p, corners[:]))
}
