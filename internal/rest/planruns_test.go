package rest

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"log/slog"
	"net/http"
	"strings"
	"testing"
	"time"

	"kitspan/internal/office"
	"kitspan/internal/planrun"
	"kitspan/internal/postgres"
	"kitspan/internal/postgres/pgtest"
)

// withRuns is a server on a database, whose plans in the background wait until they are worked on. now is its day.
func withRuns(t *testing.T) (f *face, runs *postgres.PlanRuns, exec func(sql string)) {
	t.Helper()
	url := pgtest.NewURL(t)
	pool, err := postgres.Open(t.Context(), url)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(pool.Close)
	store := postgres.NewCatalogue(pool)
	if _, err := store.Seed(t.Context()); err != nil {
		t.Fatal(err)
	}
	var log bytes.Buffer
	logger := slog.New(slog.NewTextHandler(&log, nil))
	if runs, err = postgres.NewPlanRuns(pool, slog.New(slog.DiscardHandler)); err != nil {
		t.Fatal(err)
	}
	o := optionsOn(store, func() time.Time { return testDay }, logger)
	o.Runs, o.Jobs = runs, postgres.NewJobs(pool)
	server, handler := chained(t, o)
	return &face{t, server, handler, store, &log}, runs, func(sql string) { pgtest.Execute(t, url, sql) }
}

// workOn has plans worked out by plan until the test ends.
func workOn(t *testing.T, f *face, runs *postgres.PlanRuns, plan planrun.Planner) (stop func()) {
	t.Helper()
	w, err := postgres.StartPlanWorkers(t.Context(), runs, postgres.PlanWorkersOptions{
		Workers: 1, Limit: office.LongestBehind, Plan: plan, GiveUp: f.server.GiveUpPlan, Log: slog.New(slog.DiscardHandler),
	})
	if err != nil {
		t.Fatal(err)
	}
	stop = func() {
		ctx, cancel := context.WithTimeout(context.WithoutCancel(t.Context()), time.Minute)
		defer cancel()
		if err := w.Stop(ctx); err != nil {
			t.Error(err)
		}
	}
	t.Cleanup(stop)
	return stop
}

// shown is a run as it is answered, its plan as it stands there.
type shown struct {
	ID        string          `json:"id"`
	State     string          `json:"state"`
	ShotsDone int             `json:"shots_done"`
	ShotsAll  int             `json:"shots_all"`
	StartedAt *time.Time      `json:"started_at"`
	EndedAt   *time.Time      `json:"ended_at"`
	Plan      json.RawMessage `json:"plan"`
	Problem   *Problem        `json:"problem"`
}

// until asks for a run until it is as it is wanted.
func (f *face) until(at string, wanted func(shown) bool) (shown, answer) {
	f.t.Helper()
	const hangs = time.Minute
	for begin := time.Now(); ; time.Sleep(10 * time.Millisecond) {
		var s shown
		got := f.do("GET", at, "").want(200)
		got.into(&s)
		if open := s.State == "waiting" || s.State == "running"; (got.header.Get("Retry-After") == "1") != open {
			f.t.Errorf("Retry-After %q while it is %s", got.header.Get("Retry-After"), s.State)
		}
		if wanted(s) {
			return s, got
		}
		if time.Since(begin) > hangs {
			f.t.Fatalf("it stays %s with %d of %d shots: %s", s.State, s.ShotsDone, s.ShotsAll, f.log)
		}
	}
}

func is(state string) func(shown) bool { return func(s shown) bool { return s.State == state } }

// later sends a job to be planned in the background.
func (f *face) later(body string, headers ...string) (at string) {
	f.t.Helper()
	got := f.do("POST", "/v1/plans", body, append(headers, "Prefer", "respond-async")...).want(202)
	at = got.header.Get("Location")
	if got.header.Get("Preference-Applied") != "respond-async" || got.header.Get("Retry-After") != "1" || len(strings.TrimPrefix(at, "/v1/plans/")) < 22 {
		f.t.Errorf("headers %v", got.header)
	}
	var s shown
	if got.into(&s); s.State != "waiting" || "/v1/plans/"+s.ID != at {
		f.t.Errorf("answered %s", got.body)
	}
	return at
}

func TestAPlanInTheBackgroundIsThatOfTheForeground(t *testing.T) {
	f, runs, exec := withRuns(t)
	body := `{"house": "quayside", "job": ` + jobBody(shotBody("1", soft), shotBody("2", soft)) + `}`
	at := f.later(body, "Accept-Language", "de")
	onward := make(chan bool)
	stop := workOn(t, f, runs, func(ctx context.Context, r planrun.Request, progress func(int)) (planrun.Outcome, error) {
		return f.server.RunPlan(ctx, r, func(shots int) {
			progress(shots)
			if shots == 1 { // so that it is seen half way
				<-onward
			}
		})
	})
	half, _ := f.until(at, func(s shown) bool { return s.ShotsDone == 1 })
	if half.State != "running" || half.ShotsAll != 2 || half.StartedAt == nil || half.EndedAt != nil || string(half.Plan) != "null" {
		t.Errorf("half way: %+v", half)
	}
	close(onward)
	done, _ := f.until(at, is("done"))
	now := f.do("POST", "/v1/plans", body, "Accept-Language", "de", "Prefer", "wait=10").want(200)
	if string(done.Plan)+"\n" != string(now.body) || done.ShotsDone != 2 || done.Problem != nil || done.EndedAt == nil {
		t.Errorf("in the background:\n%s\nin the foreground:\n%s", done.Plan, now.body)
	}
	stop()
	exec(`UPDATE plan_runs SET created_at = now() - INTERVAL '2 days', expires_at = now()`)
	f.do("GET", at, "").want(404)
	f.do("DELETE", at, "").want(404)
}

