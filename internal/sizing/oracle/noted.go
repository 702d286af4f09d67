package oracle

import (
	"slices"

	"kitspan/internal/finding"
	"kitspan/internal/sizing"
)

// noted reports whether an option has a note of a kind, and one for which is holds.
func noted[N finding.Note](o *sizing.Option, is func(N) bool) bool {
	return slices.ContainsFunc(o.Notes, func(n finding.Note) bool {
		one, ok := n.(N)
		return ok && is(one)
	})
}

// has reports whether an option has a note of a kind.
func has[N finding.Note](o *sizing.Option) bool { return noted(o, func(N) bool { return true }) }
