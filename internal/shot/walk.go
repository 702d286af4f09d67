package shot

import (
	"math"

	"kitspan/internal/geom"
)

// How far people walk in one shot, and the least that counts as walking (common practice, no source): some fifteen seconds at an easy pace.
const (
	longestWalkM = 20.0
	leastWalkM   = 0.1
)

var (
	walkBound       = bound{lo: -longestWalkM, hi: longestWalkM, unit: "m from the origin"}
	walkLengthBound = bound{lo: leastWalkM, hi: longestWalkM, unit: "m long, as the way over the ground"}
)

// resolveWalk reads where the people walk.
func resolveWalk(r *resolver, d *DraftWalk) geom.Vec {
	const at = "/shot/walk/to_m"
	if d == nil {
		return geom.Vec{}
	}
	p, ok := resolveCoordinates(r, at, d.ToM, walkBound, walkBound)
	if ok {
		_, ok = r.check(at, math.Hypot(p[0], p[1]), walkLengthBound)
	}
	if !ok {
		return geom.Vec{}
	}
	return geom.Vec{X: p[0], Y: p[1]}
}

// Walks reports whether the people walk.
func (s *Shot) Walks() bool { return s.Walk != geom.Vec{} }

// Swept returns the smallest box, in the camera's axes, that holds the main zone everywhere on its way; the zone where it stays.
func (s *Shot) Swept() geom.Box {
	b, by := s.Zone.Box(), s.Axes().FromWorld(s.Walk)
	b.Mid = b.Mid.Add(by.Scale(0.5))
	b.Half.X, b.Half.Y = b.Half.X+math.Abs(by.X)/2, b.Half.Y+math.Abs(by.Y)/2
	return b
}

// bounds returns the box around the zone's way, in the camera's axes.
func (v *resolvedView) bounds() geom.Bounds {
	b, by := v.zone.bounds(), geom.AxesAlong(v.camera.BearingDeg).FromWorld(v.walk)
	b.Low.X, b.High.X = b.Low.X+math.Min(0, by.X), b.High.X+math.Max(0, by.X)
	b.Low.Y, b.High.Y = b.Low.Y+math.Min(0, by.Y), b.High.Y+math.Max(0, by.Y)
	return b
}
