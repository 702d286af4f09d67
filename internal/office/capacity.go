package office

import (
	"context"
	"errors"
	"fmt"
	"runtime"
	"sync/atomic"
	"time"

	"golang.org/x/sync/semaphore"
)

// Why a sound request is not answered now. Both pass: the same request may be sent again.
var (
	// ErrBusy is the answer where as many requests are solved and wait as may, or one has waited for as long as it may.
	ErrBusy = errors.New("office: every place is taken")
	// ErrTimeLimit is the answer where solving took longer than it may; it has ended.
	ErrTimeLimit = errors.New("office: the time limit of solving is over")
)

// Limits bound the work of an [Office]. All are over 0, but Waiting, which may be 0.
type Limits struct {
	// Solving is how many goroutines solve at once.
	Solving int
	// Waiting is how many requests may wait for a place, and Wait is for how long.
	Waiting int
	Wait    time.Duration
	// Solve is how long the solving of one request may take, its waiting left out.
	Solve time.Duration
}

// Capacity is the places at which an [Office] solves. Requests get them in the order in which they came. It is safe for
// concurrent use.
type Capacity struct {
	limits  Limits
	places  *semaphore.Weighted
	taken   atomic.Int64
	waiting atomic.Int64
}

// Taken returns how many places are taken now, and Waiting how many requests wait for one.
func (c *Capacity) Taken() int   { return int(c.taken.Load()) }
func (c *Capacity) Waiting() int { return int(max(0, c.waiting.Load())) }

// NewCapacity makes a capacity with limits.
func NewCapacity(l Limits) (*Capacity, error) {
	if l.Solving < 1 || l.Waiting < 0 || l.Wait <= 0 || l.Solve <= 0 {
		return nil, fmt.Errorf("office: %+v are no limits: all must be over 0, and those who wait at least 0", l)
	}
	return &Capacity{limits: l, places: semaphore.NewWeighted(int64(l.Solving))}, nil
}

// Longest returns how long a request may take that waits and is solved.
func (c *Capacity) Longest() time.Duration {
	if c == nil {
		return 0
	}
	return c.limits.Wait + c.limits.Solve
}

// solve calls work once there is a place for it. The context that work gets ends with ctx or when its time is over, and
// work must then return soon: the place is free only then. workers is how many goroutines it may take: one, or up to most
// where places are free that nobody waits for.
//
// A nil capacity has no limits.
func (c *Capacity) solve(ctx context.Context, most int, work func(ctx context.Context, workers int) error) error {
	if c == nil {
		return work(ctx, min(most, runtime.GOMAXPROCS(0)))
	}
	if err := c.enter(ctx); err != nil {
		return err
	}
	workers := 1
	for workers < most && c.places.TryAcquire(1) {
		workers++
	}
	c.taken.Add(int64(workers))
	defer func() {
		c.taken.Add(-int64(workers))
		c.places.Release(int64(workers))
	}()
	within, cancel := context.WithTimeout(ctx, c.limits.Solve)
	defer cancel()
	err := work(within, workers)
	if errors.Is(err, context.DeadlineExceeded) {
		return fmt.Errorf("%w (%w)", ErrTimeLimit, err)
	}
	return err
}

// enter waits for a place: in a line of limited length, for a limited time.
func (c *Capacity) enter(ctx context.Context) error {
	if c.places.TryAcquire(1) { // it does not where others wait
		return nil
	}
	defer c.waiting.Add(-1)
	if c.waiting.Add(1) > int64(c.limits.Waiting) {
		return ErrBusy
	}
	wait, cancel := context.WithTimeout(ctx, c.limits.Wait)
	defer cancel()
	if err := c.places.Acquire(wait, 1); err != nil {
		if gone := ctx.Err(); gone != nil {
			return gone
		}
		return ErrBusy
	}
	return nil
}

// behind calls work as solve does, for work that nobody waits for: it waits for its place for as long as that takes, takes one, and has a limit
// of its own on time. Whenever work calls turn, those who wait for a place get that one first; so work must not hold on to more than it needs
// meanwhile.
func (c *Capacity) behind(ctx context.Context, limit time.Duration, work func(ctx context.Context, turn func(context.Context) error) error) error {
	held := false
	let := func() {
		if c != nil && held {
			held = false
			c.taken.Add(-1)
			c.places.Release(1)
		}
	}
	turn := func(ctx context.Context) error {
		if c == nil {
			return ctx.Err()
		}
		let()
		if err := c.places.Acquire(ctx, 1); err != nil { // in the order of coming: behind all who wait
			return err
		}
		held = true
		c.taken.Add(1)
		return nil
	}
	defer let()
	if err := turn(ctx); err != nil {
		return err
	}
	within, cancel := context.WithTimeoutCause(ctx, limit, ErrTimeLimit)
	defer cancel()
	err := work(within, turn)
	if err != nil && errors.Is(context.Cause(within), ErrTimeLimit) {
		return fmt.Errorf("%w (%w)", ErrTimeLimit, err)
	}
	return err
}
