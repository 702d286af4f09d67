package rest

import (
	"errors"
	"log/slog"
	"net/http"
	"strings"
	"time"

	"github.com/labstack/echo/v4"

	"kitspan/internal/account"
	"kitspan/internal/httpchain"
)

const (
	// maxImport is the largest CSV file: 20,000 items are about 4 MB.
	maxImport = 64 << 20
	// How long one request may take; common practice, no source.
	requestTimeout = 30 * time.Second
	importTimeout  = 2 * time.Minute

	importPath = "/v1/houses/:house/items/import"
)

// terms are what a request of this face is granted.
func (s *Server) terms(c echo.Context) httpchain.Terms {
	t := httpchain.Terms{Time: requestTimeout, Body: MaxBody}
	switch path := c.Path(); {
	case path == importPath:
		t = httpchain.Terms{Time: importTimeout, Body: maxImport, SlowBody: true}
	case storesNothing[path]: // solving has limits of its own
		t.Time += s.desk.Capacity.Longest()
	case path == "/healthz" || path == "/readyz" || path == "/metrics":
		t.Quiet = true
	}
	return t
}

// checkFile refuses what is no catalogue file before it is read.
func checkFile(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		if r := c.Request(); c.Path() == importPath && r.Method == http.MethodPost {
			if err := wantContentType(r, "text/csv"); err != nil {
				return err
			}
			if r.ContentLength > maxImport {
				return &http.MaxBytesError{Limit: maxImport}
			}
		}
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
		if !strings.EqualFold(scheme, "Bearer") || token == "" { // no guess
			return refuse(ReasonUnauthorized, "Send Authorization: Bearer with the staff token.")
		}
		err := s.staff.Admit(c.RealIP(), token)
		var wait *account.WaitError
		switch {
		case errors.As(err, &wait):
			s.log.Warn("token refused after too many attempts", slog.String("request_id", httpchain.RequestID(c)), slog.String("client", c.RealIP()))
			return &Refusal{Reason: ReasonTooManyAttempts, cause: wait,
				Detail: "Too many wrong tokens came from this address. The next one is looked at after the time in Retry-After."}
		case err != nil:
			s.log.Warn("wrong token", slog.String("request_id", httpchain.RequestID(c)), slog.String("client", c.RealIP()))
			return refuse(ReasonUnauthorized, "This is not the staff token: send Authorization: Bearer with it.")
		}
		return next(c)
	}
}
