package main

import (
	"bytes"
	"compress/gzip"
	"context"
	"errors"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"github.com/alexedwards/scs/v2/memstore"

	"kitspan/internal/account"
	"kitspan/internal/catalog"
	"kitspan/internal/office"
	"kitspan/internal/rest"
	"kitspan/internal/web"
)

// scripted is a storage with the demo catalogue that can be told to fail. A method that no test needs panics.
type scripted struct {
	rest.Catalogue
	pages web.Catalogue
	// hang makes every call wait for the end of its context.
	hang bool
	// fails is what asking for an item does, which both faces do.
	fails func() error
}

func (s *scripted) KeepFile(ctx context.Context, house, holder string, kind catalog.Kind, file []byte) (string, error) {
	return s.pages.KeepFile(ctx, house, holder, kind, file)
}

func (s *scripted) LookAtFile(ctx context.Context, house, holder, id string) (catalog.FileLook, error) {
	return s.pages.LookAtFile(ctx, house, holder, id)
}

func (s *scripted) ImportFile(ctx context.Context, house, holder, id string, version int64) (catalog.ImportCounts, error) {
	return s.pages.ImportFile(ctx, house, holder, id, version)
}

func (s *scripted) Ping(context.Context) error { return nil }

func (s *scripted) Houses(context.Context) ([]catalog.House, error) { return catalog.DemoHouses(), nil }

func (s *scripted) Version(ctx context.Context, _ string) (int64, error) {
	if s.hang {
		<-ctx.Done()
		return 0, ctx.Err()
	}
	return 1, nil
}

func (s *scripted) Snapshot(_ context.Context, house string) (*catalog.Snapshot, int64, error) {
	stock, ok := catalog.DemoSnapshot(house)
	if !ok {
		return nil, 0, catalog.ErrNoHouse
	}
	return stock, 1, nil
}

func (s *scripted) Item(_ context.Context, house, sku string) (catalog.StoredItem, error) {
	if s.fails != nil {
		return catalog.StoredItem{}, s.fails()
	}
	stock, _ := catalog.DemoSnapshot(house)
	return catalog.StoredItem{Item: *stock.Item(sku), Version: 1}, nil
}

// noJobs is a storage of jobs that no test asks.
type noJobs struct{ rest.JobStorage }

// newTestFaces are both faces, as 'serve' wires them, on a storage; the log is read when the request is over.
func newTestFaces(t *testing.T, s *scripted) (faces, *bytes.Buffer) {
	t.Helper()
	staff, err := account.NewStaff(testToken, time.Now)
	if err != nil {
		t.Fatal(err)
	}
	capacity, err := office.NewCapacity(testLimits)
	if err != nil {
		t.Fatal(err)
	}
	log := &bytes.Buffer{}
	f, err := newFaces(facesOptions{
		storage: s, jobs: noJobs{}, sessions: memstore.NewWithCleanupInterval(0), staff: staff, capacity: capacity,
		log: slog.New(slog.NewTextHandler(log, nil)), now: time.Now,
	})
	if err != nil {
		t.Fatal(err)
	}
	return f, log
}

var testLimits = office.Limits{Solving: 1, Waiting: 1, Wait: 5 * time.Second, Solve: 20 * time.Second}

// ask sends a request; headers are pairs.
func ask(t *testing.T, h http.Handler, method, path, body string, headers ...string) *httptest.ResponseRecorder {
	t.Helper()
	r := httptest.NewRequestWithContext(t.Context(), method, path, strings.NewReader(body))
	for i := 0; i < len(headers); i += 2 {
		r.Header.Set(headers[i], headers[i+1])
	}
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	return w
}

// Where each face shows an item, and the type of its errors.
var bothFaces = map[string]struct{ item, list, errorType string }{
	"JSON":  {"/v1/houses/quayside/items/QG-BAG-16", "/v1/houses/quayside/items", "application/problem+json"},
	"pages": {"/catalogue/quayside/QG-BAG-16", "/catalogue/quayside", "text/html; charset=utf-8"},
}

