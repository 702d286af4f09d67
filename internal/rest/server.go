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
	"kitspan/internal/office"
)

// Options are what a [Server] is made of; all are required.
type Options struct {
	// Office answers for shots, from the catalogues of Catalogues.
	Office     office.Office
	Catalogues *office.Cache
	// Storage keeps the items.
	Storage Catalogue
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
	desk       Desk
	staff      *account.Staff
	log        *slog.Logger
	now        func() time.Time
	metrics    func() (string, error)
	guarded    map[string]bool // "METHOD path" of the routes that need the staff token
}

var _ StrictServerInterface = (*Server)(nil)

// New makes a server; a missing dependency is an error.
func New(o Options) (*Server, error) {
	if o.Office.Stock == nil || o.Office.Now == nil || o.Catalogues == nil || o.Storage == nil || o.Staff == nil || o.Metrics == nil || o.Log == nil {
		return nil, errors.New("rest: office, catalogues, storage, staff, metrics and log are required")
	}
	return &Server{
		catalogues: o.Catalogues, lists: newItemLists(), storage: o.Storage, desk: Desk{o.Office}, staff: o.Staff,
		log: o.Log, now: o.Office.Now, metrics: o.Metrics, guarded: map[string]bool{},
	}, nil
}

// Face returns the JSON face for the chain of HTTP.
func (s *Server) Face() httpchain.Face {
	return httpchain.Face{
		Owns: owns, Routes: s.routes, Terms: s.terms, Middleware: []echo.MiddlewareFunc{s.authorize, checkFile}, WriteError: s.writeProblem,
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
		reads := r.Method == http.MethodGet || r.Method == http.MethodHead || storesNothing[r.Path]
		if owns(r.Path) && (!reads || r.Path == "/metrics") {
			s.guarded[r.Method+" "+r.Path] = true
		}
	}
}

// storesNothing are the paths that take a POST and are open to readers all the same.
var storesNothing = map[string]bool{"/v1/sizings": true, "/v1/sweeps": true, "/v1/reaches": true}
