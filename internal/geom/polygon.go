package geom

// Clip appends to dst what of a flat convex polygon lies where n·x ≥ d, its corners in the same order, and returns dst.
// One corner more than the polygon has is the most that comes. Where less than an area is left, what is appended has
// fewer than three corners or no area.
func Clip(dst, polygon []Vec, n Vec, d float64) []Vec {
	if len(polygon) == 0 {
		return dst
	}
	a := polygon[len(polygon)-1]
	da := n.Dot(a) - d
	for _, b := range polygon {
		db := n.Dot(b) - d
		if (da < 0) != (db < 0) {
			t := da / (da - db)
			dst = append(dst, Vec{a.X + t*(b.X-a.X), a.Y + t*(b.Y-a.Y), a.Z + t*(b.Z-a.Z)})
		}
		if db >= 0 {
			dst = append(dst, b)
		}
		a, da = b, db
	}
	return dst
}

// AreaVec returns half the sum of the vector products around a flat polygon: its length is the area, its direction the
// normal about which the corners run counter-clockwise.
func AreaVec(polygon []Vec) (sum Vec) {
	for i := 2; i < len(polygon); i++ {
		sum = sum.Add(polygon[i-1].Sub(polygon[0]).Cross(polygon[i].Sub(polygon[0])))
	}
	return sum.Scale(0.5)
}
