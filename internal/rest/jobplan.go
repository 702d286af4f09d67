package rest

import (
	"context"
	"fmt"
	"net/http"
	"strings"

	"kitspan/internal/catalog"
	"kitspan/internal/fault"
	"kitspan/internal/finding"
	"kitspan/internal/job"
	"kitspan/internal/office"
	"kitspan/internal/text"
)

// CreatePlan plans one job and stores nothing, or has it planned in the background where the client would rather not wait.
func (s *Server) CreatePlan(ctx context.Context, req CreatePlanRequestObject) (CreatePlanResponseObject, error) {
	planning, err := s.desk.takePlan(ctx, req.Body, excessOf(ctx))
	if err != nil {
		return nil, officeRefusal(err, deref(req.Body.House))
	}
	if later := laterOf(ctx); later != nil && s.runs != nil {
		return s.queuePlan(ctx, later, &planning)
	}
	body, err := s.planNow(ctx, planning, deref(req.Body.Pool))
	if err != nil {
		return nil, err
	}
	return rendered{status: http.StatusOK, body: body}, nil
}

// planNow plans a job while the client waits, unless that would take too long.
func (s *Server) planNow(ctx context.Context, planning office.Planning, pool bool) ([]byte, error) {
	if sizings, long := planning.Long(); long {
		return nil, tooMuchAtOnce(len(planning.Job.Shots), sizings)
	}
	plan, err := s.desk.PlanJob(ctx, planning)
	if err != nil {
		return nil, officeRefusal(err, planning.Stock.House.Slug)
	}
	return planJSON(readerIn(ctx), plan, pool)
}

// PlanJSON plans the job of the JSON body of a plan request. pool reports whether it asks for the options considered. What is wrong with the
// request comes back as a [*Refusal].
func (d Desk) PlanJSON(ctx context.Context, body []byte) (plan *job.Plan, pool bool, err error) {
	var req PlanRequest
	excess, err := DecodeJSON(body, &req)
	if err != nil {
		return nil, false, err
	}
	planning, err := d.takePlan(ctx, &req, excess)
	if err != nil {
		return nil, false, err
	}
	plan, err = d.PlanJob(ctx, planning)
	return plan, deref(req.Pool), err
}

// takePlan reads a plan request. What is wrong with it is a [*Refusal].
func (d Desk) takePlan(ctx context.Context, req *PlanRequest, excess []Fault) (office.Planning, error) {
	draft, faults := planDraftOf(req)
	planning, unsound, err := d.TakeJob(ctx, draft)
	if err != nil {
		return office.Planning{}, err
	}
	faults = append(faults, faultsOf(unsound)...)
	if faults = append(faults, excess...); len(faults) > 0 {
		return office.Planning{}, invalid(faults)
	}
	return planning, nil
}

// ReadJob reads the job of the JSON body of a plan request. What is wrong with it comes back as a [*Refusal].
func ReadJob(body []byte) (job.Draft, error) {
	var req PlanRequest
	excess, err := DecodeJSON(body, &req)
	if err != nil {
		return job.Draft{}, err
	}
	if req.Job == nil {
		req.Job = &JobDraft{}
	}
	draft, faults := jobDraftOf(req.Job)
	if faults = append(faults, excess...); len(faults) > 0 {
		return job.Draft{}, invalid(faults)
	}
	return draft, nil
}

// planDraftOf is what the user said of a plan, in the office's terms. The faults are those of money.
func planDraftOf(req *PlanRequest) (draft office.JobDraft, faults []Fault) {
	draft = office.JobDraft{House: req.House, Aim: wordOf(req.Aim), Forbid: deref(req.Forbid), Terms: wordOf(req.Terms), Seconds: req.Seconds}
	if req.Job == nil {
		req.Job = &JobDraft{}
	}
	draft.Job, faults = jobDraftOf(req.Job)
	if l := req.Limits; l != nil {
		draft.Crew, draft.MassKg = l.Crew, l.MassKg
		if l.Total != nil {
			total, wrong := moneyOf(*l.Total, "/limits/total")
			if faults = append(faults, wrong...); len(wrong) == 0 {
				draft.Total = &total
			}
		}
	}
	return draft, faults
}

// JobPlanJSON returns the response's body for a plan, the same on the command line and over HTTP, with the options considered or without.
func JobPlanJSON(plan *job.Plan, pool bool) ([]byte, error) { return planJSON(text.Metres, plan, pool) }

