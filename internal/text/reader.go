package text

import "kitspan/internal/phrase"

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
func (r Reader) In(l *phrase.Language) Reader {
	r.language = l
	return r
}

// Feet reports whether the reader's lengths are in feet.
func (r Reader) Feet() bool { return r.feet }

// Language is what the reader reads.
func (r Reader) Language() *phrase.Language {
	if r.language == nil {
		return phrase.English
	}
	return r.language
}

// say is a sentence in the reader's language.
func (r Reader) say(k phrase.Key, args ...any) string { return r.language.Say(k, args...) }

// count is a sentence about n things in the reader's language.
func (r Reader) count(one, many phrase.Key, n int, args ...any) string {
	return r.language.Count(one, many, n, args...)
}
