package placement

import (
	"math"
	"slices"

	"kitspan/internal/geom"
	"kitspan/internal/scene"
)

// SupportLimits is what supports allow: the heights in metres of the points at which they hold a frame, how far from these a mast
// may stand, and how many there are.
type SupportLimits struct {
	LowestM, HighestM float64
	// TopM is the limit asked for on the height of the highest part of what is held, in metres; +Inf where there is none.
	TopM  float64
	Count int // 2 at the ends of the level axis, 4 at the corners
	// Stances are the arms that a support may have, each with the feet that come with it: one for supports all alike.
	Stances []Stance
	// Anywhere drops every condition on where supports stand.
	Anywhere bool
}

// Stance is the greatest length of a support's arm, in plan, and the radius of its feet, in metres.
type Stance struct{ ArmM, FootM float64 }

// armReach returns how far beyond a held point feet and all can be put: the best, over the stances, of arm × gain − feet × spread.
// A millimetre of the arm is kept back against rounding; the feet are those of the polygon that stands for their circle
// where clearances are measured.
func (h *SupportLimits) armReach(gain, spread float64) float64 {
	best := math.Inf(-1)
	for _, s := range h.Stances {
		best = math.Max(best, math.Max(0, s.ArmM-scene.GuardM)*gain-s.FootM*geom.DiscOuter*spread)
	}
	return best
}

// spanM returns how far from a held point the feet may lie.
func (h *SupportLimits) spanM() float64 {
	most := 0.0
	for _, s := range h.Stances {
		most = math.Max(most, s.ArmM+s.FootM*geom.DiscOuter)
	}
	return most + scene.GuardM
}

// Within reports whether supports of h allow nothing that those of w do not: where w fails, h does. It compares the first stance
// of each.
func (h *SupportLimits) Within(w *SupportLimits) bool {
	a, b := h.Stances[0], w.Stances[0]
	return h.Count == w.Count && h.LowestM >= w.LowestM && h.HighestM <= w.HighestM &&
		a.ArmM <= b.ArmM && a.FootM >= b.FootM
}

// AddStance adds a stance to a list, unless one there has as long an arm on feet as small, and drops those that it is no worse
// than in both.
func AddStance(list []Stance, s Stance) []Stance {
	if slices.ContainsFunc(list, func(o Stance) bool { return o.ArmM >= s.ArmM && o.FootM <= s.FootM }) {
		return list
	}
	return append(slices.DeleteFunc(list, func(o Stance) bool { return o.ArmM <= s.ArmM && o.FootM >= s.FootM }), s)
}

// AnySupport are two supports that set no limit within [scene.FarM]. It must not be changed.
var AnySupport = SupportLimits{HighestM: 2 * scene.FarM, TopM: math.Inf(1), Count: 2, Anywhere: true}
