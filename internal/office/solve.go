package office

import (
	"context"
	"fmt"
	"math"

	"kitspan/internal/lighting"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
)

// Plan sizes the job's shot. Its errors are [ErrBusy], [ErrTimeLimit], the context's, and those of [sizing.Plan], which
// are the program's own.
func (o Office) Plan(ctx context.Context, job Job) (result sizing.Result, err error) {
	err = o.Capacity.solve(ctx, 1, func(ctx context.Context, _ int) (err error) {
		result, err = sizing.Plan(ctx, job.Shot, job.Stock, job.Prices)
		return err
	})
	if err != nil {
		return sizing.Result{}, fmt.Errorf("size a shot from house %s: %w", job.Stock.House.Slug, err)
	}
	return result, nil
}

// Meter sizes the job's shot and says what readings on set mean for one of the options, by its name. Its errors are those of [Office.Plan].
func (o Office) Meter(ctx context.Context, job Job, option string, readings lighting.Readings) (result sizing.Result, metered *sizing.Metered, err error) {
	err = o.Capacity.solve(ctx, 1, func(ctx context.Context, _ int) (err error) {
		result, metered, err = sizing.Meter(ctx, job.Shot, job.Stock, job.Prices, option, readings)
		return err
	})
	if err != nil {
		return sizing.Result{}, nil, fmt.Errorf("meter a shot from house %s: %w", job.Stock.House.Slug, err)
	}
	return result, metered, nil
}

// asManyAsFree is for work that has a use for any number of places.
const asManyAsFree = math.MaxInt

// Sweep sizes the job's shot for each step of a day. Its errors are those of [Office.Plan].
func (o Office) Sweep(ctx context.Context, job Job, day shot.Steps) (result sizing.SweepResult, err error) {
	err = o.Capacity.solve(ctx, asManyAsFree, func(ctx context.Context, workers int) (err error) {
		result, err = sizing.Sweep(ctx, job.Shot, day, job.Stock, job.Prices, workers)
		return err
	})
	if err != nil {
		return sizing.SweepResult{}, fmt.Errorf("sweep a day from house %s: %w", job.Stock.House.Slug, err)
	}
	return result, nil
}

// Reach finds how far frames of the job's house go, SKUs that [shot.FrameFaults] has nothing against. Its errors are
// those of [Office.Plan].
func (o Office) Reach(ctx context.Context, job Job, frames []string) (result sizing.ReachResult, err error) {
	err = o.Capacity.solve(ctx, len(frames), func(ctx context.Context, workers int) (err error) {
		result, err = sizing.Reach(ctx, job.Shot, frames, job.Stock, job.Prices, workers)
		return err
	})
	if err != nil {
		return sizing.ReachResult{}, fmt.Errorf("reaches of frames of house %s: %w", job.Stock.House.Slug, err)
	}
	return result, nil
}
