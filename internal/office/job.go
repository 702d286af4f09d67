package office

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"time"

	"github.com/bojanz/currency"

	"kitspan/internal/catalog"
	"kitspan/internal/fault"
	"kitspan/internal/job"
	"kitspan/internal/price"
	"kitspan/internal/sharedkit"
	"kitspan/internal/terms"
)

// JobDraft is a job as it was given, with what is asked of its plan.
type JobDraft struct {
	House   *string
	Job     job.Draft
	Aim     *string
	Crew    *int
	Total   *currency.Amount
	MassKg  *float64
	Forbid  []string
	Terms   *string
	Seconds *float64
}

// Planning is a job ready to be planned.
type Planning struct {
	job.Request
	// Seconds bounds the search; 0 does not.
	Seconds float64
}

// The words of a plan request.
const (
	AimPrice  = "price"
	AimMass   = "mass"
	AimPeople = "people"

	TermsNone  = "none"
	TermsHouse = "house"
)

// mostSeconds is the longest search that may be asked for.
const mostSeconds = 600

// TakeJob reads a job against a house. Faults are all that is wrong, by the pointers of a plan request; an error is the storage's.
func (o Office) TakeJob(ctx context.Context, d JobDraft) (Planning, []fault.Fault, error) {
	resolved, faults := d.Job.Resolve()
	if len(d.Job.Shots) == 0 {
		faults = append(faults, fault.Fault{Pointer: job.Pointer + "/shots", Kind: fault.Missing{Want: fault.WantArray}})
	}
	stock, houseFault, err := o.stock(ctx, d.House)
	if err != nil {
		return Planning{}, nil, err
	}
	if houseFault != nil {
		faults = append(faults, *houseFault)
	}
	aims := map[string]sharedkit.Aim{AimPrice: sharedkit.Price, AimMass: sharedkit.Mass, AimPeople: sharedkit.People}
	p := Planning{Request: job.Request{Job: resolved, Stock: stock}}
	if d.Aim != nil {
		var ok bool
		if p.Aim, ok = aims[*d.Aim]; !ok {
			faults = append(faults, fault.Fault{Pointer: "/aim", Kind: fault.NotOneOf{Got: cut(*d.Aim), Words: []string{AimPrice, AimMass, AimPeople}}})
		}
	}
	by := TermsNone
	if d.Terms != nil {
		by = *d.Terms
	}
	switch {
	case by != TermsNone && by != TermsHouse:
		faults = append(faults, fault.Fault{Pointer: "/terms", Kind: fault.NotOneOf{Got: cut(by), Words: []string{TermsNone, TermsHouse}}})
	case by == TermsHouse && stock != nil && resolved.From != (catalog.Date{}): // else the house or the days are the fault
		p.Terms, err = o.termsOn(ctx, stock.House.Slug, resolved.From)
		if errors.Is(err, terms.ErrNone) {
			faults = append(faults, fault.Fault{Pointer: "/terms", Kind: fault.NoTerms{House: stock.House.Slug, Date: resolved.From.String()}})
		} else if err != nil {
			return Planning{}, nil, err
		}
	}
	p.Limits, faults = jobLimits(&d, stock, faults)
	if s := d.Seconds; s != nil {
		if !(*s > 0 && *s <= mostSeconds) {
			faults = append(faults, fault.Fault{Pointer: "/seconds", Kind: fault.OutOfRange{Got: *s, Range: fault.Range{Most: mostSeconds, Open: true, Unit: "s"}}})
		}
		p.Seconds = *s
	}
	if stock != nil {
		faults = append(faults, forbidFaults(d.Forbid, stock)...)
		for i := range d.Job.Shots {
			for _, f := range limitFaults(&d.Job.Shots[i].Limits, stock) {
				f.Pointer = job.ShotPointer(i) + f.Pointer
				faults = append(faults, f)
			}
		}
	}
	if len(faults) > 0 {
		return Planning{}, faults, nil
	}
	p.Stock = stock.Without(d.Forbid)
	today := o.Today(stock.House)
	p.Prices = func(day catalog.Date) *price.Desk {
		if today.After(day) { // a day gone by is priced at the rates of today
			day = today
		}
		return price.NewDesk(p.Stock, day)
	}
	return p, nil, nil
}

