package rigging

import "math"

// Governs is what gives way first, in the words of the contract.
type Governs string

// What can govern.
const (
	GovernsOverturning Governs = "overturning"
	GovernsSliding     Governs = "sliding"
	GovernsUplift      Governs = "uplift"
	GovernsLine        Governs = "line"
	GovernsAnchor      Governs = "anchor"
	GovernsSupport     Governs = "support"
	GovernsHouseLimit  Governs = "house_limit"
	GovernsNone        Governs = "none"
)

// Hold is what a piece bears of the wind, as 3-second gusts in m/s, none under 0 or over [CeilingMS].
type Hold struct {
	// SafeToMS is the gust up to which everything holds with the safety factor, GoesAtMS that up to which it does without any.
	SafeToMS, GoesAtMS float64
	// LowerAtMS is when it is to be down: the least of SafeToMS, [LowerShare] of GoesAtMS, and the limits that the house and the
	// makers of its machines set. WatchAtMS, [WatchShare] of that, is from when somebody watches it.
	LowerAtMS, WatchAtMS float64
	// Governs is what goes first at GoesAtMS; where a limit that somebody set is what LowerAtMS comes from, that one.
	Governs Governs
	// Support is the index of the support that goes first, -1 where it is none of them.
	Support int

	fallen bool // it does not stand in calm air
}

// LimitSet reports whether LowerAtMS comes from a limit that the house or a maker sets, named by Governs.
func (h *Hold) LimitSet() bool { return h.LowerAtMS < min(h.SafeToMS, LowerShare*h.GoesAtMS) }

// Holds reports whether a piece holds a gust, in m/s: whether it may still be up in it. What does not stand in calm air holds none.
func (h *Hold) Holds(gustMS float64) bool { return !h.fallen && h.LowerAtMS >= gustMS }

// setLimit is a limit that a house or a maker sets, whatever the balance says; gustMS 0 for none.
type setLimit struct {
	gustMS  float64
	by      Governs
	support int
}

// holdOf returns what there is to say of a piece that stands up to safeMS with its safety factor, goes at goesMS without any,
// each under 0 where it does not stand in calm air, by what goes first there, and has a limit set.
func holdOf(safeMS, goesMS float64, first Governs, support int, set setLimit) Hold {
	h := Hold{
		SafeToMS: min(CeilingMS, max(0, safeMS)), GoesAtMS: min(CeilingMS, max(0, goesMS)),
		Governs: first, Support: support, fallen: !(safeMS >= 0),
	}
	h.LowerAtMS = min(h.SafeToMS, LowerShare*h.GoesAtMS)
	if set.gustMS > 0 && set.gustMS < h.LowerAtMS {
		h.LowerAtMS, h.Governs, h.Support = set.gustMS, set.by, set.support
	}
	h.WatchAtMS = WatchShare * h.LowerAtMS
	return h
}

// HoldOf returns what there is to say of a structure by its stability, of which the house or the maker of the machine that is
// stand number own, −1 for the house, allows a gust of limitMS; 0 for none.
func HoldOf(s Stability, limitMS float64, own int) Hold {
	set := setLimit{limitMS, GovernsHouseLimit, -1}
	if own >= 0 {
		set = setLimit{limitMS, GovernsSupport, own}
	}
	return holdOf(s.SafeToMS, s.GoesAtMS, s.Governs, s.Stand, set)
}

// factorOf returns the factor that counts: at least 1, and 0 stands for the default.
func factorOf(safetyFactor float64) float64 {
	if safetyFactor == 0 {
		return DefaultSafetyFactor
	}
	return math.Max(1, safetyFactor)
}
