package text

import (
	"fmt"
	"math"
	"unicode"
	"unicode/utf8"
)

const (
	footM         = 0.3048 // international foot, exact
	inchesPerFoot = 12
)

// length is a length with so many decimals of a metre; in feet to the inch, or to the foot where there are no decimals.
func (to Reader) length(m float64, decimals int) string {
	if !to.feet {
		return to.fixed(m, decimals) + " m"
	}
	return feet(m, decimals, math.Round)
}

// atLeast is a length that must not be stated as less than it is.
func (to Reader) atLeast(m float64, decimals int) string {
	if !to.feet {
		p := math.Pow10(decimals)
		return to.fixed(math.Ceil(m*p)/p, decimals) + " m"
	}
	return feet(m, decimals, func(v float64) float64 { return math.Ceil(v - 1e-9) })
}

func feet(m float64, decimals int, round func(float64) float64) string {
	sign := ""
	if m < 0 {
		sign, m = "−", -m
	}
	if decimals == 0 {
		return fmt.Sprintf("%s%.0f ft", sign, round(m/footM))
	}
	inches := int(round(m / footM * inchesPerFoot))
	if inches < inchesPerFoot {
		return fmt.Sprintf("%s%d in", sign, inches)
	}
	return fmt.Sprintf("%s%d ft %d in", sign, inches/inchesPerFoot, inches%inchesPerFoot)
}

// short is a length by which something falls short, which is never nothing.
func (to Reader) short(m float64) string {
	switch {
	case !to.feet && m < 0.01:
		return to.say("under %.2f m", 0.01)
	case to.feet && m < footM/inchesPerFoot:
		return to.say("under %d in", 1)
	}
	return to.length(m, 2)
}

func (to Reader) area(m2 float64) string {
	if !to.feet {
		return to.fixed(m2, 1) + " m²"
	}
	return to.fixed(m2/footM/footM, 0) + " ft²"
}

// toTenth is ToNearest to one decimal.
func toTenth(v float64) float64 { return ToNearest(v, 1) }

// upper starts a sentence with a capital.
func upper(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	if n == 0 {
		return s
	}
	return string(unicode.ToUpper(r)) + s[n:]
}
