package web

import (
	"context"
	"crypto/rand"
	"crypto/sha256"
	"errors"
	"html/template"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"time"

	"github.com/labstack/echo/v4"

	"kitspan/internal/catalog"
	"kitspan/internal/httpchain"
	"kitspan/internal/job"
	"kitspan/internal/phrase"
	"kitspan/internal/text"
)

// Jobs is what the pages of jobs need of the storage. It answers with the refusals of package job, wrapped or bare.
type Jobs interface {
	// Jobs lists at most limit jobs behind a place in the list, newest first.
	Jobs(ctx context.Context, limit int, after job.Mark) ([]job.Listed, error)
	// Job reads one job, or job.ErrNoJob.
	Job(ctx context.Context, id string) (job.Stored, error)
	// CreateJob keeps a draft as a new job, or is a [*job.UnsoundError]. The same key with the same digest answers the job that it made
	// before, with another digest job.ErrKeyReused.
	CreateJob(ctx context.Context, draft job.Draft, key string, digest []byte) (job.Stored, error)
	// ChangeJob keeps what an edit makes of a job, all or nothing, or is a [*job.UnsoundError]. An error of the edit comes back.
	ChangeJob(ctx context.Context, id string, edit job.Edit) (job.Stored, error)
	// DeleteJob removes a job that is in an expected state, else job.ErrStale.
	DeleteJob(ctx context.Context, id string, expect job.Expect) error
}

// jobPages are the jobs: their list, one to fill in, its shots one by one, its plan.
type jobPages struct{ planPages }

// jobStaffOnly refuses whoever is not signed in, before a byte of what they send is read.
func jobStaffOnly(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		if err, unknown := c.Get(unknownKey).(error); unknown {
			return err
		}
		if !signed(c) {
			return &pageError{status: http.StatusUnauthorized,
				says: "Only staff change jobs, and the sign-in is over or was none. Nothing was changed: sign in in another window, then go back and send what you typed again."}
		}
		return next(c)
	}
}

const (
	// jobsListed is how many jobs a page lists.
	jobsListed = 50
	// maxJobForm is the largest form of a job: 500 shots of some 400 bytes, with names of their fields.
	maxJobForm = 1 << 20
)

// jobsPage is the list of jobs.
type jobsPage struct {
	Jobs []jobRow
	// More is the address of the next page; empty where this is the last.
	More    template.URL
	Key     string
	Example string
	Name    string
	Wrong   string // with the name of a new job
}

type jobRow struct {
	ID, Name, Days, Changed string
	Shots                   int
}

// list is the jobs, newest first.
func (s jobPages) list(c echo.Context) error {
	after := job.Mark{ID: c.QueryParam("after")}
	if at, err := time.Parse(time.RFC3339Nano, c.QueryParam("at")); err == nil && job.IsID(after.ID) {
		after.Created = at
	} else {
		after = job.Mark{}
	}
	return s.showList(c, http.StatusOK, after, jobsPage{})
}

func (s jobPages) showList(c echo.Context, status int, after job.Mark, page jobsPage) error {
	listed, err := s.Jobs.Jobs(c.Request().Context(), jobsListed+1, after)
	if err != nil {
		return err
	}
	r := readerOf(c.Request(), "")
	if len(listed) > jobsListed {
		listed = listed[:jobsListed]
		mark := listed[jobsListed-1].Mark()
		page.More = template.URL("/jobs?" + url.Values{"after": {mark.ID}, "at": {mark.Created.Format(time.RFC3339Nano)}}.Encode()) //nolint:gosec // encoded by net/url
	}
	for i := range listed {
		l := &listed[i]
		page.Jobs = append(page.Jobs, jobRow{ID: l.ID, Name: l.Name, Shots: l.Shots, Days: r.span(l.From, l.To), Changed: r.moment(l.Changed.UTC())})
	}
	page.Key = rand.Text()
	if s.ExampleJob.Name != nil {
		page.Example = *s.ExampleJob.Name
	}
	return s.render(c, status, "jobs", frame{Title: r.language.Say("Jobs"), Here: "jobs", Page: page, Extra: s.jobStyle})
}

// span is from one day to another; empty where neither is known.
func (r reader) span(from, to catalog.Date) string {
	switch from {
	case catalog.Date{}:
		return ""
	case to:
		return r.day(from)
	}
	return r.day(from) + " – " + r.day(to)
}

