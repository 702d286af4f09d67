//go:build !race

// Arithmetic in one goroutine, where the race detector finds nothing and takes eight times as long: deploy/tests.sh runs this without it.

package web

import (
	"net/http"
	"regexp"
	"strings"
	"testing"
)

func TestNumbersFollowTheReader(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	for lang, want := range map[string]string{
		"en": `\d,\d{3}\.\d\d EUR`, "de-AT,de;q=0.9": `\d\.\d{3},\d\d EUR`, "fr": `\d \d{3},\d\d EUR`, "pt": `\d\.\d{3},\d\d EUR`, "xx": `\d,\d{3}\.\d\d EUR`,
	} {
		p := s.get(t, "/option?"+with(), "Accept-Language", lang)
		if got := p.text("table.kit .sum"); !regexp.MustCompile(want).MatchString(got) {
			t.Errorf("%s: %q", lang, got)
		}
		day := map[string]string{"en": "18 June 2027", "de-AT,de;q=0.9": "18.06.2027", "fr": "18/06/2027", "pt": "18/06/2027", "xx": "18 June 2027"}[lang]
		if got := p.text(".facts"); !strings.Contains(got, day) {
			t.Errorf("%s: %q", lang, got)
		}
	}
	if p := s.get(t, "/option?"+with(), "Accept-Language", "de"); !strings.Contains(p.text(".facts"), "8,0 m/s") {
		t.Errorf("German: %q", p.text(".facts"))
	}
}

func TestADayAndWhatFramesReach(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	p := s.get(t, "/day?"+small())
	if n := p.Find("tbody tr").Length(); n < 20 || p.Find("figure svg").Length() != 1 {
		t.Errorf("%d steps", n)
	}
	if href, _ := p.Find("tbody a").First().Attr("href"); !strings.Contains(href, "from=") || s.get(t, href).status != http.StatusOK {
		t.Errorf("a step leads to %s", href)
	}
	p = s.get(t, "/reach?"+small()+"&frame=QG-FRAME-12X12&frame=QG-FRAME-03X03")
	if n := p.Find("table tbody tr").Length(); n != 2 || !strings.Contains(p.text("table"), " m (") {
		t.Errorf("%d reaches: %s", n, p.text("table"))
	}
	if p = s.get(t, "/reach?"+with()+"&frame=NONE"); p.status != http.StatusUnprocessableEntity {
		t.Errorf("an unknown frame: %d", p.status)
	}
}

// Every field that takes a number takes decimal numbers alone, and one that is too near 0 to matter is 0: the fault stands beside
// the field, and nothing is drawn of it.
func TestNumbersThatAreNoneAreRefusedInEveryField(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	for _, g := range groups {
		for _, field := range g.Fields {
			if field.Kind != asNumber && field.Kind != asLength && field.Kind != asBearing {
				continue
			}
			for _, value := range []string{"1e308", "1e400", "0x1p2", "0x_1p4", "1_0", "inf", "NaN", "٣"} {
				p := s.get(t, "/plan?"+small(field.Name, value))
				if p.status != http.StatusUnprocessableEntity || p.text("#e-"+field.Name) == "" {
					t.Errorf("%s=%s: %d %q", field.Name, value, p.status, p.text("#e-"+field.Name))
				}
				if p.Find("svg").Length() != 0 {
					t.Errorf("%s=%s is drawn", field.Name, value)
				}
			}
			none := s.get(t, "/plan?"+small(field.Name, "0"))
			for _, value := range []string{"1e-320"} {
				p := s.get(t, "/plan?"+small(field.Name, value))
				if p.status != none.status && p.status != http.StatusUnprocessableEntity {
					t.Errorf("%s=%s: %d %q, but 0 is %d", field.Name, value, p.status, p.text("#e-"+field.Name), none.status)
				}
				if drawn := p.text("svg"); strings.Contains(drawn, "NaN") || strings.Contains(drawn, "Inf") {
					t.Errorf("%s=%s is drawn as %q", field.Name, value, drawn)
				}
			}
		}
	}
	for _, width := range []string{"1e-320", "1e-300"} {
		if p := s.get(t, "/plan?"+with("width", width)); p.status != http.StatusUnprocessableEntity || !strings.Contains(p.text("#e-width"), "counts as 0") {
			t.Errorf("a width of %s: %d %q", width, p.status, p.text("#e-width"))
		}
	}
	for _, price := range []string{"1e-320", "399.995"} {
		if p := s.get(t, "/plan?"+with("price", price)); p.status != http.StatusUnprocessableEntity || !strings.Contains(p.text("#e-price"), "2 decimals") {
			t.Errorf("a price of %s: %d %q", price, p.status, p.text("#e-price"))
		}
	}
	for _, line := range []string{"lamp; 40; 35; 0x10", "lamp; 40; 35; 1e-320", "lamp; 40; inf; 2000"} {
		if p := s.get(t, "/plan?"+with("lamps", line)); p.status != http.StatusUnprocessableEntity || p.text("#e-lamps") == "" {
			t.Errorf("%s: %d", line, p.status)
		}
	}
}
