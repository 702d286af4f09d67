package scene

import (
	"math"

	"kitspan/internal/geom"
	"kitspan/internal/shot"
)

// Stage is the shot laid out in the camera's own axes, the origin where the shot has it or, where the people walk, under the middle of
// their way; the zone is the box around that way then. All searches work in these axes, so that
// turning the whole scene changes nothing but the last step, [Stage.ToWorld].
type Stage struct {
	View geom.View
	// Half and Mid are the zone's half-sizes and its middle.
	Half, Mid geom.Vec
	// HeadM is the head room, CoverM the margin by which an opening covers the zone, and ViewM the clearance kept from the view.
	HeadM, CoverM, ViewM float64
	axes                 geom.Axes
	// origin is where the stage's own origin lies in the camera's axes about the world's: under the middle of the way of people who walk.
	origin geom.Vec
	// Way is half the way from there to where it ends, Carried whether the stage moves along it with all that is on it; see
	// [Stage.Carry].
	Way     geom.Vec
	Carried bool
	// Others are the further zones.
	Others []geom.Box
}

const (
	// HeadBorderM is how far around the zone head room is kept (contract: the zone grown by 0.5 m).
	HeadBorderM = 0.5
	// LowEdgeM is the least height of a frame's lowest edge where no head room is kept (contract: 0.3 m).
	LowEdgeM = 0.3
	// FarM bounds the distance from the middle of the zone to the middle of a frame (contract: 12 m).
	FarM = 12.0
	// GuardM is added to every margin and clearance that the search keeps, so that printing coordinates to 0.1 mm and
	// thinning the sun's path never eat into what the user asked for.
	GuardM = 1e-3
	// outsideM is the least clearance kept where none is asked for: that of what is in the view is 0, too.
	outsideM = GuardM / 2
)

// NewStage lays out the zones and the camera of a shot.
func NewStage(s *shot.Shot) *Stage {
	zone := s.Swept()
	origin := geom.Vec{X: zone.Mid.X, Y: zone.Mid.Y}
	st := &Stage{
		View: s.View(), Half: zone.Half, Mid: zone.Mid.Sub(origin), axes: s.Axes(), origin: origin, Way: origin,
		HeadM: s.Allowance.HeadM, CoverM: s.Allowance.CoverM, ViewM: math.Max(s.Allowance.ViewM, outsideM),
	}
	for i := range s.OtherZones {
		z := s.OtherZones[i].Box(st.axes)
		z.Mid = z.Mid.Sub(origin)
		st.Others = append(st.Others, z)
	}
	st.View.Eye = st.View.Eye.Sub(origin)
	return st
}

// WithHalfWidth returns the stage with another half-width of the zone, in metres, and all else equal.
func (st *Stage) WithHalfWidth(halfWidth float64) *Stage {
	w := *st
	w.Half.X = halfWidth
	return &w
}

// Zone returns the zone as a box.
func (st *Stage) Zone() geom.Box { return geom.Box{Mid: st.Mid, Half: st.Half} }

// corners returns the zone's eight corners.
func (st *Stage) corners() [8]geom.Vec { return st.Zone().Corners() }

// Support returns the largest value of x·p over the points p of the zone.
func (st *Stage) Support(x geom.Vec) float64 { return st.Zone().Support(x) }

// ToWorld turns a point from the camera's axes into the world's.
func (st *Stage) ToWorld(p geom.Vec) geom.Vec { return st.axes.ToWorld(p.Add(st.origin)) }

// FromWorld turns a point from the world's axes into the camera's.
func (st *Stage) FromWorld(p geom.Vec) geom.Vec { return st.axes.FromWorld(p).Sub(st.origin) }

// HeadRoom is the ground over which head room is kept, a zone's plan grown by [HeadBorderM], and its height. PerHalfWidth is by how
// much HalfX grows with the half-width of the main zone, where that is the unknown: 1 for the main zone, 0 for a further one.
type HeadRoom struct {
	Mid          geom.Vec
	HalfX, HalfY float64
	HeadM        float64
	PerHalfWidth float64
}

// HeadRoom returns the head room of the main zone.
func (st *Stage) HeadRoom() HeadRoom {
	return HeadRoom{HalfX: st.Half.X + HeadBorderM, HalfY: st.Half.Y + HeadBorderM, HeadM: st.HeadM, PerHalfWidth: 1}
}

// HeadRoomOver returns the head room of a further zone: no lower than its people are high.
func (st *Stage) HeadRoomOver(z *geom.Box) HeadRoom {
	return HeadRoom{Mid: z.Mid, HalfX: z.Half.X + HeadBorderM, HalfY: z.Half.Y + HeadBorderM, HeadM: math.Max(st.HeadM, z.Mid.Z+z.Half.Z)}
}
