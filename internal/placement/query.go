package placement

import "math"

// Query is what a search looks for, and when it has found it.
type Query struct {
	Size     Size
	Supports *SupportLimits
	Yield    Yield
	// Floor is a slack that is of no interest, or less. A search stops at a slack of Enough, +Inf for the best there is.
	Floor, Enough float64
	// Trial, where set, has to agree to a place before it is taken.
	Trial *Trial

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

// Cover asks for the first place at which a frame of a size covers on some supports and that a trial, nil for none, agrees to.
func Cover(sh Size, ho *SupportLimits, trial *Trial) Query {
	return Query{Size: sh, Supports: ho, Yield: YieldCover, Floor: -coverTolerance, Trial: trial}
}

// Most asks for the place of most slack above a floor.
func Most(sh Size, ho *SupportLimits, y Yield, floor float64) Query {
	return Query{Size: sh, Supports: ho, Yield: y, Floor: floor, Enough: math.Inf(1)}
}

// Enough asks for a place at which nothing gives way, or else for that of most slack above a floor.
func Enough(sh Size, ho *SupportLimits, y Yield, floor float64) Query {
	return Query{Size: sh, Supports: ho, Yield: y, Floor: floor}
}

// of is the same query for another size.
func (q Query) of(sh Size) Query {
	q.Size = sh
	return q
}

// above is the same query with another floor.
func (q Query) above(floor float64) Query {
	q.Floor = floor
	return q
}
