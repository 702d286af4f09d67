package web

import (
	"context"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"sync"

	"github.com/bojanz/currency"
	"github.com/labstack/echo/v4"

	"kitspan/internal/catalog"
	"kitspan/internal/fault"
	"kitspan/internal/job"
	"kitspan/internal/office"
	"kitspan/internal/phrase"
	"kitspan/internal/text"
)

// What is asked of the plan of a job stands in its address: at which house, to what end, within which limits, without which items.

const (
	aimField    = "aim"
	jobCrew     = "crew"
	jobTotal    = "total"
	forbidField = "forbid"
	// mostForbidden is how many items an address may take out.
	mostForbidden = 200
)

// planAsk is what an address asks.
type planAsk struct {
	House     catalog.House // zero where there is none of that name
	House0    string        // as it was asked
	Aim       string
	Crew      string
	Total     string
	Forbid    []string
	request   office.JobDraft
	Errors    map[string]string // by field
	General   []string
	OfJob     []string // faults of the job itself
	Houses    []catalog.House
	forPeople text.Reader
}

// aims are what a plan may be chosen by.
var aims = []word{{"", "the least cost"}, {office.AimMass, "the least mass on a day"}, {office.AimPeople, "the fewest people at once"}}

// askOf reads an address.
func (s jobPages) askOf(c echo.Context, stored *job.Stored) (*planAsk, error) {
	houses, err := s.Office.Stock.Houses(c.Request().Context())
	if err != nil {
		return nil, err
	}
	q, r := c.Request().URL.Query(), readerOf(c.Request(), "")
	return askIn(q, houses, stored, r), nil
}

func askIn(q url.Values, houses []catalog.House, stored *job.Stored, r reader) *planAsk {
	a := &planAsk{
		House0: strings.TrimSpace(q.Get(houseField)), Aim: q.Get(aimField), Crew: strings.TrimSpace(q.Get(jobCrew)), Total: strings.TrimSpace(q.Get(jobTotal)),
		Forbid: q[forbidField], Errors: map[string]string{}, Houses: houses, forPeople: r.text(),
	}
	if a.House0 == "" && len(houses) > 0 {
		a.House0 = houses[0].Slug
	}
	if i := slices.IndexFunc(houses, func(h catalog.House) bool { return h.Slug == a.House0 }); i >= 0 {
		a.House = houses[i]
	} else if a.House0 != "" {
		const longest = 60
		slugs := make([]string, len(houses))
		for k := range houses {
			slugs[k] = houses[k].Slug
		}
		a.blame([]fault.Fault{{Pointer: "/house", Kind: fault.UnknownHouse{Got: a.House0[:min(len(a.House0), longest)], Words: slugs}}})
	}
	if a.Aim == office.AimPrice {
		a.Aim = ""
	}
	slices.Sort(a.Forbid)
	a.Forbid = slices.Compact(a.Forbid)
	a.Forbid = a.Forbid[:min(len(a.Forbid), mostForbidden)]
	a.request = office.JobDraft{House: &a.House0, Job: stored.Draft, Forbid: a.Forbid}
	if a.Aim != "" {
		a.request.Aim = &a.Aim
	}
	n := notationOf(q.Get(numbersField), r.notation)
	if a.Crew != "" {
		crew, err := strconv.Atoi(a.Crew)
		if err != nil {
			a.Errors[jobCrew] = r.language.Say("give a whole number of people, such as 6")
		}
		a.request.Crew = &crew
	}
	if a.Total != "" && a.House.Currency != "" {
		a.total(n, r)
	}
	return a
}

// total reads the limit of money, in the house's currency.
func (a *planAsk) total(n notation, r reader) {
	v, err := n.number(a.Total)
	if err != nil {
		f := shotForm{to: r.text()}
		a.Errors[jobTotal] = f.wrongNumber(err, "give an amount of 0 or more, such as 400")
		return
	}
	digits, _ := currency.GetDigits(a.House.Currency)
	amount, err := catalog.ParseMoney(strconvFixed(v, int(digits)), a.House.Currency)
	if err != nil {
		a.Errors[jobTotal] = r.language.Say("give an amount of 0 or more, such as 400")
		return
	}
	a.request.Total = &amount
	a.Total = anyNotation(v)
}

// query is the address of what is asked, as every notation reads it; changes have the last word, and an item after "+" or "-" is taken out of
// the plan or let in again.
func (a *planAsk) query(changes ...string) string {
	q := url.Values{houseField: {a.House0}}
	for name, v := range map[string]string{aimField: a.Aim, jobCrew: a.Crew, jobTotal: a.Total} {
		if v != "" {
			q.Set(name, v)
		}
	}
	forbid := slices.Clone(a.Forbid)
	for i := 0; i+1 < len(changes); i += 2 {
		switch name, v := changes[i], changes[i+1]; name {
		case "-":
			forbid = append(forbid, v)
		case "+":
			forbid = slices.DeleteFunc(forbid, func(sku string) bool { return sku == v })
		default:
			q.Set(name, v)
		}
	}
	slices.Sort(forbid)
	for _, sku := range forbid {
		q.Add(forbidField, sku)
	}
	return q.Encode()
}

