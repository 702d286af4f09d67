package web

import (
	"context"
	"errors"
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"kitspan/internal/office"
	"kitspan/internal/shot"
	"kitspan/internal/text"
)

// newLimitedSite is a site whose office has limits.
func newLimitedSite(t *testing.T, l office.Limits) *site {
	t.Helper()
	capacity, err := office.NewCapacity(l)
	if err != nil {
		t.Fatal(err)
	}
	return newSiteWith(t, func(o *setup) { o.Office.Capacity = capacity })
}

// Whoever comes when every place is taken is told what to do, and keeps what was typed.
func TestABusyOfficeKeepsWhatWasTyped(t *testing.T) {
	t.Parallel()
	s := newLimitedSite(t, office.Limits{Solving: 1, Waiting: 0, Wait: time.Minute, Solve: time.Hour})
	desk := s.server.Office
	q, err := url.ParseQuery(with())
	if err != nil {
		t.Fatal(err)
	}
	house := "quayside"
	job, faults, err := desk.Take(t.Context(), &house, readForm(q, "EUR", notations[0], text.Metres).Draft)
	if err != nil || len(faults) > 0 {
		t.Fatal(err, faults)
	}
	minute, start, end := 1, "00:00", "24:00" // a day by the minute takes far longer than what follows
	steps, faults := shot.DraftSteps{StepMin: &minute, From: &start, To: &end}.Resolve(job.Shot)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	ctx, leave := context.WithCancel(t.Context())
	defer leave()
	ended := make(chan error)
	go func() {
		_, err := desk.Sweep(ctx, job, steps)
		ended <- err
	}()
	for desk.Capacity.Taken() == 0 {
		time.Sleep(time.Millisecond)
	}

	for _, path := range []string{"/plan", "/option", "/day", "/reach", "/plan.txt", "/plan.json"} {
		address := path + "?" + with("name", "A shot to keep")
		if path == "/reach" {
			address += "&frame=QG-FRAME-08X08"
		}
		p := s.get(t, address)
		if p.status != http.StatusServiceUnavailable || p.header.Get("Retry-After") == "" {
			t.Errorf("%s: status %d, Retry-After %q", path, p.status, p.header.Get("Retry-After"))
		}
		if says := p.text("main .lead"); !strings.Contains(says, "Too many shots") || !strings.Contains(says, "try again") {
			t.Errorf("%s says %q", path, says)
		}
		again, _ := p.Find("main a.go").Attr("href")
		if u, err := url.Parse(again); err != nil || u.Path != path || u.Query().Get("name") != "A shot to keep" {
			t.Errorf("%s: trying again leads to %q", path, again)
		}
		kept, _ := p.Find("nav a[href^='/plan']").Attr("href")
		if u, err := url.Parse(kept); err != nil || u.Query().Get("name") != "A shot to keep" {
			t.Errorf("%s: the menu leads to %q, without what was typed", path, kept)
		}
		if path == "/plan" {
			if v, _ := p.Find("#f-name").Attr("value"); v != "A shot to keep" {
				t.Errorf("the form holds %q", v)
			}
		}
	}
	part := s.get(t, partPath+"?"+with())
	if part.status != http.StatusServiceUnavailable || !strings.Contains(part.text(".failed"), "Too many shots") || part.Find("form").Length() != 0 {
		t.Errorf("the results alone: status %d", part.status)
	}

	leave()
	if err := <-ended; !errors.Is(err, context.Canceled) {
		t.Errorf("the day ended with %v before it was given up: it took no longer than the pages", err)
	}
	if p := s.get(t, "/plan?"+with()); p.status != http.StatusOK {
		t.Errorf("when there is a place again: status %d", p.status)
	}
}

func TestAShotThatTakesTooLongIsGivenUp(t *testing.T) {
	t.Parallel()
	s := newLimitedSite(t, office.Limits{Solving: 1, Waiting: 0, Wait: time.Minute, Solve: time.Nanosecond})
	for _, path := range []string{"/plan", "/day"} {
		p := s.get(t, path+"?"+with())
		if p.status != http.StatusServiceUnavailable || p.header.Get("Retry-After") == "" {
			t.Errorf("%s: status %d, Retry-After %q", path, p.status, p.header.Get("Retry-After"))
		}
		if says := p.text("main .lead"); !strings.Contains(says, "took longer") || !strings.Contains(says, "shorter window") {
			t.Errorf("%s says %q", path, says)
		}
	}
}
