package web

import (
	"bytes"
	"errors"
	"io"
	"net/http"
	"slices"
	"strconv"

	"github.com/labstack/echo/v4"

	"kitspan/internal/catalog"
	"kitspan/internal/httpchain"
	"kitspan/internal/phrase"
)

// importPage is a catalogue file on its way in: first what it would do, then what it did.
type importPage struct {
	House  catalog.House
	Kinds  []catalog.Kind
	Kind   catalog.Kind
	MostMB int
	// ID names the file that is kept, and Look is what its import would do or did; nil where there is nothing to look at.
	ID   string
	Look *catalog.FileLook
	// Changed is set where somebody else changed the catalogue after the reader's last look.
	Changed bool
	Faults  []catalog.CellFault
	More    int
	GivenUp bool // More is the least
	// Says is what went wrong, and Advice what to do about it.
	Says, Advice string
}

// newImport is the page of a house without a file.
func (s importPages) newImport(c echo.Context) (importPage, error) {
	stock, err := s.Office.Snapshot(c.Request().Context(), c.Param("house"))
	if err != nil {
		return importPage{}, err
	}
	return importPage{House: stock.House, Kinds: catalog.Kinds(), MostMB: catalog.MaxKeptFile >> 20}, nil
}

func (s importPages) showImport(c echo.Context, status int, page importPage) error {
	return s.render(c, status, "import", frame{Title: languageOf(c.Request()).Say("Import"), Here: "catalogue", Page: page})
}

func (s importPages) importForm(c echo.Context) error {
	page, err := s.newImport(c)
	if err != nil {
		return err
	}
	page.Kind = catalog.Kind(c.QueryParam("kind"))
	return s.showImport(c, http.StatusOK, page)
}

// maxImport is a form with the largest file that is kept: what stands around the file takes some hundred bytes.
const maxImport = catalog.MaxKeptFile + maxForm

// filesAtOnce is how many catalogue files are worked on at once. The largest takes some 60 MB of memory and seconds of a processor.
const filesAtOnce = 2

// fewFiles has requests wait for their turn while enough catalogue files are in memory.
func (s importPages) fewFiles(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		if err := s.files.Acquire(c.Request().Context(), 1); err != nil {
			httpchain.AskLater(c)
			return &pageError{status: http.StatusServiceUnavailable, says: "Too many catalogue files are being worked on. Nothing was changed: try again in a minute."}
		}
		defer s.files.Release(1)
		return next(c)
	}
}

// keepFile reads a catalogue file, and keeps one that is sound until the reader has looked at what it would do.
func (s importPages) keepFile(c echo.Context) error {
	page, err := s.newImport(c)
	if err != nil {
		return err
	}
	l := languageOf(c.Request())
	refuse := func(status int, says, advice phrase.Key) error {
		page.Says, page.Advice = l.Say(says, page.MostMB), l.Say(advice)
		return s.showImport(c, status, page)
	}
	err = parseBody(c)
	page.Kind = catalog.Kind(c.Request().PostFormValue("kind"))
	var file []byte
	if err == nil {
		file, err = uploaded(c.Request())
	}
	var long *http.MaxBytesError
	switch {
	case errors.As(err, &long):
		httpchain.Discard(c, mostDiscarded)
		return refuse(http.StatusRequestEntityTooLarge, "The file is larger than %d MB",
			"That is the most that is taken here. Send it in parts, or whole through the JSON API, which takes 64 MB. Nothing was changed.")
	case errors.Is(err, http.ErrMissingFile), err == nil && len(bytes.TrimSpace(file)) == 0:
		return refuse(http.StatusUnprocessableEntity, "Choose a file with something in it", "")
	case err != nil:
		return unreadable(err)
	case !slices.Contains(page.Kinds, page.Kind):
		page.Kind = ""
		return refuse(http.StatusUnprocessableEntity, "Choose what kind of items the file holds", "")
	}
	err = catalog.ReadCSV(bytes.NewReader(file), page.Kind, catalog.OneHouse(page.House), func(string, catalog.Item) error { return nil })
	if page.blame(err, languageOf(c.Request())) {
		return s.showImport(c, http.StatusUnprocessableEntity, page)
	}
	if err != nil {
		return err
	}
	ctx := c.Request().Context()
	id, err := s.Storage.KeepFile(ctx, page.House.Slug, s.holder(ctx), page.Kind, file)
	if errors.Is(err, catalog.ErrManyFiles) {
		return refuse(http.StatusServiceUnavailable, "Too many files of this house wait to be imported",
			"Import them, or try again within an hour. Nothing was changed.")
	}
	if err != nil {
		return err
	}
	return c.Redirect(http.StatusSeeOther, "/import/"+page.House.Slug+"/"+id)
}

