package postgres

import (
	"context"
	"time"
)

// What the tests outside this package need from inside: they are outside because pgtest imports this package.
var (
	MigrateUpSteps   = migrateUp
	CheckSchemaSteps = checkSchema
	MigrateDownSteps = migrateDown
)

const TxAttempts = txAttempts

// StartHastyPlanWorkers is [StartPlanWorkers] of processes that say every say that they are there, and are given up after silent.
func StartHastyPlanWorkers(ctx context.Context, runs *PlanRuns, o PlanWorkersOptions, say, silent time.Duration) (*PlanWorkers, error) {
	return startPlanWorkers(ctx, runs, o, pace{say: say, silent: silent, look: say})
}

// TakeRun takes a run as a process does that then says no more of it.
func TakeRun(ctx context.Context, runs *PlanRuns, id string) (taken bool, err error) {
	c, err := runs.take(ctx, id, silentFor)
	return c != nil, err
}
