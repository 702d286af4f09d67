package office

import (
	"context"
	"errors"
	"sync/atomic"
	"testing"
	"testing/synctest"
	"time"

	"kitspan/internal/job"
)

func TestWorkBehindLetsRequestsGoFirst(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		c := newTestCapacity(t, Limits{Solving: 1, Waiting: 3, Wait: 5 * time.Second, Solve: 20 * time.Second})
		const steps, step = 10, 4 * time.Second // each shorter than a request waits
		begin, done := time.Now(), atomic.Int64{}
		ended := make(chan error, 1)
		go func() {
			ended <- c.behind(t.Context(), time.Hour, func(ctx context.Context, turn func(context.Context) error) error {
				for range steps {
					if err := turn(ctx); err != nil {
						return err
					}
					time.Sleep(step)
					done.Add(1)
				}
				return nil
			})
		}()
		synctest.Wait()
		for range 5 {
			if err := c.solve(t.Context(), 1, after(time.Second)); err != nil {
				t.Errorf("a request in front: %v", err)
			}
		}
		if done.Load() >= steps {
			t.Error("all that nobody waits for was done before")
		}
		if err := <-ended; err != nil || done.Load() != steps {
			t.Errorf("%d steps are done, %v", done.Load(), err)
		}
		if took := time.Since(begin); took != steps*step+5*time.Second {
			t.Errorf("both took %s together", took)
		}
		if c.Taken() != 0 || c.Waiting() != 0 {
			t.Errorf("%d taken and %d waiting at the end", c.Taken(), c.Waiting())
		}
	})
}

func TestWorkBehindWaitsForItsTurnAsLongAsItTakes(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		c := newTestCapacity(t, Limits{Solving: 1, Waiting: 0, Wait: time.Second, Solve: time.Hour})
		go func() {
			if err := c.solve(t.Context(), 1, after(time.Hour-time.Second)); err != nil {
				t.Error(err)
			}
		}()
		synctest.Wait()
		limited := func(ctx context.Context, turn func(context.Context) error) error { return after(2*time.Minute)(ctx, 1) }
		if err := c.behind(t.Context(), 3*time.Minute, limited); err != nil {
			t.Errorf("after a wait of an hour: %v", err)
		}
		if err := c.behind(t.Context(), time.Minute, limited); !errors.Is(err, ErrTimeLimit) {
			t.Errorf("past its limit: %v", err)
		}
		ctx, cancel := context.WithTimeout(t.Context(), time.Minute)
		defer cancel()
		if err := c.behind(ctx, time.Hour, limited); !errors.Is(err, context.DeadlineExceeded) || errors.Is(err, ErrTimeLimit) {
			t.Errorf("ended from outside: %v", err)
		}
		go func() { _ = c.solve(t.Context(), 1, after(time.Hour-time.Second)) }()
		synctest.Wait()
		gone, leave := context.WithCancel(t.Context())
		time.AfterFunc(time.Minute, leave)
		if err := c.behind(gone, time.Hour, limited); !errors.Is(err, context.Canceled) {
			t.Errorf("cancelled while it waits: %v", err)
		}
		time.Sleep(time.Hour)
		if c.Taken() != 0 {
			t.Errorf("%d taken at the end", c.Taken())
		}
	})
}

func TestAPlanIsLongByItsShotsOrItsSizings(t *testing.T) {
	day := time.Date(2027, 6, 18, 8, 0, 0, 0, time.UTC)
	movable := func(starts int) job.Shot { // of a quarter of an hour, each start a quarter later
		span := time.Duration(starts) * 15 * time.Minute
		s := job.Shot{When: &job.When{From: day, To: day.Add(span), DurationMin: 15, Earliest: "08:00", Latest: day.Add(span).Format("15:04")}}
		s.Window.From = day
		return s
	}
	for name, tc := range map[string]struct {
		shots   []job.Shot
		sizings int
		long    bool
	}{
		"as many shots as may":   {make([]job.Shot, ForegroundShots), ForegroundShots, false},
		"one shot more":          {make([]job.Shot, ForegroundShots+1), ForegroundShots + 1, true},
		"as many sizings as may": {[]job.Shot{movable(50), movable(50), movable(50), movable(49), {}}, ForegroundSizings, false},
		"one sizing more":        {[]job.Shot{movable(50), movable(50), movable(50), movable(50), {}}, ForegroundSizings + 1, true},
	} {
		p := Planning{}
		p.Job.Shots = tc.shots
		if sizings, long := p.Long(); sizings != tc.sizings || long != tc.long {
			t.Errorf("%s: %d sizings, long %v; want %d, %v", name, sizings, long, tc.sizings, tc.long)
		}
	}
}
