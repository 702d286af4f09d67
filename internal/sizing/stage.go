package sizing

import (
	"math"

	"kitspan/internal/geom"
	"kitspan/internal/shot"
)

// stage is the shot laid out in the camera's own axes, the origin where the shot has it. The engine works here, so that
// turning the whole scene changes nothing but the last step, toWorld.
type stage struct {
	view geom.View
	// half and mid are the zone's half-sizes and its middle.
	half, mid     geom.Vec
	headM         float64
	coverM, viewM float64
	axes          geom.Axes
	// others are the further zones.
	others []geom.Box
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
	zone := s.Zone.Box()
	st := &stage{
		view: s.View(), half: zone.Half, mid: zone.Mid, axes: s.Axes(),
		headM: s.Allowance.HeadM, coverM: s.Allowance.CoverM, viewM: math.Max(s.Allowance.ViewM, outsideM),
	}
	for i := range s.OtherZones {
		st.others = append(st.others, s.OtherZones[i].Box(st.axes))
	}
	return st
}

// widened is the stage with the zone's half-width changed and all else equal.
func (st *stage) widened(halfWidth float64) *stage {
	w := *st
	w.half.X = halfWidth
	return &w
}

// zone is the zone as a box.
func (st *stage) zone() geom.Box { return geom.Box{Mid: st.mid, Half: st.half} }

// corners are the zone's eight corners.
func (st *stage) corners() [8]geom.Vec { return st.zone().Corners() }

// support is the largest value of x·p over the zone.
func (st *stage) support(x geom.Vec) float64 { return st.zone().Support(x) }

func (st *stage) toWorld(p geom.Vec) geom.Vec   { return st.axes.ToWorld(p) }
func (st *stage) fromWorld(p geom.Vec) geom.Vec { return st.axes.FromWorld(p) }

// headRoom is the ground over which head room holds: a zone's plan, grown. Where the width of the zone is sought, wide is 1 for
// the zone whose it is.
type headRoom struct {
	mid          geom.Vec
	halfX, halfY float64
	headM        float64
	wide         float64
}

// headRoom is that of the main zone.
func (st *stage) headRoom() headRoom {
	return headRoom{halfX: st.half.X + headBorderM, halfY: st.half.Y + headBorderM, headM: st.headM, wide: 1}
}

// headOver is that of a further zone: no lower than its people are high.
func (st *stage) headOver(z *geom.Box) headRoom {
	return headRoom{mid: z.Mid, halfX: z.Half.X + headBorderM, halfY: z.Half.Y + headBorderM, headM: math.Max(st.headM, z.Mid.Z+z.Half.Z)}
}
