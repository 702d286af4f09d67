//go:build !race

package web

import (
	"testing"

	"github.com/chromedp/cdproto/emulation"
)

// In the dark a page and its drawings are dark, and paper stays white whatever the reader has set.
func TestDarkOnTheScreenAndLightOnPaper(t *testing.T) {
	t.Parallel()
	b := newBrowser(t, 1024, 800)
	const colours = `[getComputedStyle(document.body).backgroundColor, getComputedStyle(document.querySelector('.d-plan svg rect')).fill,
		getComputedStyle(document.querySelector('.d-plan svg [data-part=opening]')).stroke].join(' ')`
	features := []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: "dark"}, {Name: "prefers-contrast", Value: "no-preference"}}
	b.open("/option?" + small())
	for _, c := range []struct{ media, want string }{
		{"screen", "rgb(23, 24, 27) rgb(30, 32, 36) rgb(236, 235, 228)"},
		{"print", "rgb(255, 255, 255) rgb(255, 255, 255) rgb(27, 27, 24)"},
	} {
		b.run(emulation.SetEmulatedMedia().WithMedia(c.media).WithFeatures(features))
		var got string
		if b.eval(colours, &got); got != c.want {
			t.Errorf("%s: page, paper and ink are %s, not %s", c.media, got, c.want)
		}
	}
}