func TestAPlanInTheBackgroundIsCancelled(t *testing.T) {
	f, runs, _ := withRuns(t)
	body := `{"house": "quayside", "job": ` + jobBody(shotBody("1", soft)) + `}`
	ended := make(chan error, 1)
	workOn(t, f, runs, func(ctx context.Context, r planrun.Request, _ func(int)) (planrun.Outcome, error) {
		<-ctx.Done()
		out, err := f.server.RunPlan(ctx, r, func(int) {}) // the engine's own end
		ended <- err
		return out, err
	})
	at := f.later(body)
	f.until(at, is("running"))
	f.do("DELETE", at, "").want(204)
	f.do("DELETE", at, "").want(204)
	f.until(at, is("cancelled"))
	if err := <-ended; err == nil {
		t.Error("work went on to its end")
	}
	for _, id := range []string{strings.Repeat("A", 26), "x", "%00%ff"} {
		f.do("GET", "/v1/plans/"+id, "").want(404)
		f.do("DELETE", "/v1/plans/"+id, "").want(404)
	}
}

// What is unsound is not queued; what turns out to be afterwards is a problem that the run has.
func TestUnsoundJobsDoNotWait(t *testing.T) {
	f, runs, _ := withRuns(t)
	for status, body := range map[int]string{
		422: `{"house": "quayside", "job": ` + jobBody(shotBody("1"), shotBody("1")) + `}`, 400: `{"huose": "quayside"}`,
	} {
		f.do("POST", "/v1/plans", body, "Prefer", "respond-async").want(status)
	}
	at := f.later(`{"house": "quayside", "forbid": ["QG-FRAME-20X30"], "job": `+jobBody(shotBody("1", soft))+`}`, "Accept-Language", "de")
	item := "/v1/houses/quayside/items/QG-FRAME-20X30"
	f.staff("DELETE", item, "", "If-Match", f.do("GET", item, "").want(200).header.Get("ETag")).want(204)
	workOn(t, f, runs, f.server.RunPlan)
	s, _ := f.until(at, is("failed"))
	if s.Problem == nil || s.Problem.Status != 422 || s.Problem.Errors == nil || deref((*s.Problem.Errors)[0].Pointer) != "/forbid/0" || string(s.Plan) != "null" {
		t.Errorf("%+v", s.Problem)
	}
}

func TestTheHundredAndFirstPlanIsRefused(t *testing.T) {
	f, _, _ := withRuns(t)
	body := `{"house": "quayside", "job": ` + jobBody(shotBody("1", soft)) + `}`
	at := f.later(body)
	for range planrun.MostWaiting - 1 {
		f.later(body)
	}
	var p Problem
	got := f.do("POST", "/v1/plans", body, "Prefer", "respond-async").want(503)
	if got.into(&p); p.Type != "urn:kitspan:problem:busy" || got.header.Get("Retry-After") == "" {
		t.Errorf("%s, Retry-After %q", got.body, got.header.Get("Retry-After"))
	}
	f.do("DELETE", at, "").want(204)
	f.later(body)
}

func TestALongPlanIsForTheBackground(t *testing.T) {
	f, _, _ := withRuns(t)
	shots := make([]string, office.ForegroundShots+1)
	for i := range shots {
		shots[i] = shotBody(fmt.Sprint(i), soft)
	}
	var movable []string
	for i := range 5 { // each at 53 quarters of an hour
		movable = append(movable, strings.Replace(shotBody(fmt.Sprint(i), soft), `"window": {"date": "2027-06-18", "start": "16:30", "end": "17:30"}`,
			`"when": {"date": "2027-06-18", "earliest": "07:00", "latest": "21:00", "duration_min": 60}`, 1))
	}
	for name, job := range map[string]string{"shots": jobBody(shots...), "starts": jobBody(movable...)} {
		body := `{"house": "quayside", "job": ` + job + `}`
		var p Problem
		got := f.do("POST", "/v1/plans", body).want(http.StatusRequestEntityTooLarge)
		if got.into(&p); p.Type != "urn:kitspan:problem:too-much-at-once" || !strings.Contains(p.Detail, "Prefer: respond-async") {
			t.Errorf("%s: %s", name, got.body)
		}
		f.later(body)
		kept := f.staff("POST", "/v1/jobs", job).want(201).header.Get("Location")
		f.do("GET", kept+"/plan?house=quayside", "").want(http.StatusRequestEntityTooLarge)
	}
}

func TestPreferencesAreReadAsTheStandardSays(t *testing.T) {
	for line, want := range map[string]bool{
		"respond-async": true, "Respond-Async": true, "wait=10, respond-async": true, `foo="a;b" , respond-async; x=1`: true, "respond-async, wait=100": true,
		"": false, "respond": false, "respond-asyncs": false, "wait=10": false, "return=minimal": false,
	} {
		if got := prefersAsync(http.Header{"Prefer": {line}}); got != want {
			t.Errorf("%q: %v", line, got)
		}
	}
	if !prefersAsync(http.Header{"Prefer": {"wait=10", "respond-async"}}) {
		t.Error("not in the second line")
	}
}
