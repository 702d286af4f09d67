package geom

import "math"

// inPlane is the distance of a point from a plane, against its distance from the polygon there, below which it counts
// as lying in it: four digits over the rounding of coordinates.
const inPlane = 1e-12

// Contour returns the vector whose scalar product with a face's unit normal is the view factor of a flat convex polygon from
// a face at the origin, where all of the polygon is above the face's horizon: 1/2π · Σ θ·Γ around the polygon, with θ
// the angle of a side as seen and Γ the unit normal of its plane through the origin (Lambert 1760; Sparrow 1963). It is
// positive for corners that run clockwise as seen from the origin. Corners count by their directions alone.
func Contour(polygon []Vec) (sum Vec) {
	if len(polygon) < 3 {
		return sum
	}
	a := polygon[len(polygon)-1]
	for _, b := range polygon {
		c := a.Cross(b)
		if s2 := c.Dot(c); s2 > 0 {
			k := angleOverSine(s2, a.Dot(b))
			sum.X += k * c.X
			sum.Y += k * c.Y
			sum.Z += k * c.Z
		}
		a = b
	}
	return sum.Scale(1 / (2 * math.Pi))
}

// angleOverSine is θ/s with s = r·sin θ, from s² and r·cos θ. Small angles are taken by the series of the arc tangent, which
// is exact to 1e-12 of itself there and saves more than half of the time.
func angleOverSine(s2, d float64) float64 {
	if x := s2 / (d * d); d > 0 && x < 0.0225 {
		return (1 - x*(1.0/3-x*(1.0/5-x*(1.0/7-x*(1.0/9-x*(1.0/11-x/13)))))) / d
	}
	s := math.Sqrt(s2)
	return math.Atan2(s, d) / s
}

// FormFactor returns the view factor of a flat convex polygon, its corners in order either way round, from a small face at p
// with the unit normal n: what the face gets of the polygon's exitance, 0 to 1. What of the polygon lies below the
// face's horizon counts nothing. From a point in the polygon's own plane it is 0.
func FormFactor(p, n Vec, polygon []Vec) float64 {
	var small [16]Vec
	rel := small[:0:8]
	if len(polygon) > 7 {
		rel = make([]Vec, 0, 2*len(polygon)+1)
	}
	far := 0.0
	for _, v := range polygon {
		v = v.Sub(p)
		far = math.Max(far, v.Dot(v))
		rel = append(rel, v)
	}
	area := AreaVec(rel)
	if len(polygon) < 3 || !(math.Abs(area.Dot(rel[0])) > inPlane*math.Sqrt(far)*area.Len()) {
		return 0
	}
	clipped := small[8:8]
	if len(polygon) > 7 {
		clipped = rel[len(rel):]
	}
	return math.Min(1, math.Abs(Contour(Clip(clipped, rel, n, 0)).Dot(n)))
}

// SolidAngle returns the solid angle in steradians of a flat convex polygon from a point, by its triangles (van Oosterom and
// Strackee 1983). From a point on the polygon it is 2π, from one beside it in its plane 0.
func SolidAngle(p Vec, polygon []Vec) (sum float64) {
	if len(polygon) < 3 {
		return 0
	}
	a := polygon[0].Sub(p)
	la := a.Len()
	b := polygon[1].Sub(p)
	lb := b.Len()
	for _, c := range polygon[2:] {
		c = c.Sub(p)
		lc := c.Len()
		sum += 2 * math.Atan2(math.Abs(a.Dot(b.Cross(c))), la*lb*lc+a.Dot(b)*lc+b.Dot(c)*la+c.Dot(a)*lb)
		b, lb = c, lc
	}
	return math.Min(2*math.Pi, sum)
}
