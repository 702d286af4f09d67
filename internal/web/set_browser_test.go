//go:build !race

package web

import (
	"strings"
	"testing"

	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/chromedp"
)

// shortOnSet lists what there is to touch on a page that is less than 44 px high or wide: gloves, sun and cold hands.
const shortOnSet = `Array.from(document.querySelectorAll('a[href], button, input:not([type=hidden]), select, textarea, summary')).filter(e => e.getClientRects().length && !e.matches('.skip, svg *'))
	.map(e => (e.closest('label') || e)).filter(e => { const b = e.getBoundingClientRect(); return b.height < 44 || b.width < 44; }).map(e => e.outerHTML.slice(0, 80)).join('\n')`

// Nothing is cut off on a phone, with every part open, and everything to touch is large enough.
func TestOnSetNothingIsCutOff(t *testing.T) {
	t.Parallel()
	for _, width := range []int64{360, 390} {
		b := newBrowser(t, width, 800)
		for _, path := range []string{"/set?" + with(), "/set?" + with("units", "ft"), "/set?" + with("width", "wide"), "/set/none"} {
			b.open(path)
			b.run(chromedp.Evaluate(`document.querySelectorAll('details').forEach(d => d.open = true); document.querySelectorAll('.piece').forEach(p => p.classList.add('now'))`, nil))
			var cut, short string
			b.eval(`Array.from(document.querySelectorAll('main *')).filter(e => !e.closest('svg') && e.getClientRects().length && (e.getBoundingClientRect().right > innerWidth + 0.5 || e.getBoundingClientRect().left < -0.5)).map(e => e.outerHTML.slice(0, 80)).join('\n')`, &cut)
			if cut != "" {
				t.Errorf("%d px, %s is cut off: %s", width, path, cut)
			}
			var wide float64
			if b.eval(`document.documentElement.scrollWidth`, &wide); wide > float64(width) {
				t.Errorf("%d px, %s is %v px wide", width, path, wide)
			}
			if b.eval(shortOnSet, &short); short != "" {
				t.Errorf("%d px, %s: too small to touch: %s", width, path, short)
			}
		}
	}
}

// The drawing fits the screen, grows and is whole again; a number in it leads to the piece.
func TestOnSetTheDrawingZooms(t *testing.T) {
	t.Parallel()
	b := newBrowser(t, 390, 844)
	b.open("/set?" + small())
	width := func() (w float64) {
		b.eval(`document.querySelector('.d-plan svg').getBoundingClientRect().width`, &w)
		return w
	}
	whole := width()
	if whole > 390 || whole < 330 {
		t.Errorf("the whole drawing is %v px wide", whole)
	}
	b.run(chromedp.Click(".d-plan [data-by='2']", chromedp.ByQuery))
	var at float64
	if b.eval(`document.querySelector('.d-plan .pan').scrollLeft`, &at); width() < 1.9*whole || at < 0.4*whole {
		t.Errorf("larger, it is %v px wide, at %v; it was %v", width(), at, whole)
	}
	b.run(chromedp.Click(".d-plan [data-by='0']", chromedp.ByQuery))
	if got := width(); got != whole {
		t.Errorf("whole again, it is %v px wide, and was %v", got, whole)
	}
	last := `[...document.querySelectorAll('.d-plan svg [data-part=number]')].pop()`
	b.run(chromedp.Evaluate(last+`.dispatchEvent(new MouseEvent('click', {bubbles: true}))`, nil))
	var leads bool
	if b.eval(`(() => { const n = Number(`+last+`.dataset.piece) + 1, p = document.querySelector('.piece.now'); return Number(p.dataset.first) <= n && n <= Number(p.dataset.last); })()`, &leads); !leads {
		t.Error("the last number leads to another piece")
	}
}

// Pieces are shown one by one, and what was ticked stays through a new page, for this plan alone.
func TestOnSetTicksStay(t *testing.T) {
	t.Parallel()
	b := newBrowser(t, 390, 844)
	b.open("/set?" + small())
	shown := func() (n int) {
		b.eval(`[...document.querySelectorAll('.piece')].filter(p => p.getClientRects().length).length`, &n)
		return n
	}
	first := b.text(".piece.now h3")
	if shown() != 1 {
		t.Errorf("%d pieces are shown", shown())
	}
	b.run(chromedp.Click("[data-turn='1']", chromedp.ByQuery))
	if next := b.text(".piece.now h3"); next == first || shown() != 1 {
		t.Errorf("after %q comes %q", first, next)
	}
	b.run(chromedp.Click(".piece.now .tick", chromedp.ByQuery), chromedp.Click(".order .tick", chromedp.ByQuery))
	ticked := func() (n int) {
		b.eval(`document.querySelectorAll('.tick :checked').length`, &n)
		return n
	}
	if got := b.text("[data-done]"); !strings.HasPrefix(got, "1 of ") {
		t.Errorf("%q", got)
	}
	b.open("/set?" + small("option", "overhead-and-reflector")) // the same plan by its name
	if ticked() != 2 {
		t.Errorf("%d ticks have stayed", ticked())
	}
	b.open("/set?" + small("gust", "7"))
	if ticked() != 0 {
		t.Errorf("another plan has %d ticks", ticked())
	}
}

