//go:build screens

package web

import (
	"net/http"
	"testing"

	"github.com/chromedp/chromedp"
)

// TestScreens writes every page at three widths into the folder that KITSPAN_SCREENS names, for a person to look at: make screens.
func TestScreens(t *testing.T) {
	for _, size := range []int64{390, 1024, 1600} {
		b := newBrowser(t, size, 900)
		b.site.client.Jar.(*jar).SetCookies(nil, []*http.Cookie{})
		for name, path := range map[string]string{
			"start": "/", "plan": "/plan?" + with(), "errors": "/plan?" + with("width", "wide", "lat", "95"), "option": "/option?" + with() + "&wind=1",
			"day": "/day?" + with(), "reach": "/reach?" + with() + "&frame=QG-FRAME-12X12&frame=QG-FRAME-20X20", "houses": "/catalogue",
			"items": "/catalogue/quayside?kind=support", "item": "/catalogue/quayside/QG-BAG-16", "cautions": "/cautions", "staff": "/staff",
		} {
			b.open(path)
			var png []byte
			b.run(chromedp.FullScreenshot(&png, 100))
			keep(t, name+"-"+map[int64]string{390: "390", 1024: "1024", 1600: "1600"}[size]+".png", png)
		}
	}
}
