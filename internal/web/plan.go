package web

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"html/template"
	"net/http"
	"slices"
	"strings"

	"kitspan/internal/scene"

	"github.com/labstack/echo/v4"

	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/httpchain"
	"kitspan/internal/office"
	"kitspan/internal/price"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
	"kitspan/internal/text"
	"kitspan/internal/web/draw"
)

// optionField names the option that is drawn.
const optionField = "option"

// planPage is a shot beside its drawings.
type planPage struct {
	Form   formView
	Answer *answerView // nil where something is wrong with the form
	// Later says why a sound shot has no answer now.
	Later string
	// Faults are all that is wrong, for the summary and for the script.
	Faults []faultView
	Errors template.JS
}

type faultView struct{ Field, Label, Says string }

// formView is the form as it is shown.
type formView struct {
	Name, Units string
	// Numbers is the language whose numbers the fields hold.
	Numbers    string
	Houses     []catalog.House
	House      string
	Groups     []groupView
	Zones      []string
	Places     []place
	General    []string
	HouseError string
}

type groupView struct {
	Label  string
	Folded bool
	Fields []fieldView
}

type fieldView struct {
	*fieldDef
	Value, Placeholder, Error, Unit string
	Checked                         bool
}

// view shows the form; where the shot is sound, blanks show what is taken for them.
func (s planPages) view(f *shotForm, houses []catalog.House, shot *shot.Shot, r reader, places []place) formView {
	out := formView{
		Name: f.typed.Get(nameField), Units: f.Units, Numbers: r.notation.language, Houses: houses, House: f.House, Zones: zoneNames(), Places: places,
		General: f.General, HouseError: f.Errors[houseField],
	}
	for _, g := range groups {
		view := groupView{Label: g.Label, Folded: g.Folded}
		for _, def := range g.Fields {
			v := fieldView{fieldDef: def, Value: f.valueFor(def, r.notation), Error: f.Errors[def.Name], Unit: def.Unit}
			if def.Kind == asLength {
				v.Unit = "m"
				if f.feet() {
					v.Unit = "ft"
				}
			}
			v.Checked = def.Kind == asCheck && v.Value != ""
			if shot != nil && def.shown != nil && v.Value == "" {
				if v.Placeholder = r.short(def.shown(shot)); def.Kind == asLength {
					v.Placeholder = r.length(def.shown(shot))
				}
			}
			view.Folded = view.Folded && v.Value == "" && v.Error == ""
			view.Fields = append(view.Fields, v)
		}
		out.Groups = append(out.Groups, view)
	}
	return out
}

// taken is a form read and, where it is sound, ready to be worked on.
type taken struct {
	form   *shotForm
	job    office.Job
	houses []catalog.House
	reader reader
	sound  bool
}

// take reads the form of a request.
func (s planPages) take(c echo.Context) (*taken, error) {
	ctx, q := c.Request().Context(), c.Request().URL.Query()
	houses, err := s.Office.Stock.Houses(ctx)
	if err != nil {
		return nil, err
	}
	house := strings.TrimSpace(q.Get(houseField))
	code := "EUR"
	if i := slices.IndexFunc(houses, func(h catalog.House) bool { return h.Slug == house }); i >= 0 {
		code = houses[i].Currency
	}
	r := readerOf(c.Request(), q.Get(unitsField))
	f := readForm(q, code, r.notation)
	t := &taken{form: f, houses: houses, reader: r}
	job, faults, err := s.Office.Take(ctx, &house, f.Draft)
	if err != nil {
		return nil, err
	}
	f.blame(faults)
	t.job, t.sound = job, len(faults) == 0 && len(f.Errors) == 0
	return t, nil
}

// plan is the form beside the drawings. Of an empty address the demo's first shot is made.
func (s planPages) plan(c echo.Context) error {
	if len(c.Request().URL.Query()) == 0 {
		return c.Redirect(http.StatusSeeOther, "/plan?"+starterQuery())
	}
	t, err := s.take(c)
	if err != nil {
		return err
	}
	page := planPage{}
	var shot *shot.Shot
	if t.sound {
		page.Answer, err = s.answer(c.Request().Context(), t, false)
		switch {
		case errors.Is(err, office.ErrBusy), errors.Is(err, office.ErrTimeLimit):
			page.Later = later(err)
		case err != nil:
			return err
		}
		shot = &t.job.Shot
	}
	page.Form = s.view(t.form, t.houses, shot, t.reader, placesOf(c.Request()))
	page.Faults = t.form.faults()
	errs, err := json.Marshal(t.form.Errors)
	if err != nil {
		return err
	}
	page.Errors = template.JS(errs)                                                                 //nolint:gosec // JSON, inside an attribute
	f := frame{Title: "Plan a shot", Here: "plan", Query: template.URL(t.form.query()), Page: page} //nolint:gosec // encoded by net/url
	if name := t.form.Draft.Name; name != "" {
		f.Title = name
	}
	status := http.StatusOK
	if page.Later != "" {
		status = http.StatusServiceUnavailable
		httpchain.AskLater(c)
	}
	if c.Request().Header.Get("X-Part") == "results" {
		return s.renderPart(c, status, "plan", "results", f)
	}
	if !t.sound {
		status = http.StatusUnprocessableEntity
	}
	return s.render(c, status, "plan", f)
}

