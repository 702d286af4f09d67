package main

import (
	"context"
	"log/slog"
	"sync"
	"time"

	"kitspan/internal/office"
	"kitspan/internal/postgres"
	"kitspan/internal/rest"
)

// behindStop is how long the work in the background may take to be put back into the queue; common practice, no source.
const behindStop = 10 * time.Second

// planBehind has jobs planned in the background until ctx ends: work then ends at once, while requests are still being finished. stop does the
// same and waits until what was not done is back in the queue.
func (c *serveCommand) planBehind(ctx context.Context, runs *postgres.PlanRuns, planner *rest.Server, log *slog.Logger) (stop func(), err error) {
	if c.PlanWorkers == 0 {
		return func() {}, nil
	}
	workers, err := postgres.StartPlanWorkers(ctx, runs, postgres.PlanWorkersOptions{
		Workers: c.PlanWorkers, Limit: office.LongestBehind, Plan: planner.RunPlan, GiveUp: planner.GiveUpPlan, Log: log,
	})
	if err != nil {
		return nil, err
	}
	end := sync.OnceFunc(func() {
		within, cancel := context.WithTimeout(context.WithoutCancel(ctx), behindStop)
		defer cancel()
		if err := workers.Stop(within); err != nil { // another server finds what is lost
			log.Warn("work in the background was left", slog.Any("error", err))
		}
	})
	detach := context.AfterFunc(ctx, end)
	return func() {
		detach()
		end()
	}, nil
}
