package rest

import (
	"context"
	"fmt"

	"kitspan/internal/shot"
	"kitspan/internal/sizing"
	"kitspan/internal/text"
)

// ReachJSON works out the reaches of the JSON body of a reach request; change, where it is not nil, has the last word on
// what was asked. What is wrong with the request comes back as a [*Refusal].
func (d Desk) ReachJSON(ctx context.Context, body []byte, change func(*ReachRequest)) (sizing.ReachResult, error) {
	var req ReachRequest
	excess, err := DecodeJSON(body, &req)
	if err != nil {
		return sizing.ReachResult{}, err
	}
	if change != nil {
		change(&req)
	}
	return d.reach(ctx, &req, excess)
}

func (d Desk) reach(ctx context.Context, req *ReachRequest, excess []Fault) (sizing.ReachResult, error) {
	job, faults, err := d.take(ctx, &SizingRequest{House: req.House, Shot: req.Shot, Limits: req.Limits, Prefer: req.Prefer})
	if err != nil {
		return sizing.ReachResult{}, err
	}
	frames := deref(req.Frames)
	faults = append(faults, faultsOf(shot.FrameFaults(frames, job.Stock))...)
	if faults = append(faults, excess...); len(faults) > 0 {
		return sizing.ReachResult{}, invalid(faults)
	}
	return d.Reach(ctx, job, frames)
}

// ReachResultJSON returns the response's body for reaches, the same on the command line and over HTTP.
func ReachResultJSON(r sizing.ReachResult) ([]byte, error) { return reachJSON(text.Metres, r) }

func reachJSON(to text.Reader, r sizing.ReachResult) ([]byte, error) {
	p := printer{to: to}
	out := Reach{Shot: echoOf(r.Shot), Frames: make([]FrameReach, len(r.Frames)), Notes: p.notes(r.Notes), Cautions: cautionsOf(to, r.Cautions)}
	for i := range r.Frames {
		f := &r.Frames[i]
		out.Frames[i] = FrameReach{
			Sku: f.SKU, WidestZoneM: p.number(f.WidestZoneM, perMetre), WidestShotM: p.number(f.WidestShotM, perMetre),
		}
		if f.Because != nil {
			because := text.NoReach(to, f.Because)
			obstacle := p.obstacle(f.Because.Frame.Obstacle)
			out.Frames[i].Because, out.Frames[i].Obstacle = &because, &obstacle
		}
	}
	if p.broken > 0 {
		return nil, fmt.Errorf("the reaches hold %d numbers that are not finite", p.broken)
	}
	return line(out)
}
