package rest

import (
	"context"
	"errors"
	"strings"
	"time"

	"kitspan/internal/catalog"
	"kitspan/internal/fault"
	"kitspan/internal/office"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
)

// Desk answers the requests of the JSON face. The server and the command line share it.
type Desk struct{ office.Office }

// NewDesk returns a desk on a stock of catalogues; now returns the current time.
func NewDesk(stock office.Stock, now func() time.Time) Desk {
	return Desk{office.Office{Stock: stock, Now: now}}
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

// SizeJSONWithForecast is [Desk.SizeJSON] with the forecast as CSV beside the body. Faults of the forecast have a line and a column in
// place of a pointer.
func (d Desk) SizeJSONWithForecast(ctx context.Context, body, forecast []byte) (sizing.Result, error) {
	if len(forecast) > MaxBody {
		return sizing.Result{}, refuse(ReasonTooLarge, "The forecast is larger than %d bytes: send less.", MaxBody)
	}
	var req SizingRequest
	excess, err := DecodeJSON(body, &req)
	if err != nil {
		return sizing.Result{}, err
	}
	draft, faults := draftOf(&req)
	table := strings.ToValidUTF8(string(forecast), "\ufffd")
	draft.ForecastCSV = &table
	return d.sizeDraft(ctx, req.House, draft, faults, excess)
}

// ReadShot reads the JSON body of a sizing request: whose house, and what is asked. What is wrong with it comes back as a [*Refusal].
func ReadShot(body []byte) (house string, draft shot.Draft, err error) {
	var req SizingRequest
	excess, err := DecodeJSON(body, &req)
	if err != nil {
		return "", shot.Draft{}, err
	}
	draft, faults := draftOf(&req)
	if faults = append(faults, excess...); len(faults) > 0 {
		return "", shot.Draft{}, invalid(faults)
	}
	return deref(req.House), draft, nil
}

// size walks a request to its result; excess are the numbers that the decoder found out of range.
func (d Desk) size(ctx context.Context, req *SizingRequest, excess []Fault) (sizing.Result, error) {
	draft, faults := draftOf(req)
	return d.sizeDraft(ctx, req.House, draft, faults, excess)
}

// sizeDraft walks a draft to its result; faults are those found in making it.
func (d Desk) sizeDraft(ctx context.Context, house *string, draft shot.Draft, faults, excess []Fault) (sizing.Result, error) {
	job, unsound, err := d.Take(ctx, house, draft)
	if err != nil {
		return sizing.Result{}, err
	}
	faults = append(faults, faultsOf(unsound)...)
	// The decoder's come last: where the engine names the same field, it says what the range is.
	if faults = append(faults, excess...); len(faults) > 0 {
		return sizing.Result{}, invalid(faults)
	}
	return d.Plan(ctx, job)
}

// take reads what every request about a shot has: the shot, the house, limits and preference.
func (d Desk) take(ctx context.Context, req *SizingRequest) (office.Job, []Fault, error) {
	draft, faults := draftOf(req)
	job, unsound, err := d.Take(ctx, req.House, draft)
	return job, append(faults, faultsOf(unsound)...), err
}

// faultsOf are the engine's faults as the answer lists them.
func faultsOf(list []fault.Fault) []Fault {
	out := make([]Fault, len(list))
	for i, f := range list {
		out[i] = Fault{Pointer: f.Pointer, Line: f.Line, Column: f.Column, Kind: f.Kind}
	}
	return out
}

// ItemsJSON returns the JSON list of all of a house's items of a kind, or of every kind where kind is empty, with the rates of
// today. An unknown house or kind comes back as a [*Refusal].
func (d Desk) ItemsJSON(ctx context.Context, house, kind string) ([]byte, error) {
	var faults []Fault
	var only catalog.Kind
	if kind != "" {
		var wrong []Fault
		only, wrong = kindOf((*Kind)(&kind))
		faults = append(faults, wrong...)
	}
	stock, err := d.Snapshot(ctx, house)
	if errors.Is(err, catalog.ErrNoHouse) {
		faults = append(faults, faultOf("house", fault.UnknownHouse{Got: cut(house), Words: d.HouseNames(ctx)}))
	} else if err != nil {
		return nil, err
	}
	if len(faults) > 0 {
		return nil, invalid(faults)
	}
	return itemsJSON(stock, only, d.Today(stock.House))
}

// officeRefusal tells the client why the office did not answer, or what the storage refused it.
func officeRefusal(err error, house string) error {
	r := &Refusal{cause: err}
	switch {
	case errors.Is(err, office.ErrBusy):
		r.Reason, r.Detail = ReasonBusy, "The request is sound, and was not begun: as many are worked on and wait as may. Send it again after the time in Retry-After."
	case errors.Is(err, office.ErrTimeLimit):
		r.Reason, r.Detail = ReasonTimeLimit, "The request is sound, and was given up when its time was over. "+
			"Ask for less (a shorter window or longer steps, fewer lamps, zones or frames), or send it again when less is going on."
	case errors.Is(err, context.Canceled): // the client is gone and reads none of this, or waits for a server that stops
		r.Reason, r.Detail = ReasonUnavailable, "The server is stopping and has given the request up. Send it again."
	default:
		return storageRefusal(err, house, "")
	}
	return r
}
