package postgres

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"runtime/debug"
	"sync"
	"sync/atomic"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/riverqueue/river"
	"github.com/riverqueue/river/riverdriver/riverpgxv5"

	"kitspan/internal/planrun"
)

// Times of background work; common practice, no source.
const (
	// How often whoever works on a run says so and how far it is, and finds out that it was cancelled.
	sayEvery = time.Second
	// Whoever has not said so for this long is gone, and somebody else takes the run.
	silentFor = 30 * time.Second
	lookEvery = 10 * time.Second
	// What could not be done now is tried again after this.
	tryAgainAfter = 10 * time.Second
	// A run may wait for its turn to be planned for this long beside the time for planning; then it goes back into the queue.
	turnTimeout = 10 * time.Minute
	// The queue's own search for lost work, behind ours.
	rescueAfter = time.Minute
	// A run with which so many processes have gone down is not tried again.
	mostLost = 2
)

// PlanWorkersOptions are how runs are worked on; all are required.
type PlanWorkersOptions struct {
	// Workers is how many runs are worked on at once.
	Workers int
	// Limit is how long planning one may take, for the queue to know when it must be over: Plan keeps to it.
	Limit time.Duration
	// Plan does the work. GiveUp is the problem document of a request that has taken down those who worked on it.
	Plan   planrun.Planner
	GiveUp func(planrun.Request) []byte
	Log    *slog.Logger
}

// PlanWorkers take runs out of the queue, until they are stopped.
type PlanWorkers struct {
	client *river.Client[pgx.Tx]
	end    context.CancelFunc // of the search for lost runs
	ended  sync.WaitGroup
}

// StartPlanWorkers has runs worked on. They need one connection of their own beside those of the pool, on which they hear of new work; without
// it they look once a second.
func StartPlanWorkers(ctx context.Context, runs *PlanRuns, o PlanWorkersOptions) (*PlanWorkers, error) {
	return startPlanWorkers(ctx, runs, o, pace{say: sayEvery, silent: silentFor, look: lookEvery})
}

// pace is how fast processes notice one another; tests make haste.
type pace struct{ say, silent, look time.Duration }

func startPlanWorkers(ctx context.Context, runs *PlanRuns, o PlanWorkersOptions, p pace) (*PlanWorkers, error) {
	if o.Workers < 1 || o.Limit <= 0 || o.Plan == nil || o.GiveUp == nil || o.Log == nil {
		return nil, errors.New("postgres: workers need a number, a limit, a planner and a log")
	}
	bundle := river.NewWorkers()
	if err := river.AddWorkerSafely(bundle, &planWorker{runs: runs, options: o, pace: p}); err != nil {
		return nil, fmt.Errorf("start to work on plans: %w", err)
	}
	longest := o.Limit + turnTimeout
	client, err := river.NewClient(riverpgxv5.New(runs.pool), &river.Config{
		Logger:               o.Log,
		Workers:              bundle,
		Queues:               map[string]river.QueueConfig{river.QueueDefault: {MaxWorkers: o.Workers}},
		JobTimeout:           longest,
		RescueStuckJobsAfter: longest + rescueAfter,
		// The role that serves does not own the tables, as making an index anew would need.
		ReindexerIndexNames:         []string{},
		CompletedJobRetentionPeriod: time.Hour, // what is to be known stands in the runs
		DiscardedJobRetentionPeriod: planrun.Kept,
	})
	if err != nil {
		return nil, fmt.Errorf("start to work on plans: %w", err)
	}
	life := context.WithoutCancel(ctx) // Stop ends it, which lets work be put back
	if err := client.Start(life); err != nil {
		return nil, fmt.Errorf("start to work on plans: %w", Translate(err))
	}
	looking, end := context.WithCancel(life)
	w := &PlanWorkers{client: client, end: end}
	w.ended.Go(func() { lookForLost(looking, runs, p, o.Log) })
	return w, nil
}

// Stop ends all work and puts what is not done back into the queue; ctx bounds how long that may take.
func (w *PlanWorkers) Stop(ctx context.Context) error {
	w.end()
	w.ended.Wait()
	if err := w.client.StopAndCancel(ctx); err != nil {
		return fmt.Errorf("stop working on plans: %w", err)
	}
	return nil
}

