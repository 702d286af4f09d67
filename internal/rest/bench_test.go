package rest

import (
	"bytes"
	"context"
	"io"
	"log/slog"
	"maps"
	"net/http"
	"net/http/httptest"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/labstack/echo/v4"
)

func benchServer(b *testing.B, storage storage) http.Handler {
	b.Helper()
	// Logging is on, into nothing: what it costs is part of what a request costs.
	_, handler := chained(b, optionsOn(storage, time.Now, slog.New(slog.NewJSONHandler(io.Discard, nil))))
	return handler
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
	bodies := examples(b)
	for _, name := range slices.Sorted(maps.Keys(bodies)) {
		body := bodies[name]
		b.Run(strings.TrimSuffix(name, ".json"), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				answerOnce(b, s, "POST", "/v1/sizings", body)
			}
		})
	}
	body := bodies[anglers]
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
// that runs the same query (the catalogue's version), and one that reads the catalogue for every request. Requests to
// Kitspan and to the bare handler alternate, so that whatever else the machine does falls on both, and as many are under
// way as there are processors; the times are medians, which a stolen processor hardly moves, and of_bare_% is the
// listing's throughput at them in hundredths of the bare one's. Over HTTP both carry what net/http takes besides.
func BenchmarkListItems(b *testing.B) {
	store := newPostgres(b)
	s := benchServer(b, store)
	const path = "/v1/houses/quayside/items?limit=100"
	body := answerOnce(b, s, "GET", path, "").Body.Bytes()

	bare := func(query func(c echo.Context) error) http.Handler {
		e := echo.New()
		e.GET("/v1/houses/:house/items", func(c echo.Context) error {
			if err := query(c); err != nil {
				return err
			}
			c.Response().Header().Set(echo.HeaderContentLength, strconv.Itoa(len(body))) // else it would be sent in chunks
			return c.Blob(http.StatusOK, echo.MIMEApplicationJSON, body)
		})
		return e
	}
	sameQuery := bare(func(c echo.Context) error {
		_, err := store.Version(c.Request().Context(), c.Param("house"))
		return err
	})
	wholeCatalogue := bare(func(c echo.Context) error {
		_, _, err := store.Snapshot(c.Request().Context(), c.Param("house"))
		return err
	})
	for _, other := range []http.Handler{sameQuery, wholeCatalogue} {
		if got := answerOnce(b, other, "GET", path, "").Body.Bytes(); !bytes.Equal(got, body) {
			b.Fatal("the bare handler writes other bytes")
		}
	}

	inProcess := func(h http.Handler) func(*testing.B) func() {
		return func(b *testing.B) func() { return func() { answerOnce(b, h, "GET", path, "") } }
	}
	overHTTP := func(h http.Handler) func(*testing.B) func() {
		return func(b *testing.B) func() {
			server := httptest.NewServer(h)
			client := &http.Client{Transport: &http.Transport{MaxIdleConnsPerHost: 64, DisableCompression: true}}
			b.Cleanup(func() { client.CloseIdleConnections(); server.Close() })
			return func() {
				res, err := client.Get(server.URL + path)
				if err != nil {
					b.Error(err)
					return
				}
				defer res.Body.Close()
				if n, err := io.Copy(io.Discard, res.Body); err != nil || n != int64(len(body)) || res.StatusCode != http.StatusOK {
					b.Errorf("status %d, %d bytes, %v", res.StatusCode, n, err)
				}
			}
		}
	}
	for _, run := range []struct {
		name string
		over func(http.Handler) func(*testing.B) func()
		bare http.Handler
	}{
		{"same query", inProcess, sameQuery},
		{"same query, over HTTP", overHTTP, sameQuery},
		{"whole catalogue read", inProcess, wholeCatalogue},
	} {
		b.Run(run.name, func(b *testing.B) {
			ours, theirs := run.over(s)(b), run.over(run.bare)(b)
			var mu sync.Mutex
			var oursTook, theirsTook []time.Duration
			timed := func(ask func()) time.Duration {
				begin := time.Now()
				ask()
				return time.Since(begin)
			}
			b.RunParallel(func(pb *testing.PB) {
				var o, t []time.Duration
				for n := 0; pb.Next(); n++ {
					if n%2 == 0 { // neither always finds what the other has left in the caches
						o, t = append(o, timed(ours)), append(t, timed(theirs))
					} else {
						t, o = append(t, timed(theirs)), append(o, timed(ours))
					}
				}
				mu.Lock()
				defer mu.Unlock()
				oursTook, theirsTook = append(oursTook, o...), append(theirsTook, t...)
			})
			slices.Sort(oursTook)
			slices.Sort(theirsTook)
			o, t := oursTook[len(oursTook)/2], theirsTook[len(theirsTook)/2]
			b.ReportMetric(float64(o.Nanoseconds())/1000, "kitspan-µs")
			b.ReportMetric(float64(t.Nanoseconds())/1000, "bare-µs")
			b.ReportMetric(100*t.Seconds()/o.Seconds(), "of_bare_%")
			b.ReportMetric(0, "ns/op") // of both together: of no use
		})
	}
}

// The largest body that only a hostile client sends.
func BenchmarkDecodeHostileBody(b *testing.B) {
	body := []byte(filled(`{"shot":{"lamps":[{}`, `,{}`, `]}}`))
	b.SetBytes(int64(len(body)))
	b.ReportAllocs()
	for b.Loop() {
		var req SizingRequest
		if _, err := DecodeJSON(body, &req); err != nil {
			b.Fatal(err)
		}
	}
}