func TestAPanicIsAnsweredAndItsStackIsInTheLog(t *testing.T) {
	for name, face := range bothFaces {
		t.Run(name, func(t *testing.T) {
			f, log := newTestFaces(t, &scripted{fails: func() error { panic("a fault of the program") }})
			got := ask(t, f.public, http.MethodGet, face.item, "", "X-Request-Id", "the-number-7")
			if got.Code != http.StatusInternalServerError || got.Header().Get("Content-Type") != face.errorType {
				t.Errorf("status %d of %s", got.Code, got.Header().Get("Content-Type"))
			}
			if body := got.Body.String(); strings.Contains(body, "a fault of the program") || strings.Contains(body, "goroutine") {
				t.Errorf("the answer tells of the program: %s", body)
			}
			failure := ""
			for line := range strings.Lines(log.String()) {
				if strings.Contains(line, "level=ERROR") {
					failure += line
				}
			}
			for _, want := range []string{"a fault of the program", "request_id=the-number-7", "goroutine ", "faces_test.go:"} {
				if !strings.Contains(failure, want) {
					t.Errorf("the log lacks %s:\n%s", want, log)
				}
			}
			if strings.Count(failure, "\n") != 1 {
				t.Errorf("one panic is logged as:\n%s", failure)
			}
		})
	}
}

func TestAnUnknownErrorIsInTheLogAlone(t *testing.T) {
	for name, face := range bothFaces {
		t.Run(name, func(t *testing.T) {
			f, log := newTestFaces(t, &scripted{fails: func() error { return errors.New("secret detail of the driver") }})
			got := ask(t, f.public, http.MethodGet, face.item, "")
			if got.Code != http.StatusInternalServerError || strings.Contains(got.Body.String(), "secret") {
				t.Errorf("status %d: %s", got.Code, got.Body)
			}
			if id := got.Header().Get("X-Request-Id"); !strings.Contains(log.String(), "secret detail of the driver") || !strings.Contains(log.String(), "request_id="+id) {
				t.Errorf("log: %s", log)
			}
		})
	}
}

func TestEveryAnswerHasANumberAndItsHeaders(t *testing.T) {
	f, log := newTestFaces(t, &scripted{})
	for _, path := range []string{
		"/v1/houses", "/v1/houses/quayside/items", "/v1", "/v1/nothing", "/healthz", "/openapi.json", "/", "/catalogue", "/nothing", "/live.js", "/healthz/x",
	} {
		log.Reset()
		got := ask(t, f.public, http.MethodGet, path, "", "X-Request-Id", "mine-1")
		if id := got.Header().Get("X-Request-Id"); id != "mine-1" || got.Header().Get("X-Content-Type-Options") != "nosniff" {
			t.Errorf("%s: number %q, headers %v", path, id, got.Header())
		}
		if path != "/healthz" && !strings.Contains(log.String(), "request_id=mine-1") {
			t.Errorf("%s is logged as %s", path, log)
		}
		for _, unsound := range []string{"", "two words", "ü", strings.Repeat("x", 65)} {
			own := ask(t, f.public, http.MethodGet, path, "", "X-Request-Id", unsound).Header().Get("X-Request-Id")
			if own == unsound || len(own) < 16 {
				t.Errorf("%s: the number %q for %q", path, own, unsound)
			}
		}
	}
}

// Each face owns every address under its own, those where nothing is among them.
func TestErrorsAreOfTheFaceWhoseAddressItIs(t *testing.T) {
	f, _ := newTestFaces(t, &scripted{})
	for path, kind := range map[string]string{
		"/v1": "JSON", "/v1/": "JSON", "/v1/nothing": "JSON", "/v1x": "pages", "/healthz/": "pages", "/metrics/x": "pages", "/nothing": "pages",
	} {
		if got := ask(t, f.public, http.MethodGet, path, ""); got.Code != http.StatusNotFound || got.Header().Get("Content-Type") != bothFaces[kind].errorType {
			t.Errorf("%s: status %d of %s, want that of the %s", path, got.Code, got.Header().Get("Content-Type"), kind)
		}
	}
	for name, face := range bothFaces {
		got := ask(t, f.public, http.MethodPatch, face.list, "")
		if got.Code != http.StatusMethodNotAllowed || got.Header().Get("Allow") == "" || got.Header().Get("Content-Type") != face.errorType {
			t.Errorf("%s: status %d, Allow %q", name, got.Code, got.Header().Get("Allow"))
		}
	}
}

