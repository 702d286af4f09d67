package web

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"html/template"
	"net/http"
	"net/url"
	"strings"
	"time"

	"github.com/bojanz/currency"
	"github.com/labstack/echo/v4"

	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/httpchain"
	"kitspan/internal/job"
	"kitspan/internal/planrun"
	"kitspan/internal/rigging"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
	"kitspan/internal/text"
)

// Plans that take longer than somebody should wait are worked out in the background: a page says how far they are, and shows what came of
// them for as long as it is kept.

// PlanRuns keeps plans that are worked out in the background. It answers with the refusals of package planrun, wrapped or bare.
type PlanRuns interface {
	// Enqueue keeps a request, to be planned in its turn, or answers planrun.ErrFull.
	Enqueue(ctx context.Context, req planrun.Request) (planrun.Run, error)
	// Find reads a run; planrun.ErrNoRun where there is none, or none any more.
	Find(ctx context.Context, id string) (planrun.Run, error)
	// Cancel ends a run that has not ended; planrun.ErrNoRun as in Find.
	Cancel(ctx context.Context, id string) error
}

const (
	jobRunPath    = "/jobs/:job/plan/runs/:run"
	jobCancelPath = jobRunPath + "/cancel"
	// askAgainS is after how many seconds a page asks how far a plan is.
	askAgainS = 3
)

// errLong says that a job takes longer to plan than somebody should wait.
type longError struct{ shots, sizings int }

func (e *longError) Error() string {
	return fmt.Sprintf("%d shots and %d sizings are more than is planned while somebody waits", e.shots, e.sizings)
}

// jobRunPage is a plan on its way.
type jobRunPage struct {
	ID, Name  string
	Run       planrun.Run
	Waits     bool
	Cancelled bool
	Query     template.URL // of what was asked
	Says      string       // why there is no plan
	Plan      *jobPlanView
}

// planLater has a job planned in the background.
func (s jobPages) planLater(c echo.Context) error {
	stored, err := s.stored(c)
	if err != nil {
		return err
	}
	a, err := s.askOf(c, &stored)
	if err != nil {
		return err
	}
	back := jobPath(stored.ID, "plan") + "?" + a.query()
	if s.Runs == nil || !a.sound() {
		return c.Redirect(http.StatusSeeOther, back)
	}
	if _, faults, err := s.Office.TakeJob(c.Request().Context(), a.request); err != nil {
		return err
	} else if len(faults) > 0 {
		return c.Redirect(http.StatusSeeOther, back) // which says what is wrong
	}
	body, err := a.body()
	if err != nil {
		return err
	}
	run, err := s.Runs.Enqueue(c.Request().Context(), planrun.Request{House: a.House.Slug, Language: languageOf(c.Request()).Tag(), Body: body, Shots: len(stored.Draft.Shots)})
	if err != nil {
		return runProblem(c, err)
	}
	return c.Redirect(http.StatusSeeOther, jobPath(stored.ID, "plan", "runs", run.ID)+"?"+a.query())
}

// body is what is asked as the body of a plan request.
func (a *planAsk) body() ([]byte, error) {
	limits := map[string]any{}
	if a.request.Crew != nil {
		limits["crew"] = *a.request.Crew
	}
	if t := a.request.Total; t != nil {
		limits["total"] = map[string]string{"amount": t.Number(), "currency": t.CurrencyCode()}
	}
	request := map[string]any{"house": a.House.Slug, "job": a.request.Job, "limits": limits}
	if a.Aim != "" {
		request["aim"] = a.Aim
	}
	if len(a.Forbid) > 0 {
		request["forbid"] = a.Forbid
	}
	return json.Marshal(request)
}

func runProblem(c echo.Context, err error) error {
	switch {
	case errors.Is(err, planrun.ErrFull):
		httpchain.AskLater(c)
		return &pageError{status: http.StatusServiceUnavailable, says: "As many plans wait in the background as may. What you asked stands in the address: try again in a minute."}
	case errors.Is(err, planrun.ErrNoRun):
		return &pageError{status: http.StatusNotFound, says: "There is no such plan any more: what comes of a plan is kept for a day. Plan the job again."}
	case errors.Is(err, planrun.ErrUnavailable):
		return fmt.Errorf("%w: %w", job.ErrUnavailable, err)
	}
	return err
}

