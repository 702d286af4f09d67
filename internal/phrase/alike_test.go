//go:build !race

package phrase_test

// alike are sentences that a language has just as English does.
var alike = map[string][]string{
	"de": {"Plan"}, "fr": {"Plan", "Catalogue"}, "es": {"Plan"},
}