func TestAnswersAreCompressedWhereAsked(t *testing.T) {
	f, _ := newTestFaces(t, &scripted{})
	for _, path := range []string{"/v1/houses/quayside/items", "/openapi.json", "/v1/houses/quayside/items.csv?kind=frame", "/catalogue/quayside", "/cautions", "/live.js"} {
		plain := ask(t, f.public, http.MethodGet, path, "")
		if plain.Code != http.StatusOK || plain.Header().Get("Content-Encoding") != "" {
			t.Fatalf("%s: status %d, coded as %q", path, plain.Code, plain.Header().Get("Content-Encoding"))
		}
		coded := ask(t, f.public, http.MethodGet, path, "", "Accept-Encoding", "gzip")
		if coded.Header().Get("Content-Encoding") != "gzip" || coded.Body.Len() >= plain.Body.Len() {
			t.Errorf("%s: coded as %q, %d bytes of %d", path, coded.Header().Get("Content-Encoding"), coded.Body.Len(), plain.Body.Len())
			continue
		}
		back, err := gzip.NewReader(coded.Body)
		if err != nil {
			t.Fatal(err)
		}
		if text, err := io.ReadAll(back); err != nil || !bytes.Equal(text, plain.Body.Bytes()) {
			t.Errorf("%s: another text comes back (%v)", path, err)
		}
		for _, got := range []*httptest.ResponseRecorder{plain, coded} {
			if vary := strings.Join(got.Header().Values("Vary"), ", "); strings.Count(vary, "Accept-Encoding") != 1 {
				t.Errorf("%s: Vary is %q", path, vary)
			}
		}
	}
	// A strong tag is of the very bytes: If-Match goes by it.
	item := ask(t, f.public, http.MethodGet, bothFaces["JSON"].item, "", "Accept-Encoding", "gzip, identity;q=0")
	if tag := item.Header().Get("ETag"); !strings.HasPrefix(tag, `"1.`) || item.Header().Get("Content-Encoding") != "" || len(item.Header().Values("No-Gzip-Compression")) > 0 {
		t.Errorf("an item with the tag %s: %v", tag, item.Header())
	}
}

// The limits hold by the clock of a bubble: nothing really waits.
func TestTheTimeLimitEndsWhatHangs(t *testing.T) {
	const longest = 30*time.Second + 25*time.Second // of any request but an import: 30 s, and what solving may take
	for name, face := range bothFaces {
		t.Run(name, func(t *testing.T) {
			f, log := newTestFaces(t, &scripted{hang: true}) // the store of sessions goes on after the bubble
			synctest.Test(t, func(t *testing.T) {
				begin := time.Now()
				got := ask(t, f.public, http.MethodGet, face.list, "")
				if took := time.Since(begin); took < 30*time.Second || took > longest {
					t.Errorf("ended after %s", took)
				}
				if got.Code != http.StatusServiceUnavailable || got.Header().Get("Retry-After") == "" || got.Header().Get("Content-Type") != face.errorType {
					t.Errorf("status %d, Retry-After %q: %s\n%s", got.Code, got.Header().Get("Retry-After"), got.Body, log)
				}
			})
		})
	}
}

func TestAClientThatLeavesEndsWhatHangs(t *testing.T) {
	for name, face := range bothFaces {
		t.Run(name, func(t *testing.T) {
			f, _ := newTestFaces(t, &scripted{hang: true})
			synctest.Test(t, func(t *testing.T) {
				ctx, leave := context.WithCancel(t.Context())
				ended := make(chan struct{})
				go func() {
					defer close(ended)
					f.public.ServeHTTP(httptest.NewRecorder(), httptest.NewRequestWithContext(ctx, http.MethodGet, face.list, nil))
				}()
				synctest.Wait()
				begin := time.Now()
				leave()
				<-ended
				if took := time.Since(begin); took != 0 {
					t.Errorf("ended %s after the client had left", took)
				}
			})
		})
	}
}

func TestBodiesAreBounded(t *testing.T) {
	f, _ := newTestFaces(t, &scripted{})
	const form = "application/x-www-form-urlencoded"
	for path, kind := range map[string]string{"/v1/sizings": "application/json", "/places": form, "/staff": form} {
		got := ask(t, f.public, http.MethodPost, path, strings.Repeat("x", 2<<20), "Content-Type", kind)
		if got.Code != http.StatusRequestEntityTooLarge {
			t.Errorf("%s: status %d", path, got.Code)
		}
	}
}