// create makes a blank job of a name, or a copy of the example.
func (s jobPages) create(c echo.Context) error {
	name := strings.TrimSpace(c.FormValue("name"))
	draft := job.Draft{Name: &name}
	if c.FormValue("example") != "" {
		draft = s.ExampleJob
	}
	key, made := c.FormValue("key"), sha256.Sum256([]byte(c.FormValue("example")+"|"+name))
	if len(key) > longestKey {
		key = ""
	}
	stored, err := s.Jobs.CreateJob(c.Request().Context(), draft, key, made[:])
	if errors.Is(err, job.ErrKeyReused) { // the list was left open and used again
		stored, err = s.Jobs.CreateJob(c.Request().Context(), draft, "", nil)
	}
	var unsound *job.UnsoundError
	if errors.As(err, &unsound) && len(unsound.Faults) > 0 {
		return s.showList(c, http.StatusUnprocessableEntity, job.Mark{}, jobsPage{Name: name, Wrong: text.FaultBeside(readerOf(c.Request(), "").text(), unsound.Faults[0])})
	}
	if err != nil {
		return err
	}
	return c.Redirect(http.StatusSeeOther, jobPath(stored.ID))
}

// longestKey is the longest idempotency key: a browser sends what the list gave it.
const longestKey = 64

// jobPath is the address of a job, and of what belongs to it.
func jobPath(id string, parts ...string) string {
	path := "/jobs/" + id
	for _, p := range parts {
		path += "/" + url.PathEscape(p)
	}
	return path
}

// stored reads the job of the address.
func (s jobPages) stored(c echo.Context) (job.Stored, error) {
	id := c.Param("job")
	if !job.IsID(id) {
		return job.Stored{}, job.ErrNoJob
	}
	return s.Jobs.Job(c.Request().Context(), id)
}

// copyJob makes a copy of a job, and goes there.
func (s jobPages) copyJob(c echo.Context) error {
	stored, err := s.stored(c)
	if err != nil {
		return err
	}
	made, err := s.Jobs.CreateJob(c.Request().Context(), stored.Draft.Copy(), "", nil)
	if err != nil {
		return err
	}
	return c.Redirect(http.StatusSeeOther, jobPath(made.ID))
}

// jobGoing is a job that is about to be deleted.
type jobGoing struct {
	ID, Name string
	Version  int64
	Shots    int
	Changed  bool
}

// deleteForm asks whether a job is to be deleted.
func (s jobPages) deleteForm(c echo.Context) error { return s.askToDelete(c, http.StatusOK, false) }

func (s jobPages) askToDelete(c echo.Context, status int, changed bool) error {
	stored, err := s.stored(c)
	if err != nil {
		return err
	}
	name := nameOf(stored.Draft)
	return s.render(c, status, "jobdelete", frame{Title: name, Here: "jobs", Page: jobGoing{stored.ID, name, stored.Version, len(stored.Draft.Shots), changed}})
}

// deleteJob deletes a job in the state that was looked at.
func (s jobPages) deleteJob(c echo.Context) error {
	version, err := strconv.ParseInt(c.FormValue("version"), 10, 64)
	if err != nil || !job.IsID(c.Param("job")) {
		return errNoVersion
	}
	err = s.Jobs.DeleteJob(c.Request().Context(), c.Param("job"), job.Expect{Versions: []int64{version}})
	if errors.Is(err, job.ErrStale) {
		return s.askToDelete(c, http.StatusPreconditionFailed, true)
	}
	if err != nil {
		return err
	}
	return c.Redirect(http.StatusSeeOther, "/jobs")
}

var errNoVersion = &pageError{status: http.StatusBadRequest, says: "The form does not say which state of the job it is of: reload the page. Nothing was changed."}

func nameOf(d job.Draft) string {
	if d.Name == nil {
		return ""
	}
	return *d.Name
}

// jobProblem is the status and the sentence of a refusal of the storage of jobs; empty for any other error.
func jobProblem(c echo.Context, err error) (status int, says phrase.Key) {
	switch {
	case errors.Is(err, job.ErrNoJob):
		return http.StatusNotFound, "There is no such job."
	case errors.Is(err, job.ErrNoShot):
		return http.StatusNotFound, "The job has no such shot."
	case errors.Is(err, job.ErrUnavailable):
		httpchain.AskLater(c)
		return http.StatusServiceUnavailable, "The jobs cannot be reached at the moment; try again soon."
	}
	return 0, ""
}

// jobFiles are the style and the script of the pages of jobs.
type jobFiles struct {
	jobStyle     template.CSS
	jobOwnScript []byte
}

const jobScriptPath = "/job.js"

func (s *Server) loadJobs() error {
	style, err := files.ReadFile("static/job.css")
	if err != nil {
		return err
	}
	s.jobStyle = template.CSS(style) //nolint:gosec // our own file
	s.jobOwnScript, err = files.ReadFile("static/job.js")
	return err
}

func (s *Server) jobScript(c echo.Context) error {
	c.Response().Header().Set("Cache-Control", "public, max-age=600")
	return c.Blob(http.StatusOK, "text/javascript; charset=utf-8", s.jobOwnScript)
}
