package rest

import (
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"
)

func TestWhatTheClientHasIsNotSentAgain(t *testing.T) {
	f := newFace(t, newMemory())
	for _, path := range []string{
		"/v1/houses", "/v1/houses?limit=1", "/v1/houses/quayside", "/v1/houses/quayside/items?q=frame", "/v1/houses/quayside/items.csv?kind=frame",
		"/v1/houses/quayside/items/QG-FRAME-08X12", "/openapi.json",
	} {
		tag := f.do("GET", path, "").want(200).header.Get("ETag")
		if tag == "" {
			t.Errorf("%s has no ETag", path)
			continue
		}
		for _, has := range []string{tag, "*", `"other", ` + tag, "W/" + strings.TrimPrefix(tag, "W/")} {
			got := f.do("GET", path, "", "If-None-Match", has).want(304)
			if len(got.body) > 0 || got.header.Get("ETag") != tag || got.header.Get("Vary") == "" {
				t.Errorf("%s with %s: %d bytes, ETag %s, Vary %q", path, has, len(got.body), got.header.Get("ETag"), got.header.Get("Vary"))
			}
			head := httptest.NewRequestWithContext(t.Context(), http.MethodHead, path, nil)
			head.Header.Set("If-None-Match", has)
			rec := httptest.NewRecorder()
			if f.handler.ServeHTTP(rec, head); rec.Code != 304 {
				t.Errorf("HEAD %s: status %d", path, rec.Code)
			}
		}
		for _, has := range []string{`"other"`, `W/"other"`, "other", ","} {
			f.do("GET", path, "", "If-None-Match", has).want(200)
		}
	}
	f.do("GET", "/v1/houses/quayside/items/NO-SUCH", "", "If-None-Match", "*").want(404)
}

// An item is sent with the rate of the day: its tag changes with that, and no change is made on the word of the old one.
func TestTheTagOfAnItemChangesWithItsRate(t *testing.T) {
	f := newFace(t, newMemory())
	tag := f.staff("POST", "/v1/houses/quayside/items", stand, "Idempotency-Key", "k").want(201).header.Get("ETag")
	on := func(day time.Time) { f.server.now = func() time.Time { return day } }
	on(time.Date(2026, 12, 31, 12, 0, 0, 0, time.UTC))
	f.do("GET", standPath, "", "If-None-Match", tag).want(304)
	on(time.Date(2027, 1, 1, 12, 0, 0, 0, time.UTC))
	next := f.do("GET", standPath, "", "If-None-Match", tag).want(200)
	if !strings.Contains(string(next.body), `"day_rate":{"amount":"10.00"`) {
		t.Errorf("day_rate: %s", next.body)
	}
	f.staff("PUT", standPath, stand, "If-Match", tag).want(412)
	f.staff("PUT", standPath, stand, "If-Match", next.header.Get("ETag")).want(200)
}

// Answers of some length go out with gzip to whoever takes it; short ones, and those whose tag names their bytes, as they are.
func TestAnswersAreCompressedWhereItPays(t *testing.T) {
	h := newFace(t, newMemory()).handler
	for path, want := range map[string]string{
		"/v1/houses/quayside/items":                "gzip",
		"/v1/houses/quayside/items.csv?kind=frame": "gzip",
		"/openapi.json":                            "gzip",
		"/v1/houses":                               "",
		"/v1/houses/nowhere":                       "",
		"/v1/houses/quayside/items/QG-FRAME-08X12": "",
	} {
		req := httptest.NewRequestWithContext(t.Context(), http.MethodGet, path, nil)
		req.Header.Set("Accept-Encoding", "gzip, deflate")
		rec := httptest.NewRecorder()
		h.ServeHTTP(rec, req)
		if got := rec.Header().Get("Content-Encoding"); got != want {
			t.Errorf("%s: coded as %q, want %q", path, got, want)
		}
		if vary := strings.Join(rec.Header().Values("Vary"), ", "); strings.Count(vary, "Accept-Encoding") != 1 {
			t.Errorf("%s: Vary %q", path, vary)
		}
	}
}
