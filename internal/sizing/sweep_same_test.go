package sizing_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"kitspan/internal/finding"
	"kitspan/internal/price"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
)

// Steps under the same lamps share one search. Whichever comes first, each tells of its own time.
func TestAHallsDayIsTheSameHoweverManyWorkOnIt(t *testing.T) {
	t.Parallel()
	s, stock := exampleShot(t, "09-floodlit-sports-hall")
	day, faults := shot.DraftSteps{}.Resolve(s)
	if faults != nil {
		t.Fatal(faults)
	}
	sweep := func(workers int) sizing.SweepResult {
		t.Helper()
		r, err := sizing.Sweep(t.Context(), s, day, stock, price.NewDesk(stock, s.Window.Date), workers)
		if err != nil {
			t.Fatal(err)
		}
		return r
	}
	want, told := sweep(1), 0
	for _, row := range want.Rows {
		why, ok := row.Without.(finding.NoneTogether)
		if !ok || why.Nearest == nil {
			continue
		}
		if m, ok := why.Nearest.Obstacle.(finding.Misses); ok {
			if told++; !m.At.Equal(row.Sun.At) {
				t.Errorf("the step at %s tells of %s", row.Sun.At, m.At)
			}
		}
	}
	if told == 0 {
		t.Fatal("no step tells of what a frame misses")
	}
	for range 4 {
		if diff := cmp.Diff(want.Rows, sweep(4).Rows); diff != "" {
			t.Fatal(diff)
		}
	}
}
