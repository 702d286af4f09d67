package rest

import (
	"context"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"kitspan/internal/httpchain"
	"kitspan/internal/office"
)

// narrow is a face whose server solves one request at a time.
func narrow(t *testing.T, l office.Limits) *face {
	t.Helper()
	capacity, err := office.NewCapacity(l)
	if err != nil {
		t.Fatal(err)
	}
	return newFace(t, newMemory(), capacity)
}

// heavy is a request that takes longer than any test waits for it: each of 1440 steps of a day.
func heavy(t *testing.T) string {
	return with(t, `{"step_min": 1, "from": "00:00", "to": "24:00"}`)
}

// begun sends a heavy sweep and returns when it is being solved; end ends it, as a client that leaves.
func (f *face) begun() (end func()) {
	ctx, cancel := context.WithCancel(context.Background())
	done := make(chan struct{})
	go func() {
		defer close(done)
		req := httptest.NewRequestWithContext(ctx, http.MethodPost, "/v1/sweeps", strings.NewReader(heavy(f.t)))
		req.Header.Set("Content-Type", "application/json")
		f.handler.ServeHTTP(httptest.NewRecorder(), req)
	}()
	for f.server.desk.Capacity.Taken() == 0 {
		time.Sleep(time.Millisecond)
	}
	return func() { cancel(); <-done }
}

func TestTooMuchWorkIsRefusedWithATimeToTryAgain(t *testing.T) {
	t.Parallel()
	f := narrow(t, office.Limits{Solving: 1, Waiting: 0, Wait: time.Minute, Solve: time.Hour})
	end := f.begun()
	for path, body := range map[string]string{
		"/v1/sizings": examples(t)[anglers], "/v1/sweeps": with(t, `{"step_min": 60}`), "/v1/reaches": with(t, `{"frames": ["QG-FRAME-12X12"]}`),
	} {
		var p Problem
		got := f.do(http.MethodPost, path, body).want(http.StatusServiceUnavailable)
		got.into(&p)
		if p.Type != "urn:kitspan:problem:busy" || got.header.Get("Retry-After") != httpchain.RetryAfterSeconds {
			t.Errorf("%s: type %s, Retry-After %q", path, p.Type, got.header.Get("Retry-After"))
		}
		// What is wrong with a request is said all the same, and what is solved nowhere is answered.
		f.do(http.MethodPost, path, `{}`).want(http.StatusUnprocessableEntity)
	}
	f.do(http.MethodGet, "/healthz", "").want(http.StatusOK)
	f.do(http.MethodGet, "/v1/houses/quayside/items", "").want(http.StatusOK)
	end()
	f.do(http.MethodPost, "/v1/sizings", examples(t)[anglers]).want(http.StatusOK)
	if strings.Contains(f.log.String(), "level=ERROR") {
		t.Errorf("expected refusals stand in the log as errors:\n%s", f.log)
	}
}

func TestWorkEndsAtItsTimeLimit(t *testing.T) {
	t.Parallel()
	f := narrow(t, office.Limits{Solving: 1, Waiting: 0, Wait: time.Minute, Solve: time.Millisecond})
	var p Problem
	got := f.do(http.MethodPost, "/v1/sweeps", heavy(t)).want(http.StatusServiceUnavailable)
	got.into(&p)
	if p.Type != "urn:kitspan:problem:time-limit" || got.header.Get("Retry-After") == "" {
		t.Errorf("type %s, Retry-After %q", p.Type, got.header.Get("Retry-After"))
	}
	if taken := f.server.desk.Capacity.Taken(); taken != 0 {
		t.Error("the place is not free when the answer is there")
	}
}
