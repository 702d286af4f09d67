package web

import (
	"fmt"
	"html/template"
	"net/http"

	"github.com/labstack/echo/v4"

	"kitspan/internal/catalog"
	"kitspan/internal/shot"
	"kitspan/internal/text"
	"kitspan/internal/web/draw"
)

// Example is a shot to begin with: whose house, and what is asked.
type Example struct {
	House string
	Draft shot.Draft
}

// exampleView is an example as it is chosen from.
type exampleView struct {
	Name, SVG string
	Shot      *shot.Shot
	Query     template.URL
}

// start is what this is, and where to begin.
func (s planPages) start(c echo.Context) error {
	houses, err := s.Office.Stock.Houses(c.Request().Context())
	if err != nil {
		return err
	}
	list := make([]exampleView, 0, len(s.Examples))
	for i := range s.Examples {
		e := &s.Examples[i]
		resolved, faults := e.Draft.Resolve()
		if len(faults) > 0 {
			return fmt.Errorf("web: the example %q is not sound: %s", e.Draft.Name, text.Fault(text.Metres, faults[0]))
		}
		list = append(list, exampleView{
			Name: e.Draft.Name, Shot: &resolved, SVG: draw.Thumbnail(&resolved),
			Query: template.URL(addressOf(e.House, &e.Draft).Encode()), //nolint:gosec // encoded by net/url
		})
	}
	return s.render(c, http.StatusOK, "start", frame{Title: "Kitspan", Here: "start", Page: struct {
		Houses   []catalog.House
		Examples []exampleView
	}{houses, list}})
}
