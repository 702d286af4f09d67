package rigging

import "math"

// Effort is what the pieces of a plan ask of time: how much of what there is to do, and by how many pairs of hands. Its minutes are common
// practice, no source.
type Effort struct {
	Pieces   int
	AreaM2   float64 // that is built and laced
	Machines int
	Mains    int // lamps on the mains
	Supports int // machines among them
	Bags     int
	Lines    int
	Weights  int // at the feet of lines
	// Pairs work about each piece at once, at its supports, ballast and lines: one person alone is half a pair.
	Pairs float64
}

// EffortRates are the minutes of an [Effort]: for arriving, and for one of each kind.
type EffortRates struct{ Arrive, Piece, M2, Machine, Mains, Support, Bag, Line, Weight float64 }

// Rates returns the minutes that an [Effort] counts with.
func Rates() EffortRates {
	return EffortRates{minutesArrive, minutesPiece, minutesPerM2, minutesMachine, minutesMains, minutesSupport, minutesBag, minutesLine, minutesWeight}
}

// effortOf adds up what the pieces ask, worked at by so many hands.
func effortOf(tasks []Task, hands int) Effort {
	e := Effort{Pieces: len(tasks), Pairs: pairsOf(hands)}
	for i := range tasks {
		t := &tasks[i]
		e.AreaM2 += t.AreaM2
		e.Machines += t.Machines
		e.Supports += t.Supports
		e.Bags += t.Bags
		e.Lines += t.Lines
		e.Weights += t.Weights
		if t.Mains {
			e.Mains++
		}
	}
	return e
}

// Minutes returns how long it takes to put up, one piece after another, before it is rounded up to five.
func (e Effort) Minutes() float64 {
	return minutesArrive + minutesPiece*float64(e.Pieces) + minutesPerM2*e.AreaM2 + minutesMachine*float64(e.Machines) + minutesMains*float64(e.Mains) +
		aboutMin(e.Supports, e.Bags, e.Lines, e.Weights, e.Pairs)
}

// aboutMin is the minutes for what lies about pieces: their supports, their ballast and their ropes.
func aboutMin(supports, bags, lines, weights int, pairs float64) float64 {
	return (minutesSupport*float64(supports) + minutesBag*float64(bags) + minutesLine*float64(lines) + minutesWeight*float64(weights)) / pairs
}

// aboutMin is the minutes for what lies about a piece.
func (t *Task) aboutMin(pairs float64) float64 {
	return aboutMin(t.Supports, t.Bags, t.Lines, t.Weights, pairs)
}

// pairsOf is in how many pairs hands work about a piece: one alone takes twice the time of two.
func pairsOf(hands int) float64 {
	if hands == 1 {
		return 0.5
	}
	return math.Max(1, math.Floor(float64(hands)/2))
}