// mostDiscarded is how much of a file that is too large is read to its end and thrown away.
const mostDiscarded = 64 << 20

// uploaded is the file of a form that was read; one over the limit is an [*http.MaxBytesError].
func uploaded(r *http.Request) ([]byte, error) {
	file, head, err := r.FormFile("file")
	if err != nil {
		return nil, err
	}
	defer func() { _ = file.Close() }()
	if head.Size > catalog.MaxKeptFile {
		return nil, &http.MaxBytesError{Limit: catalog.MaxKeptFile}
	}
	return io.ReadAll(file)
}

// lookAtFile shows what the import of a kept file would do, or did.
func (s importPages) lookAtFile(c echo.Context) error {
	page, err := s.newImport(c)
	if err != nil {
		return err
	}
	return s.look(c, http.StatusOK, page)
}

func (s importPages) look(c echo.Context, status int, page importPage) error {
	ctx := c.Request().Context()
	look, err := s.Storage.LookAtFile(ctx, page.House.Slug, s.holder(ctx), c.Param("file"))
	page.Kind = look.Kind
	switch {
	case errors.Is(err, catalog.ErrNoFile):
		l := languageOf(c.Request())
		page.Says, page.Advice = l.Say("This file is kept no longer"), l.Say("That lasts an hour at most, and ends with the sign-in. Choose it again. Nothing was changed.")
		return s.showImport(c, http.StatusNotFound, page)
	case page.blame(err, languageOf(c.Request())):
		return s.showImport(c, http.StatusUnprocessableEntity, page)
	case err != nil:
		return err
	}
	page.ID, page.Look = c.Param("file"), &look
	return s.showImport(c, status, page)
}

// importFile imports a kept file if the catalogue is still as the reader saw it, and else shows anew what it would do.
func (s importPages) importFile(c echo.Context) error {
	page, err := s.newImport(c)
	if err != nil {
		return err
	}
	version, err := strconv.ParseInt(c.FormValue("version"), 10, 64)
	if err != nil {
		return &pageError{status: http.StatusBadRequest, says: "The form does not say which state of the catalogue was looked at: look at the file again. Nothing was changed."}
	}
	ctx := c.Request().Context()
	_, err = s.Storage.ImportFile(ctx, page.House.Slug, s.holder(ctx), c.Param("file"), version)
	var bad *catalog.CSVError
	switch {
	case err == nil: // the look now says what was done
		return c.Redirect(http.StatusSeeOther, "/import/"+page.House.Slug+"/"+c.Param("file"))
	case errors.Is(err, catalog.ErrCatalogueChanged):
		page.Changed = true
		return s.look(c, http.StatusConflict, page)
	case errors.Is(err, catalog.ErrNoFile), errors.As(err, &bad):
		return s.look(c, http.StatusUnprocessableEntity, page)
	}
	return err
}

// blame lists what is wrong with a file; false where that is not what went wrong.
func (p *importPage) blame(err error, l *phrase.Language) bool {
	var bad *catalog.CSVError
	if !errors.As(err, &bad) {
		return false
	}
	p.Faults, p.More, p.GivenUp = bad.Faults, bad.More, bad.GivenUp
	p.Says = l.Say("Nothing was changed: the file has faults")
	return true
}
