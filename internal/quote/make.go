package quote

import (
	"slices"
	"strconv"
	"time"

	"github.com/bojanz/currency"

	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/job"
	"kitspan/internal/price"
	"kitspan/internal/terms"
)

// Request is what is asked of a quote beside the plan.
type Request struct {
	Buyer  Buyer
	MadeAt time.Time
	Km     price.Decimal
	Trips  int
	Hours  map[catalog.Date]price.Decimal
	Extras []Extra
}

// Extra is what is added to a plan, on lines of its own.
type Extra struct {
	Item      *catalog.Item
	Quantity  int
	From, To  catalog.Date // within the hire
	RateMinor []int64      // of each of its days
	Reason    string
}

// Make prices a plan by the terms that it was made by. Its error is [price.ErrTooMuch].
func Make(plan *job.Plan, stock *catalog.Snapshot, req *Request) (*Quote, error) {
	by := plan.Terms
	if by == nil {
		by = terms.None(plan.House.Currency)
	}
	a := Asked{
		Terms: by, From: plan.Job.From, To: plan.Job.To, CustomerPercent: req.Buyer.Percent, Insured: req.Buyer.Insured, Km: req.Km, Trips: req.Trips, Hours: req.Hours,
	}
	g := gatherer{stock: stock, to: &a}
	if err := g.plan(plan); err != nil {
		return nil, err
	}
	for i := range req.Extras {
		g.extra(&req.Extras[i])
	}
	byDay := func(x, y Piece) int { return daysFrom(y.From, x.From) }
	slices.SortStableFunc(a.Labour, byDay)
	slices.SortStableFunc(a.Transport, byDay)
	sums, err := Price(a)
	if err != nil {
		return nil, err
	}
	q := &Quote{House: plan.House, Plan: plan, Terms: plan.Terms, Customer: req.Buyer, MadeAt: req.MadeAt, Notes: notesOf(plan, req.Hours), Sums: sums}
	if plan.Terms != nil && plan.Terms.ValidDays > 0 {
		zone, err := time.LoadLocation(plan.House.TimeZone)
		if err != nil { // a house has a zone that was checked
			zone = time.UTC
		}
		t := req.MadeAt.In(zone).AddDate(0, 0, plan.Terms.ValidDays)
		q.ValidTo = catalog.Date{Year: t.Year(), Month: t.Month(), Day: t.Day()}
	}
	return q, nil
}

// notesOf leaves out what a plan says of a long day whose hours are said and priced.
func notesOf(plan *job.Plan, hours map[catalog.Date]price.Decimal) (out []finding.Note) {
	for _, n := range plan.Notes {
		if long, ok := n.(finding.LongDay); ok {
			if day, err := catalog.ParseDate(long.Date); err == nil {
				if _, said := hours[day]; said {
					continue
				}
			}
		}
		out = append(out, n)
	}
	return out
}

// gatherer sorts what a plan has, and what is added, by how it is priced.
type gatherer struct {
	stock *catalog.Snapshot
	to    *Asked
}

func (g *gatherer) plan(plan *job.Plan) error {
	for i := range plan.Kit {
		l := &plan.Kit[i]
		rate, err := l.DayRate.Int64()
		if err != nil {
			return price.ErrTooMuch
		}
		g.add(g.stock.Item(l.SKU), Piece{Quantity: l.Quantity, From: l.From, To: l.To, RateMinor: rate, Shots: l.NeededBy})
	}
	for i := range plan.Days {
		d := &plan.Days[i]
		var shots []string
		for s := range plan.Shots {
			if p := &plan.Shots[s]; p.Option != nil && plan.Job.Day(s) == d.Date {
				shots = append(shots, p.Number)
			}
		}
		for _, l := range d.People {
			if err := g.day(&g.to.Labour, l, d.Date, shots); err != nil {
				return err
			}
		}
		for _, l := range d.Vehicles { // drivers among them
			if err := g.day(&g.to.Transport, l, d.Date, shots); err != nil {
				return err
			}
		}
	}
	return nil
}

func (g *gatherer) day(to *[]Piece, l job.DayLine, on catalog.Date, shots []string) error {
	rate, err := l.DayRate.Int64()
	if err != nil {
		return price.ErrTooMuch
	}
	*to = append(*to, named(g.stock.Item(l.SKU), Piece{Quantity: l.Quantity, From: on, To: on, RateMinor: rate, Shots: shots}))
	return nil
}

// extra adds items of the house to what the plan has: people and vehicles a line a day, and drivers with the vehicles.
func (g *gatherer) extra(e *Extra) {
	p := Piece{Quantity: e.Quantity, From: e.From, To: e.To, RateMinor: e.RateMinor[0], Reason: e.Reason}
	if kind := e.Item.Kind(); kind != catalog.KindLabour && kind != catalog.KindVehicle {
		g.add(e.Item, p)
		return
	}
	for k, rate := range e.RateMinor {
		t := time.Date(e.From.Year, e.From.Month, e.From.Day+k, 0, 0, 0, 0, time.UTC)
		p.From = catalog.Date{Year: t.Year(), Month: t.Month(), Day: t.Day()}
		p.To, p.RateMinor = p.From, rate
		g.add(e.Item, p)
	}
}

// add puts a piece where its item's kind belongs.
func (g *gatherer) add(item *catalog.Item, p Piece) {
	p = named(item, p)
	switch spec := item.Spec.(type) {
	case *catalog.Expendable:
		g.to.Sales = append(g.to.Sales, p)
	case *catalog.Labour:
		if spec.Role == catalog.RoleDriver {
			g.to.Transport = append(g.to.Transport, p)
		} else {
			g.to.Labour = append(g.to.Labour, p)
		}
	case *catalog.Vehicle:
		g.to.Transport = append(g.to.Transport, p)
	default:
		g.to.Hire = append(g.to.Hire, p)
	}
}

// named fills in what the catalogue says of an item.
func named(item *catalog.Item, p Piece) Piece {
	p.SKU, p.Name, p.Account = item.SKU, item.Name, item.Account
	if people, ok := item.Spec.(*catalog.Labour); ok {
		// To a ten-thousandth of an hour, which is a third of a second.
		p.HoursPerDay, _ = price.ParseDecimal(strconv.FormatFloat(people.HoursPerDay, 'f', 4, 64))
	}
	return p
}

// Money returns minor units in the currency of the house.
func (q *Quote) Money(minor int64) currency.Amount {
	a, _ := currency.NewAmountFromInt64(minor, q.House.Currency) // the code of a house
	return a
}
