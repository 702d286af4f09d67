package geom

import "math"

// DiscOverlap is the exact area that a disc and a convex polygon of the plane share, corners in order either way round:
// around the polygon, what of the triangle between the disc's centre and a side lies in the disc, with its sign.
func DiscOverlap(center [2]float64, radius float64, polygon [][2]float64) float64 {
	if len(polygon) < 3 || !(radius > 0) {
		return 0
	}
	sum, far := 0.0, 0.0
	last := polygon[len(polygon)-1]
	ax, ay := last[0]-center[0], last[1]-center[1]
	for _, p := range polygon {
		bx, by := p[0]-center[0], p[1]-center[1]
		sum += discTriangle(ax, ay, bx, by, radius)
		ax, ay = bx, by
		far = math.Max(far, ax*ax+ay*ay)
	}
	r2 := radius * radius
	sum = math.Abs(sum)
	if sum < sectorRounding*r2 && far > r2 {
		return 0
	}
	return math.Min(sum, math.Pi*r2)
}

// sectorRounding is what rounding may leave of a disc and a polygon that are apart, against the radius squared: the sectors
// between the corners cancel to some ulps of π.
const sectorRounding = 1e-14

// discTriangle is the signed area that the disc of radius r about the origin shares with the triangle origin, a, b.
func discTriangle(ax, ay, bx, by, r float64) float64 {
	r2 := r * r
	aa, bb := ax*ax+ay*ay, bx*bx+by*by
	if aa <= r2 && bb <= r2 {
		return (ax*by - ay*bx) / 2
	}
	sector := func(ux, uy, vx, vy float64) float64 {
		return r2 / 2 * math.Atan2(ux*vy-uy*vx, ux*vx+uy*vy)
	}
	// Where the side's line crosses the circle: a + t·d.
	dx, dy := bx-ax, by-ay
	dd, ad := dx*dx+dy*dy, ax*dx+ay*dy
	root := ad*ad - dd*(aa-r2)
	if !(root > 0) {
		return sector(ax, ay, bx, by)
	}
	root = math.Sqrt(root)
	t1, t2 := (-ad-root)/dd, (-ad+root)/dd
	if t2 <= 0 || t1 >= 1 {
		return sector(ax, ay, bx, by)
	}
	px, py, qx, qy := ax, ay, bx, by
	sum := 0.0
	if t1 > 0 {
		px, py = ax+t1*dx, ay+t1*dy
		sum += sector(ax, ay, px, py)
	}
	if t2 < 1 {
		qx, qy = ax+t2*dx, ay+t2*dy
		sum += sector(qx, qy, bx, by)
	}
	return sum + (px*qy-py*qx)/2
}