// faults are the form's faults in its order.
func (f *shotForm) faults() []faultView {
	var out []faultView
	if says := f.Errors[houseField]; says != "" {
		out = append(out, faultView{houseField, "Rental house", says})
	}
	for _, g := range groups {
		for _, def := range g.Fields {
			if says := f.Errors[def.Name]; says != "" {
				out = append(out, faultView{def.Name, def.Label, says})
			}
		}
	}
	for _, says := range f.General {
		out = append(out, faultView{"", "", says})
	}
	return out
}

// answerView is an answer as the page shows it.
type answerView struct {
	Options  []optionView
	Chosen   *optionView
	RuledOut []finding.RuledOut
	// Nearest is the frame that only just does not do.
	WidestM  float64
	Softens  bool
	Cautions []finding.Caution
	Drawings []drawing
	Query    template.URL
	Shot     *shot.Shot
	GustMS   float64
	DarkBy   float64
	Exposure scene.BackgroundLevel
	Sheet    *sheetView // nil on the page
}

// drawing is one picture and what it is called.
type drawing struct{ Name, Label, SVG string }

// optionView is one option with what the table says of it.
type optionView struct {
	*sizing.Option
	Title     string
	State     string
	Trade     string  // why it is there
	Largest   float64 // m², opening and tubes
	LowerAtMS float64
	Given     []string // what is given up
	Query     template.URL
	Chosen    bool
	Legend    []draw.Mark
	Names     map[string]string
	Tied      []string // what lies on which bases, and where ropes go
	// Staked and Holds are tables of the sheet alone.
	Staked []stakedRow
	Holds  []holdRow
	// Until is when the pieces are moved for the first time, Moves what stands after each time; empty for what stands all through.
	Until string
	Moves []moveView
	// Forecast says of what time the forecast speaks, and Stands when the pieces may stand by it; empty without one.
	Forecast string
	Stands   []string
}

// moveView is what stands after a move.
type moveView struct {
	From, Says string
	Drawings   []drawing
	Legend     []draw.Mark
	Tied       []string
	Staked     []stakedRow // for the sheet alone
	Notes      []finding.Note
}

// movesOf are the parts of an option's window after the first, each with drawings of its own.
func movesOf(res *sizing.Result, o *sizing.Option, names map[string]string, r reader, u draw.Units) (list []moveView) {
	for k := range o.Moves {
		part := o.Part(k + 1)
		from := ", from " + part.Window.Start
		v := moveView{From: part.Window.Start, Says: text.MoveSays(&o.Moves[k]), Notes: part.Notes}
		v.Drawings = []drawing{
			{"plan", "From above" + from, draw.Plan(res, &part, u)},
			{"along", "From the side" + from, draw.Along(res, &part, u)},
			{"across", "From behind the lens" + from, draw.Across(res, &part, u)},
		}
		v.Legend = draw.Legend(&part, func(sku string) string { return names[sku] }, u)
		if u.Sheet {
			v.Staked = stakedOf(res, &part, v.Legend, names, r)
		} else {
			v.Tied = tiedOf(&part, names, &res.Shot, r)
		}
		list = append(list, v)
	}
	return list
}

// answer sizes a sound form, for the page or, where sheet is set, for the printed sheet.
func (s planPages) answer(ctx context.Context, t *taken, sheet bool) (*answerView, error) {
	res, err := s.Office.Plan(ctx, t.job)
	if err != nil {
		return nil, err
	}
	return t.shown(&res, sheet), nil
}

