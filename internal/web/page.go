package web

import (
	"bytes"
	"context"
	"crypto/sha256"
	"embed"
	"encoding/base64"
	"errors"
	"fmt"
	"html/template"
	"io/fs"
	"log/slog"
	"net/http"
	"path"
	"strings"

	"github.com/labstack/echo/v4"
	"github.com/yuin/goldmark"

	"kitspan/internal/catalog"
	"kitspan/internal/httpchain"
	"kitspan/internal/office"
	"kitspan/internal/phrase"
)

//go:embed templates/*.html static/theme.css static/style.css static/live.js static/set.css static/job.css static/job.js static/set.js static/worker.js
var files embed.FS

// load reads templates, style, script and cautions once.
func (s *Server) load() error {
	style, err := files.ReadFile("static/style.css")
	if err != nil {
		return err
	}
	if s.script, err = files.ReadFile("static/live.js"); err != nil {
		return err
	}
	theme, err := files.ReadFile("static/theme.css")
	if err != nil {
		return err
	}
	s.style = template.CSS(append(theme, style...)) //nolint:gosec // our own files
	if err := s.loadSet(); err != nil {
		return err
	}
	if err := s.loadJobs(); err != nil {
		return err
	}
	s.policy = policyOf(s.style)
	var out bytes.Buffer
	if err := goldmark.Convert(s.Cautions, &out); err != nil {
		return fmt.Errorf("web: cautions: %w", err)
	}
	s.cautions = template.HTML(out.String()) //nolint:gosec // our own document
	base, err := template.New("layout.html").Funcs(stubs()).ParseFS(files, "templates/layout.html", "templates/parts.html", "templates/reasons.html", "templates/jobparts.html")
	if err != nil {
		return fmt.Errorf("web: %w", err)
	}
	names, err := fs.Glob(files, "templates/*.html")
	if err != nil {
		return err
	}
	s.pages = map[string]*template.Template{}
	for _, name := range names {
		short := strings.TrimSuffix(path.Base(name), ".html")
		if short == "layout" || short == "parts" || short == "reasons" || short == "jobparts" {
			continue
		}
		page, err := template.Must(base.Clone()).ParseFS(files, name)
		if err != nil {
			return fmt.Errorf("web: %w", err)
		}
		s.pages[short] = page
	}
	return nil
}

// policyOf is the content security policy of a page with a style.
func policyOf(style template.CSS) string {
	sum := sha256.Sum256([]byte(style))
	return "default-src 'none'; style-src 'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'; script-src 'self'; worker-src 'self'; connect-src 'self'; " +
		"img-src 'self' data:; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
}

// frame is what every page is put into.
type frame struct {
	Title  string
	Here   string // the part of the site, for the menu
	Style  template.CSS
	Signed bool
	Lang   string
	Spoken []languageLink
	Query  template.URL // the shot, for links between its pages
	Page   any
	// Extra is style, and Script the address of a script, of this page alone.
	Extra  template.CSS
	Script string
	// Margin is what stands at the foot of each page when it is printed; empty for nothing.
	Margin string
	// RefreshS is after how many seconds a browser asks for the page again; 0 for never.
	RefreshS int
}

// render writes a page whole, or an error and nothing of it.
func (s *Server) render(c echo.Context, status int, name string, f frame) error {
	return s.renderPart(c, status, name, "layout.html", f)
}

func (s *Server) renderPart(c echo.Context, status int, name, part string, f frame) error {
	f.Style = s.style + f.Extra
	if f.Margin != "" {
		f.Style += marginStyle(f.Margin)
	}
	reader := readerOf(c.Request(), "")
	f.Lang, f.Spoken = reader.language.Tag(), languageLinks(c.Request())
	f.Signed = signed(c)
	page, err := s.pages[name].Clone()
	if err != nil {
		return err
	}
	var out bytes.Buffer
	if err := page.Funcs(reader.funcs()).ExecuteTemplate(&out, part, f); err != nil {
		return fmt.Errorf("web: page %s: %w", name, err)
	}
	if f.Style != s.style { // not before the page is whole: the error's page has the style of all
		c.Response().Header().Set("Content-Security-Policy", policyOf(f.Style))
	}
	c.Response().Header().Set("Content-Language", f.Lang)
	return c.Blob(status, "text/html; charset=utf-8", out.Bytes())
}

// guard sets what every answer carries.
func (s *Server) guard(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		h := c.Response().Header()
		h.Set("Content-Security-Policy", s.policy)
		h.Add("Vary", "Accept-Language, Cookie") // beside what compressing has said already
		keepLanguage(c)
		return next(c)
	}
}

// maxForm is the largest form: an item with a hundred rates takes some thousand bytes, a shot no more.
const maxForm = 64 << 10

// sameOrigin refuses forms that another site has sent here in a reader's name.
func sameOrigin() echo.MiddlewareFunc {
	protection := http.NewCrossOriginProtection()
	return func(next echo.HandlerFunc) echo.HandlerFunc {
		return func(c echo.Context) error {
			if protection.Check(c.Request()) != nil {
				return &pageError{status: http.StatusForbidden, says: "This form was sent from another site, and nothing was changed. Open the page here and send it again."}
			}
			return next(c)
		}
	}
}