// Without script all pieces and drawings are there.
func TestOnSetWithoutScript(t *testing.T) {
	t.Parallel()
	b := newBrowser(t, 390, 844)
	b.run(network.Enable(), network.SetBlockedURLs([]string{"*set.js*"}))
	b.open("/set?" + small())
	var hidden int
	if b.eval(`[...document.querySelectorAll('.piece')].filter(p => !p.getClientRects().length).length + [...document.querySelectorAll('.turn, .zooms')].filter(p => p.getClientRects().length).length`, &hidden); hidden != 0 {
		t.Errorf("%d pieces hidden, or buttons that do nothing", hidden)
	}
}

// Where the network is gone, a plan that was opened is there and says when it was computed; one with other numbers is not, and no other
// plan is in its place.
func TestOnSetWithoutNetwork(t *testing.T) {
	t.Parallel()
	b := newBrowser(t, 390, 844)
	b.open("/set?" + small())
	computed := b.text(".set .printed")
	b.wait(`!document.querySelector('.kept').hidden`)
	var mistaken bool
	if b.eval(`!document.querySelector('.offline').hidden`, &mistaken); mistaken {
		t.Error("with a network it says that it is offline")
	}
	b.site.CloseClientConnections()
	b.site.Close()
	b.open("/set?" + small())
	b.wait(`document.readyState === 'complete'`)
	says := b.text(".offline")
	if !strings.HasPrefix(says, "Offline, as computed at ") || !strings.Contains(computed, strings.TrimPrefix(says[:strings.Index(says, ". Prices")], "Offline, as ")[:20]) {
		t.Errorf("%q; the plan was %q", says, computed)
	}
	var drawn, one int
	b.eval(`document.querySelectorAll('.d-plan svg [data-piece]').length`, &drawn)
	if b.eval(`document.querySelectorAll('.one .piece.now').length`, &one); drawn == 0 || one != 1 {
		t.Errorf("%d parts drawn, %d pieces shown: the drawings or the script are gone", drawn, one)
	}
	b.open("/set?" + small("gust", "7"))
	if got := b.text("h1"); !strings.HasPrefix(got, "No network") {
		t.Errorf("a plan with other numbers shows %q", got)
	}
	b.wait(`document.querySelectorAll('.keeps a').length === 1`)
	b.run(chromedp.Click(".keeps a", chromedp.ByQuery), chromedp.WaitVisible(".offline", chromedp.ByQuery))
	b.run(chromedp.Evaluate(`fetch('/plan?' + location.search.slice(1)).then(() => { window.other = 'kept'; }, () => { window.other = 'none'; })`, nil))
	b.wait(`window.other === 'none'`) // what is not on set is none of the worker's
}

// Another version of the program asks for what was kept anew, and keeps nothing of the old.
func TestOnSetAnotherVersionKeepsItsOwn(t *testing.T) {
	t.Parallel()
	b := newBrowser(t, 390, 844)
	b.open("/set?" + small())
	b.wait(`!document.querySelector('.kept').hidden`)
	b.run(chromedp.Evaluate(`(async () => { // as if what was kept were of another version
		const now = (await caches.keys())[0], from = await caches.open(now), to = await caches.open('set-0');
		await to.put(location.href, new Response('old'));
		await from.delete(location.href);
		await (await navigator.serviceWorker.getRegistration('/set')).unregister();
		window.moved = true;
	})()`, nil))
	b.wait(`window.moved === true`)
	b.run(chromedp.Navigate("about:blank")) // a worker lives as long as a page has it
	b.open("/set?" + small())
	b.wait(`!document.querySelector('.kept').hidden`)
	b.run(chromedp.Evaluate(`setInterval(() => caches.keys().then(n => { window.names = n.join(' '); }), 50)`, nil))
	b.wait(`window.names && !window.names.includes('set-0')`)
	b.run(chromedp.Evaluate(`caches.match(location.href).then(r => r.text()).then(html => { window.html = html; })`, nil))
	b.wait(`window.html !== undefined`)
	var html string
	if b.eval(`window.html`, &html); !strings.Contains(html, "data-revision") {
		t.Errorf("kept is %.60q", html)
	}
}
