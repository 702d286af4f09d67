package light

import (
	"math"
	"slices"

	"kitspan/internal/geom"
)

// shiftStep is the change of a share, per mired, by which shifts are found. The error of what is found is half its product with the
// largest shift on a way, under 1e-4 of it; rounding makes 1e-8 mired of it.
const shiftStep = 1e-7

// leastShiftMired is far less than any shift, and far more than rounding makes of none.
const leastShiftMired = 1e-4

// ShiftMired returns by how many mired the light on a small face at p with the unit normal n, whose level in lux is known, is warmer than
// its sources: the mean, by illuminance, over the ways by which it comes, along each of which what cloths and surfaces shift adds up.
// Sources, sky and ground count as nothing. ok is false where nothing on any way shifts. It works in l's memory, which afterwards holds
// another scene.
//
// A level is a sum over ways of products of shares, one for each cloth or surface on the way. With every share grown by its shift times
// a small step, each product grows by the sum of its shifts times the step, and so the level by the sum that is wanted.
func ShiftMired(l *Lit, s *Scene, p, n geom.Vec, levelLx float64) (mired float64, ok bool) {
	if !(levelLx > 0) || !slices.ContainsFunc(s.Panels, shifts) {
		return 0, false
	}
	warm := *s
	warm.Panels = slices.Clone(s.Panels)
	for i := range warm.Panels {
		v := &warm.Panels[i]
		v.Transmittance *= 1 + shiftStep*v.ShiftMired
		for _, side := range [2]*Surface{&v.A, &v.B} {
			side.Diffuse *= 1 + shiftStep*side.ShiftMired
			side.Specular *= 1 + shiftStep*side.ShiftMired
		}
	}
	l.Set(&warm)
	mired = (l.Face(p, n).Total()/levelLx - 1) / shiftStep
	return mired, math.Abs(mired) >= leastShiftMired
}

// shifts reports whether anything of a panel changes the colour of light.
func shifts(v Panel) bool { return v.ShiftMired != 0 || v.A.ShiftMired != 0 || v.B.ShiftMired != 0 }
