package sizing

import (
	"math"

	"kitspan/internal/geom"
	"kitspan/internal/shot"
)

// stage is the shot laid out in the camera's own frame: x to the right of the lens, y along its bearing, z up, metres,
// the origin where the shot has it. The engine works here, so that turning the whole scene changes nothing but the
// last step, toWorld.
type stage struct {
	view geom.View
	// half and mid are the zone's half-sizes and its middle.
	half, mid geom.Vec
	// grownX and grownY are half the plan of the zone grown by headBorderM, over which head room holds.
	grownX, grownY float64
	headM          float64
	coverM, viewM  float64
	sin, cos       float64 // of the bearing
	// others are the further zones.
	others []zoneAt
}

const (
	// headBorderM is how far around the zone head room holds (contract: the zone grown by 0.5 m).
	headBorderM = 0.5
	// lowEdgeM is the least height of a frame's lowest edge elsewhere (contract: 0.3 m).
	lowEdgeM = 0.3
	// farM bounds the distance from the middle of the zone to the middle of a frame (contract: 12 m).
	farM = 12.0
	// guardM is added to every margin and clearance that the search keeps, so that printing coordinates to 0.1 mm and
	// thinning the sun's path never eat into what the user asked for.
	guardM = 1e-3
	// outsideM is the least clearance kept where none is asked for: that of what is in the view is 0, too.
	outsideM = guardM / 2
)

func newStage(s *shot.Shot) *stage {
	sin, cos := math.Sincos(s.Camera.BearingDeg * math.Pi / 180)
	eye := geom.Vec{Y: -s.Framing.DistanceM, Z: s.Camera.HeightM}
	aim := geom.Vec{Z: s.Camera.AimHeightM}
	reach := aim.Sub(eye).Len()
	st := &stage{
		view: geom.Look(eye, aim, s.Framing.WidthM/(2*reach), s.Framing.WidthM/(2*reach*s.Framing.AspectRatio)),
		half: geom.Vec{X: s.Zone.WidthM / 2, Y: s.Zone.DepthM / 2, Z: (s.Zone.TopM - s.Zone.BaseM) / 2},
		mid:  geom.Vec{Z: (s.Zone.TopM + s.Zone.BaseM) / 2},
		sin:  sin, cos: cos,
		headM: s.Allowance.HeadM, coverM: s.Allowance.CoverM, viewM: math.Max(s.Allowance.ViewM, outsideM),
	}
	st.grownX, st.grownY = st.half.X+headBorderM, st.half.Y+headBorderM
	for i := range s.OtherZones {
		st.others = append(st.others, st.other(&s.OtherZones[i]))
	}
	return st
}

// widened is the stage with the zone's half-width changed and all else equal.
func (st *stage) widened(halfWidth float64) *stage {
	w := *st
	w.half.X = halfWidth
	w.grownX = halfWidth + headBorderM
	return &w
}

// corners are the zone's eight corners.
func (st *stage) corners() (c [8]geom.Vec) {
	for i := range c {
		c[i] = geom.Vec{
			X: st.mid.X + st.half.X*float64(i&1*2-1),
			Y: st.mid.Y + st.half.Y*float64(i>>1&1*2-1),
			Z: st.mid.Z + st.half.Z*float64(i>>2&1*2-1),
		}
	}
	return c
}

// support is the largest value of x·p over the zone.
func (st *stage) support(x geom.Vec) float64 {
	return x.Dot(st.mid) + math.Abs(x.X)*st.half.X + math.Abs(x.Y)*st.half.Y + math.Abs(x.Z)*st.half.Z
}

func (st *stage) toWorld(p geom.Vec) geom.Vec {
	return geom.Vec{X: p.X*st.cos + p.Y*st.sin, Y: -p.X*st.sin + p.Y*st.cos, Z: p.Z}
}

func (st *stage) fromWorld(p geom.Vec) geom.Vec {
	return geom.Vec{X: p.X*st.cos - p.Y*st.sin, Y: p.X*st.sin + p.Y*st.cos, Z: p.Z}
}
