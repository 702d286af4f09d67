//go:build !race

package web

import (
	"cmp"
	"context"
	_ "embed"
	"errors"
	"fmt"
	"net/http"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/accessibility"
	"github.com/chromedp/cdproto/audits"
	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/dom"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// access is the script that asks a page what it owes to whoever hears, magnifies or types it.
//
//go:embed testdata/access.js
var access string

// visit is a page to be looked at, and what is to be so on it.
type visit struct {
	name, path, lang string
	status           int
	least            int // CSS pixels of what is touched
	before           func(b *browser)
}

// visits are the pages, each once, by readers who open them in this order, each in a browser of their own: the staff sign in on the way.
func visits() [][]visit {
	list := [][]visit{{
		{name: "start", path: "/"},
		{name: "start in German", path: "/?lang=de", lang: "de"},
		{name: "blank plan", path: "/plan?lang=en"},
		{name: "plan", path: "/plan?" + small()},
		{name: "plan with faults", path: "/plan?" + night("width", "wide", "lat", "95"), status: 422},
	}, {
		{name: "set", path: "/set?" + small(), least: 44},
		{name: "set with faults", path: "/set?" + night("width", "wide"), least: 44, status: 422},
		{name: "set that is not kept", path: "/set/none", least: 44},
		{name: "sheet", path: "/option?" + small()},
		{name: "day", path: "/day?" + small()},
		{name: "reach", path: "/reach?" + small() + "&frame=QG-FRAME-12X12"},
		{name: "houses", path: "/catalogue"},
		{name: "catalogue", path: "/catalogue/quayside?kind=support"},
		{name: "item to read", path: "/catalogue/quayside/QG-BAG-16"},
		{name: "cautions", path: "/cautions"},
	}, {
		{name: "sign-in", path: "/staff"},
		{name: "sign-in refused", path: "/staff?back=/catalogue", status: 401, before: func(b *browser) {
			b.run(chromedp.SendKeys("#token", "not the token of the staff\n", chromedp.ByQuery), chromedp.WaitVisible(".summary", chromedp.ByQuery))
		}},
		{name: "import", path: "/staff?back=/import/quayside", before: func(b *browser) {
			b.run(chromedp.SendKeys("#token", token+"\n", chromedp.ByQuery), chromedp.WaitVisible("#file", chromedp.ByQuery))
		}},
		{name: "item to change", path: "/catalogue/quayside/QG-BAG-16"},
		{name: "item with faults", path: "/catalogue/quayside/QG-BAG-16", status: 422, before: func(b *browser) {
			b.run(chromedp.SetValue("#c-owned", "many", chromedp.ByQuery), chromedp.Submit("form.shot", chromedp.ByQuery), chromedp.WaitVisible(".wrong", chromedp.ByQuery))
		}},
		{name: "error", path: "/cautions", status: 500, before: func(b *browser) {
			b.site.shelf.trouble(errors.New("no database"), nil)
			b.open("/day?" + small())
		}},
	}, {
		{name: "job to read", path: "/jobs/" + walkedJob},
		{name: "plan of a job", path: "/jobs/" + walkedPair + "/plan?house=quayside"},
		{name: "plan of a job with faults", path: "/jobs/" + walkedPair + "/plan?house=quayside&crew=many", status: 422},
		{name: "sheet of a shot of a job", path: "/jobs/" + walkedPair + "/plan/sheet?house=quayside&shot=3"},
		{name: "houses compared", path: "/jobs/" + walkedPair + "/compare?houses=quayside,northpier"},
		{name: "jobs", path: "/staff?back=/jobs", before: func(b *browser) {
			b.run(chromedp.SendKeys("#token", token+"\n", chromedp.ByQuery), chromedp.WaitVisible("#f-name", chromedp.ByQuery))
		}},
		{name: "job to fill in", path: "/jobs/" + walkedJob},
		{name: "job with faults", path: "/jobs/" + walkedJob, status: 422, before: func(b *browser) {
			b.run(chromedp.SetValue("#f-s1-width", "wide", chromedp.ByQuery), chromedp.SetValue("#f-p0-at", "there", chromedp.ByQuery), chromedp.Submit("#job", chromedp.ByQuery), chromedp.WaitVisible(".summary", chromedp.ByQuery))
		}},
		{name: "shot of a job", path: "/jobs/" + walkedJob + "/shots/12A"},
		{name: "shots to import", path: "/jobs/" + walkedJob + "/import"},
		{name: "job to delete", path: "/jobs/" + walkedJob + "/delete"},
	}}
	for _, reader := range list {
		for i := range reader {
			v := &reader[i]
			v.lang, v.status, v.least = cmp.Or(v.lang, "en"), cmp.Or(v.status, http.StatusOK), cmp.Or(v.least, 24)
		}
	}
	return list
}

// Every page can be heard, magnified and typed through. Every page is opened once, and what is folded on it is unfolded by keyboard before
// all else is asked.
func TestEveryPageIsAccessible(t *testing.T) {
	t.Parallel()
	for _, list := range visits() {
		t.Run("reader of "+list[0].name, func(t *testing.T) {
			t.Parallel()
			b := newBrowser(t, 1280, 900)
			b.site.server.Examples, b.site.server.ExampleJob = documented(t)[:3], estuary(t)
			b.site.keepJob(t, estuary(t))
			b.site.pair(t)
			for _, v := range list {
				b.t = t
				b.run(chromedp.EmulateViewport(1280, 900))
				b.open(v.path)
				if v.before != nil {
					v.before(b)
				}
				t.Run(v.name, func(t *testing.T) {
					b.t = t
					b.visited(&v)
				})
				b.t = t
			}
		})
	}
}

// visited looks at the page that is open.
func (b *browser) visited(v *visit) {
	b.t.Helper()
	b.eval(access, nil)
	var status int
	if b.eval(`performance.getEntriesByType('navigation')[0].responseStatus`, &status); status != v.status {
		b.t.Errorf("the page is answered with %d", status)
	}
	b.unfolded()
	b.finds("structure", fmt.Sprintf(`access.structure(%q)`, v.lang))
	b.named()
	b.tab()
	b.finds("by Tab", `access.walked()`)
	for _, scheme := range []string{"dark", "light"} {
		b.run(emulation.SetEmulatedMedia().WithFeatures([]*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}, {Name: "prefers-reduced-motion", Value: "reduce"}}))
		b.finds(scheme, `access.contrast()`)
	}
	b.finds("without motion", `access.motion()`)
	for _, width := range []int64{1024, 640, 320} { // the last two are 1280 at 200 and 400 %
		b.run(emulation.SetDeviceMetricsOverride(width, 900, 1, false))
		b.finds(fmt.Sprintf("%d px wide", width), `access.layout()`)
	}
	b.finds("320 px wide, with wider letters", `access.spacing(true) && access.layout()`)
	b.eval(`access.spacing(false)`, nil)
	b.finds("to touch", fmt.Sprintf(`access.targets(%d)`, v.least))
}

