//go:build !race

// What runs here is the browser; the server beside it is tested with the race detector by the other files, which deploy/tests.sh runs before.

package web

import (
	"context"
	"errors"
	"testing"

	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/chromedp"

	"kitspan/internal/catalog"
)

// An edit that fails leaves no plan, price or drawing that looks as if it were of the new numbers, says what failed and how to go on, and
// keeps what was typed.
func TestAnEditThatFailsIsSaid(t *testing.T) {
	t.Parallel()
	b := newBrowser(t, 1280, 900)
	b.open("/plan?" + with())
	b.run(network.Enable())
	block := func(on bool) chromedp.Action {
		if on {
			return network.SetBlockedURLs([]string{"*plan/part*"})
		}
		return network.SetBlockedURLs([]string{})
	}
	for _, c := range []struct {
		name, width, says string
		fail, mend        func()
	}{
		{"a fault of ours", "2.9", "Something went wrong on our side", func() { b.site.shelf.trouble(errors.New("unforeseen"), nil) }, func() { b.site.shelf.trouble(nil, nil) }},
		{"no catalogue", "2.8", "catalogue cannot be reached", func() { b.site.shelf.trouble(catalog.ErrUnavailable, nil) }, func() { b.site.shelf.trouble(nil, nil) }},
		{"no network", "2.7", "server cannot be reached", func() { b.run(block(true)) }, func() { b.run(block(false)) }},
	} {
		c.fail()
		b.run(overwrite("#f-width", c.width)...)
		b.wait(`document.querySelector('#notice').innerText.includes('` + c.says + `')`)
		var faint bool
		b.eval(`['#results', '#headline'].every(e => parseFloat(getComputedStyle(document.querySelector(e)).opacity) < 0.6)`, &faint)
		var typed, at string
		b.eval(`document.querySelector('#f-width').value`, &typed)
		b.eval(`new URLSearchParams(location.search).get('width')`, &at)
		if !faint || typed != c.width || at != c.width {
			t.Errorf("%s: faint %v, typed %q, the address has %q", c.name, faint, typed, at)
		}
		c.mend()
		b.run(chromedp.Click("#notice [data-again]", chromedp.ByQuery))
		b.wait(`document.querySelector('#notice').hidden && !document.querySelector('#desk').dataset.state`)
	}
}

// A plan is dimmed from the first key on, and a newer edit gives the older request up.
func TestANewerEditGivesUpTheOlder(t *testing.T) {
	t.Parallel()
	b := newBrowser(t, 1280, 900)
	b.open("/plan?" + with())
	begun, gone := make(chan bool, 8), make(chan bool, 8)
	b.site.shelf.trouble(nil, func(ctx context.Context) {
		begun <- true
		<-ctx.Done()
		gone <- true
	})
	b.run(overwrite("#f-gust", "7")...)
	var state string
	if b.eval(`document.querySelector('#desk').dataset.state || ''`, &state); state != "busy" {
		t.Errorf("right after a key the plan is %q", state)
	}
	<-begun
	b.site.shelf.trouble(nil, nil)
	b.run(overwrite("#f-gust", "6")...)
	<-gone
	b.wait(`new URLSearchParams(location.search).get('gust') === '6' && !document.querySelector('#desk').dataset.state`)
}

// Links within the page, the one past the menu and those of faults, go there and nowhere else: what is typed and not yet taken stays.
func TestLinksWithinThePageLoseNothing(t *testing.T) {
	t.Parallel()
	b := newBrowser(t, 1280, 900)
	b.open("/plan?" + with("lat", "95", "iso", "0.5"))
	b.run(chromedp.Evaluate(`window.stayed = true; document.querySelector('#f-name').value = 'Not yet taken'`, nil))
	for _, link := range []struct{ click, at string }{{".summary a[href='#f-lat']", "#f-lat"}, {".summary a[href='#f-iso']", "#f-iso"}, {".skip", "#main"}} {
		b.run(chromedp.Evaluate(`document.querySelector("`+link.click+`").click()`, nil))
		b.wait(`location.hash === document.querySelector("` + link.at + `").id.replace(/^/, '#')`)
		var seen bool
		if b.eval(`(function () { var e = document.querySelector("`+link.at+`"); return e.checkVisibility() && document.activeElement === e; })()`, &seen); !seen {
			t.Errorf("%s does not lead to %s", link.click, link.at)
		}
	}
	b.run(chromedp.NavigateBack())
	var kept bool
	if b.eval(`window.stayed === true && document.querySelector('#f-name').value === 'Not yet taken'`, &kept); !kept {
		t.Error("the page was loaded anew")
	}
}

// Back from another page brings the whole page, with what was typed last.
func TestBackIsTheWholePage(t *testing.T) {
	t.Parallel()
	b := newBrowser(t, 1280, 900)
	b.open("/plan?" + with())
	b.run(overwrite("#f-gust", "6")...)
	b.wait(`new URLSearchParams(location.search).get('gust') === '6' && !document.querySelector('#desk').dataset.state`)
	b.open("/cautions")
	b.run(chromedp.Evaluate(`history.back()`, nil)) // a page that is kept whole tells no load
	b.wait(`location.pathname === '/plan' && document.querySelector('nav') !== null && document.querySelector('#results table.options') !== null && document.querySelector('#f-gust').value === '6'`)
}
