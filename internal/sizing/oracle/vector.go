package oracle

import (
	"math"

	"kitspan/internal/geom"
)

// vec is a point or a direction in the set's frame: metres east, north, up.
type vec struct{ x, y, z float64 }

func fromGeom(g geom.Vec) vec { return vec{g.X, g.Y, g.Z} }

func toGeom(v vec) geom.Vec { return geom.Vec{X: v.x, Y: v.y, Z: v.z} }

func (v vec) plus(w vec) vec             { return vec{v.x + w.x, v.y + w.y, v.z + w.z} }
func (v vec) minus(w vec) vec            { return vec{v.x - w.x, v.y - w.y, v.z - w.z} }
func (v vec) times(k float64) vec        { return vec{k * v.x, k * v.y, k * v.z} }
func (v vec) dot(w vec) float64          { return v.x*w.x + v.y*w.y + v.z*w.z }
func (v vec) length() float64            { return math.Sqrt(v.dot(v)) }
func (v vec) far(w vec) float64          { return v.minus(w).length() }
func (v vec) unit() vec                  { return v.times(1 / v.length()) }
func (v vec) along(d vec, k float64) vec { return v.plus(d.times(k)) }

func (v vec) cross(w vec) vec {
	return vec{v.y*w.z - v.z*w.y, v.z*w.x - v.x*w.z, v.x*w.y - v.y*w.x}
}

// toward is the unit vector toward an azimuth (degrees clockwise from north) and an elevation above the horizon.
func toward(azimuthDeg, elevationDeg float64) vec {
	a, e := azimuthDeg*math.Pi/180, elevationDeg*math.Pi/180
	return vec{math.Sin(a) * math.Cos(e), math.Cos(a) * math.Cos(e), math.Sin(e)}
}

var up = vec{0, 0, 1}

func armOf(a [2]vec) *[2]geom.Vec { return &[2]geom.Vec{toGeom(a[0]), toGeom(a[1])} }
