//go:build !race

// What runs here is the browser; the server beside it is tested with the race detector by the other files, which deploy/tests.sh runs before.

package web

import (
	"context"
	"fmt"
	"html"
	"io"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	cdppage "github.com/chromedp/cdproto/page"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/cdproto/target"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"kitspan/internal/catalog"
)

// Tests of what needs a browser: typing, drawing while typing, printing, small screens. They run in Chromium without a screen,
// and are skipped where there is none, but for continuous integration.

// hangs is how long a test in the browser may take, and none comes near.
const hangs = 3 * time.Minute

// running is the one Chromium of all tests, started by the first that needs it.
var running struct {
	once sync.Once
	ctx  context.Context //nolint:containedctx // a browser is its context
	err  error
}

func chromium(program string) (context.Context, error) {
	running.once.Do(func() {
		options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(program), chromedp.NoSandbox, chromedp.Flag("lang", "en-GB"))
		alloc, cancelAlloc := chromedp.NewExecAllocator(context.Background(), options...)
		ctx, cancel := chromedp.NewContext(alloc)
		running.ctx, atEnd = ctx, func() { cancel(); cancelAlloc() }
		running.err = chromedp.Run(ctx)
	})
	return running.ctx, running.err
}

// browser is a tab on the site, with cookies of its own; whatever the page says on its console fails the test.
type browser struct {
	context.Context //nolint:containedctx // the tab is its context, and lives as long as the test
	t               *testing.T
	site            *site
	own             cdp.BrowserContextID // with the tab's cookies and permissions

	mu   sync.Mutex
	said []string
}

func newBrowser(t *testing.T, width, height int64) *browser {
	t.Helper()
	program := os.Getenv("KITSPAN_CHROMIUM")
	for _, name := range []string{"chromium", "chromium-browser"} {
		if found, err := exec.LookPath(name); err == nil && program == "" {
			program = found
		}
	}
	if program == "" {
		if os.Getenv("CI") != "" {
			t.Fatal("no Chromium on this machine: install Debian's package chromium")
		}
		t.Skip("no Chromium on this machine")
	}
	whole, err := chromium(program)
	if err != nil {
		t.Fatal(err)
	}
	executor := cdp.WithExecutor(whole, chromedp.FromContext(whole).Browser)
	own, err := target.CreateBrowserContext().Do(executor)
	if err != nil {
		t.Fatal(err)
	}
	tab, err := target.CreateTarget("about:blank").WithBrowserContextID(own).WithNewWindow(true).Do(executor)
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancelTab := chromedp.NewContext(whole, chromedp.WithTargetID(tab))
	ctx, cancel := context.WithTimeout(ctx, hangs)
	b := &browser{Context: ctx, t: t, site: newSite(t), own: own}
	t.Cleanup(func() {
		cancel()
		cancelTab()
		if err := target.DisposeBrowserContext(own).Do(executor); err != nil {
			t.Error(err)
		}
		b.mu.Lock()
		defer b.mu.Unlock()
		if len(b.said) > 0 {
			t.Errorf("the console says: %s", strings.Join(b.said, "\n"))
		}
	})
	chromedp.ListenTarget(ctx, func(ev any) {
		say := ""
		switch e := ev.(type) {
		case *runtime.EventExceptionThrown:
			say = e.ExceptionDetails.Error()
		case *log.EventEntryAdded:
			if e.Entry.Level == log.LevelError && !expected(e.Entry.Text) {
				say = e.Entry.Text
			}
		case *runtime.EventConsoleAPICalled:
			say = "console." + e.Type.String()
		}
		if say != "" {
			b.mu.Lock()
			b.said = append(b.said, say)
			b.mu.Unlock()
		}
	})
	b.run(chromedp.EmulateViewport(width, height), log.Enable())
	return b
}

// expected are pages that answer with a refusal on purpose: the browser logs their status.
func expected(text string) bool {
	return strings.Contains(text, "status of 422") || strings.Contains(text, "live.js") || strings.Contains(text, "status of 412") || strings.Contains(text, "status of 403") || strings.Contains(text, "status of 401") ||
		strings.Contains(text, "status of 413") || strings.Contains(text, "status of 500") || strings.Contains(text, "status of 503") ||
		strings.Contains(text, "ERR_INTERNET_DISCONNECTED") || strings.Contains(text, "ERR_CONNECTION_REFUSED") || strings.Contains(text, "set.js")
}

