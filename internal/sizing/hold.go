package sizing

import (
	"math"
	"slices"

	"kitspan/internal/geom"
	"kitspan/internal/scene"
)

// hold is what supports allow: the heights of the point held, how far from it a mast may stand, and how many there are.
type hold struct {
	lowestM, highestM float64
	// topM is the limit asked for on the highest part of what is held; +Inf where there is none.
	topM  float64
	count int // 2 at the ends of the level axis, 4 at the corners
	// stances are the arms that a support may have, each with the feet that come with it: one for supports all alike.
	stances []stance
	// anywhere drops every condition on where supports stand.
	anywhere bool
}

// stance is the arm of a support and the radius of its feet.
type stance struct{ armM, footM float64 }

// reach is how far beyond a held point feet and all can be put: the best, over the stances, of arm × gain − feet × spread.
// A millimetre of the arm is kept back against rounding; the feet are those of the polygon that stands for their circle
// where clearances are measured.
func (h *hold) reach(gain, spread float64) float64 {
	best := math.Inf(-1)
	for _, s := range h.stances {
		best = math.Max(best, math.Max(0, s.armM-scene.GuardM)*gain-s.footM*geom.DiscOuter*spread)
	}
	return best
}

// spanM is how far from a held point the feet may lie.
func (h *hold) spanM() float64 {
	most := 0.0
	for _, s := range h.stances {
		most = math.Max(most, s.armM+s.footM*geom.DiscOuter)
	}
	return most + scene.GuardM
}

// within says whether a support can nothing that w cannot: where w fails, it does.
func (h *hold) within(w *hold) bool {
	a, b := h.stances[0], w.stances[0]
	return h.count == w.count && h.lowestM >= w.lowestM && h.highestM <= w.highestM &&
		a.armM <= b.armM && a.footM >= b.footM
}

// add keeps a stance where no other has as long an arm on as small feet.
func add(list []stance, s stance) []stance {
	if slices.ContainsFunc(list, func(o stance) bool { return o.armM >= s.armM && o.footM <= s.footM }) {
		return list
	}
	return append(slices.DeleteFunc(list, func(o stance) bool { return o.armM <= s.armM && o.footM >= s.footM }), s)
}

// anyHold is supports that set no limit within farM.
var anyHold = hold{highestM: 2 * scene.FarM, topM: math.Inf(1), count: 2, anywhere: true}
