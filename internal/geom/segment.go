package geom

import "math"

// DistanceInPlan returns how far a point is from the segment from a to b, heights left out, in metres. A segment without a
// length in plan is a point.
func DistanceInPlan(p, a, b Vec) float64 { return pointToSegment(p.X, p.Y, a.X, a.Y, b.X, b.Y) }

// pointToSegment is the distance in a plane from (x, y) to the segment from (x0, y0) to (x1, y1).
func pointToSegment(x, y, x0, y0, x1, y1 float64) float64 {
	dx, dy := x1-x0, y1-y0
	s := 0.0
	if l := dx*dx + dy*dy; l > 0 {
		s = math.Min(1, math.Max(0, ((x-x0)*dx+(y-y0)*dy)/l))
	}
	return math.Hypot(x0+s*dx-x, y0+s*dy-y)
}
