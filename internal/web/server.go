package web

import (
	"context"
	"errors"
	"html/template"
	"io"
	"log/slog"
	"net/http"
	"time"

	"github.com/alexedwards/scs/v2"
	"github.com/labstack/echo/v4"
	"golang.org/x/sync/semaphore"

	"kitspan/internal/account"
	"kitspan/internal/catalog"
	"kitspan/internal/httpchain"
	"kitspan/internal/job"
	"kitspan/internal/office"
	"kitspan/internal/sizing"
	"kitspan/internal/text"
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

// Options are what a [Server] is made of; all are required but for the examples.
type Options struct {
	Office  office.Office
	Storage Catalogue
	Jobs    Jobs
	// Runs are plans in the background; nil for none.
	Runs PlanRuns
	// Staff are those who may sign in.
	Staff *account.Staff
	// Sessions keeps who is signed in, by the hash of what their cookie holds; where several processes serve, for all of them.
	Sessions scs.Store
	// JSON and Text are the answer as other programs and as people on a terminal read it.
	JSON func(sizing.Result) ([]byte, error)
	Text func(io.Writer, text.Reader, sizing.Result) error
	// Examples are shots to begin with, on the first page; there may be none.
	Examples []Example
	// ExampleJob is a job to begin with; without a name there is none.
	ExampleJob job.Draft
	// Cautions is the document of that name, in Markdown.
	Cautions []byte
	Log      *slog.Logger
}

// Server answers with pages.
type Server struct {
	Options
	pages  map[string]*template.Template
	style  template.CSS
	policy string // Content-Security-Policy
	script []byte
	setFiles
	jobFiles
	plans    *plansKept
	cautions template.HTML
	sessions *scs.SessionManager
	files    *semaphore.Weighted // of catalogue files in memory
}

// New makes a server; a missing dependency or a broken template is an error.
func New(o Options) (*Server, error) {
	if o.Office.Stock == nil || o.Storage == nil || o.Jobs == nil || o.Staff == nil || o.Sessions == nil || o.JSON == nil || o.Text == nil || o.Log == nil {
		return nil, errors.New("web: office, storage, jobs, staff, sessions, JSON, text and log are required")
	}
	s := &Server{Options: o, sessions: newSessions(o.Sessions), plans: &plansKept{}, files: semaphore.NewWeighted(filesAtOnce)}
	if err := s.load(); err != nil {
		return nil, err
	}
	return s, nil
}

// Face returns the pages for the chain of HTTP: every path that is not another face's.
func (s *Server) Face() httpchain.Face {
	return httpchain.Face{
		Owns: func(string) bool { return true }, Routes: s.routes, Terms: s.terms,
		Middleware: []echo.MiddlewareFunc{s.guard, s.session, readable, sameOrigin()}, WriteError: s.writeError,
	}
}

// The pages by what they are for, each with all that the server has.
type (
	planPages      struct{ *Server } // a shot, its answers, its day
	cataloguePages struct{ *Server } // what a house has
	importPages    struct{ *Server } // a file of items, looked at and then taken
	staffPages     struct{ *Server } // signing in and out
)

func (s *Server) routes(on httpchain.Router) {
	plans, goods, imports, staff := planPages{s}, cataloguePages{s}, importPages{s}, staffPages{s}
	on.GET("/", plans.start)
	on.GET("/plan", plans.plan)
	on.GET(partPath, plans.part)
	on.GET("/plan.json", plans.planJSON)
	on.GET("/plan.txt", plans.planText)
	on.GET("/option", plans.option)
	on.GET("/set", plans.set)
	on.GET(setNonePath, s.setNone)
	on.GET(setScriptPath, s.setScript)
	on.GET(setWorkerPath, s.setWorker)
	on.GET("/day", plans.day)
	on.GET("/reach", plans.reach)
	on.POST("/places", plans.savePlace, readBody)
	on.GET("/catalogue", goods.houses)
	on.GET("/catalogue/:house", goods.items)
	on.GET("/catalogue/:house/:sku", goods.item)
	on.POST("/catalogue/:house/:sku", goods.editItem, staffOnly, readBody)
	on.GET("/import/:house", imports.importForm)
	on.POST(keepPath, imports.keepFile, staffOnly, imports.fewFiles)
	on.GET(filePath, imports.lookAtFile, staffOnly, imports.fewFiles)
	on.POST(filePath, imports.importFile, staffOnly, readBody, imports.fewFiles)
	on.GET("/staff", staff.signInForm)
	on.POST("/staff", staff.signIn, readBody)
	on.POST("/staff/out", staff.signOut)
	jobs := jobPages{plans}
	on.GET("/jobs", jobs.list)
	on.POST("/jobs", jobs.create, jobStaffOnly, readBody)
	on.GET("/jobs/:job", jobs.show)
	on.POST("/jobs/:job", jobs.edit, jobStaffOnly, readBody)
	on.POST("/jobs/:job/copy", jobs.copyJob, jobStaffOnly)
	on.GET("/jobs/:job/delete", jobs.deleteForm)
	on.POST("/jobs/:job/delete", jobs.deleteJob, jobStaffOnly, readBody)
	on.GET(jobShotPath, jobs.shot)
	on.POST(jobShotPath, jobs.editShot, jobStaffOnly, readBody)
	on.GET(jobImportPath, jobs.importForm)
	on.POST(jobImportPath, jobs.importShots, jobStaffOnly, imports.fewFiles)
	on.GET(jobPlanPath, jobs.plan)
	on.POST(jobPlanPath, jobs.planLater)
	on.GET(jobRunPath, jobs.run)
	on.POST(jobCancelPath, jobs.cancel, readBody)
	on.GET(jobSheetPath, jobs.sheet)
	on.POST(jobPinPath, jobs.pin, jobStaffOnly, readBody)
	on.GET("/jobs/:job/compare", jobs.compare)
	on.GET(jobScriptPath, s.jobScript)
	on.GET("/cautions", s.cautionsPage)
	on.GET("/live.js", s.liveScript)
}

const (
	// pageTime is how long a page may take, and fileTime a request with a catalogue file, its wait for a turn included; common
	// practice, no source.
	pageTime = 30 * time.Second
	fileTime = 2 * time.Minute

	keepPath = "/import/:house"
	filePath = "/import/:house/:file"
)

// terms are what a request for a page is granted.
func (s *Server) terms(c echo.Context) httpchain.Terms {
	t := httpchain.Terms{Time: pageTime, Body: maxForm}
	switch path := c.Path(); {
	case path == keepPath && c.Request().Method == http.MethodPost:
		// The server's own time for reading may be over before a file has its turn.
		t = httpchain.Terms{Time: fileTime, Body: maxImport, SlowBody: true}
	case path == jobImportPath:
		t.Body = maxShotForm
	case path == "/jobs/:job":
		t.Body = maxJobForm
	case path == filePath:
		t.Time, t.SlowBody = fileTime, true
	default:
		t.Time += s.Office.Capacity.Longest() // solving has limits of its own
	}
	return t
}
