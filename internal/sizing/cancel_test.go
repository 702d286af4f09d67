package sizing_test

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"reflect"
	"sync/atomic"
	"testing"
	"time"

	"kitspan/internal/price"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
)

// polled is a context that has ended from its poll number end on, and counts how often it is asked.
type polled struct {
	end   int64
	polls atomic.Int64
}

func (p *polled) Deadline() (time.Time, bool) { return time.Time{}, false }
func (p *polled) Done() <-chan struct{}       { return nil }
func (p *polled) Value(any) any               { return nil }

func (p *polled) Err() error {
	if p.polls.Add(1) > p.end {
		return context.Canceled
	}
	return nil
}

// never is an end that no search comes to.
const never = 1 << 60

// morePolls is how often a search may ask again after its context has ended: each loop that it is in asks once more, and so
// does each step that is left of a plan. A search that goes on asks thousands of times.
const morePolls = 100

// TestSearchesEndWithTheirContext cuts plans, sweeps and reaches short at many points of their work. Each must return the
// context's error, nothing else, and soon: an answer from a search that was cut could be a wrong one.
func TestSearchesEndWithTheirContext(t *testing.T) {
	examples := []string{
		"01-two-anglers", "05-six-rowers", "08-ferry-captain-upright", "09-floodlit-sports-hall", "11-overcast-market", "12-lamps-under-the-bridge",
		"13-four-seated-all-afternoon",
	}
	if raceOn { // where a search is cut is arithmetic; that its goroutines end with it shows in the first
		examples = examples[:1]
	}
	for _, example := range examples {
		house, d := exampleDraft(t, filepath.Join("../../docs/examples", example+".json"))
		stock := demoHouse(t, house)
		asked, faults := d.Resolve()
		if len(faults) > 0 {
			t.Fatal(faults)
		}
		prices := price.NewDesk(stock, asked.Window.Date)
		step := 60
		day, faults := shot.DraftSteps{StepMin: &step}.Resolve(asked)
		if len(faults) > 0 {
			t.Fatal(faults)
		}
		frames := framesOf(stock)[:4]
		for _, work := range []struct {
			name string
			do   func(context.Context) (any, error)
		}{
			{"plan", func(ctx context.Context) (any, error) { return sizing.Plan(ctx, asked, stock, prices) }},
			{"sweep", func(ctx context.Context) (any, error) { return sizing.Sweep(ctx, asked, day, stock, prices, 2) }},
			{"reach", func(ctx context.Context) (any, error) { return sizing.Reach(ctx, asked, frames, stock, prices, 2) }},
		} {
			t.Run(fmt.Sprintf("%s/%s", example, work.name), func(t *testing.T) {
				t.Parallel()
				whole := &polled{end: never}
				if _, err := work.do(whole); err != nil {
					t.Fatal(err)
				}
				all := whole.polls.Load()
				if all < 2 {
					t.Fatalf("asks %d times in all", all)
				}
				for _, end := range pointsOf(all) {
					cut := &polled{end: end}
					got, err := work.do(cut)
					if !errors.Is(err, context.Canceled) {
						t.Fatalf("ended at poll %d of %d: error %v, want %v", end, all, err, context.Canceled)
					}
					if !reflect.ValueOf(got).IsZero() {
						t.Errorf("ended at poll %d of %d: an answer came with the error", end, all)
					}
					if more := cut.polls.Load() - end; more > morePolls {
						t.Errorf("ended at poll %d of %d: %d more polls, want up to %d", end, all, more, morePolls)
					}
				}
			})
		}
	}
}

// pointsOf are numbers from 0 to all−1: the first, the last, and some spread over the rest.
func pointsOf(all int64) []int64 {
	spread := int64(8)
	if raceOn {
		spread = 3
	}
	points := []int64{0, 1, all - 2, all - 1}
	for i := int64(1); i < spread; i++ {
		points = append(points, all*i/spread)
	}
	return points
}
