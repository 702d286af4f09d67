//go:build !race

// Arithmetic in one goroutine, where the race detector finds nothing and takes eight times as long: deploy/tests.sh runs this without it.

package web

import (
	"regexp"
	"slices"
	"strings"
	"testing"

	"kitspan/internal/catalog"
)

// A gust is in m/s for everybody.
var lengthInMetres = regexp.MustCompile(`\d m([^/³\w]|$)|m²`)

// A reader of feet gets feet in sentences too: in the summary, the notes and the reasons.
func TestSentencesAreInTheReadersUnits(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	stock, err := catalog.Demo{}.Snapshot(t.Context(), "quayside")
	if err != nil {
		t.Fatal(err)
	}
	items := slices.Clone(stock.Items())
	slices.SortFunc(items, func(a, b catalog.Item) int { return len(b.Name) - len(a.Name) }) // a name may begin with another
	var names []string                                                                       // which hold metres of their own
	for _, item := range items {
		names = append(names, item.Name, "")
	}
	unnamed := strings.NewReplacer(names...)
	for name, c := range map[string]struct{ address, at string }{
		"summary":        {"/plan?" + small("units", "ft"), "h2 + p"},
		"notes":          {"/plan?" + small("units", "ft"), "ul.notes li"},
		"why not":        {"/plan?" + small("units", "ft"), "details.why li"},
		"notes, sheet":   {"/option?" + small("units", "ft"), ".rest section.notes li"},
		"staked out":     {"/option?" + small("units", "ft"), "table.stakes tbody"},
		"no overhead":    {"/day?" + with("units", "ft", "zone_width", "38", "width", "40", "distance", "60"), "td[colspan='6']"},
		"areas of plans": {"/plan?" + small("units", "ft"), "table.options tbody"},
		"areas of a day": {"/day?" + small("units", "ft"), "table tbody"},
		"reach of none":  {"/reach?" + with("units", "ft", "zone_width", "38", "width", "40", "distance", "60") + "&frame=QG-FRAME-03X03", "table td[colspan='2']"},
	} {
		p := s.get(t, c.address)
		said := p.text(c.at)
		if said == "" {
			t.Errorf("%s: nothing is said at %s", name, c.at)
		}
		if found := lengthInMetres.FindString(unnamed.Replace(said)); found != "" {
			t.Errorf("%s has %q for a reader of feet: %s", name, found, said)
		}
		if !regexp.MustCompile(`\d (ft|in)(²|\b)`).MatchString(said) {
			t.Errorf("%s has no length: %s", name, said)
		}
	}
}
