package geom

import "math"

// Box is an upright box along the axes by its middle and its half-sizes, metres.
type Box struct{ Mid, Half Vec }

// Corner returns a corner by its number, 0 to 7: bit 0 is set on the side of larger x, bit 1 of larger y, bit 2 of larger z.
func (b Box) Corner(i int) Vec {
	return Vec{
		b.Mid.X + b.Half.X*float64(i&1*2-1),
		b.Mid.Y + b.Half.Y*float64(i>>1&1*2-1),
		b.Mid.Z + b.Half.Z*float64(i>>2&1*2-1),
	}
}

// Corners returns all eight by their numbers.
func (b Box) Corners() (c [8]Vec) {
	for i := range c {
		c[i] = b.Corner(i)
	}
	return c
}

// Support returns the largest value of n·p over the box.
func (b Box) Support(n Vec) float64 {
	return n.Dot(b.Mid) + math.Abs(n.X)*b.Half.X + math.Abs(n.Y)*b.Half.Y + math.Abs(n.Z)*b.Half.Z
}

// Grow returns the box with every side farther out by m.
func (b Box) Grow(m float64) Box {
	b.Half = Vec{b.Half.X + m, b.Half.Y + m, b.Half.Z + m}
	return b
}

// CutBy reports whether the segment from p to q passes through the box, faces counted in.
func (b Box) CutBy(p, q Vec) bool {
	p, q = p.Sub(b.Mid), q.Sub(b.Mid)
	return slabsMeet([]slab{{p.X, q.X - p.X, b.Half.X}, {p.Y, q.Y - p.Y, b.Half.Y}, {p.Z, q.Z - p.Z, b.Half.Z}})
}

// CutInPlan reports whether the segment from p to q passes over, through or under the box, edges counted in.
func (b Box) CutInPlan(p, q Vec) bool {
	p, q = p.Sub(b.Mid), q.Sub(b.Mid)
	return slabsMeet([]slab{{p.X, q.X - p.X, b.Half.X}, {p.Y, q.Y - p.Y, b.Half.Y}})
}

// DistanceInPlan returns how far a point stands from the box's plan; 0 within it.
func (b Box) DistanceInPlan(p Vec) float64 {
	return math.Hypot(math.Max(0, math.Abs(p.X-b.Mid.X)-b.Half.X), math.Max(0, math.Abs(p.Y-b.Mid.Y)-b.Half.Y))
}

// Bounds returns the box by its lowest and highest coordinates.
func (b Box) Bounds() Bounds { return Bounds{b.Mid.Sub(b.Half), b.Mid.Add(b.Half)} }

// slab is a segment along one axis against a box about the origin: where it starts, how far it goes, half the box.
type slab struct{ at, step, half float64 }

// slabsMeet reports whether some place of the segment is within the box along every axis at once.
func slabsMeet(axes []slab) bool {
	lo, hi := 0.0, 1.0
	for _, ax := range axes {
		if ax.step == 0 {
			if math.Abs(ax.at) > ax.half {
				return false
			}
			continue
		}
		s0, s1 := (-ax.half-ax.at)/ax.step, (ax.half-ax.at)/ax.step
		lo, hi = math.Max(lo, math.Min(s0, s1)), math.Min(hi, math.Max(s0, s1))
	}
	return lo <= hi
}

// Bounds are an upright box along the axes by its lowest and highest coordinates, metres: where these are given, boxes that
// stand flush do not overlap by a rounding.
type Bounds struct{ Low, High Vec }

// BoundsOf returns the least bounds that hold all points, of which there is one at least.
func BoundsOf(points ...Vec) Bounds {
	b := Bounds{points[0], points[0]}
	for _, p := range points[1:] {
		b = b.With(p)
	}
	return b
}

// With returns the least bounds that hold b and a point.
func (b Bounds) With(p Vec) Bounds {
	return Bounds{
		Vec{math.Min(b.Low.X, p.X), math.Min(b.Low.Y, p.Y), math.Min(b.Low.Z, p.Z)},
		Vec{math.Max(b.High.X, p.X), math.Max(b.High.Y, p.Y), math.Max(b.High.Z, p.Z)},
	}
}

// Contains reports whether a point lies within b, faces counted in.
func (b Bounds) Contains(p Vec) bool {
	return !(p.X < b.Low.X || p.X > b.High.X || p.Y < b.Low.Y || p.Y > b.High.Y || p.Z < b.Low.Z || p.Z > b.High.Z)
}

// Touches reports whether b and c share a point, be it of their faces.
func (b Bounds) Touches(c Bounds) bool {
	return !(b.High.X < c.Low.X || b.Low.X > c.High.X ||
		b.High.Y < c.Low.Y || b.Low.Y > c.High.Y ||
		b.High.Z < c.Low.Z || b.Low.Z > c.High.Z)
}

// Overlaps reports whether b and c share more than a face.
func (b Bounds) Overlaps(c Bounds) bool {
	return b.Low.X < c.High.X && c.Low.X < b.High.X &&
		b.Low.Y < c.High.Y && c.Low.Y < b.High.Y &&
		b.Low.Z < c.High.Z && c.Low.Z < b.High.Z
}
