// Package office takes shots to rental houses: it finds the catalogue, resolves what was said of the shot, and opens the
// price desk at the right day's rates. Every face (JSON, pages, command line) brings its requests here.
package office

import (
	"context"
	"errors"
	"strings"
	"time"

	"github.com/bojanz/currency"

	"kitspan/internal/catalog"
	"kitspan/internal/fault"
	"kitspan/internal/price"
	"kitspan/internal/shot"
	"kitspan/internal/terms"
)

// Stock is where an [Office] finds the catalogues: a database or the built-in demo. An unknown house is [catalog.ErrNoHouse].
type Stock interface {
	Houses(ctx context.Context) ([]catalog.House, error)
	Snapshot(ctx context.Context, house string) (*catalog.Snapshot, error)
}

// Office answers for shots.
type Office struct {
	Stock Stock
	// Terms is where houses' terms are found; nil where no house has any.
	Terms terms.Book
	// Now returns the current time: a shot of a day gone by is priced at the rates of today.
	Now func() time.Time
	// Capacity bounds what is solved at once, over all faces; nil bounds nothing, for a command that solves one request.
	Capacity *Capacity
}

// Job is a request ready to be worked on. Of a request with faults the parts that are sound may be there; the rest is
// zero.
type Job struct {
	Shot   shot.Shot
	Stock  *catalog.Snapshot
	Prices *price.Desk
}

// Take reads a draft against a house, nil where none was named. Faults are all that is wrong with the request, by the
// pointers of the sizing request; an error is the storage's.
func (o Office) Take(ctx context.Context, house *string, draft shot.Draft) (Job, []fault.Fault, error) {
	resolved, faults := draft.Resolve()
	stock, houseFault, err := o.stock(ctx, house)
	if err != nil {
		return Job{}, nil, err
	}
	if houseFault != nil {
		faults = append(faults, *houseFault)
	}
	if stock != nil {
		faults = append(faults, limitFaults(&draft.Limits, stock)...)
	}
	job := Job{Shot: resolved, Stock: stock}
	if len(faults) == 0 {
		job.Prices = price.NewDesk(stock, o.ratesOn(resolved, stock.House))
	}
	return job, faults, nil
}

// limitFaults lists what is wrong with limits against a house: another currency, or what is no vehicle of its own.
func limitFaults(l *shot.DraftLimits, stock *catalog.Snapshot) (faults []fault.Fault) {
	for _, m := range []struct {
		name   string
		amount *currency.Amount
	}{{"price_per_day", l.PricePerDay}, {"total_per_day", l.TotalPerDay}} {
		if m.amount == nil || m.amount.CurrencyCode() == stock.House.Currency {
			continue
		}
		faults = append(faults, fault.Fault{Pointer: "/limits/" + m.name + "/currency",
			Kind: fault.OtherCurrency{Got: m.amount.CurrencyCode(), House: stock.House.Slug, Want: stock.House.Currency}})
	}
	if l.VehicleSKU != nil {
		faults = append(faults, shot.VehicleFaults(*l.VehicleSKU, stock)...)
	}
	return faults
}

func (o Office) stock(ctx context.Context, house *string) (*catalog.Snapshot, *fault.Fault, error) {
	if house == nil || *house == "" {
		return nil, &fault.Fault{Pointer: "/house", Kind: fault.Missing{Want: fault.WantHouse, Words: o.HouseNames(ctx)}}, nil
	}
	stock, err := o.Snapshot(ctx, *house)
	if errors.Is(err, catalog.ErrNoHouse) {
		return nil, &fault.Fault{Pointer: "/house", Kind: fault.UnknownHouse{Got: cut(*house), Words: o.HouseNames(ctx)}}, nil
	}
	return stock, nil, err
}

// Snapshot returns a house's catalogue; [catalog.ErrNoHouse] where there is none of that name.
func (o Office) Snapshot(ctx context.Context, house string) (*catalog.Snapshot, error) {
	if !catalog.IsSlug(house) {
		return nil, catalog.ErrNoHouse
	}
	return o.Stock.Snapshot(ctx, house)
}

// HouseNames lists the houses for a fault; nil where they are many, or where the storage does not say: a fault must not fail
// because the list does.
func (o Office) HouseNames(ctx context.Context) []string {
	const most = 20
	houses, err := o.Stock.Houses(ctx)
	if err != nil || len(houses) == 0 || len(houses) > most {
		return nil
	}
	names := make([]string, len(houses))
	for i, h := range houses {
		names[i] = h.Slug
	}
	return names
}

// ratesOn is the date whose rates price a shot: its own, known rates to come included; today's where it is over.
func (o Office) ratesOn(resolved shot.Shot, h catalog.House) catalog.Date {
	if now := o.Today(h); now.After(resolved.Window.Date) {
		return now
	}
	return resolved.Window.Date
}

// Today returns a house's date.
func (o Office) Today(h catalog.House) catalog.Date { return DateIn(ZoneOf(h), o.Now()) }

// ZoneOf returns the zone whose dates a house's rates follow.
func ZoneOf(h catalog.House) *time.Location {
	zone, err := time.LoadLocation(h.TimeZone)
	if err != nil { // a stored house has a zone that was checked; a smaller zone database must not stop the desk
		return time.UTC
	}
	return zone
}

// DateIn returns the calendar day of an instant in a zone.
func DateIn(zone *time.Location, now time.Time) catalog.Date {
	now = now.In(zone)
	return catalog.Date{Year: now.Year(), Month: now.Month(), Day: now.Day()}
}

// longestName is how much of a name a fault repeats.
const longestName = 60

func cut(s string) string {
	if len(s) <= longestName {
		return s
	}
	return strings.ToValidUTF8(s[:longestName], "") + "…"
}
