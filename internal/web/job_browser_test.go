//go:build !race

package web

import (
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// A list of shots is typed by keyboard alone, row after row: an empty row is always there, and Enter saves.
func TestShotsAreTypedByKeyboardAlone(t *testing.T) {
	t.Parallel()
	b := newBrowser(t, 1280, 900)
	d := estuary(t)
	d.Shots = nil
	stored := b.site.keepJob(t, d)
	b.open("/staff?back=" + jobPath(stored.ID))
	b.run(chromedp.SendKeys("#token", token+"\n", chromedp.ByQuery), chromedp.WaitVisible("#f-s0-number", chromedp.ByQuery), chromedp.Focus("#f-s0-number", chromedp.ByQuery))
	for i, cells := range [][]string{
		{"1", "jetty", "06152027", "0330PM", "0415PM", "", "250", "1.6", "3", "She waits"},
		{"2", "", "", "0530PM", "0700PM", "45", "WSW", "3", "5.5", "Two anglers"},
	} {
		for k, typed := range cells {
			column := shotColumns[k].Name
			b.wait(`document.activeElement.id === 'f-` + rowOf("s", i, column) + `'`)
			if typed != "" {
				b.run(chromedp.KeyEvent(typed))
			}
			for range 5 { // a date and a time have parts
				b.run(chromedp.KeyEvent(kb.Tab))
				var on bool
				if b.eval(`document.activeElement.id !== 'f-`+rowOf("s", i, column)+`'`, &on); on {
					break
				}
			}
		}
		if i == 0 {
			b.run(chromedp.KeyEvent(kb.Tab)) // past the mark
		}
	}
	b.run(chromedp.Focus("#f-s1-name", chromedp.ByQuery))
	b.enter()
	b.wait(`location.search.indexOf('saved') > 0`)
	now, err := b.site.server.Jobs.Job(t.Context(), stored.ID)
	if err != nil || len(now.Draft.Shots) != 2 {
		t.Fatalf("%d shots, %v", len(now.Draft.Shots), err)
	}
	two := &now.Draft.Shots[1]
	if *two.Place != "jetty" || two.When == nil || *two.When.Date != "2027-06-15" || *two.When.Latest != "19:00" || *two.Camera.BearingDeg != 247.5 || two.Name != "Two anglers" {
		t.Errorf("the second is %s", jsonOf(t, two))
	}
}
