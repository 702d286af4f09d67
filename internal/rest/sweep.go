package rest

import (
	"context"
	"encoding/json"
	"fmt"

	"kitspan/internal/shot"
	"kitspan/internal/sizing"
	"kitspan/internal/text"
)

// SweepJSON sweeps the day of the JSON body of a sweep request; change, where it is not nil, has the last word on what
// was asked. What is wrong with the request comes back as a [*Refusal].
func (d Desk) SweepJSON(ctx context.Context, body []byte, change func(*SweepRequest)) (sizing.SweepResult, error) {
	var req SweepRequest
	excess, err := DecodeJSON(body, &req)
	if err != nil {
		return sizing.SweepResult{}, err
	}
	if change != nil {
		change(&req)
	}
	return d.sweep(ctx, &req, excess)
}

func (d Desk) sweep(ctx context.Context, req *SweepRequest, excess []Fault) (sizing.SweepResult, error) {
	job, faults, err := d.take(ctx, &SizingRequest{House: req.House, Shot: req.Shot, Limits: req.Limits, Prefer: req.Prefer})
	if err != nil {
		return sizing.SweepResult{}, err
	}
	day, unsound := shot.DraftSteps{StepMin: req.StepMin, From: req.From, To: req.To}.Resolve(job.Shot)
	faults = append(faults, faultsOf(unsound)...)
	if faults = append(faults, excess...); len(faults) > 0 {
		return sizing.SweepResult{}, invalid(faults)
	}
	return d.Sweep(ctx, job, day)
}

// SweepResultJSON returns the response's body for a sweep, the same on the command line and over HTTP.
func SweepResultJSON(r sizing.SweepResult) ([]byte, error) { return sweepJSON(text.Metres, r) }

func sweepJSON(to text.Reader, r sizing.SweepResult) ([]byte, error) {
	p := printer{to: to}
	out := Sweep{
		Shot: echoOf(r.Shot), StepMin: r.Steps.StepMin, From: r.Steps.Start, To: r.Steps.End,
		Steps: make([]SweepStep, len(r.Rows)), SchemeHolds: []SweepSpan{}, Best: []SweepBest{}, Notes: p.notes(r.Notes), Cautions: cautionsOf(to, r.Cautions),
	}
	for i := range r.Rows {
		out.Steps[i] = p.step(&r.Rows[i])
	}
	for _, s := range r.Spans {
		out.SchemeHolds = append(out.SchemeHolds, SweepSpan{From: s.From, To: s.To})
	}
	for _, b := range r.Best {
		out.Best = append(out.Best, SweepBest{In: SweepBestIn(b.In), At: b.At})
	}
	if p.broken > 0 {
		return nil, fmt.Errorf("the sweep holds %d numbers that are not finite", p.broken)
	}
	return line(out)
}

func (p *printer) step(row *sizing.SweepRow) SweepStep {
	sun := p.track(row.Sun)
	out := SweepStep{
		At: sun.At, AzimuthDeg: sun.AzimuthDeg, ElevationDeg: sun.ElevationDeg, IlluminanceLx: sun.IlluminanceLx,
		OffAxisDeg: sun.OffAxisDeg, InView: sun.InView, SunIs: SweepStepSunIs(row.SunIs), Scheme: row.Scheme, KeyUnliftedStops: p.optional(row.KeyUnliftedStops, perStop),
	}
	o := row.Overhead
	if o == nil {
		reason := text.Without(p.to, row.Without)
		code := row.Without.Code()
		out.Reason, out.ReasonCode = &reason, &code
		if nearest := text.Nearest(row.Without); nearest != nil {
			out.Nearest = &nearest.SKU
		}
		return out
	}
	on := Stands
	if o.OnLift {
		on = Lift
	}
	out.Overhead = &SweepOverhead{Sku: o.SKU, AreaM2: p.number(o.AreaM2, perMetre), On: on, OverLimit: o.OverLimit}
	price := OptionalMoney(money(o.PerDay))
	total := OptionalMoney(money(row.Whole.TotalPerDay))
	out.PricePerDay, out.TotalPerDay = &price, &total
	out.People, out.KeyStops = &row.Whole.People, p.optional(&row.Whole.KeyStops, perStop)
	return out
}

// line is a value as one line of JSON.
func line(v any) ([]byte, error) {
	body, err := json.Marshal(v)
	if err != nil {
		return nil, fmt.Errorf("write the answer as JSON: %w", err)
	}
	return append(body, '\n'), nil
}
