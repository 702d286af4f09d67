package web

import (
	"errors"
	"html/template"
	"net/http"
	"slices"
	"strings"

	"github.com/labstack/echo/v4"

	"kitspan/internal/catalog"
	"kitspan/internal/httpchain"
	"kitspan/internal/job"
	"kitspan/internal/office"
	"kitspan/internal/text"
)

// comparePage is the plans of a job at several houses side by side.
type comparePage struct {
	ID, Name string
	Houses   []catalog.House
	Chosen   []string // of the fields, by house
	Sides    []compareSide
	Shots    []compareShot
	// Mixed means that the houses' currencies differ, so that amounts of two are never set against each other.
	Mixed bool
	Later string
}

// compareSide is the plan at one house.
type compareSide struct {
	House   catalog.House
	Query   template.URL
	Plan    *job.Plan // nil where there is none: Says why
	Says    []string
	Bar     priceBar
	HowGood string
	Trouble int
	Without int // shots without an option
}

// compareShot is a shot with what each house sends for it.
type compareShot struct {
	Number, Place string
	Frames        []string
	Differs       bool
}

// mostCompared is how many houses stand side by side.
const mostCompared = 2

// compare sets the plans of a job at two houses side by side.
func (s jobPages) compare(c echo.Context) error {
	stored, err := s.stored(c)
	if err != nil {
		return err
	}
	houses, err := s.Office.Stock.Houses(c.Request().Context())
	if err != nil {
		return err
	}
	r := readerOf(c.Request(), "")
	q := c.Request().URL.Query()
	page, status := comparePage{ID: stored.ID, Name: nameOf(stored.Draft), Houses: houses}, http.StatusOK
	asked := append(strings.Split(q.Get("houses"), ","), q["with"]...)
	var chosen []catalog.House
	for _, slug := range asked {
		if h, ok := houseNamed(houses, slug); ok && !slices.ContainsFunc(chosen, func(o catalog.House) bool { return o.Slug == h.Slug }) && len(chosen) < mostCompared {
			chosen = append(chosen, h)
		}
	}
	for i := 0; len(chosen) < mostCompared && i < len(houses); i++ {
		if !slices.ContainsFunc(chosen, func(o catalog.House) bool { return o.Slug == houses[i].Slug }) {
			chosen = append(chosen, houses[i])
		}
	}
	most := 0.0
	for _, h := range chosen {
		page.Chosen = append(page.Chosen, h.Slug)
		page.Mixed = page.Mixed || h.Currency != chosen[0].Currency
		ask := planQuery(q)
		ask.Del(jobTotal) // an amount of one currency
		ask.Set(houseField, h.Slug)
		a := askIn(ask, houses, &stored, r)
		side := compareSide{House: h, Query: template.URL(a.query())} //nolint:gosec // encoded by net/url
		var long *longError
		side.Plan, err = s.planOf(c.Request().Context(), &stored, a)
		switch {
		case errors.Is(err, office.ErrBusy), errors.Is(err, office.ErrTimeLimit):
			side.Says, status = []string{r.language.Say(later(err))}, http.StatusServiceUnavailable
			httpchain.AskLater(c)
		case errors.As(err, &long):
			side.Says = []string{r.language.Say("With %d shots and %d sizings it takes longer to plan than you should wait.", long.shots, long.sizings)}
		case err != nil:
			return err
		case side.Plan == nil:
			side.Says, status = append(a.OfJob, a.General...), http.StatusUnprocessableEntity
			for _, f := range a.faults() {
				side.Says = append(side.Says, f.Says)
			}
		default:
			most = max(most, valueOf(side.Plan.Total))
			side.HowGood, side.Trouble = text.HowGood(r.text(), side.Plan), len(side.Plan.Broken)+len(side.Plan.Clashes)
			for i := range side.Plan.Shots {
				if side.Plan.Shots[i].Option == nil {
					side.Without++
				}
			}
		}
		page.Sides = append(page.Sides, side)
	}
	for i := range page.Sides {
		side := &page.Sides[i]
		if side.Plan == nil {
			continue
		}
		whole := most
		if page.Mixed { // of two currencies each bar is to its own scale
			whole = valueOf(side.Plan.Total)
		}
		side.Bar = barOf(side.Plan.Hire, side.Plan.Labour, side.Plan.Transport, max(whole, 0.01))
	}
	page.Shots = s.differing(&page, r)
	title := r.language.Say("Houses compared for %s", page.Name)
	return s.render(c, status, "jobcompare", frame{Title: title, Here: "jobs", Page: page, Extra: s.jobStyle})
}

// differing are the shots with what each side has for them.
func (s jobPages) differing(page *comparePage, r reader) (out []compareShot) {
	for _, side := range page.Sides {
		if side.Plan == nil {
			return nil
		}
	}
	if len(page.Sides) == 0 {
		return nil
	}
	for i := range page.Sides[0].Plan.Shots {
		one := compareShot{Number: page.Sides[0].Plan.Shots[i].Number, Place: page.Sides[0].Plan.Shots[i].Place}
		for k := range page.Sides {
			frame := r.language.Say("No kit of this house does it.")
			if o := page.Sides[k].Plan.Shots[i].Option; o != nil {
				if frame = largestFrame(o); frame == "" {
					frame = text.FirstFrame(r.text(), o)
				}
			}
			one.Differs = one.Differs || k > 0 && frame != one.Frames[0]
			one.Frames = append(one.Frames, frame)
		}
		out = append(out, one)
	}
	return out
}