func (b *browser) run(actions ...chromedp.Action) {
	b.t.Helper()
	if err := chromedp.Run(b, actions...); err != nil {
		b.t.Fatal(err)
	}
}

func (b *browser) open(path string) {
	b.t.Helper()
	b.run(chromedp.Navigate(b.site.URL+path), chromedp.WaitVisible("main", chromedp.ByQuery))
}

// overwrite types over what a field holds.
func overwrite(field, text string) []chromedp.Action {
	return []chromedp.Action{
		chromedp.Focus(field, chromedp.ByQuery), chromedp.Evaluate(`document.activeElement.select()`, nil), chromedp.KeyEvent(text),
	}
}

// text is what a part of the page says; a page that is just being put in another's place is asked again.
func (b *browser) text(selector string) (s string) {
	b.t.Helper()
	b.eval(`(function () { var e = document.querySelector(`+strconv.Quote(selector)+`); return e ? e.innerText : ''; })()`, &s)
	return s
}

func (b *browser) eval(js string, into any) {
	b.t.Helper()
	var err error
	for range 40 {
		if err = chromedp.Run(b, chromedp.Evaluate(js, into, awaited)); err == nil || b.Err() != nil {
			break
		}
		time.Sleep(25 * time.Millisecond)
	}
	if err != nil {
		b.t.Fatalf("%s: %v", js, err)
	}
}

// awaited has a promise waited for; other values are as they are.
func awaited(p *runtime.EvaluateParams) *runtime.EvaluateParams { return p.WithAwaitPromise(true) }

// wait polls until an expression is true.
func (b *browser) wait(js string) {
	b.t.Helper()
	for begin := time.Now(); time.Since(begin) < hangs/3; time.Sleep(25 * time.Millisecond) {
		var done bool
		if b.eval(js, &done); done {
			return
		}
	}
	b.t.Fatalf("never: %s\nat %s: %s %s", js, b.address(), b.text(".summary"), b.text("#notice"))
}

func (b *browser) address() *url.URL {
	b.t.Helper()
	var at string
	b.run(chromedp.Location(&at))
	u, err := url.Parse(at)
	if err != nil {
		b.t.Fatal(err)
	}
	return u
}

// A shot from a blank form by keyboard alone: from the start page by Tab and Enter, then field by field.
func TestPlanningByKeyboardAlone(t *testing.T) {
	t.Parallel()
	b := newBrowser(t, 1280, 900)
	b.open("/")
	reach := func(want string) {
		t.Helper()
		for range 80 {
			b.run(chromedp.KeyEvent(kb.Tab))
			var here bool
			if b.eval(`document.activeElement.matches(`+"`"+want+"`"+`)`, &here); here {
				return
			}
		}
		t.Fatalf("Tab never reaches %s", want)
	}
	reach("main a.go")
	b.run(chromedp.KeyEvent(kb.Enter))
	b.wait(`document.querySelector('#shot') !== null`)
	for _, f := range []struct{ field, typed string }{
		{"#f-width", "1.2"}, {"#f-distance", "4"}, {"#f-from", "1630"}, {"#f-to", "1700"}, {"#f-at", "38.6935, -9.2057"},
		{"#f-zone", "Europe/Lisbon"}, {"#f-bearing", "WSW"},
	} {
		reach(f.field)
		b.run(chromedp.KeyEvent(f.typed))
		if f.field == "#f-at" {
			b.run(chromedp.KeyEvent(kb.Tab))
			b.wait(`document.querySelector('#f-lat').value === '38.6935' && document.querySelector('#f-at').value === '' && document.querySelector('#f-zone').value !== ''`)
		}
	}
	b.run(chromedp.KeyEvent(kb.Enter))
	b.wait(`new URLSearchParams(location.search).get('lat') === '38.6935' && document.querySelector('#headline .total') !== null`)
	if got := b.text("#headline .total"); !strings.Contains(got, "EUR") {
		t.Errorf("the price is %q", got)
	}
}

