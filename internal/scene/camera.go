package scene

import (
	"math"

	"kitspan/internal/geom"
)

const (
	// CameraRoomM is how far from the lens, seen from above, everything on the ground stays: the body and its support stand there
	// (common practice, no source).
	CameraRoomM = 0.8
	// operatorWideM and operatorDeepM are the strip straight behind the lens on which the operator stands (common practice, no source).
	operatorWideM = 0.6
	operatorDeepM = 1.5
)

// OperatorRoom returns the strip of ground behind the lens that is the operator's, as a box without height.
func (st *Stage) OperatorRoom() geom.Box {
	eye := st.View.Eye
	return geom.Box{Mid: geom.Vec{X: eye.X, Y: eye.Y - operatorDeepM/2}, Half: geom.Vec{X: operatorWideM / 2, Y: operatorDeepM / 2}}
}

// OffCamera reports whether a disc on the ground, by its middle and its radius in metres, keeps off the camera and its operator.
func (st *Stage) OffCamera(at geom.Vec, radiusM float64) bool {
	eye := st.View.Eye
	return math.Hypot(at.X-eye.X, at.Y-eye.Y) >= CameraRoomM+radiusM && st.OperatorRoom().DistanceInPlan(at) >= radiusM
}

// LensLane returns the ground that a flag on the lens stands beside, as a box without height: [CameraRoomM] to either side of the line
// along which the lens looks, from behind the operator to the middle of the zone.
func (st *Stage) LensLane() geom.Box {
	eye := st.View.Eye
	half := (math.Max(st.Mid.Y, eye.Y+CameraRoomM) - eye.Y + operatorDeepM) / 2
	return geom.Box{Mid: geom.Vec{X: eye.X, Y: eye.Y - operatorDeepM + half}, Half: geom.Vec{X: CameraRoomM, Y: half}}
}