// run shows how far a plan is, or what came of it.
func (s jobPages) run(c echo.Context) error {
	stored, err := s.stored(c)
	if err != nil {
		return err
	}
	if s.Runs == nil {
		return runProblem(c, planrun.ErrNoRun)
	}
	run, err := s.Runs.Find(c.Request().Context(), c.Param("run"))
	if err != nil {
		return runProblem(c, err)
	}
	a, err := s.askOf(c, &stored)
	if err != nil {
		return err
	}
	r := readerOf(c.Request(), "")
	page := jobRunPage{ID: stored.ID, Name: nameOf(stored.Draft), Run: run, Waits: run.State == planrun.Waiting, Cancelled: run.State == planrun.Cancelled}
	page.Query = template.URL(a.query()) //nolint:gosec // encoded by net/url
	title := r.language.Say("The plan of %s", page.Name)
	f := frame{Title: title, Here: "jobs", Extra: s.jobStyle, Margin: title}
	switch {
	case run.State.Open():
		f.RefreshS = askAgainS
	case run.State == planrun.Failed:
		var problem struct{ Detail string }
		if err := json.Unmarshal(run.Problem, &problem); err != nil {
			return fmt.Errorf("the problem of run %s: %w", run.ID, err)
		}
		page.Says = problem.Detail
	case run.State == planrun.Done:
		if page.Plan, err = s.shownAnswer(run.Answer, a, r); err != nil {
			return fmt.Errorf("the answer of run %s: %w", run.ID, err)
		}
	}
	c.Response().Header().Set("Cache-Control", "no-store")
	f.Page = page
	return s.render(c, http.StatusOK, "jobrun", f)
}

// cancel ends a plan that is on its way.
func (s jobPages) cancel(c echo.Context) error {
	if s.Runs == nil || !job.IsID(c.Param("job")) {
		return runProblem(c, planrun.ErrNoRun)
	}
	if err := s.Runs.Cancel(c.Request().Context(), c.Param("run")); err != nil {
		return runProblem(c, err)
	}
	back, err := url.ParseQuery(c.FormValue("back"))
	if err != nil {
		back = url.Values{}
	}
	return c.Redirect(http.StatusSeeOther, jobPath(c.Param("job"), "plan", "runs", c.Param("run"))+"?"+planQuery(back).Encode())
}

// The answer of a plan request, as far as the page shows it.
type (
	answerMoney struct{ Amount, Currency string }
	answerSays  struct {
		Code, Text, SKU, Detail string
	}
	answerLine struct {
		SKU, Name   string
		Quantity    int
		From, To    string
		ChargedDays int         `json:"charged_days"`
		DayRate     answerMoney `json:"day_rate"`
		Amount      answerMoney
		NeededBy    []string `json:"needed_by"`
		LastUnitFor []string `json:"last_unit_for"`
	}
	answerShot struct {
		Number, Place string
		Option        *struct {
			Label, State, Summary string
			Window                struct{ Date, Start, End string }
			Crew                  struct {
				Total     int
				RigMin    int `json:"rig_min"`
				StrikeMin int `json:"strike_min"`
			}
			PricePerDay answerMoney `json:"price_per_day"`
			Pieces      []struct {
				Hold struct {
					LowerAtMS float64 `json:"lower_at_ms"`
					WatchAtMS float64 `json:"watch_at_ms"`
				}
			}
			Notes []answerSays
		}
		UpFrom   time.Time    `json:"up_from"`
		UpTo     time.Time    `json:"up_to"`
		RuledOut []answerSays `json:"ruled_out"`
		Alone    *struct{ Total answerMoney }
		Notes    []answerSays
	}
	planAnswer struct {
		Job struct {
			Hire  struct{ From, To string }
			Shots []struct{ Number, Name string }
		}
		Shots []answerShot
		Kit   []answerLine
		Days  []struct {
			Date    string
			Moments []struct {
				From, To time.Time
				Between  bool
				Shots    []string
				People   int
			}
			People, Vehicles []answerLine
		}
		Hire, Labour, Transport, Total answerMoney
		MassKg                         float64 `json:"mass_kg"`
		People                         int
		Broken                         []struct{ Limit string }
		Bound, Separately              *answerMoney
		BoundMassKg                    *float64 `json:"bound_mass_kg"`
		BoundPeople                    *int     `json:"bound_people"`
		Proven                         bool
		Considered                     int
		Clashes                        []struct {
			SKU      string
			Shots    []string
			From, To time.Time
			Short    int
			ShiftMin *int `json:"shift_min"`
		}
		Notes    []answerSays
		Cautions []answerSays
	}
)