func planJSON(to text.Reader, plan *job.Plan, pool bool) ([]byte, error) {
	p := printer{to: to}
	out := Plan{
		Job: p.job(&plan.Job), Terms: termsJSON(plan.Terms), Shots: make([]PlannedShot, len(plan.Shots)), Kit: make([]HireLine, len(plan.Kit)), Days: make([]PlanDay, len(plan.Days)),
		Hire: money(plan.Hire), Labour: money(plan.Labour), Transport: money(plan.Transport), Total: money(plan.Total),
		MassKg: p.number(plan.MassKg, perKg), People: plan.People, Broken: make([]BrokenLimit, len(plan.Broken)),
		BoundMassKg: p.optional(plan.BoundMassKg, perKg), BoundPeople: plan.BoundPeople, Proven: plan.Proven, Considered: plan.Considered,
		Clashes: make([]Clash, len(plan.Clashes)), Notes: p.notes(plan.Notes), Cautions: cautionsOf(to, plan.Cautions),
	}
	if plan.Bound != nil {
		bound := money(*plan.Bound)
		out.Bound = &bound
	}
	if plan.Separately != nil {
		sum := money(*plan.Separately)
		out.Separately = &sum
	}
	for i, note := range plan.Broken {
		out.Broken[i] = p.brokenLimit(note)
	}
	for i := range plan.Shots {
		out.Shots[i] = p.plannedShot(&plan.Shots[i])
	}
	for i := range plan.Kit {
		out.Kit[i] = hireLine(&plan.Kit[i])
	}
	for i := range plan.Days {
		out.Days[i] = p.planDay(&plan.Days[i])
	}
	for i := range plan.Clashes {
		c := &plan.Clashes[i]
		out.Clashes[i] = Clash{Sku: c.SKU, Shots: c.Shots, From: c.From, To: c.To, Short: c.Short, ShiftMin: c.ShiftMin}
	}
	if pool {
		pools := make(map[string][]PoolOption, len(plan.Shots))
		for i := range plan.Shots {
			pools[plan.Shots[i].Number] = p.pool(plan.Shots[i].Pool)
		}
		out.Pool = &pools
	}
	if p.broken > 0 {
		return nil, fmt.Errorf("the plan holds %d numbers that are not finite", p.broken)
	}
	return line(out)
}

func (p *printer) plannedShot(s *job.PlannedShot) PlannedShot {
	out := PlannedShot{Number: s.Number, Place: s.Place, RuledOut: make([]RuledOut, len(s.RuledOut)), Notes: p.notes(s.Notes)}
	for i := range s.RuledOut {
		out.RuledOut[i] = p.ruledOut(&s.RuledOut[i])
	}
	if !s.Shot.Window.From.IsZero() {
		w := windowOf(s.Shot.Window)
		out.Window = &w
	}
	if s.Option == nil {
		return out
	}
	option, w, up := p.option(s.Option, true), windowOf(s.Option.Window), s.Up
	out.Option, out.OptionIndex, out.Window, out.UpFrom, out.UpTo = &option, &s.Index, &w, &up.From, &up.To
	if s.Alone != nil {
		out.Alone = &AloneOption{Label: string(s.Alone.Label), Total: money(s.Alone.Total)}
	}
	return out
}

func hireLine(l *job.HireLine) HireLine {
	return HireLine{
		Sku: l.SKU, Name: l.Name, Quantity: l.Quantity, From: l.From.String(), To: l.To.String(), ChargedDays: l.ChargedDays, DayRate: money(l.DayRate),
		Amount: money(l.Amount), NeededBy: list(l.NeededBy), LastUnitFor: list(l.LastUnitFor),
	}
}

func (p *printer) planDay(d *job.Day) PlanDay {
	out := PlanDay{Date: d.Date.String(), Moments: make([]Moment, len(d.Moments)), People: dayLines(d.People), Vehicles: dayLines(d.Vehicles), MassKg: p.number(d.MassKg, perKg)}
	for i, m := range d.Moments {
		out.Moments[i] = Moment{From: m.From, To: m.To, Shots: m.Shots, People: m.People, BetweenPlaces: m.Between}
	}
	return out
}

func dayLines(lines []job.DayLine) []DayLine {
	out := make([]DayLine, len(lines))
	for i, l := range lines {
		out[i] = DayLine{Sku: l.SKU, Name: l.Name, Quantity: l.Quantity, DayRate: money(l.DayRate), Amount: money(l.Amount)}
	}
	return out
}

func (p *printer) pool(options []job.PoolOption) []PoolOption {
	out := make([]PoolOption, len(options))
	for i, o := range options {
		out[i] = PoolOption{
			Label: string(o.Label), State: PoolOptionState(o.State), Window: windowOf(o.Window), UpFrom: o.Up.From, UpTo: o.Up.To,
			Kit: countsOf(o.Kit), People: countsOf(o.People), Unsent: unsentOf(o.Unsent), MassKg: p.number(o.MassKg, perKg), VolumeM3: p.number(o.VolumeM3, perKg),
		}
	}
	return out
}

func unsentOf(list []finding.NoLabour) []UnsentPeople {
	out := make([]UnsentPeople, len(list))
	for i, n := range list {
		out[i] = UnsentPeople{Labour: n.Labour, Quantity: n.Quantity}
	}
	return out
}