// Typing redraws: the wider shot takes a larger frame, without a new page; back and forward go through the shots.
func TestTypingRedraws(t *testing.T) {
	t.Parallel()
	b := newBrowser(t, 1280, 900)
	b.open("/plan?" + with("zone_width", ""))
	largest := func() (m2 float64) {
		b.eval(`parseFloat(document.querySelector('table.options tbody tr td:nth-child(6)').textContent)`, &m2)
		return m2
	}
	before := largest()
	b.run(chromedp.Evaluate(`window.stayed = true`, nil))
	b.run(overwrite("#f-width", "4.5")...)
	b.wait(`new URLSearchParams(location.search).get('width') === '4.5' && !document.getElementById('desk').dataset.state`)
	if after := largest(); after <= before {
		t.Errorf("a shot half again as wide takes %v m², before %v", after, before)
	}
	if told := b.text("#told"); !strings.Contains(told, "EUR") {
		t.Errorf("who hears the page is told %q", told)
	}
	var stayed bool
	if b.eval(`window.stayed === true`, &stayed); !stayed {
		t.Error("the page was loaded anew")
	}
	b.run(chromedp.Blur("#f-width", chromedp.ByQuery))
	b.wait(`new URLSearchParams(location.search).get('width') === '4.5' && !document.getElementById('desk').dataset.state`)
	b.run(chromedp.NavigateBack())
	b.wait(`document.readyState === 'complete' && document.querySelector('#results table.options') !== null`)
	var took []float64
	b.open("/plan?" + with())
	for _, gust := range []string{"1", "2", "3", "4", "5"} {
		b.run(overwrite("#f-gust", gust)...)
		b.wait(`new URLSearchParams(location.search).get('gust') === '` + gust + `' && !document.getElementById('desk').dataset.state`)
	}
	b.eval(`performance.getEntriesByName('redraw').map(function (e) { return e.duration; })`, &took)
	t.Logf("redraws took %.0f ms", took)
	if len(took) < 5 {
		t.Errorf("%d redraws", len(took))
	}
}

func TestAnErrorIsSaidAndFixed(t *testing.T) {
	t.Parallel()
	b := newBrowser(t, 1280, 900)
	b.open("/plan?" + with())
	b.run(overwrite("#f-lat", "95")...)
	b.wait(`document.querySelector('#e-lat').textContent.includes('from -90 to 90')`)
	var value string
	b.run(chromedp.Value("#f-lat", &value, chromedp.ByQuery))
	if value != "95" || b.text("table.options") == "" {
		t.Errorf("what was typed is %q", value)
	}
	// Nobody takes the plan that still stands beside it for one of what is typed.
	b.wait(`document.querySelector('#notice').innerText.includes('of the form before') && document.querySelector('#notice a[href="#f-lat"]') !== null &&
		parseFloat(getComputedStyle(document.querySelector('#results')).opacity) < 0.5 && parseFloat(getComputedStyle(document.querySelector('#headline')).opacity) < 0.5`)
	b.run(overwrite("#f-lat", "41")...)
	b.wait(`document.querySelector('#e-lat').textContent === '' && new URLSearchParams(location.search).get('lat') === '41'`)
	b.wait(`document.querySelector('#notice').hidden && getComputedStyle(document.querySelector('#results')).opacity === '1'`)
	b.open("/plan?" + with("lat", "95"))
	if got := b.text(".summary"); !strings.Contains(got, "One thing to fix") {
		t.Errorf("without script: %q", got)
	}
}

// Who switches to feet has typed metres before: the shot stays as large as it was.
func TestTypedLengthsKeepTheirMeaningInOtherUnits(t *testing.T) {
	t.Parallel()
	b := newBrowser(t, 1280, 900)
	b.open("/plan?" + with())
	b.run(chromedp.Click("input[name=units][value=ft]", chromedp.ByQuery))
	b.wait(`new URLSearchParams(location.search).get('units') === 'ft' && document.querySelector('#results').textContent.includes('18 ft 1 in to the lens')`)
	if q := b.text("#results"); strings.Contains(q, "5 ft 6 in to the lens") {
		t.Error("5.5 m became 5.5 ft")
	}
	var typed, label string
	b.eval(`document.querySelector('#f-distance').value`, &typed)
	b.eval(`document.querySelector('label[for=f-distance]').innerText`, &label)
	if typed != "18.0446" || !strings.Contains(label, "ft") { // 5.5 m / 0.3048
		t.Errorf("the field holds %q of %q", typed, label)
	}
	b.run(chromedp.Click("input[name=units][value=m]", chromedp.ByQuery))
	b.wait(`new URLSearchParams(location.search).get('units') === 'm' && document.querySelector('#results').textContent.includes('5.50 m to the lens')`)
}

