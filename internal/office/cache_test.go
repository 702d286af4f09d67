package office

import (
	"context"
	"errors"
	"sync"
	"sync/atomic"
	"testing"
	"testing/synctest"
	"time"

	"kitspan/internal/catalog"
)

// counted is a storage with the demo houses that counts how often it is asked.
type counted struct {
	version  atomic.Int64
	versions atomic.Int64
	loads    atomic.Int64
	// slow is how long a load takes, and down what every method answers while it is set.
	slow time.Duration
	down error
}

func (s *counted) Houses(context.Context) ([]catalog.House, error) {
	return catalog.DemoHouses(), s.down
}

func (s *counted) Version(_ context.Context, house string) (int64, error) {
	s.versions.Add(1)
	if _, ok := catalog.DemoSnapshot(house); !ok {
		return 0, catalog.ErrNoHouse
	}
	return s.version.Load(), s.down
}

func (s *counted) Snapshot(ctx context.Context, house string) (*catalog.Snapshot, int64, error) {
	s.loads.Add(1)
	select {
	case <-time.After(s.slow):
	case <-ctx.Done():
		return nil, 0, ctx.Err()
	}
	stock, _ := catalog.DemoSnapshot(house)
	return stock, s.version.Load(), s.down
}

var noon = time.Date(2026, 11, 5, 12, 0, 0, 0, time.UTC)

func atNoon() time.Time { return noon }

func TestACatalogueIsReadOncePerVersion(t *testing.T) {
	storage := &counted{}
	cache := NewCache(storage, atNoon)
	read := func() *Catalogue {
		t.Helper()
		c, err := cache.Catalogue(t.Context(), "quayside")
		if err != nil {
			t.Fatal(err)
		}
		return c
	}
	first := read()
	for range 3 {
		if read() != first {
			t.Error("the same state is another catalogue")
		}
	}
	if got := storage.loads.Load(); got != 1 {
		t.Errorf("%d loads of one state, want 1", got)
	}
	if got := storage.versions.Load(); got != 4 {
		t.Errorf("%d questions for the version, want one a use: 4", got)
	}
	storage.version.Store(7)
	if c := read(); c == first || c.Version != 7 {
		t.Errorf("after a change: version %d, want 7", c.Version)
	}
	if got := storage.loads.Load(); got != 2 {
		t.Errorf("%d loads after a change, want 2", got)
	}
}

// Another process may have changed the catalogue, and the storage may be gone: what is kept is never given unasked.
func TestNothingKeptIsGivenWhereTheStorageDoesNotAnswer(t *testing.T) {
	storage := &counted{}
	cache := NewCache(storage, atNoon)
	if _, err := cache.Snapshot(t.Context(), "quayside"); err != nil {
		t.Fatal(err)
	}
	storage.down = catalog.ErrUnavailable
	if _, err := cache.Snapshot(t.Context(), "quayside"); !errors.Is(err, catalog.ErrUnavailable) {
		t.Errorf("error %v, want %v", err, catalog.ErrUnavailable)
	}
}

func TestHousesThatAreNone(t *testing.T) {
	storage := &counted{}
	cache := NewCache(storage, atNoon)
	for _, house := range []string{"nowhere", "", "no house\x00", "../etc"} {
		if _, err := cache.Snapshot(t.Context(), house); !errors.Is(err, catalog.ErrNoHouse) {
			t.Errorf("%q: error %v, want %v", house, err, catalog.ErrNoHouse)
		}
	}
	if got := storage.versions.Load(); got != 1 {
		t.Errorf("%d names reached the storage, want the one that may be a house's", got)
	}
}

// The rates shown as today's follow the house's own calendar: midnight there, not here, makes another catalogue.
func TestAHousesDayChangesWithItsOwnMidnight(t *testing.T) {
	house := catalog.DemoHouses()[0]
	zone, err := time.LoadLocation(house.TimeZone)
	if err != nil {
		t.Fatal(err)
	}
	midnight := time.Date(2026, 7, 2, 0, 0, 0, 0, zone)
	now := midnight.Add(-time.Second)
	storage := &counted{}
	cache := NewCache(storage, func() time.Time { return now })
	for _, tc := range []struct {
		now  time.Time
		want string
	}{{midnight.Add(-time.Second), "2026-07-01"}, {midnight, "2026-07-02"}, {midnight.Add(time.Hour), "2026-07-02"}} {
		now = tc.now
		c, err := cache.Catalogue(t.Context(), house.Slug)
		if err != nil || c.On.String() != tc.want {
			t.Errorf("at %s: day %s, %v, want %s", tc.now, c.On, err, tc.want)
		}
	}
	if got := storage.loads.Load(); got != 2 {
		t.Errorf("%d loads, want one a day: 2", got)
	}
}

// Many who ask at once share one load. Whoever leaves does not wait for it, and does not end it for the others.
func TestALoadIsSharedAndOutlivesWhoBeganIt(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		storage := &counted{slow: time.Second}
		cache := NewCache(storage, atNoon)
		begin := time.Now()
		first, leave := context.WithCancel(t.Context())
		left := make(chan error)
		go func() {
			_, err := cache.Catalogue(first, "quayside")
			left <- err
		}()
		synctest.Wait()
		var others sync.WaitGroup
		for range 20 {
			others.Go(func() {
				if _, err := cache.Catalogue(t.Context(), "quayside"); err != nil {
					t.Error(err)
				}
			})
		}
		synctest.Wait()
		leave()
		if err := <-left; !errors.Is(err, context.Canceled) || time.Since(begin) != 0 {
			t.Errorf("left: %v after %s, want %v at once", err, time.Since(begin), context.Canceled)
		}
		others.Wait()
		if got := storage.loads.Load(); got != 1 {
			t.Errorf("%d loads, want 1", got)
		}
	})
}

func TestALoadThatHangsEnds(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		cache := NewCache(&counted{slow: time.Hour}, atNoon)
		begin := time.Now()
		if _, err := cache.Catalogue(t.Context(), "quayside"); !errors.Is(err, context.DeadlineExceeded) || time.Since(begin) != loadTimeout {
			t.Errorf("%v after %s, want the end of its time after %s", err, time.Since(begin), loadTimeout)
		}
	})
}
