package httpchain

import (
	"context"
	"errors"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"net/netip"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"github.com/labstack/echo/v4"
)

// newTestChain is one face with the given routes and terms, whose errors are answered with their text.
func newTestChain(t *testing.T, terms Terms, routes func(Router), change ...func(*Options)) http.Handler {
	t.Helper()
	metrics, err := NewMetrics()
	if err != nil {
		t.Fatal(err)
	}
	o := Options{Log: slog.New(slog.DiscardHandler), Metrics: metrics, Faces: []Face{{
		Owns: func(string) bool { return true }, Routes: routes, Terms: func(echo.Context) Terms { return terms },
		WriteError: func(err error, c echo.Context) {
			status := http.StatusInternalServerError
			var tooLong *http.MaxBytesError
			switch {
			case errors.Is(err, ErrTimeLimit):
				status = http.StatusServiceUnavailable
			case errors.As(err, &tooLong):
				status = http.StatusRequestEntityTooLarge
			}
			_ = c.String(status, err.Error()) // into memory
		},
	}}}
	for _, f := range change {
		f(&o)
	}
	h, err := New(o)
	if err != nil {
		t.Fatal(err)
	}
	return h
}

var ordinary = Terms{Time: time.Minute, Body: 1000}

func ask(t *testing.T, h http.Handler, r *http.Request) *httptest.ResponseRecorder {
	t.Helper()
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	return w
}

func get(t *testing.T, path string, headers ...string) *http.Request {
	t.Helper()
	r := httptest.NewRequestWithContext(t.Context(), http.MethodGet, path, nil)
	for i := 0; i < len(headers); i += 2 {
		r.Header.Set(headers[i], headers[i+1])
	}
	return r
}

func TestAcceptEncodingIsHonoured(t *testing.T) {
	long, short := strings.Repeat("long ", leastGzip), "short"
	h := newTestChain(t, ordinary, func(on Router) {
		on.GET("/long", func(c echo.Context) error { return c.String(http.StatusOK, long) })
		on.GET("/short", func(c echo.Context) error { return c.String(http.StatusOK, short) })
		on.GET("/error", func(echo.Context) error { return errors.New(long) })
		on.GET("/tagged", func(c echo.Context) error {
			Uncoded(c.Response().Header())
			return c.String(http.StatusOK, long)
		})
	})
	for header, want := range map[string]struct{ long, short bool }{
		"":                               {false, false},
		"gzip":                           {true, false},
		"GZIP":                           {true, false},
		"br, gzip;q=0.5":                 {true, false},
		"gzip;q=0":                       {false, false},
		"gzip; q=0.0, *":                 {false, false},
		"x-gzip-not":                     {false, false},
		"br":                             {false, false},
		"*":                              {true, false},
		"*;q=0, identity":                {false, false},
		"identity":                       {false, false},
		"identity;q=0":                   {false, false},
		"gzip, identity;q=0":             {true, true},
		"gzip, *;q=0":                    {true, true},
		", ,;,gzip":                      {true, false},
		strings.Repeat("a,", 1000) + "*": {true, false},
	} {
		for path, coded := range map[string]bool{"/long": want.long, "/short": want.short, "/error": want.long, "/tagged": false} {
			r := get(t, path)
			if header != "" {
				r.Header.Set("Accept-Encoding", header)
			}
			got := ask(t, h, r)
			if (got.Header().Get("Content-Encoding") == "gzip") != coded {
				t.Errorf("%s with %.40q: coded as %q, want gzip %v", path, header, got.Header().Get("Content-Encoding"), coded)
			}
			if vary := got.Header().Values("Vary"); strings.Count(strings.Join(vary, ","), "Accept-Encoding") != 1 {
				t.Errorf("%s with %.40q: Vary is %q", path, header, vary)
			}
			if len(got.Header().Values("No-Gzip-Compression")) > 0 {
				t.Errorf("%s with %.40q: %v", path, header, got.Header())
			}
		}
	}
}

// What is logged and counted is what went out, and comes from a writer that is still there.
func TestWhatComesAfterCompressionSeesTheAnswer(t *testing.T) {
	var log strings.Builder
	long := strings.Repeat("long ", 10_000)
	h := newTestChain(t, ordinary, func(on Router) {
		on.GET("/", func(c echo.Context) error { return c.String(http.StatusTeapot, long) })
	}, func(o *Options) { o.Log = slog.New(slog.NewTextHandler(&log, nil)) })
	for range 100 { // writers of gzip are used again
		log.Reset()
		got := ask(t, h, get(t, "/", "Accept-Encoding", "gzip"))
		if got.Body.Len() > len(long)/10 || !strings.Contains(log.String(), "status=418") || strings.Contains(log.String(), "bytes=50000") || strings.Contains(log.String(), "bytes=0") {
			t.Fatalf("%d bytes, logged as %s", got.Body.Len(), &log)
		}
	}
}

