package rest

import (
	"errors"
	"log/slog"
	"net/http"
	"time"

	"github.com/labstack/echo/v4"

	"kitspan/internal/office"
)

// Options are what a [Server] is made of; all but ClientIP are required.
type Options struct {
	// Office answers for shots, from the catalogues of Catalogues.
	Office     office.Office
	Catalogues *office.Cache
	// Storage keeps the items.
	Storage Catalogue
	// StaffToken is what writers present as a bearer token; at least [MinTokenLength] characters.
	StaffToken string
	Log        *slog.Logger
	// ClientIP finds the address of whoever asks, for the log; nil takes that of the connection.
	ClientIP echo.IPExtractor
}

// MinTokenLength is the shortest staff token that is taken; common practice, no source: 16 characters of a generated
// token hold at least 64 bits.
const MinTokenLength = 16

// Server answers the JSON face. It implements [StrictServerInterface]; [Server.Handler] is what listens.
type Server struct {
	catalogues *office.Cache
	lists      *itemLists
	storage    Catalogue
	desk       Desk
	token      [32]byte // SHA-256 of the staff token
	log        *slog.Logger
	now        func() time.Time
	metrics    *metrics
	echo       *echo.Echo
	guarded    map[string]bool // "METHOD path" of the routes that need the staff token
}

var _ StrictServerInterface = (*Server)(nil)

// New makes a server; a missing dependency is an error.
func New(o Options) (*Server, error) {
	if o.Office.Stock == nil || o.Office.Now == nil || o.Catalogues == nil || o.Storage == nil || o.Log == nil {
		return nil, errors.New("rest: office, catalogues, storage and log are required")
	}
	if len(o.StaffToken) < MinTokenLength {
		return nil, errors.New("rest: the staff token is too short: give at least 16 characters")
	}
	s := &Server{
		catalogues: o.Catalogues, lists: newItemLists(), storage: o.Storage, desk: Desk{o.Office}, token: tokenDigest(o.StaffToken),
		log: o.Log, now: o.Office.Now, metrics: newMetrics(o.Office.Capacity), guarded: map[string]bool{},
	}
	s.echo = s.newEcho()
	if o.ClientIP != nil {
		s.echo.IPExtractor = o.ClientIP
	}
	return s, nil
}

// Handler is the whole face, middleware included.
func (s *Server) Handler() http.Handler { return s.echo }

func (s *Server) newEcho() *echo.Echo {
	e := echo.New()
	e.HideBanner, e.HidePort = true, true
	e.IPExtractor = echo.ExtractIPDirect()
	e.Binder = newBinder()
	e.HTTPErrorHandler = s.writeProblem
	e.Use(s.observe, s.recoverPanic, s.limitTime, s.authorize, limitBody)
	RegisterHandlers(router{e}, NewStrictHandler(s, []StrictMiddlewareFunc{knownQuery}))
	for _, r := range e.Routes() {
		reads := r.Method == http.MethodGet || r.Method == http.MethodHead || storesNothing[r.Path]
		if !reads || r.Path == "/metrics" {
			s.guarded[r.Method+" "+r.Path] = true
		}
	}
	return e
}

// router answers HEAD wherever it answers GET (RFC 9110, 9.3.2): net/http leaves the body out. OPTIONS is echo's own.
type router struct{ *echo.Echo }

// GET registers a handler for both methods.
func (r router) GET(path string, h echo.HandlerFunc, m ...echo.MiddlewareFunc) *echo.Route {
	r.HEAD(path, h, m...)
	return r.Echo.GET(path, h, m...)
}

// storesNothing are the paths that take a POST and are open to readers all the same.
var storesNothing = map[string]bool{"/v1/sizings": true, "/v1/sweeps": true, "/v1/reaches": true}
