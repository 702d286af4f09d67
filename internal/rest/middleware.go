package rest

import (
	"context"
	"crypto/rand"
	"crypto/sha256"
	"crypto/subtle"
	"errors"
	"fmt"
	"log/slog"
	"net/http"
	"runtime/debug"
	"strings"
	"time"

	"github.com/labstack/echo/v4"
)

const (
	// maxImport is the largest CSV file: 20,000 items are about 4 MB.
	maxImport = 64 << 20
	// How long one request may take; common practice, no source.
	requestTimeout = 30 * time.Second
	importTimeout  = 2 * time.Minute

	importPath      = "/v1/houses/:house/items/import"
	requestIDHeader = "X-Request-Id"
	requestIDKey    = "request id"
)

// observe gives each request a number, times it, counts it and logs it. Errors become answers here, so that the status
// is known.
func (s *Server) observe(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		begin := time.Now() // a duration, not a date: the injected clock has no say in it
		id := c.Request().Header.Get(requestIDHeader)
		if id == "" || len(id) > 64 || strings.Trim(id, "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz-_.") != "" {
			id = rand.Text()
		}
		c.Set(requestIDKey, id)
		c.Response().Header().Set(requestIDHeader, id)
		if err := next(c); err != nil {
			s.writeProblem(err, c)
		}
		took := time.Since(begin)
		route := c.Path()
		if route == "" {
			route = "none" // one label for all unknown addresses
		}
		status := c.Response().Status
		s.metrics.request(route, c.Request().Method, status, took)
		level := slog.LevelInfo
		if strings.HasPrefix(route, "/healthz") || strings.HasPrefix(route, "/readyz") || route == "/metrics" {
			level = slog.LevelDebug
		}
		s.log.LogAttrs(c.Request().Context(), level, "request",
			slog.String("request_id", id), slog.String("method", c.Request().Method), slog.String("route", route),
			slog.Int("status", status), slog.Int64("bytes", c.Response().Size), slog.Float64("took_ms", float64(took.Microseconds())/1000),
			slog.String("client", c.RealIP()))
		return nil
	}
}

func requestID(c echo.Context) string {
	id, _ := c.Get(requestIDKey).(string)
	return id
}

// recoverPanic turns a programmer's error into an answer; the stack goes to the log.
func (s *Server) recoverPanic(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) (err error) {
		defer func() {
			if p := recover(); p != nil {
				if cause, ok := p.(error); ok && errors.Is(cause, http.ErrAbortHandler) {
					panic(p)
				}
				err = fmt.Errorf("panic: %v\n%s", p, debug.Stack())
			}
		}()
		return next(c)
	}
}

func (s *Server) limitTime(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		limit := requestTimeout
		switch {
		case c.Path() == importPath:
			limit = importTimeout
			// The server's own time for reading is that of ordinary bodies. A connection that cannot be told keeps it.
			_ = http.NewResponseController(c.Response()).SetReadDeadline(time.Now().Add(limit))
		case storesNothing[c.Path()]: // solving has limits of its own
			limit += s.desk.Capacity.Longest()
		}
		whole := c.Request()
		defer c.SetRequest(whole) // whoever looks at the context afterwards asks whether the client is gone
		ctx, cancel := context.WithTimeout(whole.Context(), limit)
		defer cancel()
		c.SetRequest(whole.WithContext(ctx))
		return next(c)
	}
}

func limitBody(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		limit := int64(MaxBody)
		if c.Path() == importPath {
			limit = maxImport
			if err := wantContentType(c.Request(), "text/csv"); err != nil && c.Request().Method == http.MethodPost {
				return err
			}
		}
		r := c.Request()
		if r.ContentLength > limit {
			return refuse(ReasonTooLarge, "The body is larger than %d bytes: send less.", limit)
		}
		r.Body = http.MaxBytesReader(c.Response(), r.Body, limit)
		return next(c)
	}
}

// authorize lets everybody read, and only the holder of the staff token write and see the metrics.
func (s *Server) authorize(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		if !s.guarded[c.Request().Method+" "+c.Path()] {
			return next(c)
		}
		scheme, token, _ := strings.Cut(c.Request().Header.Get(echo.HeaderAuthorization), " ")
		given := tokenDigest(token)
		if !strings.EqualFold(scheme, "Bearer") || subtle.ConstantTimeCompare(given[:], s.token[:]) != 1 {
			return refuse(ReasonUnauthorized, "Send Authorization: Bearer with the staff token.")
		}
		return next(c)
	}
}

// tokenDigest makes tokens of any length comparable in constant time.
func tokenDigest(token string) [32]byte { return sha256.Sum256([]byte(token)) }
