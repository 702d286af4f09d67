package geom

import "math"

// Moments are the integrals of 1, x, y and x² + y² over a part of the plane. Those of a part are the sums of those of its
// pieces.
type Moments struct{ Area, X, Y, Polar float64 }

// Less returns m without k times o.
func (m Moments) Less(k float64, o Moments) Moments {
	return Moments{m.Area - k*o.Area, m.X - k*o.X, m.Y - k*o.Y, m.Polar - k*o.Polar}
}

// DiscMoments returns the exact moments of what the disc of a radius about the origin and a convex polygon share, corners
// in order either way round: around the polygon, what of the triangle between the origin and a side lies in the disc,
// with its sign (Green's theorem; each piece is a triangle or a sector, whose moments are those of school geometry).
func DiscMoments(radius float64, polygon [][2]float64) Moments {
	var sum Moments
	if len(polygon) < 3 || !(radius > 0) {
		return sum
	}
	far := 0.0
	a := polygon[len(polygon)-1]
	for _, b := range polygon {
		sum.disc(a, b, radius)
		far = math.Max(far, b[0]*b[0]+b[1]*b[1])
		a = b
	}
	if sum.Area < 0 {
		sum = Moments{}.Less(1, sum)
	}
	r2 := radius * radius
	if sum.Area < sectorRounding*r2 && far > r2 {
		return Moments{}
	}
	sum.Area, sum.Polar = math.Min(sum.Area, math.Pi*r2), math.Max(0, math.Min(sum.Polar, math.Pi/2*r2*r2))
	return sum
}

// sectorRounding is what rounding may leave of a disc and a polygon that are apart, against the radius squared: the sectors
// between the corners cancel to some ulps of π.
const sectorRounding = 1e-14

// disc adds what the disc of radius r about the origin shares with the triangle origin, a, b, negative where that runs
// clockwise.
func (m *Moments) disc(a, b [2]float64, r float64) {
	r2 := r * r
	aa, bb := a[0]*a[0]+a[1]*a[1], b[0]*b[0]+b[1]*b[1]
	if aa <= r2 && bb <= r2 {
		m.triangle(a, b)
		return
	}
	// Where the side's line crosses the circle: a + t·d.
	dx, dy := b[0]-a[0], b[1]-a[1]
	dd, ad := dx*dx+dy*dy, a[0]*dx+a[1]*dy
	root := ad*ad - dd*(aa-r2)
	if !(root > 0) {
		m.sector(a, b, r)
		return
	}
	root = math.Sqrt(root)
	t1, t2 := (-ad-root)/dd, (-ad+root)/dd
	if t2 <= 0 || t1 >= 1 {
		m.sector(a, b, r)
		return
	}
	p, q := a, b
	if t1 > 0 {
		p = [2]float64{a[0] + t1*dx, a[1] + t1*dy}
		m.sector(a, p, r)
	}
	if t2 < 1 {
		q = [2]float64{a[0] + t2*dx, a[1] + t2*dy}
		m.sector(q, b, r)
	}
	m.triangle(p, q)
}

func (m *Moments) triangle(a, b [2]float64) {
	area := (a[0]*b[1] - a[1]*b[0]) / 2
	m.Area += area
	m.X += area / 3 * (a[0] + b[0])
	m.Y += area / 3 * (a[1] + b[1])
	m.Polar += area / 6 * (a[0]*a[0] + a[1]*a[1] + a[0]*b[0] + a[1]*b[1] + b[0]*b[0] + b[1]*b[1])
}

// sector is that of radius r from the direction of u to that of v.
func (m *Moments) sector(u, v [2]float64, r float64) {
	angle := math.Atan2(u[0]*v[1]-u[1]*v[0], u[0]*v[0]+u[1]*v[1])
	area := r * r / 2 * angle
	ku, kv := r*r*r/3/math.Hypot(u[0], u[1]), r*r*r/3/math.Hypot(v[0], v[1])
	m.Area += area
	m.X += kv*v[1] - ku*u[1]
	m.Y += ku*u[0] - kv*v[0]
	m.Polar += area * r * r / 2
}
