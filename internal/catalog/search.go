package catalog

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"
)

// MaxSearch is the most characters that the words of a [Search] may have, the spaces between them included: common practice, no source.
const MaxSearch = 100

// SearchTooLongError refuses words of more than [MaxSearch] characters.
type SearchTooLongError struct{ Characters int }

func (e *SearchTooLongError) Error() string {
	return fmt.Sprintf("%d characters to search for: give at most %d", e.Characters, MaxSearch)
}

// Search chooses items of a catalogue. The zero value chooses all of them.
type Search struct {
	kind  Kind
	words []string // in lower case
}

// NewSearch chooses the items of a kind, of every kind where that is empty, whose SKU and name together hold every word of a text, in
// any order and case; a part of a word is enough. A text without words chooses all.
func NewSearch(kind Kind, text string) (Search, error) {
	if n := utf8.RuneCountInString(text); n > MaxSearch {
		return Search{}, &SearchTooLongError{n}
	}
	return Search{kind, strings.Fields(strings.ToLower(text))}, nil
}

// Finds reports whether an item is one of those chosen.
func (s Search) Finds(item *Item) bool {
	if s.kind != "" && item.Kind() != s.kind {
		return false
	}
	if len(s.words) == 0 {
		return true
	}
	text := strings.ToLower(item.SKU + " " + item.Name)
	return !slices.ContainsFunc(s.words, func(w string) bool { return !strings.Contains(text, w) })
}
