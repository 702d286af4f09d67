//go:build screens && !race

package web

import (
	"net/http"
	"strconv"
	"testing"

	"github.com/chromedp/chromedp"
)

// blow is a forecast of a blow at noon and another in the window.
const blow = "at,gust_ms,cloud\n2027-06-18 06:00,3,0\n2027-06-18 10:00,5,0.2\n2027-06-18 12:00,12,0.8\n2027-06-18 13:00,5,\n" +
	"2027-06-18 15:00,5.5,\n2027-06-18 17:00,9,\n2027-06-18 20:00,3,"

// TestScreens writes every page at three widths into the folder that KITSPAN_SCREENS names, for a person to look at: make screens.
func TestScreens(t *testing.T) {
	for _, size := range []int64{390, 1024, 1600} {
		b := newBrowser(t, size, 900)
		b.site.server.Examples = documented(t)
		b.site.server.ExampleJob = estuary(t)
		b.site.keepJob(t, estuary(t))
		b.site.client.Jar.(*jar).SetCookies(nil, []*http.Cookie{})
		for name, path := range map[string]string{
			"start": "/", "blank": "/plan", "does-less": "/plan?" + with("crew", "1", "price", "100"), "plan": "/plan?" + with(), "errors": "/plan?" + with("width", "wide", "lat", "95"), "option": "/option?" + with(), "set": "/set?" + with(), "set-errors": "/set?" + with("width", "wide"), "set-none": "/set/none",
			"day": "/day?" + with(), "reach": "/reach?" + with() + "&frame=QG-FRAME-12X12&frame=QG-FRAME-20X20", "houses": "/catalogue",
			"forecast": "/option?" + with("forecast", blow, "anchors", "railing; 3; -2.5; 1; 2000"), "forecast-errors": "/plan?" + with("forecast", "at,gust_ms\n2027-06-18 16:00,41\n2027-06-18 15:00,5", "anchors", "railing; 3; -2.5; 1"),
			"jobs": "/jobs", "job-read": "/jobs/" + walkedJob, "items": "/catalogue/quayside?kind=support", "item": "/catalogue/quayside/QG-BAG-16", "cautions": "/cautions", "staff": "/staff",
		} {
			b.screen(path, name, size)
		}
		b.open("/staff?back=/jobs")
		b.run(chromedp.SendKeys("#token", token+"\n", chromedp.ByQuery), chromedp.WaitVisible("#f-name", chromedp.ByQuery))
		for name, path := range map[string]string{
			"jobs-staff": "/jobs", "job": "/jobs/" + walkedJob, "job-plan": "/jobs/" + walkedJob + "/plan?house=quayside&crew=9", "job-compare": "/jobs/" + walkedJob + "/compare?houses=quayside,northpier", "job-shot": "/jobs/" + walkedJob + "/shots/8", "job-delete": "/jobs/" + walkedJob + "/delete",
		} {
			b.screen(path, name, size)
		}
	}
}

// screen keeps a picture of a page.
func (b *browser) screen(path, name string, size int64) {
	b.t.Helper()
	b.open(path)
	var png []byte
	b.run(chromedp.FullScreenshot(&png, 100))
	keep(b.t, name+"-"+strconv.FormatInt(size, 10)+".png", png)
}
