package web

import (
	"bytes"
	"errors"
	"io"
	"net/http"
	"strconv"

	"github.com/labstack/echo/v4"

	"kitspan/internal/job"
	"kitspan/internal/phrase"
	"kitspan/internal/shotlist"
	"kitspan/internal/text"
)

// The import of a list of shots: looked at first, then taken whole or not at all. What was looked at goes on in the page itself, so that
// nothing is kept of a file that nobody takes.

const (
	jobImportPath = "/jobs/:job/import"
	// maxShotFile is the largest file of shots, and maxShotForm a form with it, once as it came and once as a table in the page, where a byte
	// may take three.
	maxShotFile = 2 << 20
	maxShotForm = 3*maxShotFile + maxForm
)

// jobImportPage is a list of shots on its way in.
type jobImportPage struct {
	ID, Name string
	Version  int64
	MostMB   int
	Export   string
	// Table is the list as CSV, and Changes are what taking it would do; empty where there is nothing to take.
	Table   string
	Changes *shotlist.Changes
	Lost    bool
	Faults  []lineFault
	More    int
	Says    string
}

// lineFault is what is wrong with a cell of a file.
type lineFault struct {
	Line         int
	Column, Says string
}

// mostLineFaults is how many faults of a file are listed.
const mostLineFaults = 100

// exportOf is the address of a job's shots as a table in the reader's notation.
func exportOf(id string, r reader) string {
	path := "/v1/jobs/" + id + "/shots.csv"
	if r.notation.decimal == "," {
		path += "?decimal=comma"
	}
	return path
}

func (s jobPages) importForm(c echo.Context) error {
	stored, err := s.stored(c)
	if err != nil {
		return err
	}
	return s.showImportOf(c, http.StatusOK, &stored, jobImportPage{})
}

func (s jobPages) showImportOf(c echo.Context, status int, stored *job.Stored, page jobImportPage) error {
	r := readerOf(c.Request(), "")
	page.ID, page.Name, page.Version, page.MostMB, page.Export = stored.ID, nameOf(stored.Draft), stored.Version, maxShotFile>>20, exportOf(stored.ID, r)
	return s.render(c, status, "jobimport", frame{Title: r.language.Say("Import shots into %s", page.Name), Here: "jobs", Page: page, Extra: s.jobStyle})
}

// importShots looks at a file that was sent, or takes one that was looked at.
func (s jobPages) importShots(c echo.Context) error {
	stored, err := s.stored(c)
	if err != nil {
		return err
	}
	l := languageOf(c.Request())
	refuse := func(status int, says phrase.Key, args ...any) error {
		return s.showImportOf(c, status, &stored, jobImportPage{Says: l.Say(says, args...)})
	}
	if err := parseBody(c); err != nil {
		if long := (*http.MaxBytesError)(nil); errors.As(err, &long) {
			return refuse(http.StatusRequestEntityTooLarge, "The file is larger than %d MB", maxShotFile>>20)
		}
		return unreadable(err)
	}
	if table := c.Request().PostFormValue("table"); table != "" {
		return s.takeShots(c, &stored, table)
	}
	file, head, err := c.Request().FormFile("file")
	if err != nil {
		return refuse(http.StatusUnprocessableEntity, "Choose a file with something in it")
	}
	defer func() { _ = file.Close() }()
	if head.Size > maxShotFile {
		return refuse(http.StatusRequestEntityTooLarge, "The file is larger than %d MB", maxShotFile>>20)
	}
	body, err := io.ReadAll(file)
	if err != nil {
		return err
	}
	if len(bytes.TrimSpace(body)) == 0 {
		return refuse(http.StatusUnprocessableEntity, "Choose a file with something in it")
	}
	return s.lookAtShots(c, &stored, body, false)
}

// readShotList reads a file of either kind: an XLSX file is a ZIP archive, which begins with these letters.
func readShotList(body []byte) *shotlist.Table {
	if bytes.HasPrefix(body, []byte("PK")) {
		return shotlist.ReadXLSX(body)
	}
	return shotlist.Read(body)
}

// lookAtShots says what taking a list would do, or what is wrong with it.
func (s jobPages) lookAtShots(c echo.Context, stored *job.Stored, body []byte, lost bool) error {
	to, page := readerOf(c.Request(), "").text(), jobImportPage{Lost: lost}
	table := readShotList(body)
	_, wrong, err := stored.Look(job.SetShots(job.Expect{Any: true}, table.Shots))
	if err != nil {
		return err
	}
	if faults := table.Faults(wrong); len(faults) > 0 {
		for _, f := range faults[:min(len(faults), mostLineFaults)] {
			says := text.FaultBeside(to, f)
			if f.Column == "" {
				says = text.Fault(to, f)
			}
			page.Faults = append(page.Faults, lineFault{f.Line, f.Column, says})
		}
		page.More = len(faults) - len(page.Faults)
		page.Says = to.Language().Say("Nothing was changed: the file has faults")
		return s.showImportOf(c, http.StatusUnprocessableEntity, stored, page)
	}
	var out bytes.Buffer
	if err := shotlist.Write(&out, table.Shots, false); err != nil {
		return err
	}
	changes := shotlist.Compare(stored.Draft.Shots, table.Shots)
	page.Table, page.Changes = out.String(), &changes
	status := http.StatusOK
	if lost {
		status = http.StatusPreconditionFailed
	}
	return s.showImportOf(c, status, stored, page)
}

// takeShots puts a list that was looked at in the place of the job's shots, if the job is still as it was then.
func (s jobPages) takeShots(c echo.Context, stored *job.Stored, table string) error {
	version, err := strconv.ParseInt(c.FormValue("version"), 10, 64)
	if err != nil {
		return errNoVersion
	}
	read := shotlist.Read([]byte(table))
	if stored.Version != version || len(read.Faults(nil)) > 0 {
		return s.lookAtShots(c, stored, []byte(table), stored.Version != version)
	}
	_, err = s.Jobs.ChangeJob(c.Request().Context(), stored.ID, job.SetShots(job.Expect{Versions: []int64{version}}, read.Shots))
	var unsound *job.UnsoundError
	switch {
	case err == nil:
		return c.Redirect(http.StatusSeeOther, jobPath(stored.ID)+"?saved=1")
	case errors.Is(err, job.ErrStale), errors.As(err, &unsound):
		now, again := s.stored(c)
		if again != nil {
			return again
		}
		return s.lookAtShots(c, &now, []byte(table), errors.Is(err, job.ErrStale))
	}
	return err
}
