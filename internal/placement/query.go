package placement

import "math"

// Query is what a search looks for, and when it has found it. [CoverQuery], [MostSlackQuery] and [EnoughSlackQuery] make one.
type Query struct {
	size     Size
	supports *SupportLimits
	yield    Yield
	// A slack of floor or less is of no interest. A search stops at a slack of enough, +Inf for the best there is.
	floor, enough float64
	// trial, where set, has to accept a place before it is taken.
	trial *Trial

	only *branch // the one case to look at, for refining around a known spot; nil for all
	step float64 // the largest turn, in radians, that yieldTurn allows for
}

// Trial is an exact check of places that fit. A search that uses it counts Patience down.
type Trial struct {
	// Accept reports whether a place will do; short is the index of the support that finds no room there, or −1.
	Accept func(*Spot) (ok bool, short int)
	// Patience is how many more places Accept will look at.
	Patience int
	// Thorough tries more places of a case before giving it up.
	Thorough bool
}

// over reports whether a trial has looked at as many places as it may.
func (t *Trial) over() bool { return t != nil && t.Patience <= 0 }

// coverTolerance is how far below 0, in metres, a slack may be that still counts as covering: rounding.
const coverTolerance = 1e-9

// CoverQuery asks for the first place at which a frame of a size covers on some supports and which a trial, nil for none, accepts.
func CoverQuery(size Size, supports *SupportLimits, trial *Trial) Query {
	return Query{size: size, supports: supports, yield: YieldCover, floor: -coverTolerance, trial: trial}
}

// MostSlackQuery asks for the place of most slack above a floor.
func MostSlackQuery(size Size, supports *SupportLimits, yield Yield, floor float64) Query {
	return Query{size: size, supports: supports, yield: yield, floor: floor, enough: math.Inf(1)}
}

// EnoughSlackQuery asks for a place at which nothing has to give way, or else for that of most slack above a floor.
func EnoughSlackQuery(size Size, supports *SupportLimits, yield Yield, floor float64) Query {
	return Query{size: size, supports: supports, yield: yield, floor: floor}
}

// of returns the same query for another size.
func (q Query) of(size Size) Query {
	q.size = size
	return q
}

// above returns the same query with another floor.
func (q Query) above(floor float64) Query {
	q.floor = floor
	return q
}