// answerReader turns the parts of an answer into the engine's; the first that cannot be is kept.
type answerReader struct{ err error }

func (r *answerReader) money(m answerMoney) currency.Amount {
	a, err := catalog.ParseMoney(m.Amount, m.Currency)
	if err != nil && r.err == nil {
		r.err = err
	}
	return a
}

func (r *answerReader) date(s string) catalog.Date {
	d, err := catalog.ParseDate(s)
	if err != nil && r.err == nil {
		r.err = err
	}
	return d
}

// shownAnswer is the answer that is kept of a plan as the page shows it: all but the drawings of its shots.
func (s jobPages) shownAnswer(body []byte, a *planAsk, r reader) (*jobPlanView, error) {
	var in planAnswer
	if err := json.Unmarshal(body, &in); err != nil {
		return nil, err
	}
	read := answerReader{}
	plan := &job.Plan{
		House: a.House, Hire: read.money(in.Hire), Labour: read.money(in.Labour), Transport: read.money(in.Transport), Total: read.money(in.Total), MassKg: in.MassKg,
		People: in.People, BoundMassKg: in.BoundMassKg, BoundPeople: in.BoundPeople, Proven: in.Proven, Considered: in.Considered,
	}
	plan.Job.From, plan.Job.To = read.date(in.Job.Hire.From), read.date(in.Job.Hire.To)
	for _, m := range []struct {
		from *answerMoney
		to   **currency.Amount
	}{{in.Bound, &plan.Bound}, {in.Separately, &plan.Separately}} {
		if m.from != nil {
			amount := read.money(*m.from)
			*m.to = &amount
		}
	}
	names := map[string]string{}
	for i := range in.Kit {
		l := &in.Kit[i]
		names[l.SKU] = l.Name
		plan.Kit = append(plan.Kit, job.HireLine{
			SKU: l.SKU, Name: l.Name, Quantity: l.Quantity, From: read.date(l.From), To: read.date(l.To), ChargedDays: l.ChargedDays, DayRate: read.money(l.DayRate),
			Amount: read.money(l.Amount), NeededBy: l.NeededBy, LastUnitFor: l.LastUnitFor,
		})
	}
	for _, c := range in.Clashes {
		name := names[c.SKU]
		if name == "" {
			name = c.SKU
		}
		plan.Clashes = append(plan.Clashes, job.Clash{SKU: c.SKU, Name: name, Shots: c.Shots, Span: job.Span{From: c.From, To: c.To}, Short: c.Short, ShiftMin: c.ShiftMin})
	}
	for _, d := range in.Days {
		day := job.Day{Date: read.date(d.Date)}
		for _, m := range d.Moments {
			day.Moments = append(day.Moments, job.Moment{Span: job.Span{From: m.From, To: m.To}, Between: m.Between, Shots: m.Shots, People: m.People})
		}
		for _, l := range d.People {
			day.People = append(day.People, read.dayLine(l))
		}
		for _, l := range d.Vehicles {
			day.Vehicles = append(day.Vehicles, read.dayLine(l))
		}
		plan.Days = append(plan.Days, day)
	}
	for i := range in.Shots {
		plan.Shots = append(plan.Shots, read.shot(&in.Shots[i]))
	}
	v := &jobPlanView{Plan: plan}
	var limits []string
	for _, b := range in.Broken {
		limits = append(limits, b.Limit)
	}
	s.headline(v, r)
	if len(limits) > 0 {
		v.Saved = ""
		v.Trouble = append(v.Trouble, r.language.Say("over the limit: %s", strings.Join(limits, ", ")))
	}
	for _, n := range in.Notes {
		v.Told = append(v.Told, n.Text)
	}
	for _, c := range in.Cautions {
		plan.Cautions = append(plan.Cautions, finding.Caution(c.Code))
	}
	for i := range in.Shots {
		v.Cards = append(v.Cards, read.card(&in.Shots[i], &plan.Shots[i], i, r))
		for _, named := range in.Job.Shots {
			if named.Number == in.Shots[i].Number && named.Name != "" {
				v.Cards[i].Title += ": " + named.Name
			}
		}
	}
	s.daysOf(v, a, r)
	return v, read.err
}

