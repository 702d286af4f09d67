package web

import (
	"encoding/json"
	"errors"
	"net/http"

	"github.com/labstack/echo/v4"
)

// partPath is the address of the part of a plan's page that a script draws anew while the reader types. It is an address of its own, so
// that nothing that keeps pages can give the part for the page.
const partPath = "/plan/part"

// partView is what the script has to know beside the part itself, as JSON in attributes: template escapes it.
type partView struct {
	// Errors are the faults of fields that are not just blank, by field; Fill is what fields hold now that a quick entry has filled in;
	// Shown is what blank fields take.
	Errors, Fill, Shown string
	// Bad is set where there is no answer for a reason that the part says.
	Bad bool
}

func partOf(t *taken, answer *answerView) partView {
	errs := map[string]string{}
	for name, says := range t.form.Errors {
		errs[name] = says
	}
	for _, name := range t.form.Needed { // said in one line, not one by one to whoever has not come there yet
		delete(errs, name)
	}
	shown := map[string]string{}
	if answer != nil {
		for _, g := range groups {
			for _, def := range g.Fields {
				if p := placeholderOf(def, answer.Shot, t.reader); p != "" {
					shown[def.Name] = p
				}
			}
		}
	}
	return partView{Errors: asJSON(errs), Fill: asJSON(t.form.filled), Shown: asJSON(shown), Bad: answer == nil}
}

// asJSON is a table of texts as JSON, which cannot fail.
func asJSON(table map[string]string) string {
	b, err := json.Marshal(table)
	if err != nil {
		panic(err) // texts alone
	}
	return string(b)
}

// part is the part of a plan's page that is drawn anew. A browser that is led to it gets the whole page.
func (s planPages) part(c echo.Context) error {
	c.Response().Header().Set("Cache-Control", "no-store")
	switch c.Request().Header.Get("Sec-Fetch-Dest") { // Fetch Metadata Request Headers, W3C; who sends none is no browser of today
	case "", "empty":
	default:
		t, err := s.take(c)
		if err != nil {
			return err
		}
		return c.Redirect(http.StatusSeeOther, "/plan?"+t.form.query())
	}
	_, f, status, err := s.planned(c)
	if err != nil {
		return err
	}
	return s.renderPart(c, status, "plan", "part", f)
}

// failedPart says in place of a part why there is none; false where the request is not for one, or where that fails too.
func (s *Server) failedPart(c echo.Context, status int, says string) bool {
	if c.Path() != partPath {
		return false
	}
	c.Response().Header().Set("Cache-Control", "no-store")
	f := frame{Page: planPage{Later: says, Part: partView{Errors: "{}", Fill: "{}", Shown: "{}", Bad: true}}}
	if err := s.renderPart(c, status, "plan", "part", f); err != nil {
		s.failed(c, errors.Join(err))
		return false
	}
	return true
}
