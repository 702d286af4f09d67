package rest

import (
	"context"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"github.com/labstack/echo/v4"
)

func benchServer(b *testing.B, storage Catalogue) *Server {
	b.Helper()
	// Logging is on, into nothing: what it costs is part of what a request costs.
	s, err := New(Options{Storage: storage, StaffToken: testToken, Log: slog.New(slog.NewJSONHandler(io.Discard, nil)), Now: time.Now})
	if err != nil {
		b.Fatal(err)
	}
	return s
}

func answerOnce(b *testing.B, h http.Handler, method, path, body string) *httptest.ResponseRecorder {
	// A server's requests can all be cancelled, which the database driver has to watch for.
	ctx, cancel := context.WithCancel(b.Context())
	defer cancel()
	req := httptest.NewRequestWithContext(ctx, method, path, strings.NewReader(body))
	if body != "" {
		req.Header.Set("Content-Type", "application/json")
	}
	rec := httptest.NewRecorder()
	h.ServeHTTP(rec, req)
	if rec.Code != http.StatusOK {
		b.Fatalf("%s %s: %d %s", method, path, rec.Code, rec.Body)
	}
	return rec
}

// BenchmarkSizing is POST /v1/sizings without the network: decoding, sizing on the demo catalogue, encoding.
func BenchmarkSizing(b *testing.B) {
	s := benchServer(b, newMemory())
	for _, name := range []string{anglers, "02-letter-close-up.json", "05-six-rowers.json"} {
		body := examples(b)[name]
		b.Run(strings.TrimSuffix(name, ".json"), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				answerOnce(b, s.Handler(), "POST", "/v1/sizings", body)
			}
		})
	}
	body := examples(b)[anglers]
	b.Run("decode alone", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			var req SizingRequest
			if _, err := DecodeJSON([]byte(body), &req); err != nil {
				b.Fatal(err)
			}
		}
	})
}

// BenchmarkListItems compares the listing with bare echo handlers on the same database that write the same bytes: one
// that runs the same query (the catalogue's version), and one that reads the catalogue for every request.
func BenchmarkListItems(b *testing.B) {
	store := newPostgres(b)
	s := benchServer(b, store)
	const path = "/v1/houses/quayside/items?limit=100"
	body := answerOnce(b, s.Handler(), "GET", path, "").Body.Bytes()

	bare := func(query func(c echo.Context) error) http.Handler {
		e := echo.New()
		e.GET("/v1/houses/:house/items", func(c echo.Context) error {
			if err := query(c); err != nil {
				return err
			}
			return c.Blob(http.StatusOK, echo.MIMEApplicationJSON, body)
		})
		return e
	}
	for _, run := range []struct {
		name    string
		handler http.Handler
	}{
		{"kitspan", s.Handler()},
		{"bare echo, same query", bare(func(c echo.Context) error {
			_, err := store.Version(c.Request().Context(), c.Param("house"))
			return err
		})},
		{"bare echo, whole catalogue read", bare(func(c echo.Context) error {
			_, _, err := store.Snapshot(c.Request().Context(), c.Param("house"))
			return err
		})},
	} {
		b.Run(run.name, func(b *testing.B) {
			b.SetBytes(int64(len(body)))
			b.ReportAllocs()
			b.RunParallel(func(pb *testing.PB) {
				for pb.Next() {
					answerOnce(b, run.handler, "GET", path, "")
				}
			})
		})
	}
}