func (r *answerReader) dayLine(l answerLine) job.DayLine {
	return job.DayLine{SKU: l.SKU, Name: l.Name, Quantity: l.Quantity, DayRate: r.money(l.DayRate), Amount: r.money(l.Amount)}
}

// shot is a shot of an answer, with as much of its option as the page shows.
func (r *answerReader) shot(in *answerShot) job.PlannedShot {
	out := job.PlannedShot{Number: in.Number, Place: in.Place, Up: job.Span{From: in.UpFrom, To: in.UpTo}}
	if in.Alone != nil {
		out.Alone = &job.Alone{Total: r.money(in.Alone.Total)}
	}
	if in.Option == nil {
		return out
	}
	o := in.Option
	at := func(clock string) time.Time {
		t, err := time.ParseInLocation("2006-01-02 15:04", o.Window.Date+" "+clock, in.UpFrom.Location())
		if err != nil && r.err == nil {
			r.err = err
		}
		return t
	}
	from, to := at(o.Window.Start), at(o.Window.End)
	if to.Before(from) {
		to = to.AddDate(0, 0, 1)
	}
	out.Option = &sizing.Option{
		Label: sizing.Label(o.Label), State: finding.State(o.State), Window: shot.WindowBetween(from, to),
		Crew: rigging.Crew{Total: o.Crew.Total, RigMin: o.Crew.RigMin, StrikeMin: o.Crew.StrikeMin},
	}
	return out
}

// card is a shot of an answer as the page shows it.
func (r *answerReader) card(in *answerShot, p *job.PlannedShot, i int, to reader) shotCard {
	l := to.language
	card := shotCard{PlannedShot: p, ID: fmt.Sprintf("shot-%d", i), Title: l.Say("Shot %s, %s", p.Number, p.Place), LowerAtMS: -1, WatchMS: -1}
	for _, n := range in.Notes {
		card.Told = append(card.Told, n.Text)
	}
	if p.Alone != nil {
		card.AloneTotal = &p.Alone.Total
	}
	if in.Option == nil {
		for _, out := range in.RuledOut {
			card.Reasons = append(card.Reasons, out.SKU+": "+out.Detail)
		}
		return card
	}
	o := in.Option
	card.Says, card.DoesIt, card.State, card.Hire = o.Summary, p.Option.State == finding.DoesIt, o.State, r.money(o.PricePerDay)
	for _, w := range pinWords {
		if w.Value == o.Label {
			card.Kind = l.Say(w.Label)
		}
	}
	card.Frame = card.Kind
	for _, piece := range o.Pieces {
		if h := piece.Hold; card.LowerAtMS < 0 || h.LowerAtMS < card.LowerAtMS {
			card.LowerAtMS, card.WatchMS = h.LowerAtMS, h.WatchAtMS
		}
	}
	for _, n := range o.Notes {
		card.Told = append(card.Told, n.Text)
	}
	return card
}

// headline is what the page of a plan says first.
func (s jobPages) headline(v *jobPlanView, r reader) {
	to, plan := r.text(), v.Plan
	v.Bar = barOf(plan.Hire, plan.Labour, plan.Transport, max(valueOf(plan.Total), 0.01))
	v.HowGood = text.HowGood(to, plan)
	if saved := plan.Saved(); saved != nil && plan.Keeps() {
		v.Saved = r.language.Say("Each shot by itself, with a crew and vehicles of its own for its day, comes to %s together: sharing saves %s.", r.amount(*plan.Separately), r.amount(*saved))
	}
	v.Trouble, v.Short = text.Amiss(to, plan), text.Clashes(to, plan.Clashes)
}