// shown is an answer to a sound form, drawn for the page or, where sheet is set, for paper and small screens.
func (t *taken) shown(res *sizing.Result, sheet bool) *answerView {
	u := t.reader.units()
	u.Sheet = sheet
	out := &answerView{
		RuledOut: res.RuledOut, WidestM: res.WidestZoneM, Cautions: res.Cautions, Shot: &res.Shot, GustMS: res.Shot.GustMS, Exposure: res.Background,
		Softens: res.Shot.Look.Soften != shot.SoftenOff && slices.ContainsFunc(res.Sources, func(x scene.SourceTrack) bool { return x.Softened }),
		Query:   template.URL(t.form.query()), //nolint:gosec // encoded by net/url
	}
	wanted := t.form.typed.Get(optionField)
	at := max(0, slices.IndexFunc(res.Options, func(o sizing.Option) bool { return o.Name == wanted }))
	for i := range res.Options {
		o := &res.Options[i]
		v := optionView{
			Option: o, Title: text.Title(o, &res.Shot.Window), State: text.State(o), Trade: text.Trade(t.reader.text(), o, i == 0), Chosen: i == at, LowerAtMS: weakest(o),
			Query: template.URL(t.form.query(optionField, o.Name)), //nolint:gosec // encoded by net/url
		}
		for k := range o.Pieces {
			v.Largest = max(v.Largest, o.Pieces[k].OuterAreaM2)
		}
		out.Options = append(out.Options, v)
	}
	if len(out.Options) == 0 {
		return out
	}
	chosen := &out.Options[at]
	chosen.Names = namesOf(chosen.Option)
	first, until := chosen.Part(0), ""
	if len(chosen.Option.Moves) > 0 {
		chosen.Until = first.Window.End
		until = ", until " + chosen.Until
		chosen.Moves = movesOf(res, chosen.Option, chosen.Names, t.reader, u)
	}
	chosen.Legend = draw.Legend(chosen.Option, func(sku string) string { return chosen.Names[sku] }, u)
	if sheet {
		chosen.Staked, chosen.Holds = stakedOf(res, &first, chosen.Legend, chosen.Names, t.reader), holdRows(chosen.Option, res.Shot.GustMS, t.reader)
	} else {
		chosen.Tied = tiedOf(chosen.Option, chosen.Names, &res.Shot, t.reader)
	}
	out.Chosen = chosen
	out.Drawings = []drawing{
		{"plan", "From above" + until, draw.Plan(res, &first, u)},
		{"along", "From the side" + until, draw.Along(res, &first, u)},
		{"across", "From behind the lens" + until, draw.Across(res, &first, u)},
		{"lens", "Through the lens" + until, draw.Lens(res, &first, u)},
		{"levels", "Levels" + until, draw.Levels(res, &first, u)},
		{"wind", "Wind" + until, draw.Wind(res, &first, u)},
		{"curve", "In other gusts", draw.WindCurve(res, chosen.Option, u)},
	}
	if along := draw.Forecast(res, chosen.Option, u); along != "" {
		out.Drawings = append(out.Drawings, drawing{"forecast", "Along the day, by the forecast", along})
		chosen.Forecast, chosen.Stands = text.ForecastSays(res), text.ForecastStands(res, chosen.Option, true)
	}
	return out
}

// namesOf are the names of everything that an option is made of.
func namesOf(o *sizing.Option) map[string]string {
	names := map[string]string{}
	for _, k := range []*price.Kit{&o.Kit, &o.Labour, &o.Transport} {
		for _, l := range k.Lines {
			names[l.SKU] = l.Name
		}
	}
	return names
}

// weakest is the least gust at which a piece of an option is to be down.
func weakest(o *sizing.Option) float64 {
	least := -1.0
	for k := range o.Parts() {
		part := o.Part(k)
		for i := range part.Pieces {
			if l := part.Pieces[i].Hold.LowerAtMS; least < 0 || l < least {
				least = l
			}
		}
	}
	return least
}

// planJSON and planText are the answer as a file.
func (s planPages) planJSON(c echo.Context) error {
	res, err := s.file(c)
	if err != nil {
		return err
	}
	body, err := s.JSON(res)
	if err != nil {
		return err
	}
	c.Response().Header().Set("Content-Disposition", `attachment; filename="plan.json"`)
	return c.Blob(http.StatusOK, "application/json", body)
}

func (s planPages) planText(c echo.Context) error {
	res, err := s.file(c)
	if err != nil {
		return err
	}
	var out bytes.Buffer
	if err := s.Text(&out, res); err != nil {
		return err
	}
	return c.Blob(http.StatusOK, "text/plain; charset=utf-8", out.Bytes())
}

func (s planPages) file(c echo.Context) (sizing.Result, error) {
	t, err := s.take(c)
	if err != nil {
		return sizing.Result{}, err
	}
	if !t.sound {
		first := t.form.faults()[0]
		return sizing.Result{}, &pageError{http.StatusUnprocessableEntity, "The form is not complete: " + first.Label + ": " + first.Says + "."}
	}
	return s.Office.Plan(c.Request().Context(), t.job)
}

// start is what this is, and where to begin.
func (s planPages) start(c echo.Context) error {
	houses, err := s.Office.Stock.Houses(c.Request().Context())
	if err != nil {
		return err
	}
	return s.render(c, http.StatusOK, "start", frame{Title: "Kitspan", Here: "start", Page: struct {
		Houses   []catalog.House
		Starter  template.URL
		Examples []example
	}{houses, template.URL(starterQuery()), examples()}}) //nolint:gosec // encoded by net/url
}
