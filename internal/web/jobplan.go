package web

import (
	"cmp"
	"errors"
	"html/template"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"github.com/bojanz/currency"
	"github.com/labstack/echo/v4"

	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/httpchain"
	"kitspan/internal/job"
	"kitspan/internal/office"
	"kitspan/internal/scene"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
	"kitspan/internal/text"
	"kitspan/internal/web/draw"
)

const (
	jobPlanPath  = "/jobs/:job/plan"
	jobSheetPath = "/jobs/:job/plan/sheet"
	jobPinPath   = "/jobs/:job/pin"
)

// jobPlanPage is the plan of a job at a house.
type jobPlanPage struct {
	ID, Name string
	Ask      *planAsk
	Aims     []word
	Currency string
	Without  []withoutItem
	Others   []withoutItem // houses to compare with
	Faults   []cellFault
	// Later says why a sound job has no plan now.
	Later string
	// Long says that it takes longer than somebody should wait, and Behind that it may be planned in the background.
	Long   string
	Behind bool
	Plan   *jobPlanView
	Query  template.URL
}

// withoutItem is an item that the plan does without, or another house, with the address of a change.
type withoutItem struct {
	Name  string
	Query template.URL
}

// jobPlanView is a plan as the page shows it.
type jobPlanView struct {
	*job.Plan
	Days2   []jobDayView
	Cards   []shotCard
	Lines   []hireView
	Bar     priceBar
	HowGood string
	Saved   string
	Trouble []string // what keeps it from being carried out
	Short   []string // clashes, each with what would help
	Told    []string // what is to be known
	Drawn   bool
}

// jobDayView is a day with its strip.
type jobDayView struct {
	*job.Day
	ID, SVG string
	Shots   []*shotCard
	Rows    []dayPay
	Load    string
}

// dayPay is a line of who is paid, or what drives, on a day.
type dayPay struct {
	job.DayLine
	Class string
}

// hireView is a line of what is hired.
type hireView struct {
	*job.HireLine
	Span    string
	Users   []lineUser
	Without template.URL
}

// lineUser is a shot that a line is for; Last where the line would be smaller without it.
type lineUser struct {
	Number string
	Last   bool
}

// shotCard is a shot with what was chosen for it.
type shotCard struct {
	*job.PlannedShot
	ID                 string
	Title              string
	Kind, State        string
	Frame              string
	LowerAtMS, WatchMS float64
	Hire               currency.Amount
	SVG                string
	Legend             []draw.Mark
	DoesIt             bool
	Pin                string
	Pins               []word
	Version            int64
	Sheet, ByItself    template.URL
	AloneTotal         *currency.Amount
	Reasons            []string
	Says               string   // what it is, in a sentence
	Told               []string // what is to be known of it
	More               string   // the address of the shot's page
}

// mostDrawn is how many shots of a plan are drawn on its page; of more each has its sheet.
const mostDrawn = 40

// plan is the plan of a job.
func (s jobPages) plan(c echo.Context) error {
	stored, err := s.stored(c)
	if err != nil {
		return err
	}
	a, err := s.askOf(c, &stored)
	if err != nil {
		return err
	}
	page, status := jobPlanPage{ID: stored.ID, Name: nameOf(stored.Draft), Ask: a, Aims: aims, Currency: a.House.Currency}, http.StatusOK
	plan, err := s.planOf(c.Request().Context(), &stored, a)
	r := readerOf(c.Request(), "")
	page.Query = template.URL(a.query()) //nolint:gosec // encoded by net/url
	var long *longError
	switch {
	case errors.Is(err, office.ErrBusy), errors.Is(err, office.ErrTimeLimit):
		page.Later, status = r.language.Say(later(err)), http.StatusServiceUnavailable
		httpchain.AskLater(c)
	case errors.As(err, &long):
		page.Long, page.Behind = r.language.Say("With %d shots and %d sizings it takes longer to plan than you should wait.", long.shots, long.sizings), s.Runs != nil
	case err != nil:
		return err
	case plan == nil:
		status = http.StatusUnprocessableEntity
	default:
		page.Plan = s.shownPlan(plan, &stored, a, r)
	}
	page.Faults = a.faults()
	for _, sku := range a.Forbid {
		page.Without = append(page.Without, withoutItem{sku, template.URL(a.query("+", sku))}) //nolint:gosec // encoded by net/url
	}
	for _, h := range a.Houses {
		if h.Slug != a.House0 {
			page.Others = append(page.Others, withoutItem{h.Name, template.URL(url.Values{"houses": {a.House0 + "," + h.Slug}}.Encode())}) //nolint:gosec // encoded by net/url
		}
	}
	title := r.language.Say("The plan of %s", page.Name)
	return s.render(c, status, "jobplan", frame{Title: title, Here: "jobs", Page: page, Extra: s.jobStyle, Margin: title})
}