func TestTimeIsLimitedAndWhoLeavesIsNotToldSo(t *testing.T) {
	hang := func(on Router) {
		on.GET("/", func(c echo.Context) error {
			<-c.Request().Context().Done()
			return c.Request().Context().Err()
		})
		on.GET("/own", func(echo.Context) error { return context.DeadlineExceeded })
	}
	synctest.Test(t, func(t *testing.T) {
		h := newTestChain(t, ordinary, hang)
		begin := time.Now()
		if got := ask(t, h, get(t, "/")); got.Code != http.StatusServiceUnavailable || time.Since(begin) != ordinary.Time {
			t.Errorf("status %d after %s", got.Code, time.Since(begin))
		}
		if got := ask(t, h, get(t, "/own")); got.Code != http.StatusInternalServerError {
			t.Errorf("another limit within the time: status %d", got.Code)
		}
		ctx, leave := context.WithCancel(t.Context())
		time.AfterFunc(time.Second, leave)
		begin = time.Now()
		if got := ask(t, h, get(t, "/").WithContext(ctx)); got.Code == http.StatusServiceUnavailable || time.Since(begin) != time.Second {
			t.Errorf("left: status %d after %s", got.Code, time.Since(begin))
		}
	})
}

func TestBodiesEndAtTheirLimit(t *testing.T) {
	h := newTestChain(t, ordinary, func(on Router) {
		on.POST("/", func(c echo.Context) error {
			body, err := io.ReadAll(c.Request().Body)
			if err != nil {
				Discard(c, 5000)
				return err
			}
			return c.String(http.StatusOK, string(body))
		})
	})
	for size, want := range map[int]int{0: 200, 1000: 200, 1001: 413, 100_000: 413} {
		body := strings.NewReader(strings.Repeat("x", size))
		r := httptest.NewRequestWithContext(t.Context(), http.MethodPost, "/", io.NopCloser(body)) // of unknown length
		if got := ask(t, h, r); got.Code != want {
			t.Errorf("%d bytes: status %d, want %d", size, got.Code, want)
		}
		if read := size - body.Len(); size > 1000 && (read < min(size, 5000) || read > 7000) {
			t.Errorf("%d of %d bytes are read", read, size)
		}
	}
}

// A handler that breaks off on purpose is not answered for: net/http closes the connection.
func TestAnAbortIsNoPanic(t *testing.T) {
	h := newTestChain(t, ordinary, func(on Router) {
		on.GET("/", func(echo.Context) error { panic(http.ErrAbortHandler) })
	})
	defer func() {
		if recover() != http.ErrAbortHandler { //nolint:errorlint // a value that was thrown, not an error that was returned
			t.Error("it is answered")
		}
	}()
	ask(t, h, get(t, "/"))
}

// X-Forwarded-For is believed from proxies that are trusted alone, and no further than to the first address that is none of theirs.
func TestTheClientsAddress(t *testing.T) {
	for _, tc := range []struct {
		name, from, forwarded, want string
		proxies                     []string
	}{
		{"nobody is trusted", "192.0.2.1:9", "198.51.100.7", "192.0.2.1", nil},
		{"private addresses are not trusted unasked", "10.0.0.1:9", "198.51.100.7", "10.0.0.1", nil},
		{"a trusted proxy", "10.0.0.1:9", "198.51.100.7", "198.51.100.7", []string{"10.0.0.0/8"}},
		{"what its client made up", "10.0.0.1:9", "203.0.113.9, 198.51.100.7", "198.51.100.7", []string{"10.0.0.0/8"}},
		{"a chain of proxies", "10.0.0.1:9", "198.51.100.7, 10.2.3.4", "198.51.100.7", []string{"10.0.0.0/8"}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			h := newTestChain(t, ordinary, func(on Router) {
				on.GET("/", func(c echo.Context) error { return c.String(http.StatusOK, c.RealIP()) })
			}, func(o *Options) {
				for _, p := range tc.proxies {
					o.TrustedProxies = append(o.TrustedProxies, netip.MustParsePrefix(p))
				}
			})
			r := get(t, "/", "X-Forwarded-For", tc.forwarded)
			r.RemoteAddr = tc.from
			if got := ask(t, h, r).Body.String(); got != tc.want {
				t.Errorf("%s, want %s", got, tc.want)
			}
		})
	}
}

func TestAChainWantsItsParts(t *testing.T) {
	metrics, err := NewMetrics()
	if err != nil {
		t.Fatal(err)
	}
	for _, o := range []Options{
		{}, {Log: slog.New(slog.DiscardHandler), Metrics: metrics},
		{Log: slog.New(slog.DiscardHandler), Metrics: metrics, Faces: []Face{{}}},
	} {
		if _, err := New(o); err == nil {
			t.Errorf("%+v is taken", o)
		}
	}
}
