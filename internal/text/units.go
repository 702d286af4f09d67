package text

import (
	"fmt"
	"math"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/bojanz/currency"
)

const (
	footM         = 0.3048 // international foot, exact
	inchesPerFoot = 12
)

// length is a length with so many decimals of a metre; in feet to the inch, or to the foot where there are no decimals.
func (u Reader) length(m float64, decimals int) string {
	if !u.feet {
		return fmt.Sprintf("%.*f m", decimals, m)
	}
	return feet(m, decimals, math.Round)
}

// atLeast is a length that must not be stated as less than it is.
func (u Reader) atLeast(m float64, decimals int) string {
	if !u.feet {
		p := math.Pow10(decimals)
		return fmt.Sprintf("%.*f m", decimals, math.Ceil(m*p)/p)
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
func (u Reader) short(m float64) string {
	switch {
	case !u.feet && m < 0.01:
		return "under 0.01 m"
	case u.feet && m < footM/inchesPerFoot:
		return "under 1 in"
	}
	return u.length(m, 2)
}

func (u Reader) area(m2 float64) string {
	if !u.feet {
		return fmt.Sprintf("%.1f m²", m2)
	}
	return fmt.Sprintf("%.0f ft²", m2/footM/footM)
}

// money is an amount with its currency.
func money(a currency.Amount) string { return a.Number() + " " + a.CurrencyCode() }

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

// plural is the ending of a noun.
func plural(n int) string {
	if n == 1 {
		return ""
	}
	return "s"
}

// listed joins with commas and a last word before the last.
func listed(list []string, last string) string {
	if len(list) < 2 {
		return strings.Join(list, "")
	}
	return strings.Join(list[:len(list)-1], ", ") + last + list[len(list)-1]
}
