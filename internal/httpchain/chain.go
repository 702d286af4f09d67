// Package httpchain is the one chain that every HTTP request goes through, whichever face answers it: a number for the
// request, the log and the metrics, headers, compression, recovery from panics, and limits on time and body. A [Face] is what
// differs between the JSON face and the pages; [New] puts faces on one router behind one chain.
package httpchain

import (
	"crypto/rand"
	"errors"
	"log/slog"
	"net/http"
	"net/netip"
	"strings"
	"time"

	"github.com/labstack/echo/v4"
	"github.com/labstack/echo/v4/middleware"
)

// Terms are what a request is granted, by its route.
type Terms struct {
	// Time is how long it may take, over 0: its context then ends.
	Time time.Duration
	// Body is how many bytes its body may have: reading more is an [*http.MaxBytesError].
	Body int64
	// SlowBody lets the body come in for as long as Time. Other bodies have the server's own time for reading.
	SlowBody bool
	// Quiet requests are logged for debugging alone: probes ask every few seconds.
	Quiet bool
}

// Face is one of the faces that the program shows over HTTP. All but Middleware is required.
type Face struct {
	// Owns reports whether a path is the face's, whether or not something is there.
	Owns func(path string) bool
	// Routes registers what is there.
	Routes func(Router)
	// Terms are those of the request's route, c.Path(), which is empty where there is none.
	Terms func(c echo.Context) Terms
	// Middleware goes around the face's own handlers, inside the chain; the first is outermost.
	Middleware []echo.MiddlewareFunc
	// WriteError is the face's one writer of errors. It logs those that are faults of the program, with [RequestID].
	WriteError echo.HTTPErrorHandler
}

// Router registers handlers; it answers HEAD wherever it answers GET (RFC 9110, 9.3.2): net/http leaves the body out.
// OPTIONS is echo's own.
type Router struct{ *echo.Echo }

// GET registers a handler for both methods.
func (r Router) GET(path string, h echo.HandlerFunc, m ...echo.MiddlewareFunc) *echo.Route {
	r.HEAD(path, h, m...)
	return r.Echo.GET(path, h, m...)
}

// Options are what a chain is made of. Log, Metrics and at least one face are required.
type Options struct {
	Log     *slog.Logger
	Metrics *Metrics
	// TrustedProxies are the addresses whose forwarding headers are believed: X-Forwarded-For for whom a request comes from,
	// X-Forwarded-Proto for how it came. With none, those of no address are.
	TrustedProxies []netip.Prefix
	// Faces are asked in turn whether a path is theirs; the last gets every path that no other owns.
	Faces []Face
}

// New makes the handler of all faces; a missing dependency is an error.
func New(o Options) (*echo.Echo, error) {
	if o.Log == nil || o.Metrics == nil || len(o.Faces) == 0 {
		return nil, errors.New("httpchain: log, metrics and a face are required")
	}
	for _, f := range o.Faces {
		if f.Owns == nil || f.Routes == nil || f.Terms == nil || f.WriteError == nil {
			return nil, errors.New("httpchain: a face needs all but its middleware")
		}
	}
	compress, err := compressing()
	if err != nil {
		return nil, err
	}
	e := echo.New()
	e.HideBanner, e.HidePort = true, true
	e.IPExtractor, e.SchemeExtractor = clientIP(o.TrustedProxies), echo.ExtractSchemeFromHeaders(trust(o.TrustedProxies)...)
	c := chain{o}
	e.HTTPErrorHandler = func(err error, ctx echo.Context) { c.face(ctx).WriteError(err, ctx) }
	e.Use(
		soundID, middleware.RequestIDWithConfig(middleware.RequestIDConfig{Generator: rand.Text}),
		c.observe,
		middleware.SecureWithConfig(middleware.SecureConfig{ContentTypeNosniff: "nosniff", ReferrerPolicy: "same-origin"}),
		compress,
		answerErrors,
		middleware.RecoverWithConfig(middleware.RecoverConfig{
			StackSize: stackSize, DisableStackAll: true, DisableErrorHandler: true, LogErrorFunc: withStack,
		}),
		c.limitTime, c.limitBody,
		c.ownMiddleware,
	)
	for _, f := range o.Faces {
		f.Routes(Router{e})
	}
	return e, nil
}

// chain is the middleware that depends on the faces.
type chain struct{ Options }

// face returns the face whose path a request is for.
func (c chain) face(ctx echo.Context) Face { return c.Faces[c.faceIndex(ctx)] }

func (c chain) faceIndex(ctx echo.Context) int {
	path := ctx.Request().URL.Path
	for i, f := range c.Faces {
		if f.Owns(path) {
			return i
		}
	}
	return len(c.Faces) - 1
}

// ownMiddleware sends a request through the middleware of its face.
func (c chain) ownMiddleware(next echo.HandlerFunc) echo.HandlerFunc {
	own := make([]echo.HandlerFunc, len(c.Faces))
	for i, f := range c.Faces {
		own[i] = next
		for k := len(f.Middleware) - 1; k >= 0; k-- {
			own[i] = f.Middleware[k](own[i])
		}
	}
	return func(ctx echo.Context) error { return own[c.faceIndex(ctx)](ctx) }
}

// soundID drops a number for the request that its client gave where it could not stand in a log as it is.
func soundID(next echo.HandlerFunc) echo.HandlerFunc {
	const (
		longest = 64
		allowed = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz-_."
	)
	return func(c echo.Context) error {
		if id := c.Request().Header.Get(echo.HeaderXRequestID); len(id) > longest || strings.Trim(id, allowed) != "" {
			c.Request().Header.Del(echo.HeaderXRequestID)
		}
		return next(c)
	}
}

// RequestID returns the number of a request, which its answer carries and every line of the log about it.
func RequestID(c echo.Context) string { return c.Response().Header().Get(echo.HeaderXRequestID) }

// observe times each request, counts it and logs it.
func (c chain) observe(next echo.HandlerFunc) echo.HandlerFunc {
	return func(ctx echo.Context) error {
		begin := time.Now()
		err := next(ctx)
		took := time.Since(begin)
		route, method, status := ctx.Path(), ctx.Request().Method, ctx.Response().Status
		if route == "" {
			route = "none" // one label for all unknown addresses
		}
		c.Metrics.request(route, method, status, took)
		level := slog.LevelInfo
		if c.face(ctx).Terms(ctx).Quiet {
			level = slog.LevelDebug
		}
		c.Log.LogAttrs(ctx.Request().Context(), level, "request",
			slog.String("request_id", RequestID(ctx)), slog.String("method", method), slog.String("route", route),
			slog.Int("status", status), slog.Int64("bytes", ctx.Response().Size), slog.Float64("took_ms", float64(took.Microseconds())/1000),
			slog.String("client", ctx.RealIP()))
		return err
	}
}

// answerErrors has errors become answers here, inside of what compresses and counts answers.
func answerErrors(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		if err := next(c); err != nil {
			c.Error(err)
		}
		return nil
	}
}

// RetryAfterSeconds is when to try again what is unavailable now: about what a database takes to restart. Common practice, no
// source.
const RetryAfterSeconds = "5"

// AskLater has an answer name the time after which to ask again.
func AskLater(c echo.Context) { c.Response().Header().Set(echo.HeaderRetryAfter, RetryAfterSeconds) }

var _ http.Handler = (*echo.Echo)(nil)
