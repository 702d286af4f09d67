package lighting

import (
	"math"

	"kitspan/internal/finding"
	"kitspan/internal/geom"
	"kitspan/internal/light"
	"kitspan/internal/shot"
)

// shiftMired returns by how much what an array throws is warmer than what falls on it.
func (t *array) shiftMired() float64 {
	shift := t.of.front.ShiftMired
	if t.diffuser != nil {
		shift += t.diffuser.fabric.ColourShiftMired
	}
	return shift
}

// warms reports whether an array makes what it lights visibly warmer.
func (t *array) warms() bool { return t.shiftMired() >= shot.TintMired }

// suits reports whether an array has the colour that is searched for: a warm one, or none.
func (q *query) suits(t *array) bool {
	return q.dims || q.warm && t.warms() || !q.warm && math.Abs(t.shiftMired()) < shot.TintMired
}

// keyShift returns by how much the light of a level, in lux, on the key face of a place is warmer than the sun; nil where nothing on
// its way shifts it. The scene must be up to date.
func (a *Arrangement) keyShift(at geom.Vec, keyLx float64) *float64 {
	mired, ok := light.ShiftMired(a.solo, &a.scene, overGround(at), a.Light.Key, keyLx)
	if !ok {
		return nil
	}
	return &mired
}

// noteColour notes where a warm key is asked for and is not had.
func (a *Arrangement) noteColour(pl *Planner) {
	if pl.shot.Look.Colour != shot.ColourWarm {
		return
	}
	missed := finding.ColourMissed{AskedMired: shot.TintMired, Unlifted: a.key == nil && math.Abs(a.Levels.KeyStops-pl.shot.Look.KeyStops) <= closeStops}
	if shift := a.Levels.KeyShiftMired; shift != nil {
		if *shift >= shot.TintMired {
			return
		}
		missed.KeyShiftMired = *shift
	}
	a.Lacks = append(a.Lacks, finding.Shortfall{What: finding.Colour})
	a.note(missed)
}
