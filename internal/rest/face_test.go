package rest

import (
	"bytes"
	"context"
	"encoding/json"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/getkin/kin-openapi/openapi3"
	"github.com/getkin/kin-openapi/openapi3filter"
	"github.com/getkin/kin-openapi/routers"
	"github.com/getkin/kin-openapi/routers/gorillamux"

	"kitspan/api"
	"kitspan/internal/account"
	"kitspan/internal/httpchain"
	"kitspan/internal/office"
)

const testToken = "a token for tests alone"

var testDay = time.Date(2026, 11, 5, 12, 0, 0, 0, time.UTC)

// face is a server whose every answer is held against the contract.
type face struct {
	t       *testing.T
	server  *Server
	handler http.Handler
	storage storage
	log     *bytes.Buffer
}

// storage is all that a server reads and writes.
type storage interface {
	Catalogue
	office.Storage
}

// optionsOn are the options of a server on a storage.
func optionsOn(s storage, now func() time.Time, log *slog.Logger) Options {
	catalogues := office.NewCache(s, now)
	staff, err := account.NewStaff(testToken, now)
	if err != nil {
		panic(err) // the token of the tests is long enough
	}
	return Options{
		Jobs: newJobMemory(), Office: office.Office{Stock: catalogues, Now: now}, Catalogues: catalogues, Storage: s, Staff: staff, Log: log,
	}
}

// newFace makes one; a capacity bounds what it solves at once.
func newFace(t *testing.T, storage storage, capacity ...*office.Capacity) *face {
	t.Helper()
	var log bytes.Buffer
	o := optionsOn(storage, func() time.Time { return testDay }, slog.New(slog.NewTextHandler(&log, nil)))
	if len(capacity) > 0 {
		o.Office.Capacity = capacity[0]
	}
	server, handler := chained(t, o)
	return &face{t, server, handler, storage, &log}
}

// chained makes a server and its face alone behind the chain.
func chained(t testing.TB, o Options) (*Server, http.Handler) {
	t.Helper()
	metrics, err := httpchain.NewMetrics()
	if err != nil {
		t.Fatal(err)
	}
	o.Metrics = metrics.Text
	server, err := New(o)
	if err != nil {
		t.Fatal(err)
	}
	handler, err := httpchain.New(httpchain.Options{Log: o.Log, Metrics: metrics, Faces: []httpchain.Face{server.Face()}})
	if err != nil {
		t.Fatal(err)
	}
	return server, handler
}

// answer is a response with its body read.
type answer struct {
	t      *testing.T
	status int
	header http.Header
	body   []byte
}

// do sends a request; headers are pairs. A JSON content type is set where there is a body and none is named.
func (f *face) do(method, path, body string, headers ...string) answer {
	f.t.Helper()
	req := httptest.NewRequestWithContext(f.t.Context(), method, path, strings.NewReader(body))
	if body != "" {
		req.Header.Set("Content-Type", "application/json")
	}
	for i := 0; i < len(headers); i += 2 {
		req.Header.Set(headers[i], headers[i+1])
	}
	rec := httptest.NewRecorder()
	f.handler.ServeHTTP(rec, req)
	a := answer{f.t, rec.Code, rec.Header(), rec.Body.Bytes()}
	if a.status == http.StatusInternalServerError {
		f.t.Logf("log: %s", f.log)
	}
	a.holdsContract(req)
	return a
}

func (f *face) staff(method, path, body string, headers ...string) answer {
	f.t.Helper()
	return f.do(method, path, body, append(headers, "Authorization", "Bearer "+testToken)...)
}

var contract = sync.OnceValues(func() (routers.Router, error) {
	doc, err := openapi3.NewLoader().LoadFromData(api.YAML)
	if err != nil {
		return nil, err
	}
	if err := doc.Validate(context.Background()); err != nil {
		return nil, err
	}
	openapi3filter.RegisterBodyDecoder("text/csv", func(r io.Reader, _ http.Header, _ *openapi3.SchemaRef, _ openapi3filter.EncodingFn) (any, error) {
		b, err := io.ReadAll(r)
		return string(b), err
	})
	return gorillamux.NewRouter(doc)
})

// holdsContract validates the answer against the document; an answer to an address that the document lacks must be a
// problem.
func (a answer) holdsContract(req *http.Request) {
	a.t.Helper()
	router, err := contract()
	if err != nil {
		a.t.Fatalf("openapi.yaml: %v", err)
	}
	if a.status >= http.StatusInternalServerError && a.status != http.StatusServiceUnavailable {
		a.t.Errorf("%s %s: status %d: %s", req.Method, req.URL, a.status, a.body)
	}
	if a.status >= 400 {
		if got := a.header.Get("Content-Type"); got != problemType {
			a.t.Errorf("%s %s: problem sent as %q", req.Method, req.URL, got)
		}
		var p Problem
		if err := json.Unmarshal(a.body, &p); err != nil || p.Status != a.status || p.Title == "" || p.Detail == "" || p.Type == "" || p.RequestId == nil {
			a.t.Errorf("%s %s: not a whole problem document (%v): %s", req.Method, req.URL, err, a.body)
		}
	}
	route, params, err := router.FindRoute(req)
	if err != nil {
		if a.status != http.StatusNotFound && a.status != http.StatusMethodNotAllowed && a.status != http.StatusUnauthorized {
			a.t.Errorf("%s %s is not in the contract (%v) and answers %d", req.Method, req.URL, err, a.status)
		}
		return
	}
	input := &openapi3filter.ResponseValidationInput{
		RequestValidationInput: &openapi3filter.RequestValidationInput{Request: req, PathParams: params, Route: route},
		Status:                 a.status, Header: a.header,
		Options: &openapi3filter.Options{IncludeResponseStatus: true, MultiError: true},
	}
	input.SetBodyBytes(a.body)
	if err := openapi3filter.ValidateResponse(context.Background(), input); err != nil {
		a.t.Errorf("%s %s: the answer breaks the contract: %v", req.Method, req.URL, err)
	}
}

func (a answer) want(status int) answer {
	a.t.Helper()
	if a.status != status {
		a.t.Fatalf("status %d, want %d: %s", a.status, status, a.body)
	}
	return a
}

func (a answer) into(v any) {
	a.t.Helper()
	if err := json.Unmarshal(a.body, v); err != nil {
		a.t.Fatalf("%v: %s", err, a.body)
	}
}

// places lists where the faults of a problem are.
func (a answer) places() []string {
	a.t.Helper()
	var p Problem
	a.into(&p)
	var out []string
	for _, f := range deref(p.Errors) {
		switch {
		case f.Pointer != nil:
			out = append(out, *f.Pointer)
		case f.Parameter != nil:
			out = append(out, *f.Parameter)
		default:
			out = append(out, *f.Column)
		}
	}
	return out
}

func newTestLog(w io.Writer) *slog.Logger { return slog.New(slog.NewTextHandler(w, nil)) }

// serve sends a request without holding the answer against the contract.
func serve(h http.Handler, method, path string) *httptest.ResponseRecorder {
	rec := httptest.NewRecorder()
	h.ServeHTTP(rec, httptest.NewRequestWithContext(context.Background(), method, path, nil))
	return rec
}
