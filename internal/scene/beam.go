package scene

import (
	"math"

	"kitspan/internal/geom"
)

// Beam is light on its way from a sheet or a lamp to what it lights, as seen from above: straight from middle to middle, and half its
// width, in metres, at either end.
type Beam struct {
	From, Goal     geom.Vec
	FromM, AtGoalM float64
}

// OffBeam reports whether a beam keeps off the camera and its operator, so that it neither throws their shadow on what it lights nor
// dazzles them: [CameraRoomM] off the lens, or half of what its goal is off the lens where that is less, and off the operator's strip
// (common practice, no source).
func (st *Stage) OffBeam(b *Beam) bool {
	eye := st.View.Eye
	goalM := math.Hypot(eye.X-b.Goal.X, eye.Y-b.Goal.Y)
	room := st.OperatorRoom()
	if math.Max(b.FromM, b.AtGoalM)+CameraRoomM+operatorDeepM < geom.DistanceInPlan(eye, b.From, b.Goal) {
		return true // most are far off
	}
	edges, ok := b.outline()
	if !ok {
		return true
	}
	if within(&edges, eye) || room.CutInPlan(b.From, b.Goal) {
		return false
	}
	for i := range edges {
		a, b := edges[i], edges[(i+1)%4]
		if geom.DistanceInPlan(eye, a, b) < math.Min(CameraRoomM, goalM/2)+GuardM || room.CutInPlan(a, b) {
			return false
		}
		corner := geom.Vec{X: room.Mid.X + room.Half.X*float64(1-i&2), Y: room.Mid.Y + room.Half.Y*float64(1-2*(i&1))}
		if within(&edges, corner) {
			return false
		}
	}
	return true
}

// outline returns the corners of a beam, one after the other; ok is false where it goes nowhere.
func (b *Beam) outline() (c [4]geom.Vec, ok bool) {
	way := geom.Vec{X: b.Goal.X - b.From.X, Y: b.Goal.Y - b.From.Y}
	if way.Len() < GuardM {
		return c, false
	}
	way = way.Unit()
	left := geom.Vec{X: -way.Y, Y: way.X}
	return [4]geom.Vec{
		b.From.Sub(left.Scale(b.FromM)), b.Goal.Sub(left.Scale(b.AtGoalM)), b.Goal.Add(left.Scale(b.AtGoalM)), b.From.Add(left.Scale(b.FromM)),
	}, true
}

// within reports whether a point lies in an outline that runs anticlockwise as seen from above.
func within(outline *[4]geom.Vec, p geom.Vec) bool {
	for i, a := range outline {
		b := &outline[(i+1)%4]
		if (b.X-a.X)*(p.Y-a.Y)-(b.Y-a.Y)*(p.X-a.X) < 0 {
			return false
		}
	}
	return true
}
