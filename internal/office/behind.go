package office

import (
	"context"
	"fmt"
	"time"

	"kitspan/internal/job"
)

// Bounds of plans; common practice, no source, but where something else is said.
const (
	// ForegroundShots and ForegroundSizings are the most that a job may have, and take ([job.Job.Sizings]), which is planned while somebody
	// waits. Forty shots are planned in some five seconds on two cores; most starts of a movable shot are sized more quickly than that.
	ForegroundShots   = 40
	ForegroundSizings = 200
	// LongestBehind is how long planning may take that nobody waits for, its waiting for a place left out but for that between two sizings.
	LongestBehind = 10 * time.Minute
)

// Long reports whether planning takes longer than somebody should wait, and how many sizings it takes.
func (p *Planning) Long() (sizings int, long bool) {
	for _, n := range p.Job.Sizings() {
		sizings += n
	}
	return sizings, len(p.Job.Shots) > ForegroundShots || sizings > ForegroundSizings
}

// PlanJobBehind plans a job that nobody waits for: one sizing after the other, each behind all requests that wait by then. The plan is that of
// [Office.PlanJob], if the search ends within its limit. progress is called, by one goroutine, with how many shots are sized.
//
// Its errors are those of [Office.Plan], [ErrBusy] left out.
func (o Office) PlanJobBehind(ctx context.Context, p Planning, progress func(shots int)) (plan *job.Plan, err error) {
	sizings := p.Job.Sizings()
	shots := 0
	p.Workers = 1 // which takes the shots in their order
	p.Progress = func(done, _ int) {
		for n := 0; ; n++ {
			if n == len(sizings) || done < sizings[n] {
				if n > shots {
					shots = n
					progress(shots)
				}
				return
			}
			done -= sizings[n]
		}
	}
	err = o.Capacity.behind(ctx, LongestBehind, func(ctx context.Context, turn func(context.Context) error) (err error) {
		p.Turn = turn
		plan, err = p.plan(ctx)
		return err
	})
	if err != nil {
		return nil, fmt.Errorf("plan a job from house %s: %w", p.Stock.House.Slug, err)
	}
	return plan, nil
}
