package scene

import (
	"math"

	"kitspan/internal/geom"
	"kitspan/internal/shot"
)

// Carry returns the stage of a frame that is held by hand: the zone is the people's own and moves, with the frame and all who hold it,
// along their way. Places on it are those in the middle of the way. A place that keeps the returned stage's clearance from the view keeps
// the shot's everywhere on the way: moved by d, a point that lies beyond a plane of the picture comes nearer to it by |g·d| at most.
func (st *Stage) Carry() *Stage {
	own := *st
	own.Carried = true
	own.Half.X, own.Half.Y = st.Half.X-math.Abs(st.Way.X), st.Half.Y-math.Abs(st.Way.Y)
	planes := st.ViewPlanes()
	most := func(a, b int) float64 {
		return math.Max(math.Abs(planes[a].Dot(st.Way)), math.Abs(planes[b].Dot(st.Way)))
	}
	own.ViewM += math.Hypot(most(LeftOfView, RightOfView), most(UnderView, OverView))
	return &own
}

// ZoneWidthM returns how wide the zone is, in metres, where the box around its way has a width; 0 where that is less than the way.
func (st *Stage) ZoneWidthM(sweptM float64) float64 { return math.Max(0, sweptM-2*math.Abs(st.Way.X)) }

// ends returns by how much the stage is moved where what is on it has to be looked at: at either end of the way where it is carried, else
// nowhere. Seen from a point that moves straight, a lamp at a place moves straight, and so does where its ray crosses an opening, which is
// convex: what passes at both ends passes between them.
func (st *Stage) ends() []geom.Vec {
	if !st.Carried || st.Way == (geom.Vec{}) {
		return []geom.Vec{{}}
	}
	return []geom.Vec{st.Way.Scale(-1), st.Way}
}

// LineClearance returns the least distance of a line from p to q from the view, in metres, everywhere on the way where the stage is carried.
func (st *Stage) LineClearance(p, q geom.Vec) float64 {
	ends := st.ends()
	if len(ends) == 1 {
		return st.View.SegmentClearance(p, q)
	}
	return st.View.PolygonClearance([]geom.Vec{p.Add(ends[0]), q.Add(ends[0]), q.Add(ends[1]), p.Add(ends[1])})
}

// Clearance is [Stage.LineClearance] of a flat convex outline: exact, over the faces of the prism that it sweeps.
func (st *Stage) Clearance(outline []geom.Vec) float64 {
	ends := st.ends()
	if len(ends) == 1 {
		return st.View.PolygonClearance(outline)
	}
	least := math.Inf(1)
	for i, p := range outline {
		least = math.Min(least, st.LineClearance(p, outline[(i+1)%len(outline)]))
	}
	for _, on := range ends {
		moved := make([]geom.Vec, len(outline))
		for i, p := range outline {
			moved[i] = p.Add(on)
		}
		least = math.Min(least, st.View.PolygonClearance(moved))
	}
	return least
}

// along is at how many places of the way, ends included, a person who carries is looked at: a step apart at the most.
func (st *Stage) along() []geom.Vec {
	if ends := st.ends(); len(ends) == 1 {
		return ends
	}
	n := 2 + int(2*st.Way.Len()/stepM)
	out := make([]geom.Vec, n)
	for i := range out {
		out[i] = st.Way.Scale(2*float64(i)/float64(n-1) - 1)
	}
	return out
}

// stepM is a short step of somebody who carries (common practice, no source).
const stepM = 0.25

// OffAll reports whether a person, a disc on the ground of a radius in metres, keeps off the zone, off every further zone and off the camera,
// everywhere on the way where the stage is carried.
func (st *Stage) OffAll(at geom.Vec, radiusM float64) bool {
	zone := st.Zone()
	if zone.DistanceInPlan(at) < radiusM {
		return false
	}
	for _, on := range st.along() {
		p := at.Add(on)
		if !st.OffCamera(p, radiusM) {
			return false
		}
		for i := range st.Others {
			if st.Others[i].DistanceInPlan(p) < radiusM {
				return false
			}
		}
	}
	return true
}

// CarriedLightOf is [LightOf] on the stage of a frame that is held by hand.
func CarriedLightOf(s *shot.Shot) *Light { return lightOn(s, NewStage(s).Carry()) }
