package web

import (
	"bytes"
	"context"
	"errors"
	"html/template"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"kitspan/internal/scene"

	"github.com/labstack/echo/v4"

	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/httpchain"
	"kitspan/internal/office"
	"kitspan/internal/phrase"
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
	// Needed are the fields that are still blank of a shot that is not complete.
	Needed []faultView
	// Faults are all that is wrong, for the summary.
	Faults []faultView
	// Part is what the script has to know of a part of the page.
	Part partView
}

type faultView struct {
	Field string
	Label phrase.Key
	Says  string
}

// taken is a form read and, where it is sound, ready to be worked on.
type taken struct {
	form   *shotForm
	job    office.Job
	houses []catalog.House
	reader reader
	sound  bool
	// blank is set where nothing is typed yet.
	blank bool
}

// take reads the form of a request. An address that says nothing is a new shot: today, at the first house.
func (s planPages) take(c echo.Context) (*taken, error) {
	ctx, q := c.Request().Context(), c.Request().URL.Query()
	houses, err := s.Office.Stock.Houses(ctx)
	if err != nil {
		return nil, err
	}
	t := &taken{houses: houses, blank: isBlank(q)}
	house := strings.TrimSpace(q.Get(houseField))
	if t.blank && house == "" && len(houses) > 0 {
		house = houses[0].Slug
		q.Set(houseField, house)
	}
	code := "EUR"
	if i := slices.IndexFunc(houses, func(h catalog.House) bool { return h.Slug == house }); i >= 0 {
		code = houses[i].Currency
		if t.blank && q.Get(dateField) == "" {
			q.Set(dateField, s.Office.Today(houses[i]).String())
		}
	}
	t.reader = readerOf(c.Request(), q.Get(unitsField))
	t.form = readForm(q, code, t.reader.notation, t.reader.text())
	job, faults, err := s.Office.Take(ctx, &house, t.form.Draft)
	if err != nil {
		return nil, err
	}
	t.form.blame(faults)
	t.job, t.sound = job, len(faults) == 0 && len(t.form.Errors) == 0
	return t, nil
}

// isBlank reports whether an address says nothing of a shot but at which house, on what day and in which units.
func isBlank(q url.Values) bool {
	for name, v := range q {
		switch name {
		case houseField, unitsField, numbersField, lengthsField, dateField:
		default:
			if known(name) && len(v) > 0 && strings.TrimSpace(v[0]) != "" {
				return false
			}
		}
	}
	return true
}

// planned is the page of a request and the status that it is worth.
func (s planPages) planned(c echo.Context) (*taken, frame, int, error) {
	t, err := s.take(c)
	if err != nil {
		return nil, frame{}, 0, err
	}
	page := planPage{}
	var shot *shot.Shot
	if t.sound {
		page.Answer, err = s.answer(c.Request().Context(), t, false)
		switch {
		case errors.Is(err, office.ErrBusy), errors.Is(err, office.ErrTimeLimit):
			page.Later = t.reader.language.Say(later(err))
		case err != nil:
			return nil, frame{}, 0, err
		}
		shot = &t.job.Shot
	}
	page.Needed = t.form.needed()
	page.Part = partOf(t, page.Answer)
	if t.blank { // nobody has done anything wrong yet
		t.form.Errors = map[string]string{}
	}
	page.Form = s.view(t, shot, placesOf(c.Request()))
	page.Faults = t.form.faults()
	f := frame{Title: languageOf(c.Request()).Say("Plan a shot"), Here: "plan", Query: template.URL(t.form.query()), Page: page} //nolint:gosec // encoded by net/url
	if name := t.form.Draft.Name; name != "" {
		f.Title = name
	}
	status := http.StatusOK
	if page.Later != "" {
		status = http.StatusServiceUnavailable
		httpchain.AskLater(c)
	}
	return t, f, status, nil
}

// plan is the form beside the drawings; of an empty address a blank form.
func (s planPages) plan(c echo.Context) error {
	t, f, status, err := s.planned(c)
	switch {
	case err != nil:
		return err
	case len(t.form.filled) > 0: // an address that is kept or sent on says what was filled in, not by what
		return c.Redirect(http.StatusSeeOther, "/plan?"+t.form.query())
	case !t.sound && !t.blank:
		status = http.StatusUnprocessableEntity
	}
	return s.render(c, status, "plan", f)
}

