//go:build !race

// What runs here is the browser; the server beside it is tested with the race detector by the other files, which deploy/tests.sh runs before.

package web

import (
	"context"
	"errors"
	"testing"

	browserdomain "github.com/chromedp/cdproto/browser"
	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
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

// The price, what it is made of, people, frame and wind are in the first screen at every width; a plan that does less says so, and why, over
// its price.
func TestThePriceStandsFirst(t *testing.T) {
	t.Parallel()
	for _, size := range [][2]int64{{390, 844}, {1024, 768}, {1600, 900}} {
		b := newBrowser(t, size[0], size[1])
		b.open("/plan?" + small())
		var cut []string
		b.eval(`['.total strong', '.bar', '.made .hire', '.made .labour', '.made .transport', '.figures div:nth-child(1)', '.figures div:nth-child(2)', '.figures div:nth-child(3)'].filter(s => {
			const r = document.querySelector('#headline ' + s).getBoundingClientRect(); return r.width === 0 || r.top < 0 || r.bottom > innerHeight || r.right > innerWidth; })`, &cut)
		if len(cut) > 0 {
			t.Errorf("at %d px the first screen lacks %v", size[0], cut)
		}
		var off float64 // of the bar's shares from what the price is made of
		b.eval(`(function () { const n = e => parseFloat(e.textContent.replace(/[^0-9.]/g, '')), w = [...document.querySelectorAll('#headline .bar rect')].map(r => r.getBoundingClientRect().width);
			const made = [...document.querySelectorAll('#headline .made li')].map(n), all = n(document.querySelector('#headline .total strong')), sum = w.reduce((a, b) => a + b);
			return Math.max(Math.abs(made.reduce((a, b) => a + b) - all), ...made.map((m, i) => Math.abs(m / all - w[i] / sum))); })()`, &off)
		if off > 0.01 {
			t.Errorf("at %d px the bar is %v off", size[0], off)
		}
		b.open("/plan?" + small("crew", "1"))
		var before bool
		b.eval(`(function () { const less = document.querySelector('#headline .less'), total = document.querySelector('#headline .total');
			return less !== null && /^(does less|over the limit): ./.test(less.innerText) && less.getBoundingClientRect().bottom <= total.getBoundingClientRect().top + 1; })()`, &before)
		if !before {
			t.Errorf("at %d px a plan that does less says so too late: %q", size[0], b.text("#headline"))
		}
	}
}

// Where the reader allows it, the browser's position is the place; what was typed beside stays, and the zone that is guessed is marked.
func TestThePlaceIsTheBrowsersPosition(t *testing.T) {
	t.Parallel()
	b := newBrowser(t, 1280, 900)
	b.open("/plan")
	allow := func(setting browserdomain.PermissionSetting) chromedp.Action {
		return chromedp.ActionFunc(func(ctx context.Context) error {
			return browserdomain.SetPermission(&browserdomain.PermissionDescriptor{Name: "geolocation"}, setting).WithOrigin(b.site.URL).WithBrowserContextID(b.own).
				Do(cdp.WithExecutor(ctx, chromedp.FromContext(ctx).Browser))
		})
	}
	b.run(overwrite("#f-width", "2.5")...)
	b.run(allow(browserdomain.PermissionSettingDenied), chromedp.Click("[data-locate]", chromedp.ByQuery))
	b.wait(`document.querySelector('#locate').innerText.includes('gives no position')`)
	b.run(allow(browserdomain.PermissionSettingGranted), emulation.SetGeolocationOverride().WithLatitude(38.6935).WithLongitude(-9.2057).WithAccuracy(5),
		emulation.SetTimezoneOverride("Europe/Lisbon"), chromedp.Click("[data-locate]", chromedp.ByQuery))
	b.wait(`document.querySelector('#f-lat').value === '38.6935' && document.querySelector('#f-lon').value === '-9.2057' && document.querySelector('#f-zone').value === 'Europe/Lisbon'`)
	var kept bool
	if b.eval(`document.querySelector('#f-width').value === '2.5' && !document.querySelector('#zone-guessed').hidden`, &kept); !kept {
		t.Error("the width is gone, or the zone is not marked")
	}
}

// The default that follows what is typed is shown anew with every answer: the lit width is the picture's until it is typed.
func TestTheZoneFollowsThePictureUntilItIsTyped(t *testing.T) {
	t.Parallel()
	b := newBrowser(t, 1280, 900)
	b.open("/plan?" + with("zone_width", "", "width", "1.5"))
	before := ""
	for _, c := range []struct{ field, typed, shown string }{{"#f-width", "1.8", "1.80 m"}, {"#f-zone_width", "1", "1.80 m"}} {
		before = b.text("#results")
		b.run(chromedp.Evaluate(`document.querySelector('#f-zone_width').closest('details').open = true`, nil))
		b.run(overwrite(c.field, c.typed)...)
		b.wait(`!document.querySelector('#desk').dataset.state && new URLSearchParams(location.search).get(document.querySelector('` + c.field + `').name) === '` + c.typed + `'`)
		var shown string
		if b.eval(`document.querySelector('#f-zone_width').placeholder`, &shown); shown != c.shown && c.field == "#f-width" {
			t.Errorf("of a picture %s wide the zone shows %q", c.typed, shown)
		}
	}
	if got := b.text("#results"); got == before {
		t.Error("the zone that is typed is not taken")
	}
}
