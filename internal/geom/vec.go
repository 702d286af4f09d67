package geom

import "math"

// Vec is a point or a direction: metres east, north and up, or a pure number in each.
type Vec struct{ X, Y, Z float64 }

// Add returns v + w.
func (v Vec) Add(w Vec) Vec { return Vec{v.X + w.X, v.Y + w.Y, v.Z + w.Z} }

// Sub returns v − w.
func (v Vec) Sub(w Vec) Vec { return Vec{v.X - w.X, v.Y - w.Y, v.Z - w.Z} }

// Scale returns k·v.
func (v Vec) Scale(k float64) Vec { return Vec{k * v.X, k * v.Y, k * v.Z} }

// Dot returns the scalar product.
func (v Vec) Dot(w Vec) float64 { return v.X*w.X + v.Y*w.Y + v.Z*w.Z }

// Cross returns the vector product, right-handed.
func (v Vec) Cross(w Vec) Vec {
	return Vec{v.Y*w.Z - v.Z*w.Y, v.Z*w.X - v.X*w.Z, v.X*w.Y - v.Y*w.X}
}

// Len returns the length.
func (v Vec) Len() float64 { return math.Sqrt(v.Dot(v)) }

// Unit returns v at length 1; the zero vector stays zero.
func (v Vec) Unit() Vec {
	l := v.Len()
	if l == 0 {
		return v
	}
	return v.Scale(1 / l)
}

// Toward returns the unit vector toward a bearing (degrees clockwise from north) and elevation (degrees above the horizon).
func Toward(bearingDeg, elevationDeg float64) Vec {
	sb, cb := math.Sincos(bearingDeg * math.Pi / 180)
	se, ce := math.Sincos(elevationDeg * math.Pi / 180)
	return Vec{sb * ce, cb * ce, se}
}

// Bearing returns the direction of v on the ground, degrees clockwise from north in [0, 360); 0 for a vertical vector.
func (v Vec) Bearing() float64 {
	b := math.Atan2(v.X, v.Y) * 180 / math.Pi
	if b < 0 {
		b += 360
	}
	if b >= 360 {
		b = 0
	}
	return b
}

// Elevation returns the angle of v above the horizon in degrees.
func (v Vec) Elevation() float64 { return math.Atan2(v.Z, math.Hypot(v.X, v.Y)) * 180 / math.Pi }

// AngleDeg returns the angle between two directions in degrees, accurate for small and for opposite angles.
func AngleDeg(v, w Vec) float64 {
	return math.Atan2(v.Cross(w).Len(), v.Dot(w)) * 180 / math.Pi
}
