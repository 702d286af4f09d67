package rest

import (
	"encoding/json"
	"errors"
	"log/slog"
	"math"
	"net/http"
	"strconv"
	"strings"
	"time"

	"github.com/labstack/echo/v4"
	"golang.org/x/sync/semaphore"

	"kitspan/internal/account"
	"kitspan/internal/httpchain"
	"kitspan/internal/office"
)

// Options are what a [Server] is made of; all but Runs are required.
type Options struct {
	// Office answers for shots, from the catalogues of Catalogues.
	Office     office.Office
	Catalogues *office.Cache
	// Storage keeps the items.
	Storage Catalogue
	// Jobs keeps the jobs.
	Jobs JobStorage
	// Runs keeps plans that are worked out in the background; without it every client waits.
	Runs PlanRuns
	// Staff are those who may write: they present their token as a bearer token.
	Staff *account.Staff
	// Metrics writes the program's metrics in the text format.
	Metrics func() (string, error)
	Log     *slog.Logger
}

// Server answers the JSON face. It implements [StrictServerInterface]; [Server.Face] is what the chain puts on HTTP.
type Server struct {
	catalogues *office.Cache
	lists      *itemLists
	storage    Catalogue
	jobs       JobStorage
	workbooks  *semaphore.Weighted // is held while one is read
	runs       PlanRuns
	desk       Desk
	staff      *account.Staff
	log        *slog.Logger
	now        func() time.Time
	metrics    func() (string, error)
	guarded    map[string]bool     // "METHOD path" of the routes that need the staff token
	offered    map[string][]string // by the same, the media types that the route answers with
}

var _ StrictServerInterface = (*Server)(nil)

// New makes a server; a missing dependency is an error.
func New(o Options) (*Server, error) {
	if o.Office.Stock == nil || o.Office.Now == nil || o.Catalogues == nil || o.Storage == nil || o.Jobs == nil || o.Staff == nil || o.Metrics == nil || o.Log == nil {
		return nil, errors.New("rest: office, catalogues, storage, jobs, staff, metrics and log are required")
	}
	return &Server{
		catalogues: o.Catalogues, lists: newItemLists(), storage: o.Storage, jobs: o.Jobs, workbooks: semaphore.NewWeighted(1), runs: o.Runs,
		desk: Desk{o.Office}, staff: o.Staff,
		log: o.Log, now: o.Office.Now, metrics: o.Metrics, guarded: map[string]bool{}, offered: map[string][]string{},
	}, nil
}

// Face returns the JSON face for the chain of HTTP.
func (s *Server) Face() httpchain.Face {
	return httpchain.Face{
		Owns: owns, Routes: s.routes, Terms: s.terms, WriteError: s.writeProblem,
		Middleware: []echo.MiddlewareFunc{spoken, s.authorize, s.negotiate, checkFile, checkShotFile},
	}
}

// owns reports whether a path is one of the JSON face's, or would be if it had one there.
func owns(path string) bool {
	switch path {
	case "/v1", "/healthz", "/readyz", "/metrics", "/openapi.json":
		return true
	}
	return strings.HasPrefix(path, "/v1/")
}

func (s *Server) routes(on httpchain.Router) {
	on.Binder = newBinder()
	RegisterHandlers(on, NewStrictHandler(s, []StrictMiddlewareFunc{knownQuery}))
	for _, r := range on.Routes() {
		if !owns(r.Path) {
			continue
		}
		s.offered[r.Method+" "+r.Path] = offered(r.Method, r.Path)
		reads := r.Method == http.MethodGet || r.Method == http.MethodHead || storesNothing[r.Path] || r.Path == planRunPath // its id is the key
		if !reads || r.Path == "/metrics" {
			s.guarded[r.Method+" "+r.Path] = true
		}
	}
}

// storesNothing are the paths that take a POST and are open to readers all the same.
var storesNothing = map[string]bool{"/v1/sizings": true, "/v1/sweeps": true, "/v1/reaches": true, plansPath: true}

// terms are what a request of this face is granted.
func (s *Server) terms(c echo.Context) httpchain.Terms {
	t := httpchain.Terms{Time: requestTimeout, Body: MaxBody}
	switch path := c.Path(); {
	case path == importPath:
		t = httpchain.Terms{Time: importTimeout, Body: maxImport, SlowBody: true}
	case path == shotFilePath:
		t.Body = maxShotFile
	case storesNothing[path] || path == "/v1/jobs/:job/plan": // solving has limits of its own
		t.Time += s.desk.Capacity.Longest()
	case path == "/healthz" || path == "/readyz" || path == "/metrics":
		t.Quiet = true
	}
	return t
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

// writeProblem is the one place where an error becomes an answer.
func (s *Server) writeProblem(err error, c echo.Context) {
	if c.Response().Committed {
		s.log.Warn("answer broken off", slog.String("request_id", httpchain.RequestID(c)), slog.Any("error", err))
		return
	}
	err = fromEcho(err, c)
	problem := problemOf(readerIn(c.Request().Context()), err)
	if id := httpchain.RequestID(c); id != "" {
		problem.RequestId = &id
	}
	if failed(err) && c.Request().Context().Err() == nil {
		s.log.Error("request failed", slog.String("request_id", httpchain.RequestID(c)), slog.String("route", c.Path()), slog.Any("error", err))
	}
	switch problem.Status {
	case http.StatusUnauthorized:
		c.Response().Header().Set(echo.HeaderWWWAuthenticate, "Bearer")
	case http.StatusTooManyRequests:
		var wait *account.WaitError
		if errors.As(err, &wait) {
			c.Response().Header().Set(echo.HeaderRetryAfter, strconv.Itoa(int(math.Ceil(wait.Wait.Seconds()))))
		}
	case http.StatusServiceUnavailable:
		httpchain.AskLater(c)
	}
	body, encodeErr := json.Marshal(problem)
	if encodeErr != nil { // a struct of strings and numbers always encodes
		body = []byte("{}")
	}
	if err := c.Blob(problem.Status, problemType, append(body, '\n')); err != nil {
		s.log.Debug("client gone", slog.String("request_id", httpchain.RequestID(c)), slog.Any("error", err))
	}
}