func TestMetricsCountBothFaces(t *testing.T) {
	f, _ := newTestFaces(t, &scripted{})
	for _, face := range bothFaces {
		ask(t, f.public, http.MethodGet, face.item, "")
	}
	ask(t, f.public, http.MethodGet, "/catalogue/nowhere", "")
	ask(t, f.public, "SHOUT", "/nothing", "")
	private := ask(t, f.private, http.MethodGet, "/metrics", "")
	public := ask(t, f.public, http.MethodGet, "/metrics", "", "Authorization", "Bearer "+testToken)
	for _, got := range []*httptest.ResponseRecorder{private, public} {
		for _, line := range []string{
			`kitspan_http_request_seconds_count{method="GET",route="/v1/houses/:house/items/:sku",status="200"} 1`,
			`kitspan_http_request_seconds_count{method="GET",route="/catalogue/:house/:sku",status="200"} 1`,
			`kitspan_http_request_seconds_count{method="GET",route="/catalogue/:house",status="404"} 1`,
			`kitspan_http_request_seconds_count{method="other",route="none",status="404"} 1`,
			`kitspan_solving_places 0`, `kitspan_solving_waiting 0`,
		} {
			if got.Code != http.StatusOK || !strings.Contains(got.Body.String(), line+"\n") {
				t.Errorf("status %d, lacks %s", got.Code, line)
			}
		}
	}
	for _, probe := range []string{"/healthz", "/readyz"} {
		if got := ask(t, f.private, http.MethodGet, probe, ""); got.Code != http.StatusOK {
			t.Errorf("%s beside the metrics: status %d", probe, got.Code)
		}
	}
	if got := ask(t, f.private, http.MethodGet, "/catalogue", ""); got.Code != http.StatusNotFound {
		t.Errorf("a page beside the metrics: status %d", got.Code)
	}
	if got := ask(t, f.public, http.MethodGet, "/metrics", ""); got.Code != http.StatusUnauthorized {
		t.Errorf("metrics for everybody: status %d", got.Code)
	}
}

// Wrong tokens of one address count together, whichever face they are shown to, and the right one then waits as well.
func TestWrongTokensAreThrottledOnBothFaces(t *testing.T) {
	f, log := newTestFaces(t, &scripted{})
	bearer := func(token string) *httptest.ResponseRecorder {
		return ask(t, f.public, http.MethodDelete, bothFaces["JSON"].item, "", "Authorization", "Bearer "+token, "If-Match", `"0"`)
	}
	signIn := func(token string) *httptest.ResponseRecorder {
		return ask(t, f.public, http.MethodPost, "/staff", "token="+token, "Content-Type", "application/x-www-form-urlencoded")
	}
	for range 50 { // nobody guesses
		if got := ask(t, f.public, http.MethodDelete, bothFaces["JSON"].item, ""); got.Code != http.StatusUnauthorized {
			t.Fatalf("without a token: status %d", got.Code)
		}
	}
	wrong := 0
	for got := http.StatusUnauthorized; got == http.StatusUnauthorized; wrong++ {
		if wrong%2 == 0 {
			got = bearer("wrong").Code
		} else {
			got = signIn("wrong").Code
		}
		if got != http.StatusUnauthorized && got != http.StatusTooManyRequests || wrong > 20 {
			t.Fatalf("wrong token %d: status %d", wrong+1, got)
		}
	}
	for _, token := range []string{"wrong", testToken} {
		for face, got := range map[string]*httptest.ResponseRecorder{"JSON": bearer(token), "pages": signIn(token)} {
			if got.Code != http.StatusTooManyRequests || got.Header().Get("Retry-After") == "" {
				t.Errorf("%s: status %d, Retry-After %q", face, got.Code, got.Header().Get("Retry-After"))
			}
		}
	}
	for _, want := range []string{"wrong token", "token refused after too many attempts", "client=192.0.2.1"} {
		if !strings.Contains(log.String(), want) {
			t.Errorf("the log lacks %q", want)
		}
	}
	if strings.Contains(log.String(), testToken) {
		t.Error("the log holds the token")
	}
	if got := ask(t, f.public, http.MethodGet, bothFaces["JSON"].item, ""); got.Code != http.StatusOK {
		t.Errorf("reading: status %d", got.Code)
	}
}