// job is the request's job in canonical form.
func (p *printer) job(j *job.Job) Job {
	out := Job{
		Name: j.Name, Notes: j.Notes, TimeZone: j.TimeZone, Production: Production{Name: j.Production.Name, Contact: j.Production.Contact, Address: j.Production.Address},
		Hire: Hire{From: j.From.String(), To: j.To.String()}, Moves: make([]PlaceMove, len(j.Moves)), Places: make(map[string]Place, len(j.Sites)),
		Shots: make([]JobShot, len(j.Shots)),
	}
	for i, m := range j.Moves {
		out.Moves[i] = PlaceMove{Between: m.Between[:], Minutes: m.Minutes}
	}
	for i := range j.Sites {
		out.Places[j.Sites[i].Name] = placeJSON(&j.Sites[i])
	}
	for i := range j.Shots {
		out.Shots[i] = jobShot(&j.Shots[i])
	}
	return out
}

func placeJSON(s *job.Site) Place {
	site := siteJSON(&s.Site)
	out := Place{
		LatitudeDeg: site.LatitudeDeg, LongitudeDeg: site.LongitudeDeg, ElevationM: site.ElevationM, PressureHpa: site.PressureHpa, TemperatureC: site.TemperatureC,
		TimeZone: site.TimeZone, Roofed: site.Roofed, Ground: site.Ground, GroundReflectance: site.GroundReflectance, Anchors: site.Anchors,
		Forecast: make([]ForecastRow, len(s.Forecast)),
	}
	for i, row := range s.Forecast {
		out.Forecast[i] = ForecastRow{At: printable(row.At), GustMs: row.GustMS, Cloud: row.Cloud}
	}
	return out
}

func jobShot(s *job.Shot) JobShot {
	e := echoOf(s.Shot)
	out := JobShot{
		Number: s.Number, Place: s.Place, Name: e.Name, Sky: e.Sky, Camera: e.Camera, Framing: e.Framing, Zone: e.Zone, Look: e.Look, OtherZones: e.OtherZones,
		Background: e.Background, Exposure: e.Exposure, Allowance: e.Allowance, GroundAnchor: e.GroundAnchor, GustMs: e.GustMs, SafetyFactor: e.SafetyFactor,
		Supply: e.Supply, Lamps: e.Lamps, Walk: e.Walk, Forecast: e.Forecast, Limits: limitsJSON(s), Prefer: s.Prefer,
	}
	if s.Pin != "" {
		out.Pin = &s.Pin
	}
	if w := s.When; w != nil {
		out.When = &When{Date: w.Date.String(), Earliest: w.Earliest, Latest: w.Latest, DurationMin: w.DurationMin}
	} else {
		out.Window = &e.Window
	}
	return out
}

func limitsJSON(s *job.Shot) Limits {
	l := &s.Limits
	out := Limits{Crew: l.Crew, RigHeightM: l.RigHeightM, MassKg: l.MassKg}
	if l.PricePerDay != nil {
		m := money(*l.PricePerDay)
		out.PricePerDay = &m
	}
	if l.TotalPerDay != nil {
		m := money(*l.TotalPerDay)
		out.TotalPerDay = &m
	}
	if l.VehicleSKU != "" {
		out.VehicleSku = &l.VehicleSKU
	}
	return out
}

func (r rendered) VisitCreatePlanResponse(w http.ResponseWriter) error { return r.write(w) }

func (r rendered) VisitGetJobPlanResponse(w http.ResponseWriter) error { return r.write(w) }

// GetJobPlan plans a job that is kept.
func (s *Server) GetJobPlan(ctx context.Context, req GetJobPlanRequestObject) (GetJobPlanResponseObject, error) {
	kept, err := s.jobs.Job(ctx, req.Job)
	if err != nil {
		return nil, jobRefusal(err, req.Job, job.Bare)
	}
	q := &req.Params
	draft := office.JobDraft{House: &q.House, Job: kept.Draft, Aim: wordOf(q.Aim), Terms: wordOf(q.Terms), Crew: q.Crew, MassKg: q.MassKg, Seconds: q.Seconds}
	if q.Forbid != nil {
		draft.Forbid = strings.Split(*q.Forbid, ",")
	}
	var faults []Fault
	if q.Total != nil {
		house, err := s.desk.Snapshot(ctx, q.House)
		if err == nil { // else the house is the fault
			total, err := catalog.ParseMoney(*q.Total, house.House.Currency)
			if err != nil {
				faults = append(faults, faultOf("total", fault.NotAnAmount{Reason: err.Error()}))
			}
			draft.Total = &total
		}
	}
	planning, unsound, err := s.desk.TakeJob(ctx, draft)
	if err != nil {
		return nil, officeRefusal(err, q.House)
	}
	for _, f := range job.Bare(unsound) {
		faults = append(faults, asParameter(f))
	}
	if len(faults) > 0 {
		return nil, invalid(faults)
	}
	body, err := s.planNow(ctx, planning, deref(q.Pool))
	if err != nil {
		return nil, err
	}
	return rendered{status: http.StatusOK, body: body}, nil
}

// asParameter places a fault of what stands beside a job at the parameter that says it.
func asParameter(f fault.Fault) Fault {
	name := strings.TrimPrefix(strings.TrimPrefix(f.Pointer, "/"), "limits/")
	if name, _, _ = strings.Cut(name, "/"); name == "shots" || name == "places" {
		return Fault{Pointer: f.Pointer, Kind: f.Kind}
	}
	return Fault{Parameter: name, Kind: f.Kind}
}
