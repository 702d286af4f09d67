//go:build !race

package docs_test

import (
	"bytes"
	"context"
	"encoding/json"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"kitspan/internal/account"
	"kitspan/internal/catalog"
	"kitspan/internal/httpchain"
	"kitspan/internal/office"
	"kitspan/internal/planrun"
	"kitspan/internal/postgres"
	"kitspan/internal/postgres/pgtest"
	"kitspan/internal/rest"
)

// server is the JSON face as make run serves it, on a database of its own with the demo catalogue, on a day of November 2026.
type server struct {
	t       *testing.T
	handler http.Handler
}

// fixedNow is noon of the day on which the documents are read.
func fixedNow() time.Time { return time.Date(2026, 11, 5, 12, 0, 0, 0, time.UTC) }

const staffToken = "a token for tests alone"

func newServer(t *testing.T) server {
	t.Helper()
	pool := pgtest.New(t)
	store := postgres.NewCatalogue(pool)
	if _, err := store.Seed(t.Context()); err != nil {
		t.Fatal(err)
	}
	return server{t, handlerOn(t, store, postgres.NewJobs(pool))}
}

// storage is all that the JSON face reads and writes.
type storage interface {
	rest.Catalogue
	office.Storage
}

// unreachable is a storage whose database does not answer.
type unreachable struct{ storage }

func (unreachable) Version(context.Context, string) (int64, error) { return 0, catalog.ErrUnavailable }

// noJobs is a storage of jobs that nobody asks.
type noJobs struct{ rest.JobStorage }

// oneRun keeps a single plan in the background, on the fixed day and under one id, which is half done.
type oneRun struct{ rest.PlanRuns }

func (oneRun) Enqueue(_ context.Context, req planrun.Request) (planrun.Run, error) {
	return planrun.Run{
		ID: "7H3KQZ5N2WYVJ4T6XRBD3MPLCA", State: planrun.Waiting, ShotsAll: req.Shots, Created: fixedNow(), Expires: fixedNow().Add(planrun.Kept),
	}, nil
}

func (r oneRun) Find(ctx context.Context, _ string) (planrun.Run, error) {
	run, err := r.Enqueue(ctx, planrun.Request{Shots: 2})
	began := fixedNow().Add(time.Second)
	run.State, run.ShotsDone, run.Started = planrun.Running, 1, &began
	return run, err
}

// handlerOn is the JSON face on a storage.
func handlerOn(t *testing.T, store storage, jobs rest.JobStorage) http.Handler {
	t.Helper()
	staff, err := account.NewStaff(staffToken, fixedNow)
	if err != nil {
		t.Fatal(err)
	}
	metrics, err := httpchain.NewMetrics()
	if err != nil {
		t.Fatal(err)
	}
	catalogues, log := office.NewCache(store, fixedNow), slog.New(slog.DiscardHandler)
	face, err := rest.New(rest.Options{
		Office: office.Office{Stock: catalogues, Now: fixedNow}, Catalogues: catalogues, Storage: store, Jobs: jobs, Runs: oneRun{}, Staff: staff,
		Metrics: metrics.Text, Log: log,
	})
	if err != nil {
		t.Fatal(err)
	}
	handler, err := httpchain.New(httpchain.Options{Log: log, Metrics: metrics, Faces: []httpchain.Face{face.Face()}})
	if err != nil {
		t.Fatal(err)
	}
	return handler
}

// ask sends a request as staff and returns the answer, which must be of the status wanted. Headers are pairs; those of an empty value are not
// sent.
func (s server) ask(status int, method, path, body string, headers ...string) *httptest.ResponseRecorder {
	s.t.Helper()
	req := httptest.NewRequestWithContext(s.t.Context(), method, path, strings.NewReader(body))
	req.Header.Set("Authorization", "Bearer "+staffToken)
	req.Header.Set("X-Request-Id", "RZ4VJ2Q7KXW3M5TBN6YHCGFDAE")
	if body != "" {
		req.Header.Set("Content-Type", "application/json")
	}
	for i := 0; i < len(headers); i += 2 {
		if req.Header.Set(headers[i], headers[i+1]); headers[i+1] == "" {
			req.Header.Del(headers[i])
		}
	}
	rec := httptest.NewRecorder()
	if s.handler.ServeHTTP(rec, req); rec.Code != status {
		s.t.Fatalf("%s %s: status %d, want %d: %s", method, path, rec.Code, status, rec.Body)
	}
	return rec
}

// decoded is a JSON text as Go has it, numbers as they are written.
func decoded(t *testing.T, text []byte) any {
	t.Helper()
	dec := json.NewDecoder(bytes.NewReader(text))
	dec.UseNumber()
	var v any
	if err := dec.Decode(&v); err != nil {
		t.Fatalf("%v: %s", err, text)
	}
	return v
}

// with is a JSON object with further members, or others in their place.
func with(t *testing.T, object string, members map[string]any) string {
	t.Helper()
	all := decoded(t, []byte(object)).(map[string]any)
	for k, v := range members {
		all[k] = v
	}
	out, err := json.Marshal(all)
	if err != nil {
		t.Fatal(err)
	}
	return string(out)
}
