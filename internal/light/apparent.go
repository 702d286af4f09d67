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
