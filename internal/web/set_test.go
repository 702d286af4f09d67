package web

import (
	"math"
	"net/http"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/PuerkitoBio/goquery"
)

// metresOf are the metres that a cell says, negative for left and for what lies in front of the mark.
func metresOf(t *testing.T, cell string) float64 {
	t.Helper()
	if cell == "on the axis" || cell == "level with it" {
		return 0
	}
	v, err := strconv.ParseFloat(strings.Fields(cell)[0], 64)
	if err != nil {
		t.Fatalf("%q: %v", cell, err)
	}
	if strings.HasSuffix(cell, "left") || strings.HasSuffix(cell, "in front") {
		return -v
	}
	return v
}

// Where a stand goes is said twice, and both are the same place: the lens is 5.5 m before the mark, on the axis. Tapes are by Pythagoras.
func TestSpotsFromMarkAndLensAreOnePlace(t *testing.T) {
	t.Parallel()
	p := newSite(t).get(t, "/set?"+with())
	spots := p.Find(".spot")
	if spots.Length() < 6 {
		t.Fatalf("%d spots", spots.Length())
	}
	spots.Each(func(_ int, spot *goquery.Selection) {
		cells := spot.Find(".from td").Map(func(_ int, c *goquery.Selection) string { return c.Text() })
		if len(cells) != 6 {
			t.Fatalf("%q", cells)
		}
		const rounding = 0.011 // metres: two figures of two decimals each
		aside, along, tape := metresOf(t, cells[0]), metresOf(t, cells[1]), metresOf(t, cells[2])
		ahead, lensTape := metresOf(t, cells[4]), metresOf(t, cells[5])
		if strings.HasSuffix(cells[4], "behind") { // the lens
			ahead = -ahead
		}
		if cells[3] != cells[0] || math.Abs(ahead-(along+5.5)) > rounding {
			t.Errorf("from the mark %q, from the lens %q", cells[:3], cells[3:])
		}
		if math.Abs(math.Hypot(aside, along)-tape) > rounding || math.Abs(math.Hypot(aside, ahead)-lensTape) > rounding {
			t.Errorf("tapes of %q", cells)
		}
	})
}

// The gust at which to lower is the least of all pieces; cautions stand before the drawing, which stands before the form.
func TestOnSetTheGustAndCautionsComeFirst(t *testing.T) {
	t.Parallel()
	p := newSite(t).get(t, "/set?"+with())
	least := math.Inf(1)
	p.Find(".piece .hold .lower b").Each(func(_ int, b *goquery.Selection) { least = math.Min(least, metresOf(t, b.Text())) })
	if got := metresOf(t, p.text(".gusts .lower b")); got != least {
		t.Errorf("lower at %v, the least of the pieces is %v", got, least)
	}
	if n := p.Find(".set > ul.cautions li").Length(); n != 2 {
		t.Errorf("%d cautions", n)
	}
	html, err := p.Html()
	if err != nil {
		t.Fatal(err)
	}
	last := 0
	for _, part := range []string{`class="gusts"`, `class="cautions"`, `class="zoom d-plan"`, `id="pieces"`, `id="order"`, `id="shot-form"`} {
		if at := strings.Index(html, part); at < last {
			t.Errorf("%s stands at %d, before %d", part, at, last)
		} else {
			last = at
		}
	}
	if p.Find("details#shot-form[open]").Length() != 0 {
		t.Error("the form is open")
	}
}

// Ticks are kept under the revision: that of the first plan, whether it is named or not, and another for other numbers.
func TestRevisionOnSetIsThatOfThePlan(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	of := func(query string) string {
		v, _ := s.get(t, "/set?"+query).Find("[data-set]").Attr("data-revision")
		return v
	}
	first := of(small())
	if !regexp.MustCompile(`^[0-9a-f]{8}$`).MatchString(first) {
		t.Fatalf("%q", first)
	}
	if got := of(small("option", "overhead-and-reflector")); got != first {
		t.Errorf("the same plan by its name is %q, not %q", got, first)
	}
	if of(small("gust", "7")) == first || of(small("option", "reflectors-only")) == first {
		t.Error("another plan has the same revision")
	}
}

func TestOnSetAFormWithFaultsSaysThem(t *testing.T) {
	t.Parallel()
	p := newSite(t).get(t, "/set?"+with("width", "wide"))
	if p.status != http.StatusUnprocessableEntity || p.Find("details#shot-form[open]").Length() != 1 || !strings.Contains(p.text(".summary"), "Picture width") {
		t.Errorf("%d: %q", p.status, p.text(".summary"))
	}
	if v, _ := p.Find("#f-width").Attr("value"); v != "wide" {
		t.Errorf("what was typed is %q", v)
	}
}

func TestOnSetInFeet(t *testing.T) {
	t.Parallel()
	p := newSite(t).get(t, "/set?"+small("units", "ft"))
	if got := p.Find(".spot .from td").First().Text(); !strings.Contains(got, "ft") {
		t.Errorf("a distance is %q", got)
	}
}

// The worker is for addresses on set alone, is never taken from a cache, and is another one for another version.
func TestWorkerIsOfItsVersion(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	p := s.get(t, setWorkerPath)
	if p.header.Get("Service-Worker-Allowed") != "/set" || p.header.Get("Cache-Control") != "no-cache" || !strings.HasPrefix(p.header.Get("Content-Type"), "text/javascript") {
		t.Errorf("%v", p.header)
	}
	if policy := p.header.Get("Content-Security-Policy"); !strings.Contains(policy, "worker-src 'self'") {
		t.Errorf("policy %q", policy)
	}
	src, ok := s.get(t, "/set/none").Find("script[src^='/set.js']").Attr("src")
	if !ok || !regexp.MustCompile(`^/set\.js\?v=[0-9a-f]{16}$`).MatchString(src) || !strings.Contains(p.Text(), "script = '"+src+"'") {
		t.Errorf("the page's script is %q", src)
	}
	if got := s.get(t, src); got.status != http.StatusOK {
		t.Errorf("%s: %d", src, got.status)
	}
}
