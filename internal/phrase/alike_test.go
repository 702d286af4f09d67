//go:build !race

package phrase_test

// alike are sentences that a language has just as English does.
var alike = map[string][]string{
	"de": {"Plan", "April", "August", "September", "November"},
	"pt": {"total", "stops"},
	"fr": {"Plan", "Catalogue", "total", "minutes", "transport", "zone", "six"},
	"es": {"Plan", "total", "reflector"},
}
