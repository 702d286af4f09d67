package lighting

import (
	"math"

	"kitspan/internal/geom"
	"kitspan/internal/scene"
)

// beamsClear reports whether the light of the array laid last passes clear of the camera and its operator.
func (q *lightSearch) beamsClear(t *array) bool {
	st := q.s.Light.Stage
	if t.diffuser != nil {
		if b := q.to.beamFrom(&q.laid.diffuser, q.to.mid); !st.OffBeam(&b) {
			return false
		}
	}
	for i := range q.laid.n {
		var b scene.Beam
		switch {
		case t.of.lamp != nil:
			b = scene.Beam{From: q.laid.lamps[i].At, Goal: q.laid.lamps[i].Aim, FromM: lampSizeM / 2, AtGoalM: lampSizeM / 2}
		case t.of.specular():
			b = q.to.beamFrom(&q.laid.rects[i], q.laid.goals[i])
		default:
			b = q.to.beamFrom(&q.laid.rects[i], q.to.mid)
		}
		if !st.OffBeam(&b) {
			return false
		}
	}
	return true
}

// beamFrom returns the way of a sheet's light to a goal: as wide as the sheet where it starts and, where the zone is narrower, as that where
// it ends.
func (to *aim) beamFrom(sheet *geom.Rect, goal geom.Vec) scene.Beam {
	across := geom.Vec{X: sheet.Center.Y - goal.Y, Y: goal.X - sheet.Center.X}.Unit()
	half := sheet.HalfU*math.Abs(sheet.U.Dot(across)) + sheet.HalfV*math.Abs(sheet.V.Dot(across))
	zone := to.half.X*math.Abs(across.X) + to.half.Y*math.Abs(across.Y)
	return scene.Beam{From: sheet.Center, Goal: goal, FromM: half, AtGoalM: math.Min(half, zone)}
}