// needed are the blank fields that a shot cannot do without, in the form's order.
func (f *shotForm) needed() (list []faultView) {
	for _, g := range groups {
		for _, def := range g.Fields {
			if slices.Contains(f.Needed, def.Name) {
				list = append(list, faultView{def.Name, def.Label, f.Errors[def.Name]})
			}
		}
	}
	return list
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
	Frame     string  // the largest overhead frame, empty where there is none
	Bar       priceBar
	LowerAtMS float64
	SafeToMS  float64
	DoesIt    bool
	Query     template.URL
	Chosen    bool
	Legend    []draw.Mark
	Names     map[string]string
	Tied      []string // what lies on which bases, and where ropes go
	// Reasons say where the numbers come from that a reader may doubt.
	Reasons []reasonsView
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
		from := func(k phrase.Key) string { return r.language.Say("%s, from %s", r.language.Say(k), part.Window.Start) }
		v := moveView{From: part.Window.Start, Says: text.MoveSays(r.text(), &o.Moves[k]), Notes: part.Notes}
		v.Drawings = []drawing{
			{"plan", from("From above"), draw.Plan(res, &part, u)},
			{"along", from("From the side"), draw.Along(res, &part, u)},
			{"across", from("From behind the lens"), draw.Across(res, &part, u)},
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
			Option: o, Title: text.Title(t.reader.text(), o, &res.Shot.Window), State: text.State(t.reader.text(), o), Trade: text.Trade(t.reader.text(), o, i == 0), Chosen: i == at, DoesIt: o.State == finding.DoesIt,
			Query: template.URL(t.form.query(optionField, o.Name)), //nolint:gosec // encoded by net/url
		}
		for k := range o.Pieces {
			v.Largest = max(v.Largest, o.Pieces[k].OuterAreaM2)
		}
		v.Frame = largestFrame(o)
		v.LowerAtMS, v.SafeToMS = weakest(o)
		out.Options = append(out.Options, v)
	}
	if len(out.Options) == 0 {
		return out
	}
	setBars(out.Options)
	chosen := &out.Options[at]
	chosen.Names = namesOf(chosen.Option)
	first := chosen.Part(0)
	until := func(k phrase.Key) string { return t.reader.language.Say(k) }
	if len(chosen.Option.Moves) > 0 {
		chosen.Until = first.Window.End
		until = func(k phrase.Key) string {
			return t.reader.language.Say("%s, until %s", t.reader.language.Say(k), chosen.Until)
		}
		chosen.Moves = movesOf(res, chosen.Option, chosen.Names, t.reader, u)
	}
	chosen.Legend = draw.Legend(chosen.Option, func(sku string) string { return chosen.Names[sku] }, u)
	if sheet {
		chosen.Staked, chosen.Holds = stakedOf(res, &first, chosen.Legend, chosen.Names, t.reader), holdRows(chosen.Option, res.Shot.GustMS, t.reader)
	} else {
		chosen.Tied = tiedOf(chosen.Option, chosen.Names, &res.Shot, t.reader)
	}
	chosen.Reasons = reasonsOf(chosen.Option, &res.Shot, t.job.Stock, t.reader)
	out.Chosen = chosen
	out.Drawings = []drawing{
		{"plan", until("From above"), draw.Plan(res, &first, u)},
		{"along", until("From the side"), draw.Along(res, &first, u)},
		{"across", until("From behind the lens"), draw.Across(res, &first, u)},
		{"lens", until("Through the lens"), draw.Lens(res, &first, u)},
		{"levels", until("Levels"), draw.Levels(res, &first, u)},
		{"wind", until("Wind"), draw.Wind(res, &first, u)},
		{"curve", t.reader.language.Say("In other gusts"), draw.WindCurve(res, chosen.Option, u)},
	}
	if along := draw.Forecast(res, chosen.Option, u); along != "" {
		out.Drawings = append(out.Drawings, drawing{"forecast", t.reader.language.Say("Along the day, by the forecast"), along})
		chosen.Forecast, chosen.Stands = text.ForecastSays(t.reader.text(), res), text.ForecastStands(t.reader.text(), res, chosen.Option, true)
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

// weakest are the least gusts at which a piece of an option is to be down and up to which every piece holds with the safety factor, -1
// where nothing stands.
func weakest(o *sizing.Option) (lowerAtMS, safeToMS float64) {
	lowerAtMS, safeToMS = -1, -1
	for k := range o.Parts() {
		part := o.Part(k)
		for i := range part.Pieces {
			h := &part.Pieces[i].Hold
			if lowerAtMS < 0 || h.LowerAtMS < lowerAtMS {
				lowerAtMS = h.LowerAtMS
			}
			if safeToMS < 0 || h.SafeToMS < safeToMS {
				safeToMS = h.SafeToMS
			}
		}
	}
	return lowerAtMS, safeToMS
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
	l := languageOf(c.Request())
	var out bytes.Buffer
	if err := s.Text(&out, text.Metres.In(l), res); err != nil {
		return err
	}
	c.Response().Header().Set("Content-Language", l.Tag())
	return c.Blob(http.StatusOK, "text/plain; charset=utf-8", out.Bytes())
}

func (s planPages) file(c echo.Context) (sizing.Result, error) {
	t, err := s.take(c)
	if err != nil {
		return sizing.Result{}, err
	}
	if !t.sound {
		first := t.form.faults()[0]
		return sizing.Result{}, &pageError{http.StatusUnprocessableEntity, "The form is not complete: %s: %s.", []any{t.reader.language.Say(first.Label), first.Says}}
	}
	return s.Office.Plan(c.Request().Context(), t.job)
}