// sheets are addresses of sheets: two people, six with ropes to stakes, all afternoon under a frame that is moved, a frame held by hand.
func sheets() map[string]string {
	return map[string]string{
		"sheet": with(),
		"sheet-of-six": with("bearing", "260", "to", "17:15", "width", "4.2", "distance", "6.5", "ground", "grass", "anchor", "stakes",
			"zone_width", "3.2", "zone_depth", "1", "zone_base", "0.3"),
		"sheet-in-feet": with("units", "ft", "width", "10", "distance", "18", "zone_width", "8.5", "zone_depth", "2.6", "zone_base", "2", "zone_top", "6"),
		"sheet-moved":   afternoon(),
		"sheet-by-hand": with("from", "18:10", "to", "18:20", "bearing", "233", "width", "1.3", "distance", "7", "zone_width", "1", "zone_depth", "0.5", "zone_base", "1.2", "zone_top", "1.8",
			"walk_east", "1.6", "walk_north", "1.2", "side", "right", "key", "-2.2", "contrast", "0.3", "faces", "sky", "gust", "4", "option", "hand-held"),
	}
}

// paper is a size of paper, mm, and what the sheet's margins leave of it, CSS pixels.
type paper struct {
	name          string
	wide, high    float64
	width, height int64
}

func papers() []paper {
	const mm, across, along = 96 / 25.4, 16, 18 // the margins in style.css
	list := []paper{{name: "a4", wide: 210, high: 297}, {name: "letter", wide: 215.9, high: 279.4}}
	for i := range list {
		list[i].width, list[i].height = int64((list[i].wide-across)*mm), int64((list[i].high-along)*mm)
	}
	return list
}

// printed is the page that is open, on paper.
func (b *browser) printed(p *paper) (pdf []byte, pages int) {
	b.t.Helper()
	const inch = 25.4
	b.run(chromedp.ActionFunc(func(ctx context.Context) (err error) {
		pdf, _, err = cdppage.PrintToPDF().WithPaperWidth(p.wide / inch).WithPaperHeight(p.high / inch).WithPreferCSSPageSize(true).WithPrintBackground(true).Do(ctx)
		return err
	}))
	return pdf, strings.Count(string(pdf), "/Type /Page\n") + strings.Count(string(pdf), "/Type /Page ")
}

// A sheet is two pages on either paper, and one more for each move: the first has the plan and every row of what is staked out, nothing is
// cut off at an edge or too small to read.
func TestASheetPrintsOnTwoPages(t *testing.T) {
	t.Parallel()
	for name, address := range sheets() {
		b := newBrowser(t, 1024, 900)
		b.open("/option?" + address)
		var moves int
		b.eval(`document.querySelectorAll('section.move').length`, &moves)
		for _, p := range papers() {
			pdf, pages := b.printed(&p)
			keep(t, name+"-"+p.name+".pdf", pdf)
			if pages != 2+moves {
				t.Errorf("%s on %s takes %d pages", name, p.name, pages)
			}
		}
		for _, p := range papers() { // apart from the printing, which must not see an emulated paper
			b.run(emulation.SetEmulatedMedia().WithMedia("print"), emulation.SetDeviceMetricsOverride(p.width, p.height, 1, false))
			b.laidOut(name+" on "+p.name, p.height)
		}
	}
}

