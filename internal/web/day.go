package web

import (
	"html/template"
	"net/http"
	"slices"

	"github.com/labstack/echo/v4"

	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
	"kitspan/internal/text"
	"kitspan/internal/web/draw"
)

// dayStepMin is the step of the day's page: fine enough to choose an hour by, and quick.
const dayStepMin = 30

// day is what overhead the shot takes from hour to hour.
func (s planPages) day(c echo.Context) error {
	t, err := s.take(c)
	if err != nil {
		return err
	}
	if !t.sound {
		return c.Redirect(http.StatusSeeOther, "/plan?"+t.form.query())
	}
	step := dayStepMin
	steps, faults := shot.DraftSteps{StepMin: &step}.Resolve(t.job.Shot)
	if len(faults) > 0 {
		return &pageError{http.StatusUnprocessableEntity, "There is no day to look at: %s.", []any{text.Fault(t.reader.text(), faults[0])}}
	}
	res, err := s.Office.Sweep(c.Request().Context(), t.job, steps)
	if err != nil {
		return err
	}
	type row struct {
		sizing.SweepRow
		Name  string
		Query template.URL
	}
	var rows []row
	for i, r := range res.Rows {
		one := row{SweepRow: r}
		if r.Overhead != nil {
			one.Name = t.job.Stock.Item(r.Overhead.SKU).Name
		}
		end := res.Steps.End
		if i+1 < len(res.Rows) {
			end = res.Rows[i+1].Sun.At.Format("15:04")
		}
		one.Query = template.URL(t.form.query("from", r.Sun.At.Format("15:04"), "to", end)) //nolint:gosec // encoded by net/url
		rows = append(rows, one)
	}
	return s.render(c, http.StatusOK, "day", frame{
		Title: languageOf(c.Request()).Say("The day"), Here: "day", Query: template.URL(t.form.query()), //nolint:gosec // encoded by net/url
		Page: struct {
			Shot         *shot.Shot
			Drawing      string
			Scheme, Best string
			Rows         []row
			Cautions     []finding.Caution
		}{&t.job.Shot, draw.Day(&res, t.reader.units()), text.Scheme(t.reader.text(), res.Spans), text.Best(t.reader.text(), res.Best), rows, res.Cautions},
	})
}

// mostReaches is how many frames the page looks at at once.
const mostReaches = 6

// reach is how wide a zone and a picture some frames cover there.
func (s planPages) reach(c echo.Context) error {
	t, err := s.take(c)
	if err != nil {
		return err
	}
	if !t.sound {
		return c.Redirect(http.StatusSeeOther, "/plan?"+t.form.query())
	}
	type frameView struct {
		*catalog.Item
		Chosen bool
	}
	asked := c.Request().URL.Query()["frame"]
	if len(asked) > mostReaches {
		return &pageError{http.StatusUnprocessableEntity, "Choose up to %d frames at a time.", []any{mostReaches}}
	}
	var frames []frameView
	items := t.job.Stock.Items()
	for i := range items {
		if items[i].Kind() == catalog.KindFrame {
			frames = append(frames, frameView{&items[i], slices.Contains(asked, items[i].SKU)})
		}
	}
	slices.SortStableFunc(frames, func(a, b frameView) int {
		area := func(f frameView) float64 { s := f.Spec.(*catalog.Frame); return s.OpeningWidthM * s.OpeningHeightM }
		switch d := area(a) - area(b); {
		case d < 0:
			return -1
		case d > 0:
			return 1
		}
		return 0
	})
	type reachView struct {
		sizing.FrameReach
		Name string
	}
	var reaches []reachView
	if len(asked) > 0 {
		if faults := shot.FrameFaults(asked, t.job.Stock); len(faults) > 0 {
			return &pageError{http.StatusUnprocessableEntity, "fault|%s.", []any{text.Fault(t.reader.text(), faults[0])}}
		}
		res, err := s.Office.Reach(c.Request().Context(), t.job, asked)
		if err != nil {
			return err
		}
		for _, r := range res.Frames {
			reaches = append(reaches, reachView{r, t.job.Stock.Item(r.SKU).Name})
		}
	}
	return s.render(c, http.StatusOK, "reach", frame{
		Title: languageOf(c.Request()).Say("What frames reach"), Here: "reach", Query: template.URL(t.form.query()), //nolint:gosec // encoded by net/url
		Page: struct {
			Shot    *shot.Shot
			Hidden  []pair
			Frames  []frameView
			Reaches []reachView
			Most    int
		}{&t.job.Shot, t.form.pairs(), frames, reaches, mostReaches},
	})
}

// pair is a hidden field.
type pair struct{ Name, Value string }

// pairs are the shot as hidden fields.
func (f *shotForm) pairs() []pair {
	var out []pair
	for name, v := range f.typed {
		if known(name) && len(v) > 0 && v[0] != "" {
			out = append(out, pair{name, v[0]})
		}
	}
	slices.SortFunc(out, func(a, b pair) int {
		if a.Name < b.Name {
			return -1
		}
		return 1
	})
	return out
}
