package text

import (
	"strconv"
	"strings"

	"github.com/bojanz/currency"

	"kitspan/internal/phrase"
)

// Reader is who reads: which language, and lengths in which units.
type Reader struct {
	feet     bool
	language *phrase.Language // nil for English
}

// Readers of English, with lengths in metres with decimals, or in feet and inches.
var (
	Metres = Reader{}
	Feet   = Reader{feet: true}
)

// In returns the reader of another language with the same units.
func (to Reader) In(l *phrase.Language) Reader {
	to.language = l
	return to
}

// Feet reports whether the reader's lengths are in feet.
func (to Reader) Feet() bool { return to.feet }

// Language is what the reader reads.
func (to Reader) Language() *phrase.Language {
	if to.language == nil {
		return phrase.English
	}
	return to.language
}

// say is a sentence in the reader's language.
func (to Reader) say(k phrase.Key, args ...any) string { return to.language.Say(k, args...) }

// count is a sentence about n things in the reader's language.
func (to Reader) count(one, many phrase.Key, n int, args ...any) string {
	return to.language.Count(one, many, n, args...)
}

// fixed is a number with so many decimals.
func (to Reader) fixed(v float64, decimals int) string {
	return to.language.Number(strconv.FormatFloat(v, 'f', decimals, 64))
}

// amount is an amount without its currency, and money one with it.
func (to Reader) amount(a currency.Amount) string { return to.language.Number(a.Number()) }
func (to Reader) money(a currency.Amount) string  { return to.amount(a) + " " + a.CurrencyCode() }

// and and or list things: "a, b and c", "a, b, or c".
func (to Reader) and(list []string) string { return to.listed(list, "list|%s and %s") }
func (to Reader) or(list []string) string  { return to.listed(list, "list|%s, or %s") }

func (to Reader) listed(list []string, last phrase.Key) string {
	if len(list) < 2 {
		return strings.Join(list, "")
	}
	n := len(list) - 1
	return to.say(last, strings.Join(list[:n], ", "), list[n])
}
