package web

import (
	"net/http"
	"net/url"
	"slices"
	"strings"
	"testing"

	"github.com/PuerkitoBio/goquery"
)

// pair is the first two shots of the documented job, which are up at once for a while.
func (s *site) pair(t testing.TB) string {
	t.Helper()
	d := estuary(t)
	name := "First day"
	d.Name, d.Shots = &name, d.Shots[:2]
	return jobPath(s.keepJob(t, d).ID)
}

func TestThePlanOfAJobSaysThePriceFirst(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	at := s.pair(t)
	p := s.get(t, at+"/plan?house=quayside&crew=9")
	if p.status != http.StatusOK {
		t.Fatalf("%d %s", p.status, p.text(".summary"))
	}
	if got := p.text("#headline .total strong"); !strings.Contains(got, "EUR") {
		t.Errorf("the price is %q", got)
	}
	if got := p.text("#headline"); !strings.Contains(got, "sharing saves") || !strings.Contains(got, "Proven") {
		t.Errorf("the headline says %q", got)
	}
	day := p.Find(".jobday")
	if day.Length() != 1 || day.Find("svg [data-part=shoot]").Length() != 2 || day.Find("svg [data-part=rig]").Length() != 2 || day.Find(".daytable tbody tr").Length() != 2 {
		t.Errorf("%d days, %d blocks", day.Length(), day.Find("svg [data-part=shoot]").Length())
	}
	if n := p.Find(".shotcard figure svg").Length(); n != 2 {
		t.Errorf("%d drawings", n)
	}
	ids := map[string]bool{}
	p.Find("[id]").Each(func(_ int, e *goquery.Selection) {
		id, _ := e.Attr("id")
		if ids[id] {
			t.Errorf("the id %s twice", id)
		}
		ids[id] = true
	})
	if !strings.Contains(p.text(".cautions"), "on the spot") {
		t.Error("no cautions beside the numbers")
	}
	sheet, _ := p.Find(`.shotcard a[href*="/plan/sheet"]`).First().Attr("href")
	printed := s.get(t, sheet)
	if printed.status != http.StatusOK || printed.Find(".stakes").Length() == 0 || printed.text("h1") != "Shot 3 of First day" {
		t.Errorf("the sheet is %d: %s", printed.status, printed.text("h1"))
	}
	if frame := p.text("#shot-0 .legend li:first-child"); !strings.Contains(printed.text(".stakes"), frame[2:12]) {
		t.Errorf("the sheet is of another frame than %q", frame)
	}
}

func TestAnItemIsDoneWithoutAndUsedAgain(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	at := s.pair(t)
	p := s.get(t, at+"/plan?house=quayside")
	row := p.Find(".hired tbody tr").First()
	sku := row.Find(".sku").Text()
	without, _ := row.Find("td a").Attr("href")
	p = s.get(t, without)
	if p.status != http.StatusOK || slices.Contains(strings.Split(p.text(".hired .sku"), " "), sku) {
		t.Fatalf("%d: %s is hired still", p.status, sku)
	}
	again, _ := p.Find(`.ask a[href*="/plan?"]`).Attr("href")
	if u, _ := url.Parse(again); u.Query().Get("forbid") != "" || u.Query().Get("house") != "quayside" {
		t.Errorf("used again it asks %s", again)
	}
}

func TestAShotIsHeldToAKindOfPlan(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	at := s.pair(t)
	s.signIn(t)
	p := s.get(t, at+"/plan?house=quayside")
	q := p.fields("#shot-0 form.pin")
	kind, ok := p.Find("#shot-0 form.pin option").Last().Attr("value")
	if !ok || kind == "" {
		t.Fatal("no kind to hold it to")
	}
	q.Set("pin", kind)
	p = s.post(t, at+"/pin", q)
	if p.status != http.StatusOK || p.at.Query().Get("house") != "quayside" {
		t.Fatalf("%d at %s", p.status, p.at)
	}
	if got, _ := p.Find("#shot-0 form.pin option[selected]").Attr("value"); got != kind {
		t.Errorf("held to %q, not %q", got, kind)
	}
	if p = s.post(t, at+"/pin", q); p.status != http.StatusPreconditionFailed {
		t.Errorf("an older page holds it: %d", p.status)
	}
}

func TestWhatIsWrongWithAPlanIsSaid(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	at := s.pair(t)
	p := s.get(t, at+"/plan?house=nowhere&crew=many&total=x")
	if p.status != http.StatusUnprocessableEntity || p.text("#e-house") == "" || p.text("#e-crew") == "" {
		t.Errorf("%d: %s", p.status, p.text(".summary"))
	}
	name := "Empty"
	d := estuary(t)
	d.Name, d.Shots = &name, nil
	if p = s.get(t, jobPath(s.keepJob(t, d).ID)+"/plan?house=quayside"); p.status != http.StatusUnprocessableEntity || !strings.Contains(p.text(".summary"), "no shots yet") {
		t.Errorf("%d: %s", p.status, p.text(".summary"))
	}
}

func TestHousesSideBySide(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	at := s.pair(t)
	p := s.get(t, at+"/compare?houses=northpier,quayside")
	if p.status != http.StatusOK || p.Find(".sides thead th").Length() != 3 || p.Find(".sides svg").Length() != 2 || p.text(".sides thead th:nth-child(2)") != "Northpier Rentals" {
		t.Fatalf("%d: %s", p.status, p.text(".sides thead"))
	}
	if n := p.Find("table:not(.sides) tbody tr").Length(); n != 2 {
		t.Errorf("%d shots", n)
	}
}