// blame puts faults beside the fields of what is asked, and keeps those of the job apart.
func (a *planAsk) blame(faults []fault.Fault) {
	l := a.forPeople.Language()
	for _, wrong := range faults {
		switch {
		case wrong.Pointer == job.Pointer+"/shots" && isMissing(wrong):
			a.OfJob = append(a.OfJob, l.Say("it has no shots yet"))
		case strings.HasPrefix(wrong.Pointer, job.Pointer+"/"):
			a.OfJob = append(a.OfJob, labelled(l, text.Fault(a.forPeople, wrong)))
		case wrong.Pointer == "/house", wrong.Pointer == "/aim":
			a.Errors[strings.TrimPrefix(wrong.Pointer, "/")] = text.FaultBeside(a.forPeople, wrong)
		case strings.HasPrefix(wrong.Pointer, "/limits/"):
			field, _, _ := strings.Cut(strings.TrimPrefix(wrong.Pointer, "/limits/"), "/")
			if a.Errors[field] == "" {
				a.Errors[field] = text.FaultBeside(a.forPeople, wrong)
			}
		default:
			a.General = append(a.General, labelled(l, text.Fault(a.forPeople, wrong)))
		}
	}
}

func isMissing(f fault.Fault) bool {
	_, missing := f.Kind.(fault.Missing)
	return missing
}

func (a *planAsk) sound() bool { return len(a.Errors) == 0 && len(a.General) == 0 && len(a.OfJob) == 0 }

// faults are what is wrong with what is asked, for the list on top.
func (a *planAsk) faults() (out []cellFault) {
	labels := map[string]phrase.Key{houseField: "Rental house", aimField: "Choose by", jobCrew: "People at most", jobTotal: "All of it at most"}
	for _, name := range []string{houseField, aimField, jobCrew, jobTotal} {
		if says := a.Errors[name]; says != "" {
			out = append(out, cellFault{Field: name, Label: labels[name], Says: says})
		}
	}
	for _, says := range a.General {
		out = append(out, cellFault{Says: says})
	}
	return out
}

// plansKept are the last plans that were worked out, so that the sheets of a plan do not ask for it again. A plan is kept for the state of the
// job and of the catalogue that it was made of.
type plansKept struct {
	mu   sync.Mutex
	list []keptPlan // the last first
}

type keptPlan struct {
	key  planKey
	plan *job.Plan
}

type planKey struct {
	job     string
	version int64
	query   string
	stock   *catalog.Snapshot
	today   catalog.Date
}

// mostPlansKept bounds them: a plan of forty shots takes some megabytes.
const mostPlansKept = 8

func (k *plansKept) find(key planKey) *job.Plan {
	k.mu.Lock()
	defer k.mu.Unlock()
	i := slices.IndexFunc(k.list, func(p keptPlan) bool { return p.key == key })
	if i < 0 {
		return nil
	}
	found := k.list[i]
	copy(k.list[1:i+1], k.list[:i])
	k.list[0] = found
	return found.plan
}

func (k *plansKept) keep(key planKey, plan *job.Plan) {
	k.mu.Lock()
	defer k.mu.Unlock()
	k.list = slices.Insert(k.list, 0, keptPlan{key, plan})
	k.list = k.list[:min(len(k.list), mostPlansKept)]
}

// planOf plans the job, or takes the plan that was made of the same. It is nil where something is wrong with what was asked, which then says so;
// errors are those of the office.
func (s jobPages) planOf(ctx context.Context, stored *job.Stored, a *planAsk) (*job.Plan, error) {
	if !a.sound() {
		return nil, nil
	}
	key := planKey{job: stored.ID, version: stored.Version, query: a.query(), today: s.Office.Today(a.House)}
	if a.House.Slug != "" {
		var err error
		if key.stock, err = s.Office.Snapshot(ctx, a.House.Slug); err != nil {
			return nil, err
		}
	}
	if plan := s.plans.find(key); plan != nil {
		return plan, nil
	}
	planning, faults, err := s.Office.TakeJob(ctx, a.request)
	if err != nil {
		return nil, err
	}
	if a.blame(faults); len(faults) > 0 {
		return nil, nil
	}
	if sizings, long := planning.Long(); long {
		return nil, &longError{len(planning.Job.Shots), sizings}
	}
	plan, err := s.Office.PlanJob(ctx, planning)
	if err != nil {
		return nil, err
	}
	s.plans.keep(key, plan)
	return plan, nil
}
