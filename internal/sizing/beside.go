package sizing

import (
	"context"
	"fmt"
	"runtime/debug"
	"sync"
	"sync/atomic"
)

// sideBySide calls work with every number under n once, on up to so many goroutines; each has a work of its own from
// start. Which number goes to which is chance, so that work may keep nothing from one to the next that shows in its result. It
// stops early when the context has ended. A panic ends the work and is raised again here, where the caller can recover it.
func sideBySide(ctx context.Context, workers, n int, start func() (work func(i int))) {
	var next atomic.Int64
	var wait sync.WaitGroup
	var broken atomic.Pointer[string]
	for range min(workers, n) {
		wait.Go(func() {
			defer func() {
				if p := recover(); p != nil {
					said := fmt.Sprintf("%v\n%s", p, debug.Stack())
					broken.CompareAndSwap(nil, &said)
				}
			}()
			work := start()
			for i := int(next.Add(1)) - 1; i < n && broken.Load() == nil && ctx.Err() == nil; i = int(next.Add(1)) - 1 {
				work(i)
			}
		})
	}
	wait.Wait()
	if said := broken.Load(); said != nil {
		panic(*said)
	}
}

// clonePlanner returns the planner with working memory of its own, for use beside the first.
func clonePlanner(pl *planner) *planner {
	own := *pl
	own.lights = pl.lights.Clone()
	return &own
}
