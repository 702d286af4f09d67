package web

import (
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"sync"
	"testing"

	"kitspan/internal/office"
	"kitspan/internal/planrun"
	"kitspan/internal/rest"
)

// runShelf keeps one plan in the background, in memory.
type runShelf struct {
	mu   sync.Mutex
	sent planrun.Request
	run  planrun.Run
}

func (s *runShelf) Enqueue(_ context.Context, req planrun.Request) (planrun.Run, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.sent, s.run = req, planrun.Run{ID: strings.Repeat("A", 26), State: planrun.Waiting, ShotsAll: req.Shots}
	return s.run, nil
}

func (s *runShelf) Find(_ context.Context, id string) (planrun.Run, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if id != s.run.ID {
		return planrun.Run{}, planrun.ErrNoRun
	}
	return s.run, nil
}

func (s *runShelf) Cancel(_ context.Context, id string) error {
	s.mu.Lock()
	defer s.mu.Unlock()
	if id != s.run.ID {
		return planrun.ErrNoRun
	}
	s.run.State = planrun.Cancelled
	return nil
}

// becomes is how far the plan is now.
func (s *runShelf) becomes(state planrun.State, done int, answer []byte) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.run.State, s.run.ShotsDone, s.run.Answer = state, done, answer
}

func TestALongPlanIsWorkedOutInTheBackground(t *testing.T) {
	t.Parallel()
	runs := &runShelf{}
	s := newSiteWith(t, func(o *setup) { o.Runs = runs })
	d := estuary(t)
	first := d.Shots[0]
	for len(d.Shots) <= office.ForegroundShots {
		number := fmt.Sprintf("X%d", len(d.Shots))
		one := first
		one.Number = &number
		d.Shots = append(d.Shots, one)
	}
	at := jobPath(s.keepJob(t, d).ID)
	p := s.get(t, at+"/plan?house=quayside&crew=9&forbid=QG-BAG-11")
	send, ok := p.Find("#headline form").Attr("action")
	if p.status != http.StatusOK || !ok || !strings.Contains(p.text("#headline"), "41 shots") {
		t.Fatalf("%d: %s", p.status, p.text("main"))
	}
	p = s.post(t, send, nil)
	if refresh, _ := p.Find("meta[http-equiv=refresh]").Attr("content"); p.status != http.StatusOK || refresh == "" || p.Find("progress").Length() != 1 {
		t.Fatalf("%d: %s", p.status, p.text("main"))
	}
	var sent struct {
		House  string
		Forbid []string
		Limits struct{ Crew int }
		Job    struct{ Shots []any }
	}
	if err := json.Unmarshal(runs.sent.Body, &sent); err != nil || sent.House != "quayside" || sent.Limits.Crew != 9 || len(sent.Forbid) != 1 || len(sent.Job.Shots) != 41 {
		t.Errorf("sent is %+v, %v", sent, err)
	}
	if _, err := rest.ReadJob(runs.sent.Body); err != nil {
		t.Errorf("what is sent cannot be read: %v", err)
	}
	page := p.at.RequestURI()
	runs.becomes(planrun.Running, 12, nil)
	if p = s.get(t, page); !strings.Contains(p.text("#headline"), "12 of 41 shots") {
		t.Errorf("on its way it says %q", p.text("#headline"))
	}
	if stopped := s.post(t, p.Find("#headline form").AttrOr("action", ""), p.fields("#headline form")); !strings.Contains(stopped.text("main"), "stopped") {
		t.Errorf("stopped it says %q", stopped.text("main"))
	}
	// What came of it is shown as the plan that somebody waits for, but for the drawings.
	pair := s.pair(t)
	stored, err := s.server.Jobs.Job(t.Context(), strings.TrimPrefix(pair, "/jobs/"))
	if err != nil {
		t.Fatal(err)
	}
	pages := jobPages{planPages{s.server}}
	houses, _ := s.server.Office.Stock.Houses(t.Context())
	a := askIn(url.Values{"house": {"quayside"}}, houses, &stored, readerOf(&http.Request{URL: &url.URL{}}, ""))
	plan, err := pages.planOf(t.Context(), &stored, a)
	if err != nil {
		t.Fatal(err)
	}
	answer, err := rest.JobPlanJSON(plan, false)
	if err != nil {
		t.Fatal(err)
	}
	runs.becomes(planrun.Done, 41, answer)
	waited, kept := s.get(t, pair+"/plan?house=quayside"), s.get(t, page)
	for _, part := range []string{"#headline .total strong", ".made", ".daytable td:not(:last-child)", ".hired td:not(:last-child)", ".shotcard h3", ".shotcard .when", ".shotcard dl", ".jobday details"} {
		if want, got := waited.text(part), kept.text(part); got != want || got == "" {
			t.Errorf("%s says\n%s\nand not\n%s", part, got, want)
		}
	}
	if kept.Find(".jobday svg").Length() != 1 {
		t.Error("the day is not drawn")
	}
	if p := s.get(t, jobPath(stored.ID, "plan", "runs", "another")); p.status != http.StatusNotFound {
		t.Errorf("a run that is not there: %d", p.status)
	}
}
