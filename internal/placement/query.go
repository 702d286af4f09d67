package placement

import "math"

// Query is what a search looks for, and when it has found it.
type Query struct {
	size     Size
	supports *SupportLimits
	yield    Yield
	// Floor is a slack that is of no interest, or less. A search stops at a slack of Enough, +Inf for the best there is.
	floor, enough float64
	// Trial, where set, has to agree to a place before it is taken.
	trial *Trial

	only *branch // the one case to look at, for refining around a known spot; nil for all
	step float64 // up to what turn yieldTurn asks, radians
}

// Trial has an exact check look at places that fit. Searches that are given it count Patience down.
type Trial struct {
	// Accept reports whether a place will do; short is the number of the support that finds no room there, or −1.
	Accept func(*Spot) (ok bool, short int)
	// Patience is how many more places Accept will look at.
	Patience int
	// Thorough tries more places of a case before giving it up.
	Thorough bool
}

// over reports whether a trial has looked at all that it may.
func (t *Trial) over() bool { return t != nil && t.Patience <= 0 }

// coverTolerance is how far under 0 a slack may be that counts as covering: rounding.
const coverTolerance = 1e-9

// CoverQuery asks for the first place at which a frame of a size covers on some supports and that a trial, nil for none, agrees to.
func CoverQuery(sh Size, ho *SupportLimits, trial *Trial) Query {
	return Query{size: sh, supports: ho, yield: YieldCover, floor: -coverTolerance, trial: trial}
}

// MostSlackQuery asks for the place of most slack above a floor.
func MostSlackQuery(sh Size, ho *SupportLimits, y Yield, floor float64) Query {
	return Query{size: sh, supports: ho, yield: y, floor: floor, enough: math.Inf(1)}
}

// EnoughSlackQuery asks for a place at which nothing gives way, or else for that of most slack above a floor.
func EnoughSlackQuery(sh Size, ho *SupportLimits, y Yield, floor float64) Query {
	return Query{size: sh, supports: ho, yield: y, floor: floor}
}

// of is the same query for another size.
func (q Query) of(sh Size) Query {
	q.size = sh
	return q
}

// above is the same query with another floor.
func (q Query) above(floor float64) Query {
	q.floor = floor
	return q
}
