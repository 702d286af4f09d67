package web

import (
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
)

func TestLanguageIsTheAddresssThenTheReadersThenTheBrowsers(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct{ address, cookie, accept, want string }{
		"English where nothing is said":    {"/", "", "", "en"},
		"what the browser asks for":        {"/", "", "fr-CA,en;q=0.5", "fr"},
		"what was chosen goes before":      {"/", "es", "fr", "es"},
		"what the address names before it": {"/?lang=de", "es", "fr", "de"},
		"what is no language is none":      {"/?lang=xx", "yy", "pt", "pt"},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			r := httptest.NewRequest(http.MethodGet, c.address, http.NoBody)
			r.Header.Set("Accept-Language", c.accept)
			if c.cookie != "" {
				r.AddCookie(&http.Cookie{Name: languageCookie, Value: c.cookie})
			}
			if got := languageOf(r).Tag(); got != c.want {
				t.Errorf("%s, want %s", got, c.want)
			}
			links := languageLinks(r)
			if len(links) != 5 || links[1].Address != "/?lang=de" || links[1].Here != (c.want == "de") {
				t.Errorf("links %v", links)
			}
		})
	}
}

func TestPagesSpeakTheReadersLanguage(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	for _, address := range []string{"/plan?" + with(), "/option?" + with(), "/day?" + with(), "/"} {
		p := s.get(t, address, "Accept-Language", "de")
		if p.header.Get("Content-Language") != "de" || p.Find("html").AttrOr("lang", "") != "de" || !strings.Contains(p.text("footer"), "befähigter Personen") {
			t.Errorf("%s: %q", address, p.text("footer"))
		}
	}
	if got := s.get(t, "/plan?"+with(), "Accept-Language", "de").text("section.cautions"); !strings.Contains(got, "doppelt gesichert") {
		t.Errorf("cautions: %q", got)
	}
}

func TestRefusalsSpeakTheReadersLanguage(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	for name, c := range map[string]struct{ address, at, want string }{
		"a number that is none":    {"/plan?" + with("width", "wide"), ".error#e-width", "eine Länge angeben, etwa 3,5"},
		"a point that is none":     {"/plan?" + with("at", "here"), ".error#e-at", "einen Punkt angeben"},
		"a line with a wrong word": {"/plan?" + with("lamps", "A; 1; 2; loud"), ".error#e-lamps", `in der Zeile von "A": "loud" ist keine Zahl`},
		"no page":                  {"/nowhere", ".lead", "Unter dieser Adresse gibt es keine Seite."},
		"no house":                 {"/catalogue/nobody", ".lead", "Diesen Verleih gibt es nicht."},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			if got := s.get(t, c.address, "Accept-Language", "de").text(c.at); !strings.Contains(got, c.want) {
				t.Errorf("%q, want %q", got, c.want)
			}
		})
	}
}
