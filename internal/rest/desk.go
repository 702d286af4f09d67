package rest

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"time"

	"kitspan/internal/catalog"
	"kitspan/internal/quote"
	"kitspan/internal/sizing"
)

// Stock is where a [Desk] finds the catalogues: a database or the built-in demo. An unknown house is [catalog.ErrNoHouse].
type Stock interface {
	Houses(ctx context.Context) ([]catalog.House, error)
	Snapshot(ctx context.Context, house string) (*catalog.Snapshot, error)
}

// Desk answers sizing requests. The server and the command line share it.
type Desk struct {
	Stock Stock
	// Now says the time: a shot of a day gone by is priced at the rates of today.
	Now func() time.Time
}

// SizeJSON sizes the shot of the JSON body of a sizing request. What is wrong with the request comes back as a
// [*Refusal].
func (d Desk) SizeJSON(ctx context.Context, body []byte) (sizing.Result, error) {
	var req SizingRequest
	excess, err := DecodeJSON(body, &req)
	if err != nil {
		return sizing.Result{}, err
	}
	return d.size(ctx, &req, excess)
}

// size walks a request to its result; excess are the numbers that the decoder found out of range.
func (d Desk) size(ctx context.Context, req *SizingRequest, excess []Fault) (sizing.Result, error) {
	job, faults, err := d.take(ctx, req)
	if err != nil {
		return sizing.Result{}, err
	}
	// The decoder's come last: where the engine names the same field, it says what the range is.
	if faults = append(faults, excess...); len(faults) > 0 {
		return sizing.Result{}, invalid(faults)
	}
	result, err := sizing.Plan(job.shot, job.stock, job.prices)
	if err != nil {
		return sizing.Result{}, fmt.Errorf("size a shot from house %s: %w", job.stock.House.Slug, err)
	}
	return result, nil
}

// job is a request ready to be worked on. Of a request with faults the parts that are sound may be there; the rest is
// zero.
type job struct {
	shot   sizing.Shot
	stock  *catalog.Snapshot
	prices sizing.Pricer
}

// take reads what every request about a shot has: the shot, the house, limits and preference.
func (d Desk) take(ctx context.Context, req *SizingRequest) (job, []Fault, error) {
	draft, faults := draftOf(req)
	shot, unsound := draft.Resolve()
	faults = append(faults, faultsOf(unsound)...)
	stock, houseFault, err := d.stock(ctx, req)
	if err != nil {
		return job{}, nil, err
	}
	if houseFault != nil {
		faults = append(faults, *houseFault)
	}
	if stock != nil && draft.Limits.PricePerDay != nil {
		if code := draft.Limits.PricePerDay.CurrencyCode(); code != stock.House.Currency {
			faults = append(faults, Fault{Pointer: "/limits/price_per_day/currency",
				Detail: fmt.Sprintf("currency is %s; house %s reckons in %s", code, stock.House.Slug, stock.House.Currency)})
		}
	}
	out := job{shot: shot, stock: stock}
	if len(faults) == 0 {
		out.prices = quote.NewDesk(stock, d.ratesOn(shot, stock.House))
	}
	return out, faults, nil
}

// faultsOf are the engine's faults in the answer's terms.
func faultsOf(list []sizing.Fault) []Fault {
	out := make([]Fault, len(list))
	for i, f := range list {
		out[i] = Fault{Pointer: f.Pointer, Detail: f.Detail}
	}
	return out
}

func (d Desk) stock(ctx context.Context, req *SizingRequest) (*catalog.Snapshot, *Fault, error) {
	if req.House == nil {
		return nil, &Fault{Pointer: "/house", Detail: "house is missing; give " + d.houseNames(ctx)}, nil
	}
	stock, err := d.Stock.Snapshot(ctx, *req.House)
	if errors.Is(err, catalog.ErrNoHouse) {
		return nil, &Fault{Pointer: "/house", Detail: "there is no house " + cut(*req.House) + "; give " + d.houseNames(ctx)}, nil
	}
	return stock, nil, err
}

// houseNames lists the houses for a message, which must not fail for want of the list.
func (d Desk) houseNames(ctx context.Context) string {
	const most = 20
	houses, err := d.Stock.Houses(ctx)
	if err != nil || len(houses) == 0 || len(houses) > most {
		return "the short name of a house of GET /v1/houses"
	}
	names := make([]string, len(houses))
	for i, h := range houses {
		names[i] = h.Slug
	}
	return "one of " + strings.Join(names, ", ")
}

// ratesOn is the date whose rates price a shot: its own, known rates to come included; today's where it is over.
func (d Desk) ratesOn(shot sizing.Shot, h catalog.House) catalog.Date {
	if now := dateIn(zoneOf(h), d.Now()); now.After(shot.Window.Date) {
		return now
	}
	return shot.Window.Date
}

// ItemsJSON is the JSON list of all of a house's items of a kind, or of every kind where kind is empty, with the rates of
// today. An unknown house or kind comes back as a [*Refusal].
func (d Desk) ItemsJSON(ctx context.Context, house, kind string) ([]byte, error) {
	var faults []Fault
	var only catalog.Kind
	if kind != "" {
		var wrong []Fault
		only, wrong = kindOf((*Kind)(&kind))
		faults = append(faults, wrong...)
	}
	stock, err := d.Stock.Snapshot(ctx, house)
	if errors.Is(err, catalog.ErrNoHouse) {
		faults = append(faults, Fault{Parameter: "house", Detail: "there is no house " + cut(house) + "; give " + d.houseNames(ctx)})
	} else if err != nil {
		return nil, err
	}
	if len(faults) > 0 {
		return nil, invalid(faults)
	}
	return itemsJSON(stock, only, dateIn(zoneOf(stock.House), d.Now()))
}
