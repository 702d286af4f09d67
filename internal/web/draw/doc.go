// Package draw makes the drawings of a sizing answer: what a grip wants to see before carrying anything. Every drawing
// is one SVG, made here and nowhere else, complete in itself: presentation attributes alone, no style, script or
// reference, so that the strictest content policy shows it and a printer without colours prints it. Kinds of line,
// hatching and words carry the meaning; the two colours only help.
//
// [Plan], [Along], [Across] and [Lens] are one option's rig from above, from the side, from behind the lens and through
// it; [Levels] is its light in stops; [Day] is a sweep. A piece has one number in all drawings of its option; [Legend]
// says what the numbers stand for.
//
// All functions are pure: the same answer gives the same bytes. What is to scale says so: the svg element carries
// data-scale (pixels a metre; in Lens pixels per unit of tangent), data-origin (where the shot's origin lies, in
// pixels) and data-bearing, and every element that stands for a thing of the answer carries data-piece (its index
// among the option's pieces) and data-part.
package draw

import (
	"kitspan/internal/phrase"
	"kitspan/internal/text"
)

// Units turns metres into text in the reader's units and number format, e.g. "2.40 m" or "7 ft 10 in", and numbers
// without a unit into the reader's format.
type Units struct {
	Length func(m float64) string
	Area   func(m2 float64, decimals int) string
	Number func(v float64, decimals int) string
	// Text is for whom sentences are written.
	Text text.Reader
	// Sheet is set for the printed sheet: the plan is lower and marks each stand by its letter ([text.StakeMark]), and what stands two
	// abreast is made for half the width, so that its letters print large enough to read.
	Sheet bool
	// ID sets the ids of a drawing apart from those of others of its kind on one page.
	ID string
}

// say is a sentence in the reader's language.
func (u Units) say(k phrase.Key, args ...any) string { return u.Text.Language().Say(k, args...) }

// signed is a number of stops, with a plus where it is one.
func (u Units) signed(v float64, decimals int) string {
	s := u.Number(v, decimals)
	if v > 0 && s != u.Number(0, decimals) {
		return "+" + s
	}
	return s
}