// termsOn returns the terms of a house for a hire that begins on a day, and [terms.ErrNone] where there are none.
func (o Office) termsOn(ctx context.Context, house string, day catalog.Date) (*terms.Terms, error) {
	if o.Terms == nil {
		return nil, terms.ErrNone
	}
	return o.Terms.TermsOn(ctx, house, day)
}

// jobLimits reads the limits of a whole job.
func jobLimits(d *JobDraft, stock *catalog.Snapshot, faults []fault.Fault) (job.Limits, []fault.Fault) {
	var l job.Limits
	out := func(name string, got float64, r fault.Range) {
		faults = append(faults, fault.Fault{Pointer: "/limits/" + name, Kind: fault.OutOfRange{Got: got, Range: r}})
	}
	if n := d.Crew; n != nil {
		const most = 1000
		if l.Crew = *n; *n < 1 || *n > most {
			out("crew", float64(*n), fault.Range{Least: 1, Most: most, Unit: "people"})
		}
	}
	if kg := d.MassKg; kg != nil {
		const most = 1e6
		if l.MassKg = *kg; !(*kg > 0 && *kg <= most) {
			out("mass_kg", *kg, fault.Range{Most: most, Open: true, Unit: "kg"})
		}
	}
	if l.Total = d.Total; l.Total != nil && stock != nil && l.Total.CurrencyCode() != stock.House.Currency {
		faults = append(faults, fault.Fault{Pointer: "/limits/total/currency",
			Kind: fault.OtherCurrency{Got: l.Total.CurrencyCode(), House: stock.House.Slug, Want: stock.House.Currency}})
	}
	if l.Total != nil {
		if _, err := l.Total.Int64(); err != nil {
			l.Total = nil // more than can be counted bounds nothing
		}
	}
	return l, faults
}

// forbidFaults lists what is wrong with items that are not to be used.
func forbidFaults(skus []string, stock *catalog.Snapshot) (faults []fault.Fault) {
	for i, sku := range skus {
		at := fmt.Sprintf("/forbid/%d", i)
		if stock.Item(sku) == nil {
			faults = append(faults, fault.Fault{Pointer: at, Kind: fault.UnknownItem{Got: cut(sku), House: stock.House.Slug}})
		} else if before := slices.Index(skus[:i], sku); before >= 0 {
			faults = append(faults, fault.Fault{Pointer: at, Kind: fault.Repeated{Got: cut(sku), First: fmt.Sprintf("/forbid/%d", before)}})
		}
	}
	return faults
}

// defaultSearch bounds the search for a better choice where nobody says how long it may take: past it the gain is small (common practice,
// no source).
const defaultSearch = time.Minute

// PlanJob plans a job. The search for a better choice ends after the seconds asked, and before the time for a request is over; what was
// found by then is the plan. Its errors are those of [Office.Plan].
func (o Office) PlanJob(ctx context.Context, p Planning) (plan *job.Plan, err error) {
	err = o.Capacity.solve(ctx, asManyAsFree, func(ctx context.Context, workers int) (err error) {
		p.Workers = workers
		plan, err = p.plan(ctx)
		return err
	})
	if err != nil {
		return nil, fmt.Errorf("plan a job from house %s: %w", p.Stock.House.Slug, err)
	}
	return plan, nil
}

// plan plans as long as it may.
func (p *Planning) plan(ctx context.Context) (*job.Plan, error) {
	limit := defaultSearch
	if p.Seconds > 0 {
		limit = time.Duration(p.Seconds * float64(time.Second))
	}
	if end, bounded := ctx.Deadline(); bounded {
		const share = 0.7 // of the time that is left; the rest is for writing the plan out
		limit = min(limit, time.Duration(share*float64(time.Until(end))))
	}
	search, cancel := context.WithTimeout(ctx, limit)
	defer cancel()
	return job.Make(ctx, search, p.Request)
}