// readBody reads a form before its handler looks at it.
func readBody(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		if err := parseBody(c); err != nil {
			return unreadable(err)
		}
		return next(c)
	}
}

// parseBody reads a form whole into memory: one that is longer than it may be is an [*http.MaxBytesError]. What echo and net/http read by
// themselves takes a form that is cut off for an empty one.
func parseBody(c echo.Context) error {
	r := c.Request()
	err := r.ParseForm()
	if err == nil {
		err = r.ParseMultipartForm(maxImport) // of which the chain lets in less where the form has no file
	}
	if errors.Is(err, http.ErrNotMultipart) {
		return nil
	}
	return err
}

// unreadable is what a page says of a form that cannot be read.
func unreadable(err error) error {
	var long *http.MaxBytesError
	if errors.As(err, &long) {
		return &pageError{http.StatusRequestEntityTooLarge, "The form is larger than %d kB, and nothing was changed. Go back and send less.", []any{long.Limit >> 10}}
	}
	return &pageError{status: http.StatusBadRequest, says: "The form cannot be read, and nothing was changed. Go back and send it again."}
}

// pageError is a refusal that a page says in words.
type pageError struct {
	status int
	says   phrase.Key
	args   []any
}

func (e *pageError) in(l *phrase.Language) string { return l.Say(e.says, e.args...) }

// Error says it in English, for the log.
func (e *pageError) Error() string { return e.in(phrase.English) }

// errorPage says what went wrong and, where the same address may do later, links to it. The shot, where there is one, goes
// on in the links above.
type errorPage struct{ Says, Again string }

// later says why a sound shot was not worked out, and what to do.
func later(err error) phrase.Key {
	switch {
	case errors.Is(err, office.ErrBusy):
		return "Too many shots are being worked out at the moment, so yours was not begun. What you typed is kept: try again in a few seconds."
	case errors.Is(err, office.ErrTimeLimit), errors.Is(err, httpchain.ErrTimeLimit):
		return "Working it out took longer than it may, and was given up. What you typed is kept: choose a shorter window, or fewer lamps, " +
			"other people or frames, or try again when less is going on."
	default:
		return "The server is stopping. What you typed is kept: try again in a few seconds."
	}
}

// writeError is the one place where an error becomes a page.
func (s *Server) writeError(err error, c echo.Context) {
	if c.Response().Committed {
		return
	}
	l := languageOf(c.Request())
	status, says := http.StatusInternalServerError, l.Say("Something went wrong on our side. It was written down; try again, and tell the house's staff if it stays.")
	var known *pageError
	var web *echo.HTTPError
	switch {
	case errors.As(err, &known):
		status, says = known.status, known.in(l)
	case errors.Is(err, catalog.ErrNoHouse):
		status, says = http.StatusNotFound, l.Say("There is no such rental house.")
	case errors.Is(err, catalog.ErrNoItem):
		status, says = http.StatusNotFound, l.Say("The house has no such item.")
	case errors.Is(err, catalog.ErrUnavailable):
		status, says = http.StatusServiceUnavailable, l.Say("The catalogue cannot be reached at the moment; try again soon.")
		httpchain.AskLater(c)
		s.failed(c, err)
	case errors.Is(err, office.ErrBusy), errors.Is(err, office.ErrTimeLimit), errors.Is(err, httpchain.ErrTimeLimit), errors.Is(err, context.Canceled):
		status, says = http.StatusServiceUnavailable, l.Say(later(err))
		httpchain.AskLater(c)
	case errors.As(err, &web) && web.Code == http.StatusNotFound:
		status, says = http.StatusNotFound, l.Say("There is no page at this address.")
	case errors.As(err, &web) && web.Code == http.StatusMethodNotAllowed:
		status, says = http.StatusMethodNotAllowed, l.Say("This address does not take that.")
	default:
		if known, _ := jobProblem(c, err); known == 0 || known == http.StatusServiceUnavailable {
			s.failed(c, err)
		}
	}
	if known, sentence := jobProblem(c, err); known != 0 {
		status, says = known, l.Say(sentence)
	}
	if s.failedPart(c, status, says) {
		return
	}
	page := errorPage{Says: says}
	if status == http.StatusServiceUnavailable && c.Request().Method == http.MethodGet {
		page.Again = ours(c.Request().URL.RequestURI())
	}
	f := frame{Title: l.Say("Not this time"), Page: page}
	f.Query = template.URL((&shotForm{typed: c.Request().URL.Query()}).query()) //nolint:gosec // encoded by net/url
	if again := s.render(c, status, "error", f); again != nil {
		s.failed(c, again)
	}
}

// failed writes down what went wrong on our side.
func (s *Server) failed(c echo.Context, err error) {
	s.Log.Error("page failed", slog.String("request_id", httpchain.RequestID(c)), slog.String("route", c.Path()), slog.Any("error", err))
}

func (s *Server) liveScript(c echo.Context) error {
	c.Response().Header().Set("Cache-Control", "public, max-age=600")
	return c.Blob(http.StatusOK, "text/javascript; charset=utf-8", s.script)
}

func (s *Server) cautionsPage(c echo.Context) error {
	return s.render(c, http.StatusOK, "cautions", frame{Title: languageOf(c.Request()).Say("Cautions"), Here: "cautions", Page: s.cautions})
}