// shownPlan is a plan for the page.
func (s jobPages) shownPlan(plan *job.Plan, stored *job.Stored, a *planAsk, r reader) *jobPlanView {
	v := &jobPlanView{Plan: plan, Drawn: len(plan.Shots) <= mostDrawn}
	s.headline(v, r)
	v.Told = text.JobNotes(r.text(), plan)
	u := r.units()
	for i := range plan.Shots {
		p := &plan.Shots[i]
		v.Cards = append(v.Cards, s.card(plan, p, i, stored, a, r, u, v.Drawn))
	}
	s.daysOf(v, a, r)
	return v
}

// daysOf are the days of a plan and what is hired, for the page.
func (s jobPages) daysOf(v *jobPlanView, a *planAsk, r reader) {
	plan, u := v.Plan, r.units()
	for i := range plan.Days {
		d := jobDayView{Day: &plan.Days[i], ID: "day-" + plan.Days[i].Date.String(), SVG: draw.JobDay(plan, i, u)}
		for k := range v.Cards {
			number := v.Cards[k].Number
			if v.Cards[k].Option != nil && slices.ContainsFunc(d.Moments, func(m job.Moment) bool { return slices.Contains(m.Shots, number) }) {
				d.Shots = append(d.Shots, &v.Cards[k])
			}
		}
		slices.SortStableFunc(d.Shots, func(x, y *shotCard) int { return x.Up.From.Compare(y.Up.From) })
		for _, line := range d.People {
			d.Rows = append(d.Rows, dayPay{line, "labour"})
		}
		for _, line := range d.Vehicles {
			d.Rows = append(d.Rows, dayPay{line, "transport"})
		}
		v.Days2 = append(v.Days2, d)
	}
	for i := range plan.Kit {
		line := &plan.Kit[i]
		h := hireView{HireLine: line, Span: r.span(line.From, line.To), Without: template.URL(a.query("-", line.SKU))} //nolint:gosec // encoded by net/url
		for _, number := range line.NeededBy {
			h.Users = append(h.Users, lineUser{number, slices.Contains(line.LastUnitFor, number)})
		}
		v.Lines = append(v.Lines, h)
	}
}

