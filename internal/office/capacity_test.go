package office

import (
	"context"
	"errors"
	"sync/atomic"
	"testing"
	"testing/synctest"
	"time"
)

var testLimits = Limits{Solving: 2, Waiting: 3, Wait: 5 * time.Second, Solve: 20 * time.Second}

func newTestCapacity(t *testing.T, l Limits) *Capacity {
	t.Helper()
	c, err := NewCapacity(l)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// after is work that takes so long, or until it is to end.
func after(d time.Duration) func(context.Context, int) error {
	return func(ctx context.Context, _ int) error {
		select {
		case <-time.After(d):
			return nil
		case <-ctx.Done():
			return ctx.Err()
		}
	}
}

func TestNoMoreIsSolvedAtOnceThanMay(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		c := newTestCapacity(t, Limits{Solving: 3, Waiting: 100, Wait: time.Hour, Solve: time.Hour})
		var now, most, done atomic.Int64
		for range 50 {
			go func() {
				err := c.solve(t.Context(), 1, func(ctx context.Context, _ int) error {
					n := now.Add(1)
					defer now.Add(-1)
					for old := most.Load(); n > old && !most.CompareAndSwap(old, n); old = most.Load() {
					}
					return after(time.Second)(ctx, 1)
				})
				if err != nil {
					t.Error(err)
				}
				done.Add(1)
			}()
		}
		time.Sleep(time.Minute)
		if most.Load() != 3 || done.Load() != 50 {
			t.Errorf("%d at once and %d done, want 3 and 50", most.Load(), done.Load())
		}
	})
}

func TestPlacesGoInTheOrderOfAsking(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		c := newTestCapacity(t, Limits{Solving: 1, Waiting: 10, Wait: time.Hour, Solve: time.Hour})
		var order []int
		for i := range 8 {
			go func() {
				_ = c.solve(t.Context(), 1, func(ctx context.Context, _ int) error {
					order = append(order, i)
					return after(time.Second)(ctx, 1)
				})
			}()
			synctest.Wait()
		}
		time.Sleep(time.Minute)
		synctest.Wait() // order is theirs until then
		for i, got := range order {
			if got != i {
				t.Fatalf("solved in the order %v", order)
			}
		}
		if len(order) != 8 {
			t.Errorf("%d solved, want 8", len(order))
		}
	})
}

func TestALongLineIsRefusedAtOnceAndALongWaitInTime(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		c := newTestCapacity(t, testLimits)
		for range testLimits.Solving {
			go func() { _ = c.solve(t.Context(), 1, after(19*time.Second)) }()
		}
		synctest.Wait()
		begin := time.Now()
		waited := make(chan time.Duration, testLimits.Waiting)
		for range testLimits.Waiting {
			go func() {
				if err := c.solve(t.Context(), 1, after(0)); !errors.Is(err, ErrBusy) {
					t.Errorf("after waiting: %v, want ErrBusy", err)
				}
				waited <- time.Since(begin)
			}()
		}
		synctest.Wait()
		if err := c.solve(t.Context(), 1, after(0)); !errors.Is(err, ErrBusy) || time.Since(begin) != 0 {
			t.Errorf("beyond the line: %v after %s, want ErrBusy at once", err, time.Since(begin))
		}
		for range testLimits.Waiting {
			if got := <-waited; got != testLimits.Wait {
				t.Errorf("refused after %s, want %s", got, testLimits.Wait)
			}
		}
		time.Sleep(20 * time.Second)
		if err := c.solve(t.Context(), 1, after(0)); err != nil {
			t.Errorf("when the places are free again: %v", err)
		}
	})
}

func TestAClientThatLeavesFreesItsPlace(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		c := newTestCapacity(t, Limits{Solving: 1, Waiting: 1, Wait: time.Minute, Solve: time.Minute})
		solving, leave := context.WithCancel(t.Context())
		ended := make(chan error, 2)
		go func() { ended <- c.solve(solving, 1, after(time.Hour)) }()
		synctest.Wait()
		waiting, leaveLine := context.WithCancel(t.Context())
		go func() { ended <- c.solve(waiting, 1, after(time.Hour)) }()
		synctest.Wait()
		leaveLine()
		if err := <-ended; !errors.Is(err, context.Canceled) || errors.Is(err, ErrBusy) {
			t.Errorf("left the line: %v, want the context's error", err)
		}
		next := make(chan error)
		go func() { next <- c.solve(t.Context(), 1, after(0)) }()
		synctest.Wait()
		begin := time.Now()
		leave()
		if err := <-ended; !errors.Is(err, context.Canceled) {
			t.Errorf("left while solving: %v, want the context's error", err)
		}
		if err := <-next; err != nil || time.Since(begin) != 0 {
			t.Errorf("next in line: %v after %s, want its place at once", err, time.Since(begin))
		}
	})
}

func TestSolvingEndsWhenItsTimeIsOver(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		c := newTestCapacity(t, testLimits)
		begin := time.Now()
		if err := c.solve(t.Context(), 1, after(time.Hour)); !errors.Is(err, ErrTimeLimit) || time.Since(begin) != testLimits.Solve {
			t.Errorf("%v after %s, want ErrTimeLimit after %s", err, time.Since(begin), testLimits.Solve)
		}
	})
}

func TestWorkersTakeWhatNobodyWaitsFor(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		c := newTestCapacity(t, Limits{Solving: 4, Waiting: 4, Wait: time.Minute, Solve: time.Minute})
		got := make(chan int, 1)
		count := func(ctx context.Context, workers int) error {
			got <- workers
			return after(time.Second)(ctx, workers)
		}
		go func() { _ = c.solve(t.Context(), 3, count) }()
		if n := <-got; n != 3 {
			t.Errorf("%d workers of an empty office, want the 3 that were asked for", n)
		}
		go func() { _ = c.solve(t.Context(), 3, count) }()
		if n := <-got; n != 1 {
			t.Errorf("%d workers, want the 1 that was free", n)
		}
		time.Sleep(time.Minute)
		if !c.places.TryAcquire(4) {
			t.Error("not all places came back")
		}
	})
}

func TestAPanicFreesThePlace(t *testing.T) {
	c := newTestCapacity(t, testLimits)
	func() {
		defer func() { _ = recover() }()
		_ = c.solve(t.Context(), 2, func(context.Context, int) error { panic("a fault of the program") })
	}()
	if !c.places.TryAcquire(int64(testLimits.Solving)) {
		t.Error("a place is lost")
	}
}

func TestLimitsThatAreNone(t *testing.T) {
	for _, l := range []Limits{{}, {0, 1, 1, 1}, {1, -1, 1, 1}, {1, 1, 0, 1}, {1, 1, 1, 0}} {
		if _, err := NewCapacity(l); err == nil {
			t.Errorf("%+v is taken", l)
		}
	}
}
