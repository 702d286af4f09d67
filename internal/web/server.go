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
	// ImportItems adds or changes the items of one kind that a CSV file lists, all or none.
	ImportItems(ctx context.Context, house string, kind catalog.Kind, file io.Reader) (catalog.ImportCounts, error)
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
	s := &Server{Options: o, staff: newStaff(o.StaffToken, o.Sessions)}
	if err := s.load(); err != nil {
		return nil, err
	}
	e := echo.New()
	e.HideBanner, e.HidePort = true, true
	e.HTTPErrorHandler = s.writeError
	e.IPExtractor, e.SchemeExtractor = ClientIP(o.TrustedProxies), echo.ExtractSchemeFromHeaders(trust(o.TrustedProxies)...)
	e.Use(s.observe, compress, s.guard, readable, sameOrigin(), s.session)
	get := func(path string, h echo.HandlerFunc) { e.Match([]string{http.MethodGet, http.MethodHead}, path, h) }
	get("/", s.start)
	get("/plan", s.plan)
	get("/plan.json", s.planJSON)
	get("/plan.txt", s.planText)
	get("/option", s.option)
	get("/day", s.day)
	get("/reach", s.reach)
	e.POST("/places", s.savePlace, readBody(maxForm))
	get("/catalogue", s.houses)
	get("/catalogue/:house", s.items)
	get("/catalogue/:house/:sku", s.item)
	e.POST("/catalogue/:house/:sku", s.editItem, staffOnly, readBody(maxForm))
	get("/import/:house", s.importForm)
	e.POST("/import/:house", s.importFile, staffOnly, readBody(maxUpload))
	get("/staff", s.signInForm)
	e.POST("/staff", s.signIn, readBody(maxForm))
	e.POST("/staff/out", s.signOut)
	get("/cautions", s.cautionsPage)
	get("/live.js", s.liveScript)
	s.echo = e
	return s, nil
}

const maxUpload = 2 << 20

// Handler is all pages.
func (s *Server) Handler() http.Handler { return s.echo }