// finds reports what a check of the script finds.
func (b *browser) finds(what, check string) {
	b.t.Helper()
	var found []string
	b.eval(check, &found)
	for _, f := range found {
		b.t.Errorf("%s: %s", what, f)
	}
}

// unfolded opens all that is folded, by keyboard.
func (b *browser) unfolded() {
	b.t.Helper()
	for before := ""; ; {
		var at string
		b.eval(`access.nextFolded()`, &at)
		if at == "" {
			return
		}
		if at == before {
			b.t.Fatalf("Enter does not open %s", at)
		}
		before = at
		b.enter()
	}
}

// enter presses Enter as a keyboard does: in one, so that what a link has answered is not typed into the field that it leads to.
func (b *browser) enter() {
	b.t.Helper()
	const code = 13
	b.run(
		input.DispatchKeyEvent(input.KeyDown).WithKey("Enter").WithCode("Enter").WithText("\r").WithWindowsVirtualKeyCode(code),
		input.DispatchKeyEvent(input.KeyUp).WithKey("Enter").WithCode("Enter").WithWindowsVirtualKeyCode(code),
	)
}

// tab goes through the page by the Tab key, from its top until it comes round.
func (b *browser) tab() {
	b.t.Helper()
	var stops int
	b.eval(`access.begin()`, &stops)
	b.run(chromedp.ActionFunc(func(ctx context.Context) error {
		for range stops + 2 {
			if err := input.DispatchKeyEvent(input.KeyRawDown).WithKey("Tab").WithCode("Tab").WithWindowsVirtualKeyCode(9).Do(ctx); err != nil {
				return err
			}
		}
		return nil
	}))
}