// laidOut looks at a sheet as it is laid out for a page so high.
func (b *browser) laidOut(name string, height int64) {
	b.t.Helper()
	var over, wide bool
	b.eval(fmt.Sprintf(`[...document.querySelectorAll('.stakeout')].some(s => { const top = s.getBoundingClientRect().top;
		return !s.querySelector('.d-plan svg') || [...s.querySelectorAll('.d-plan svg, table.stakes tr')].some(e => e.getBoundingClientRect().bottom - top > %d); })`, height), &over)
	if over {
		b.t.Errorf("%s: the plan and the table are more than a page", name)
	}
	b.eval(`[...document.querySelectorAll('.sheet table')].some(t => t.getBoundingClientRect().width > t.parentElement.getBoundingClientRect().width + 1 ||
		[...t.querySelectorAll('th,td')].some(c => c.scrollWidth > c.clientWidth + 1))`, &wide)
	if wide {
		b.t.Errorf("%s: a table is wider than its column", name)
	}
	const least = 7 // pt
	var small []string
	b.eval(fmt.Sprintf(`[...document.querySelectorAll('.sheet *')].filter(e => [...e.childNodes].some(n => n.nodeType === 3 && n.textContent.trim()) &&
		!/^(title|desc)$/.test(e.tagName) && e.getClientRects().length).map(e => {
			const svg = e.closest('svg'), size = parseFloat(getComputedStyle(e).fontSize) * 0.75;
			const box = svg && svg.getBoundingClientRect(), view = svg && svg.viewBox.baseVal;
			return [svg ? size * Math.min(box.width / view.width, box.height / view.height) : size, e];
		}).filter(s => s[0] < %d - 0.01).map(s => s[0].toFixed(2) + ' pt: ' + s[1].textContent)`, least), &small)
	if len(small) > 0 {
		b.t.Errorf("%s: %d texts are too small, such as %s", name, len(small), small[0])
	}
}

// On a phone nothing is wider than the screen, and what is touched is large enough.
func TestPhoneWidth(t *testing.T) {
	t.Parallel()
	b := newBrowser(t, 390, 844)
	b.open("/staff?back=/catalogue")
	b.run(chromedp.SendKeys("#token", token+"\n", chromedp.ByQuery), chromedp.WaitVisible("form.out", chromedp.ByQuery))
	for _, path := range []string{"/", "/plan?" + with(), "/option?" + with(), "/day?" + small(), "/reach?" + with(), "/catalogue/quayside", "/catalogue/quayside/QG-BAG-16", "/import/quayside", "/cautions", "/staff"} {
		b.open(path)
		var wide, small float64
		b.eval(`document.documentElement.scrollWidth`, &wide)
		if wide > 390 {
			t.Errorf("%s is %v px wide", path, wide)
		}
		b.eval(`Math.min(...Array.from(document.querySelectorAll('button, .go, input:not([type=hidden]):not([type=checkbox]):not([type=radio]), select')).filter(e => e.offsetParent).map(e => e.getBoundingClientRect().height), 99)`, &small)
		if small < 24 { // WCAG 2.2, 2.5.8: 24 CSS pixels
			t.Errorf("%s: something to touch is %v px high", path, small)
		}
	}
}

func TestWithoutScript(t *testing.T) {
	t.Parallel()
	b := newBrowser(t, 1280, 900)
	b.run(network.Enable(), network.SetBlockedURLs([]string{"*live.js"})) // scripts of ours alone: the test speaks to the page by script
	b.open("/plan?" + with())
	b.run(chromedp.SetValue("#f-width", "2", chromedp.ByQuery), chromedp.Submit("#shot", chromedp.ByQuery), chromedp.WaitVisible("table.options", chromedp.ByQuery))
	if got := b.address().Query().Get("width"); got != "2" {
		t.Errorf("the form sent a width of %q", got)
	}
}

func TestStaffEditAndLoseARaceInTheBrowser(t *testing.T) {
	t.Parallel()
	b := newBrowser(t, 1280, 900)
	const path = "/catalogue/quayside/QG-BAG-16"
	b.open("/staff?back=" + path)
	b.run(chromedp.SendKeys("#token", token+"\n", chromedp.ByQuery), chromedp.WaitVisible("#c-owned", chromedp.ByQuery))
	b.run(chromedp.SetValue("#c-owned", "99", chromedp.ByQuery), chromedp.Submit("form.shot", chromedp.ByQuery), chromedp.WaitVisible(".good", chromedp.ByQuery))
	other, err := b.site.shelf.Item(t.Context(), "quayside", "QG-BAG-16")
	if err != nil || other.Owned != 99 {
		t.Fatalf("%d owned, %v", other.Owned, err)
	}
	other.Name = "Somebody else's bag"
	if _, err := b.site.shelf.ReplaceItem(t.Context(), "quayside", other.Item, other.Version); err != nil {
		t.Fatal(err)
	}
	b.run(chromedp.SetValue("#c-owned", "55", chromedp.ByQuery), chromedp.Submit("form.shot", chromedp.ByQuery), chromedp.WaitVisible(".summary", chromedp.ByQuery))
	if got := b.text(".summary"); !strings.Contains(got, "Somebody else's bag") {
		t.Errorf("a lost race: %q", got)
	}
}

