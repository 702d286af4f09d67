package web

import (
	"strings"
	"testing"

	"github.com/PuerkitoBio/goquery"
)

// afternoon is four seated people from three to seven, under a frame that is moved.
func afternoon(changes ...string) string {
	return with(append([]string{
		"date", "2027-06-17", "from", "15:00", "to", "19:00", "bearing", "234", "width", "3", "distance", "5", "zone_width", "2.4", "zone_depth", "0.8",
		"zone_base", "0.4", "zone_top", "1.3", "lens_height", "1.1", "aim_height", "", "gust", "6", "option", "overhead-moved",
	}, changes...)...)
}

// TestWhatStandsAfterAMoveIsDrawn: page and sheet say until when the first drawings hold, and have drawings, ballast and notes of each part.
func TestWhatStandsAfterAMoveIsDrawn(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	for _, address := range []string{"/plan?", "/option?"} {
		p := s.get(t, address+afternoon())
		title, until := p.text("h2"), p.text("figure.d-plan figcaption")
		if !strings.Contains(title, "On stands, moved ") || !strings.Contains(until, "From above, until ") {
			t.Errorf("%s: titled %q, drawings %q", address, title, until)
		}
		moves := p.Find("section.move")
		if moves.Length() == 0 {
			t.Errorf("%s has no moves", address)
		}
		moves.Each(func(_ int, m *goquery.Selection) {
			from := strings.TrimPrefix(m.Find("h3").First().Text(), "From ")
			laidOut := m.Find("ul.legend li").Length() > 0 && m.Find("ul.tied li").Length() > 0
			if address == "/option?" {
				laidOut = m.Find("table.stakes tbody th[scope=rowgroup]").Length() > 0 && strings.Contains(m.Find("table.stakes").Text(), "1a")
			}
			if !strings.Contains(m.Find("p").First().Text(), "nothing is shot") || m.Find("figure svg").Length() != 3 || !laidOut || m.Find("ul.notes li").Length() == 0 {
				t.Errorf("%s, from %s: %s", address, from, m.Text())
			}
			m.Find("figcaption").Each(func(_ int, c *goquery.Selection) {
				if !strings.HasSuffix(c.Text(), ", from "+from) {
					t.Errorf("%s, from %s: a drawing %q", address, from, c.Text())
				}
			})
		})
		ids := map[string]bool{}
		p.Find("[id]").Each(func(_ int, e *goquery.Selection) {
			id, _ := e.Attr("id")
			if ids[id] {
				t.Errorf("%s has %q twice", address, id)
			}
			ids[id] = true
		})
	}
	if p := s.get(t, "/plan?"+with()); p.Find("section.move").Length() != 0 || strings.Contains(p.text("figcaption"), "until") {
		t.Error("an hour's shot is moved")
	}
}
