//go:build !race

package web

import (
	"strings"
	"testing"

	"github.com/PuerkitoBio/goquery"
)

// Page and sheet open the reasons of every piece's wind, of light, people and transport, without script and closed at first; the sheet's
// table and the reasons have the same figures.
func TestNumbersOpenTheirReasons(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	for _, page := range []string{"/plan?", "/option?"} {
		doc := s.get(t, page+with())
		reasons := doc.Find("section.reasons.noprint")
		if n := reasons.Length(); n != 1 {
			t.Fatalf("%s has %d sections of reasons", page, n)
		}
		if n := reasons.Find("details[open]").Length(); n != 0 {
			t.Errorf("%s: %d are open", page, n)
		}
		var summaries []string
		reasons.Find("details.reason").Each(func(_ int, d *goquery.Selection) {
			summaries = append(summaries, d.Find("summary").Text())
			if d.Find("p").Length() != 2 || strings.Contains(d.Text(), "%!") || strings.HasSuffix(strings.TrimSpace(d.Find("p").Last().Text()), ":") {
				t.Errorf("%s: no formula and rule in %q", page, d.Text())
			}
		})
		all := strings.Join(summaries, "\n") + "\n"
		for _, want := range []string{"Key: ", "Neutral density: ", " min to rig\n", "Transport: ", "Ballast on the bases: "} {
			if !strings.Contains(all, want) {
				t.Errorf("%s explains no %q in\n%s", page, want, all)
			}
		}
		rows := doc.Find("table.hold tbody tr")
		if page == "/option?" && rows.Length() == 0 {
			t.Fatal("the sheet has no table of what holds")
		}
		rows.Each(func(_ int, row *goquery.Selection) {
			cell := func(n int) string { return strings.ReplaceAll(row.Find("td").Eq(n).Text(), ",", "") }
			for _, want := range []string{"Wind: " + cell(0) + " N\n", "Watch from " + cell(1) + " m/s, lower at " + cell(2) + ", safe to " + cell(3) + "\n"} {
				if !strings.Contains(all, want) {
					t.Errorf("the table's %q is explained nowhere in\n%s", want, all)
				}
			}
		})
	}
	if got := s.get(t, "/plan?"+with("lang", "de")).Find("section.reasons h3").Text(); got != "Woher die Zahlen kommen" {
		t.Errorf("in German the reasons are headed %q", got)
	}
}
