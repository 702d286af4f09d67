package web

import (
	"context"
	"errors"
	"html/template"
	"io"
	"log/slog"
	"net/http"
	"net/netip"
	"time"

	"github.com/alexedwards/scs/v2"
	"github.com/labstack/echo/v4"
	"golang.org/x/sync/semaphore"

	"kitspan/internal/catalog"
	"kitspan/internal/office"
	"kitspan/internal/sizing"
)

// Catalogue is what the staff's pages need of the storage, with the contracts of the JSON face's storage of the same names.
type Catalogue interface {
	// Item reads one item, or catalog.ErrNoItem.
	Item(ctx context.Context, house, sku string) (catalog.StoredItem, error)
	// ReplaceItem puts item in the place of the one of the same SKU if that is still at version, else catalog.ErrItemChanged;
	// a [*catalog.InvalidError] for what only the storage can see.
	ReplaceItem(ctx context.Context, house string, item catalog.Item, version int64) (catalog.StoredItem, error)
	// KeepFile keeps a catalogue file of one kind for its holder for a while, and names it; catalog.ErrManyFiles where the house keeps
	// as many as it may.
	KeepFile(ctx context.Context, house, holder string, kind catalog.Kind, file []byte) (id string, err error)
	// LookAtFile says what the import of a kept file would do to the catalogue as it is, or what it did; catalog.ErrNoFile where none
	// of that id is kept for the holder, a [*catalog.CSVError] for what the house's other items forbid.
	LookAtFile(ctx context.Context, house, holder, id string) (catalog.FileLook, error)
	// ImportFile imports a kept file, all of it or nothing, if the catalogue is still at the version that was looked at, else
	// catalog.ErrCatalogueChanged. A file that was imported is not imported again.
	ImportFile(ctx context.Context, house, holder, id string, version int64) (catalog.ImportCounts, error)
}

// Options are what a [Server] is made of; all but Now and TrustedProxies are required.
type Options struct {
	Office  office.Office
	Storage Catalogue
	// StaffToken is what staff sign in with.
	StaffToken string
	// Sessions keeps who is signed in, by the hash of what their cookie holds; where several processes serve, for all of them.
	Sessions scs.Store
	// TrustedProxies are the addresses whose forwarding headers are believed: X-Forwarded-For for whom a request comes from,
	// X-Forwarded-Proto for how it came. Nobody's are where there are none.
	TrustedProxies []netip.Prefix
	// JSON and Text are the answer as other programs and as people on a terminal read it.
	JSON func(sizing.Result) ([]byte, error)
	Text func(io.Writer, sizing.Result) error
	// Cautions is the document of that name, in Markdown.
	Cautions []byte
	Log      *slog.Logger
	Now      func() time.Time
}

// Server answers with pages.
type Server struct {
	Options
	pages    map[string]*template.Template
	style    template.CSS
	policy   string // Content-Security-Policy
	script   []byte
	cautions template.HTML
	staff    staff
	files    *semaphore.Weighted // of catalogue files in memory
	echo     *echo.Echo
}

// New makes a server; a missing dependency or a broken template is an error.
func New(o Options) (*Server, error) {
	if o.Office.Stock == nil || o.Storage == nil || o.StaffToken == "" || o.Sessions == nil || o.JSON == nil || o.Text == nil || o.Log == nil {
		return nil, errors.New("web: office, storage, staff token, sessions, JSON, text and log are required")
	}
	if o.Now == nil {
		o.Now = time.Now
	}
	s := &Server{Options: o, staff: newStaff(o.StaffToken, o.Sessions), files: semaphore.NewWeighted(filesAtOnce)}
	if err := s.load(); err != nil {
		return nil, err
	}
	e := echo.New()
	e.HideBanner, e.HidePort = true, true
	e.HTTPErrorHandler = s.writeError
	e.IPExtractor, e.SchemeExtractor = ClientIP(o.TrustedProxies), echo.ExtractSchemeFromHeaders(trust(o.TrustedProxies)...)
	e.Use(s.observe, compress, s.guard, s.session, readable, sameOrigin())
	get := func(path string, h echo.HandlerFunc, m ...echo.MiddlewareFunc) {
		e.Match([]string{http.MethodGet, http.MethodHead}, path, h, m...)
	}
	get("/", s.start)
	get("/plan", s.plan)
	get("/plan.json", s.planJSON)
	get("/plan.txt", s.planText)
	get("/option", s.option)
	get("/day", s.day)
	get("/reach", s.reach)
	e.POST("/places", s.savePlace, readBody)
	get("/catalogue", s.houses)
	get("/catalogue/:house", s.items)
	get("/catalogue/:house/:sku", s.item)
	e.POST("/catalogue/:house/:sku", s.editItem, staffOnly, readBody)
	get("/import/:house", s.importForm)
	e.POST("/import/:house", s.keepFile, staffOnly, s.fewFiles)
	get("/import/:house/:file", s.lookAtFile, staffOnly, s.fewFiles)
	e.POST("/import/:house/:file", s.importFile, staffOnly, readBody, s.fewFiles)
	get("/staff", s.signInForm)
	e.POST("/staff", s.signIn, readBody)
	e.POST("/staff/out", s.signOut)
	get("/cautions", s.cautionsPage)
	get("/live.js", s.liveScript)
	s.echo = e
	return s, nil
}

// Handler is all pages.
func (s *Server) Handler() http.Handler { return s.echo }