// card is a shot of a plan.
func (s jobPages) card(plan *job.Plan, p *job.PlannedShot, i int, stored *job.Stored, a *planAsk, r reader, u draw.Units, drawn bool) shotCard {
	to, l := r.text(), r.language
	card := shotCard{PlannedShot: p, ID: "shot-" + strconv.Itoa(i), Title: l.Say("Shot %s, %s", p.Number, p.Place), LowerAtMS: -1, Pin: plan.Job.Shots[i].Pin}
	if p.Shot.Name != "" {
		card.Title += ": " + p.Shot.Name
	}
	card.Pins = pinsOf(p, card.Pin)
	if at, err := stored.ShotAt(p.Number); err == nil {
		d := stored.Draft.Shots[at]
		card.Version = stored.ShotVersions[at]
		alone := d.Draft
		alone.Site = stored.Draft.Places[textTyped(d.Place)].DraftSite
		if p.Option != nil {
			alone.Window = draftWindow(p)
		}
		card.ByItself = template.URL(addressOf(plan.House.Slug, &alone).Encode()) //nolint:gosec // encoded by net/url
	}
	card.More = jobPath(stored.ID, "shots", p.Number)
	card.Sheet = template.URL(a.query("shot", p.Number)) //nolint:gosec // encoded by net/url
	for _, n := range p.Notes {
		card.Told = append(card.Told, text.Note(to, n))
	}
	if p.Option == nil {
		for k := range p.RuledOut {
			card.Reasons = append(card.Reasons, p.RuledOut[k].SKU+": "+text.RuledOut(to, &p.RuledOut[k]))
		}
		return card
	}
	o := p.Option
	card.Kind, card.State, card.DoesIt = text.Title(to, o, &p.Shot.Window), text.State(to, o), o.State == finding.DoesIt
	card.Frame, card.Hire = cmp.Or(largestFrame(o), text.FirstFrame(to, o)), o.Kit.PerDay
	card.Says = text.Summary(to, &o.Summary)
	card.LowerAtMS, _ = weakest(o)
	card.WatchMS = watchAt(o)
	if p.Alone != nil {
		card.AloneTotal = &p.Alone.Total
	}
	if drawn {
		u.ID = "-" + strconv.Itoa(i)
		res := resultOf(p)
		first := o.Part(0)
		card.SVG = draw.Plan(res, &first, u)
		names := namesOf(o)
		card.Legend = draw.Legend(o, func(sku string) string { return names[sku] }, u)
	}
	return card
}

// watchAt is the gust from which the first piece of an option is watched.
func watchAt(o *sizing.Option) float64 {
	least := -1.0
	for k := range o.Parts() {
		part := o.Part(k)
		for i := range part.Pieces {
			if h := part.Pieces[i].Hold.WatchAtMS; least < 0 || h < least {
				least = h
			}
		}
	}
	return least
}

// resultOf is a shot of a plan as an answer with one option, to be drawn.
func resultOf(p *job.PlannedShot) *sizing.Result {
	light := scene.LightOf(&p.Shot)
	res := &sizing.Result{Shot: p.Shot, Background: light.Background, Options: []sizing.Option{*p.Option}}
	for _, src := range light.Sources {
		res.Sources = append(res.Sources, src.Track(&p.Shot, light.Stage))
	}
	return res
}

// pinsOf are the kinds of plan that a shot may be held to: those that were considered for it, and the one that it is held to.
func pinsOf(p *job.PlannedShot, pin string) []word {
	out := []word{pinWords[0]}
	for _, w := range pinWords[1:] {
		if w.Value == pin || slices.ContainsFunc(p.Pool, func(o job.PoolOption) bool { return string(o.Label) == w.Value }) {
			out = append(out, w)
		}
	}
	return out
}

// pin holds a shot to a kind of plan, or lets it go, and goes back to the plan.
func (s jobPages) pin(c echo.Context) error {
	version, err := strconv.ParseInt(c.FormValue("version"), 10, 64)
	if err != nil || !job.IsID(c.Param("job")) {
		return errNoVersion
	}
	number, pin := c.FormValue("shot"), c.FormValue("pin")
	_, err = s.Jobs.ChangeJob(c.Request().Context(), c.Param("job"), func(kept *job.Stored) error {
		at, err := kept.ShotAt(number)
		if err != nil {
			return err
		}
		d := kept.Draft.Shots[at]
		if d.Pin = nil; pin != "" {
			d.Pin = &pin
		}
		return job.ReplaceShot(number, job.Expect{Versions: []int64{version}}, d)(kept)
	})
	var unsound *job.UnsoundError
	switch {
	case errors.Is(err, job.ErrStale):
		return &pageError{status: http.StatusPreconditionFailed, says: "Somebody else changed this shot meanwhile, and nothing was changed: go back, reload the plan and choose again."}
	case errors.As(err, &unsound):
		return &pageError{status: http.StatusUnprocessableEntity, says: "There is no such kind of plan, and nothing was changed."}
	case err != nil:
		return err
	}
	back, err := url.ParseQuery(c.FormValue("back"))
	if err != nil {
		back = url.Values{}
	}
	return c.Redirect(http.StatusSeeOther, jobPath(c.Param("job"), "plan")+"?"+planQuery(back).Encode())
}

