package rest

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"runtime"
	"slices"
	"strings"
	"testing"
	"time"

	"golang.org/x/sys/unix"

	"kitspan/internal/catalog"
)

// metered is a context that measures the work between two questions for its end, and ends at one of them. Work is the
// processor time of the one thread that does it: what else the machine does has no part in it.
type metered struct {
	t        *testing.T
	endsAt   int // the question that is answered with the end; none where it is 0
	asked    int
	last     time.Duration
	longest  time.Duration
	endedFor time.Duration // when the end was first reported
}

func (m *metered) Deadline() (time.Time, bool) { return time.Time{}, false }
func (m *metered) Done() <-chan struct{}       { return nil }
func (m *metered) Value(any) any               { return nil }

func (m *metered) Err() error {
	now := threadTime(m.t)
	m.asked++
	if m.endsAt == 0 || m.asked <= m.endsAt {
		m.longest = max(m.longest, now-m.last)
		m.last = now
	}
	if m.endsAt == 0 || m.asked < m.endsAt {
		return nil
	}
	if m.asked == m.endsAt {
		m.endedFor = now
	}
	return context.Canceled
}

// threadTime is the processor time that the calling thread has had.
func threadTime(t *testing.T) time.Duration {
	t.Helper()
	var now unix.Timespec
	if err := unix.ClockGettime(unix.CLOCK_THREAD_CPUTIME_ID, &now); err != nil {
		t.Fatal(err)
	}
	return time.Duration(now.Nano())
}

// Work that nobody waits for any more ends within 50 ms of it: whenever its context ends, what it does until it asks and
// what it does from there until it returns take no longer together.
func TestWorkEndsSoonAfterItsContext(t *testing.T) {
	const within = 50 * time.Millisecond
	runtime.LockOSThread()
	defer runtime.UnlockOSThread()
	desk := NewDesk(catalog.Demo{}, time.Now)
	bodies := maps.Clone(examples(t))
	var lamps []string
	for i := range 12 {
		lamps = append(lamps, fmt.Sprintf(`{"label": "lamp %d", "azimuth_deg": %d, "elevation_deg": 22, "illuminance_lx": 90000}`, i, 7+30*i))
	}
	bodies["sun and twelve lamps"] = changed(t, "/shot/lamps", "["+strings.Join(lamps, ",")+"]")
	if raceOn { // which changes how long work takes, and has nothing to find in one goroutine
		t.Log("nothing is measured under the race detector")
		return
	}
	for _, name := range slices.Sorted(maps.Keys(bodies)) {
		run := func(endsAt int) (*metered, time.Duration, error) {
			m := &metered{t: t, endsAt: endsAt, last: threadTime(t)}
			_, err := desk.SizeJSON(m, []byte(bodies[name]))
			return m, threadTime(t), err
		}
		whole, end, err := run(0)
		if err != nil {
			t.Fatal(err)
		}
		longest := max(whole.longest, end-whole.last)
		const spread = 4
		var tail time.Duration
		for i := range spread {
			cut, end, err := run(1 + whole.asked*i/spread)
			if !errors.Is(err, context.Canceled) {
				t.Fatalf("%s, ended at question %d of %d: error %v", name, cut.endsAt, whole.asked, err)
			}
			tail = max(tail, end-cut.endedFor)
		}
		t.Logf("%s: %d questions, %s at most between two, %s at most after", name, whole.asked, longest, tail)
		if longest+tail > within {
			t.Errorf("%s: %s between two questions and %s after the end, want %s at most together", name, longest, tail, within)
		}
	}
}
