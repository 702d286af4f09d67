//go:build !race

package web

import (
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// Each rule finds what it is for: a page with one of every fault, and one where none is.
func TestAccessRulesFindFaults(t *testing.T) {
	t.Parallel()
	b := newBrowser(t, 800, 600)
	faulty := httptest.NewServer(http.FileServer(http.Dir("testdata/access")))
	t.Cleanup(faulty.Close)
	ask := func(page, check string) string {
		t.Helper()
		var found []string
		b.run(chromedp.Navigate(faulty.URL + "/" + page))
		b.eval(access, nil)
		b.eval(check, &found)
		return strings.Join(found, "\n")
	}
	for check, wants := range map[string][]string{
		`access.structure('en')`: {
			"lang is not the page's", "title", "one h1", "a heading skips", "landmark [1.3.1]: main", "landmarks of one name", "outside all landmarks", "an id twice",
			"aria-describedby leads nowhere", "for leads nowhere", "a link leads nowhere", "tabindex", "a picture without a name", "a table without headers", "a table without a name",
			"a header of what", "an empty header", "a list of other than items", "a control within a control", "a field without a label", "labels of one name", "choices without a legend",
			"a fieldset without a legend", "an error of no field", "an error and its field do not agree", "said to nobody", "by its colour alone", "zoom is forbidden", "links of one name",
		},
		`access.layout()`:    {"the page scrolls sideways", "sticks out", "cut off:", "a choice is cut off", "the keyboard does not reach a scroller", "scrolls, and is neither"},
		`access.contrast()`:  {"contrast of 1.", "contrast of 4.4"},
		`access.motion()`:    {"moves: <p id=\"moving\"", "moves: <p id=\"turning\""},
		`access.targets(24)`: {"only 10 × 10 px: <button"},
	} {
		got := ask("faults.html", check)
		for _, want := range wants {
			if !strings.Contains(got, want) {
				t.Errorf("%s does not find %q; it finds\n%s", check, want, got)
			}
		}
		if got := ask("sound.html", check); got != "" {
			t.Errorf("%s finds on a sound page\n%s", check, got)
		}
	}
	for page, wants := range map[string][]string{
		"faults.html": {"the focus is not seen: 0 px, ", "the focus is not seen: 3 px, 1.", "Tab goes back up", "Tab goes back left", "off the screen or under something", "Tab stops at no control", "Tab never reaches it [2.1.1]: <button id=\"beyond\""},
		"sound.html":  nil,
	} {
		b.run(chromedp.Navigate(faulty.URL + "/" + page))
		b.eval(access, nil)
		b.tab()
		var found []string
		b.eval(`access.walked()`, &found)
		got := strings.Join(found, "\n")
		for _, want := range wants {
			if !strings.Contains(got, want) {
				t.Errorf("the way of Tab does not find %q; it finds\n%s", want, got)
			}
		}
		if wants == nil && got != "" {
			t.Errorf("the way of Tab over a sound page:\n%s", got)
		}
	}
}
