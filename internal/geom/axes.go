package geom

import "math"

// Axes are a camera's own: x to the right of the lens, y away from it along its bearing, z up, metres, about the origin
// that the world's have, whose x is east and y north. A scene that turns with its camera stays the same in them. They come
// from [AxesAlong]; the zero value is no camera's.
type Axes struct{ sin, cos float64 }

// AxesAlong returns the axes of a lens that looks along a bearing, degrees clockwise from north.
func AxesAlong(bearingDeg float64) Axes {
	sin, cos := math.Sincos(bearingDeg * math.Pi / 180)
	return Axes{sin, cos}
}

// FromWorld returns a point or a direction of the world in the camera's axes.
func (a Axes) FromWorld(p Vec) Vec {
	return Vec{p.X*a.cos - p.Y*a.sin, p.X*a.sin + p.Y*a.cos, p.Z}
}

// ToWorld returns a point or a direction in the camera's axes as the world has it.
func (a Axes) ToWorld(p Vec) Vec {
	return Vec{p.X*a.cos + p.Y*a.sin, -p.X*a.sin + p.Y*a.cos, p.Z}
}