// planQuery are the values of an address that ask for a plan.
func planQuery(q url.Values) url.Values {
	out := url.Values{}
	for _, name := range []string{houseField, aimField, jobCrew, jobTotal, forbidField} {
		if v := q[name]; len(v) > 0 {
			out[name] = v
		}
	}
	return out
}

// draftWindow is the window that was chosen for a shot, as a request says it.
func draftWindow(p *job.PlannedShot) shot.DraftWindow {
	w := p.Option.Window
	date, end, endDate := w.Date.String(), w.End, w.EndDate.String()
	d := shot.DraftWindow{Date: &date, Start: &w.Start, End: &end}
	if endDate != date {
		d.EndDate = &endDate
	}
	return d
}

// sheet is the option of one shot of a plan in full, to be printed and rigged from.
func (s jobPages) sheet(c echo.Context) error {
	stored, err := s.stored(c)
	if err != nil {
		return err
	}
	a, err := s.askOf(c, &stored)
	if err != nil {
		return err
	}
	plan, err := s.planOf(c.Request().Context(), &stored, a)
	if err != nil {
		return err
	}
	back := jobPath(stored.ID, "plan") + "?" + a.query()
	if plan == nil {
		return c.Redirect(http.StatusSeeOther, back)
	}
	at := slices.IndexFunc(plan.Shots, func(p job.PlannedShot) bool { return p.Number == c.QueryParam("shot") })
	if at < 0 {
		return job.ErrNoShot
	}
	p := &plan.Shots[at]
	if p.Option == nil {
		return c.Redirect(http.StatusSeeOther, back)
	}
	stock, err := s.Office.Snapshot(c.Request().Context(), plan.House.Slug)
	if err != nil {
		return err
	}
	t := &taken{form: readForm(url.Values{}, "", notations[0], a.forPeople), job: office.Job{Shot: p.Shot, Stock: stock}, reader: readerOf(c.Request(), "")}
	res := resultOf(p)
	res.Cautions = plan.Cautions
	page := t.shown(res, true)
	title := t.reader.language.Say("Shot %s of %s", p.Number, plan.Job.Name)
	revision, err := revisionOf(url.Values{"job": {stored.ID}, "version": {strconv.FormatInt(stored.Version, 10)}, "plan": {a.query("shot", p.Number)}}.Encode(), stock)
	if err != nil {
		return err
	}
	place := p.Place + " (" + placeNamed(nil, &p.Shot.Site, t.reader) + ")"
	page.Sheet = &sheetView{House: plan.House.Name, Place: place, Revision: revision, Printed: t.reader.moment(s.Office.Now().In(office.ZoneOf(plan.House))), Back: back}
	return s.render(c, http.StatusOK, "option", frame{
		Title: title, Here: "jobs", Page: page, Margin: title + " – " + t.reader.day(page.Shot.Window.Date) + " – revision " + revision,
	})
}

// houseNamed finds a house by its short name.
func houseNamed(houses []catalog.House, slug string) (catalog.House, bool) {
	i := slices.IndexFunc(houses, func(h catalog.House) bool { return h.Slug == strings.TrimSpace(slug) })
	if i < 0 {
		return catalog.House{}, false
	}
	return houses[i], true
}
