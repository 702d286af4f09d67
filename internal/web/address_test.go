//go:build !race

// What runs here is the browser; the server beside it is tested with the race detector by the other files, which deploy/tests.sh runs before.

package web

import (
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"pgregory.net/rapid"
)

// elsewhere are ways back that lead, or once led a browser, out of the site.
var elsewhere = []string{
	"", "evil.example", "//evil.example", "///evil.example", "/\t/evil.example", "/\n/evil.example", "/\r/evil.example", "\t//evil.example", "/\\evil.example",
	"\\\\evil.example", "/\\/evil.example", "https://evil.example", "https:evil.example", "javascript:alert(1)", "/\x00/evil.example", "/ /evil.example",
	"/\u00a0/evil.example", "/\xff", "/é", "//user@evil.example/", "/%zz", "/catalogue\r\nSet-Cookie: a=b", "/" + strings.Repeat("a", longestAddress),
}

func TestWaysBackStayOnTheSite(t *testing.T) {
	t.Parallel()
	for _, path := range elsewhere {
		if got := ours(path); got != "/catalogue" {
			t.Errorf("%.40q leads to %.40q", path, got)
		}
	}
	for _, path := range []string{"/", "/catalogue/quayside/QG-BAG-16", "/plan?" + with("name", "Two ütters & co"), "/import/quayside?kind=line", "/a%2F%2Fb", "/a//b"} {
		if got := ours(path); got != path {
			t.Errorf("%q leads to %q", path, got)
		}
	}
	s := newSite(t)
	if p := s.post(t, "/staff", url.Values{"token": {token}, "back": {"/\t/evil.example/x"}}); p.at.Host != strings.TrimPrefix(s.URL, "http://") || p.at.Path != "/catalogue" {
		t.Errorf("led away to %s", p.at)
	}
}

// What a browser does with a way back, by the steps of WHATWG URL that matter here: it drops tabs and line breaks, trims control
// characters and spaces, and takes a backslash for a slash.
func TestNoWayBackHasAHost(t *testing.T) {
	t.Parallel()
	pieces := rapid.SampledFrom([]string{"/", "\\", "\t", "\n", "\r", " ", "\x00", "a", ".", ":", "@", "?", "#", "%2F", "é", "evil.example", "http", "//", ";"})
	rapid.Check(t, func(t *rapid.T) {
		path := strings.Join(rapid.SliceOfN(pieces, 0, 8).Draw(t, "path"), "")
		got := ours(path)
		seen := strings.TrimLeft(strings.NewReplacer("\t", "", "\n", "", "\r", "", "\\", "/").Replace(got), " \x00")
		if !strings.HasPrefix(seen, "/") || strings.HasPrefix(seen, "//") {
			t.Fatalf("%q leads to %q", path, got)
		}
	})
}

func TestTheBrowserStaysOnTheSite(t *testing.T) {
	t.Parallel()
	b := newBrowser(t, 1280, 900)
	b.open("/cautions")
	for _, path := range append([]string{"/catalogue/quayside", "/a//b", "/.//evil.example", "/%09/evil.example", "/..//evil.example"}, elsewhere...) {
		var stays bool
		if b.eval(`new URL(`+strconv.QuoteToASCII(ours(path))+`, location.href).origin === location.origin`, &stays); !stays {
			t.Errorf("%.40q leads out of the site", path)
		}
	}
	// Another site sends a form in the reader's name.
	trap := newTrap(t, b.site.URL+"/places", url.Values{"place_name": {"Planted"}, "lat": {"1"}, "lon": {"1"}, "zone": {"Europe/Lisbon"}})
	b.run(chromedp.Navigate(trap))
	b.wait(`document.querySelector('main') !== null`)
	if got := b.text("main"); !strings.Contains(got, "sent from another site") {
		t.Errorf("a form of another site: %q", got)
	}
	b.open("/plan?" + with())
	if got := b.text(".places"); strings.Contains(got, "Planted") {
		t.Errorf("another site has planted a place: %q", got)
	}
}

func TestNamesThatAreNoTextAreNowhere(t *testing.T) {
	t.Parallel()
	onDatabase := newSiteOnPostgres(t)
	for name, s := range map[string]*site{"in memory": newSite(t), "on a database": onDatabase} {
		for _, bad := range []string{"%00", "a%00b", "%01", "%1b%5b2J", "%7f", "%ff", "%c3%28", "%c2%85", "%ed%a0%80"} {
			for _, path := range []string{
				"/catalogue/" + bad, "/catalogue/quayside/" + bad, "/import/" + bad, "/catalogue/quayside?kind=" + bad, "/catalogue/quayside?q=" + bad,
				"/plan?" + with() + "&house=" + bad, "/reach?" + with() + "&frame=" + bad, "/catalogue/quayside?q=sand&" + bad + "=1", "/" + bad,
			} {
				if p := s.get(t, path); p.status != http.StatusNotFound || p.text("h1") == "" {
					t.Errorf("%s: %s: %d %q", name, path, p.status, p.text("main"))
				}
			}
		}
		for _, path := range []string{"/catalogue/quayside/" + strings.Repeat("A", 5000), "/catalogue/%F0%9F%92%A1", "/catalogue/quayside/%E2%80%AE", "/catalogue/quayside/%27%3B--"} {
			if p := s.get(t, path); p.status != http.StatusNotFound {
				t.Errorf("%s: %.60s: %d", name, path, p.status)
			}
		}
		if p := s.get(t, "/catalogue/quayside?q="+strings.Repeat("a", 101)); p.status != http.StatusBadRequest || !strings.Contains(p.text("main"), "100 characters") {
			t.Errorf("words too long to search for: status %d", p.status)
		}
		if p := s.get(t, "/catalogue/quayside?q=b%C3%A4g"); p.status != http.StatusOK {
			t.Errorf("%s: a search for letters: %d", name, p.status)
		}
	}
}