// newTrap is the address of a page of another site that sends a form to an address of ours as soon as it is opened.
func newTrap(t *testing.T, to string, form url.Values) string {
	t.Helper()
	trap := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Content-Type", "text/html")
		_, _ = fmt.Fprintf(w, `<form method="post" action="%s">`, to)
		for name, values := range form {
			_, _ = fmt.Fprintf(w, `<input name="%s" value="%s">`, name, html.EscapeString(values[0]))
		}
		_, _ = io.WriteString(w, `</form><script>document.forms[0].submit()</script>`)
	}))
	t.Cleanup(trap.Close)
	return trap.URL
}

// keep writes what a test saw where a person can look at it, if asked to.
func keep(t *testing.T, name string, data []byte) {
	t.Helper()
	dir := os.Getenv("KITSPAN_SCREENS")
	if dir == "" {
		return
	}
	if err := os.WriteFile(filepath.Join(dir, name), data, 0o644); err != nil {
		t.Fatal(err)
	}
}

// A file with faults is reported cell by cell and changes nothing.
func TestImportWithFaultsInTheBrowser(t *testing.T) {
	t.Parallel()
	b := newBrowser(t, 1280, 900)
	file := filepath.Join(t.TempDir(), "items.csv")
	const text = "house,sku,name,mass_kg,packed_m3,owned,replacement,account,form,currency,rates\n" +
		"quayside,QG-BAG-99,Bag,heavy,0.01,-4,1.00,2410,bag,EUR,2026-01-01=1.00\n"
	if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	b.open("/staff?back=/import/quayside")
	b.run(chromedp.SendKeys("#token", token+"\n", chromedp.ByQuery), chromedp.WaitVisible("#file", chromedp.ByQuery))
	b.run(chromedp.SetUploadFiles("#file", []string{file}, chromedp.ByQuery), chromedp.SetValue("#kind", "ballast", chromedp.ByQuery),
		chromedp.Submit("#file", chromedp.ByQuery), chromedp.WaitVisible(".summary", chromedp.ByQuery))
	if got := b.text(".summary"); !strings.Contains(got, "Nothing was changed") || !strings.Contains(got, "mass_kg") || !strings.Contains(got, "owned") {
		t.Errorf("faults: %q", got)
	}
	if _, err := b.site.shelf.Item(t.Context(), "quayside", "QG-BAG-99"); err == nil {
		t.Error("the item is there")
	}
}

// A file that is too large is refused to a browser too, which must have sent it before it shows an answer; one that is not is looked at
// and imported, and loading the page again does nothing.
func TestImportInTheBrowser(t *testing.T) {
	t.Parallel()
	b := newBrowser(t, 1280, 900)
	b.open("/staff?back=/import/quayside")
	b.run(chromedp.SendKeys("#token", token+"\n", chromedp.ByQuery), chromedp.WaitVisible("#file", chromedp.ByQuery))
	send := func(text string) {
		t.Helper()
		file := filepath.Join(t.TempDir(), "items.csv")
		if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		b.run(chromedp.SetUploadFiles("#file", []string{file}, chromedp.ByQuery), chromedp.SetValue("#kind", "ballast", chromedp.ByQuery),
			chromedp.Submit("#file", chromedp.ByQuery))
	}
	for _, size := range []int{catalog.MaxKeptFile + 1, 4 * catalog.MaxKeptFile} {
		b.open("/import/quayside")
		send(bagsOf(t, size))
		b.wait(`document.querySelector('.summary') !== null`)
		if got := b.text(".summary"); !strings.Contains(got, "larger than 8 MB") {
			t.Errorf("a file of %d bytes: %q", size, got)
		}
	}
	send(bags(3))
	b.wait(`document.querySelector('form.take') !== null`)
	b.run(chromedp.Click("form.take button", chromedp.ByQuery))
	b.wait(`document.querySelector('.good') !== null`)
	b.run(chromedp.Reload(), chromedp.WaitVisible(".good", chromedp.ByQuery))
	if got := b.text(".good"); got != "Done: 3 added, 0 changed, 0 as they were." {
		t.Errorf("imported: %q", got)
	}
	if _, err := b.site.shelf.Item(t.Context(), "quayside", "QG-BAG-X2"); err != nil {
		t.Error(err)
	}
}