// spoken are roles of the browser's accessibility tree that say nothing without a name.
var spoken = map[string]bool{
	"button": true, "link": true, "textbox": true, "searchbox": true, "checkbox": true, "radio": true, "combobox": true, "listbox": true, "spinbutton": true,
	"slider": true, "Date": true, "InputTime": true, "image": true, "img": true, "DisclosureTriangle": true, "region": true, "navigation": true, "table": true,
	"heading": true, "dialog": true,
}

// named asks the browser's accessibility tree, of which screen readers read, for a name of all that needs one, and its own look at forms.
func (b *browser) named() {
	b.t.Helper()
	b.run(chromedp.ActionFunc(func(ctx context.Context) error {
		// What the generated types do not know of this browser's words is not read.
		var tree struct {
			Nodes []struct {
				Ignored bool `json:"ignored"`
				Role    struct {
					Value string `json:"value"`
				} `json:"role"`
				Name struct {
					Value string `json:"value"`
				} `json:"name"`
				Node cdp.BackendNodeID `json:"backendDOMNodeId"`
			} `json:"nodes"`
		}
		if err := cdp.Execute(ctx, accessibility.CommandGetFullAXTree, accessibility.GetFullAXTree(), &tree); err != nil {
			return err
		}
		seen := 0
		for _, n := range tree.Nodes {
			if n.Ignored || !spoken[n.Role.Value] {
				continue
			}
			seen++
			if strings.TrimSpace(n.Name.Value) == "" {
				html, err := dom.GetOuterHTML().WithBackendNodeID(n.Node).Do(ctx)
				b.t.Errorf("a %s without a name: %.110s %v", n.Role.Value, html, err)
			}
		}
		if seen < 5 {
			b.t.Errorf("the tree has %d named nodes", seen)
		}
		issues, err := audits.CheckFormsIssues().Do(ctx)
		for _, i := range issues {
			b.t.Errorf("forms, as the browser sees them: %s", i.ErrorType)
		}
		return err
	}))
}

// Links within a page lead by keyboard to what they name, in sight, and the page stays with what was typed in it.
func TestLinksWithinThePageMoveTheFocus(t *testing.T) {
	t.Parallel()
	b := newBrowser(t, 1280, 900)
	follow := func(link, to string) {
		t.Helper()
		var seen bool
		b.run(chromedp.Focus(link, chromedp.ByQuery))
		b.eval(`(b => b.width > 20 && b.height > 20 && b.left >= 0 && b.top >= 0 && b.bottom <= innerHeight)(document.querySelector(`+"`"+link+"`"+`).getBoundingClientRect())`, &seen)
		if !seen {
			t.Errorf("%s is not seen when it has the focus", link)
		}
		b.enter()
		b.wait(`document.activeElement.matches('` + to + `') && (b => b.top < innerHeight && b.bottom > 0)(document.activeElement.getBoundingClientRect())`)
		b.run(chromedp.KeyEvent(kb.Tab))
		var within bool
		if b.eval(`(to => to.contains(document.activeElement) || (to.compareDocumentPosition(document.activeElement) & Node.DOCUMENT_POSITION_FOLLOWING) !== 0)(document.querySelector('`+to+`'))`, &within); !within {
			t.Errorf("after %s, Tab goes on elsewhere", link)
		}
	}
	b.open("/plan?" + small())
	b.eval(`window.stayed = true; document.querySelector('#f-name').value = 'typed'`, nil)
	follow(".skip", "#main")
	follow(".jump", "#results")
	var stayed bool
	if b.eval(`window.stayed === true && document.querySelector('#f-name').value === 'typed'`, &stayed); !stayed {
		t.Error("the page was loaded anew")
	}
	b.open("/plan?" + night("width", "wide", "lat", "95"))
	follow(`.summary a[href="#f-lat"]`, "#f-lat")
}