// lookForLost queues runs again whose process is gone, until ctx ends.
func lookForLost(ctx context.Context, runs *PlanRuns, p pace, log *slog.Logger) {
	for {
		select {
		case <-ctx.Done():
			return
		case <-time.After(p.look):
		}
		switch found, err := runs.queueLost(ctx, p.silent); {
		case ctx.Err() != nil:
			return
		case err != nil:
			log.Error("cannot look for lost plans", slog.Any("error", err))
		case found > 0:
			log.Warn("plans were left by their process and wait again", slog.Int("plans", found))
		}
	}
}

// planWorker works on one run at a time, as often as the queue asks it to.
type planWorker struct {
	river.WorkerDefaults[planWork]
	runs    *PlanRuns
	options PlanWorkersOptions
	pace    pace
}

// NextRetry implements [river.Worker].
func (w *planWorker) NextRetry(*river.Job[planWork]) time.Time { return time.Now().Add(tryAgainAfter) }

// errNotOurs ends work on a run that was cancelled, or taken by somebody else.
var errNotOurs = errors.New("the run is not ours any more")

// Work implements [river.Worker].
func (w *planWorker) Work(ctx context.Context, job *river.Job[planWork]) error {
	c, err := w.runs.take(ctx, job.Args.Run, w.pace.silent)
	if err != nil || c == nil {
		return err
	}
	log := w.options.Log.With(slog.String("run", c.run))
	out, err := w.plan(ctx, c, log)
	// What is to be kept is kept also where the work was ended.
	keep := context.WithoutCancel(ctx)
	switch {
	case errors.Is(err, errNotOurs):
		return nil
	case err == nil:
		held, err := w.runs.finish(keep, c, out)
		if err != nil {
			log.Error("cannot keep what came of a plan", slog.Any("error", err))
			return err // the run is found lost after a while, and planned again
		}
		if !held {
			log.Info("a plan was cancelled at the last moment")
		}
		return nil
	}
	if _, back := w.runs.putBack(keep, c); back != nil {
		log.Error("cannot put a plan back", slog.Any("error", back))
		return errors.Join(err, back)
	}
	if ctx.Err() != nil { // the server stops: by this error the queue has the work back at once
		return ctx.Err()
	}
	log.Error("cannot plan now", slog.Any("error", err))
	return river.JobSnooze(tryAgainAfter)
}

// plan has a run planned, while it says how far that is. A panic is a problem of the run's.
func (w *planWorker) plan(ctx context.Context, c *claim, log *slog.Logger) (out planrun.Outcome, err error) {
	if c.lost > mostLost {
		log.Error("a plan is given up with which processes went down", slog.Int("times", c.lost))
		return planrun.Outcome{Problem: w.options.GiveUp(c.req)}, nil
	}
	ctx, cancel := context.WithCancelCause(ctx)
	var shots atomic.Int64
	var saying sync.WaitGroup
	saying.Go(func() {
		if !w.say(ctx, c, &shots, log) {
			cancel(errNotOurs)
		}
	})
	defer func() {
		ours := context.Cause(ctx)
		cancel(nil)
		saying.Wait()
		if errors.Is(ours, errNotOurs) {
			out, err = planrun.Outcome{}, errNotOurs
		}
	}()
	defer func() {
		if r := recover(); r != nil {
			log.Error("planning panicked", slog.Any("panic", r), slog.String("stack", string(debug.Stack())))
			out, err = planrun.Outcome{Problem: w.options.GiveUp(c.req)}, nil
		}
	}()
	return w.options.Plan(ctx, c.req, func(n int) { shots.Store(int64(n)) })
}

// say says how far a run is until ctx ends. It returns false as soon as the run is somebody else's, or nobody's.
func (w *planWorker) say(ctx context.Context, c *claim, shots *atomic.Int64, log *slog.Logger) (ours bool) {
	for {
		select {
		case <-ctx.Done():
			return true
		case <-time.After(w.pace.say):
		}
		held, err := w.runs.seen(ctx, c, int(shots.Load()))
		if err != nil && ctx.Err() == nil {
			log.Warn("cannot say how far a plan is", slog.Any("error", err))
		}
		if !held {
			return false
		}
	}
}
