package rest

import (
	"context"
	"fmt"
	"sync"
	"time"

	"golang.org/x/sync/singleflight"

	"kitspan/internal/catalog"
	"kitspan/internal/office"
)

// loadTimeout bounds one reading of a whole catalogue; common practice, no source: 20,000 items take under a second.
const loadTimeout = 20 * time.Second

// shelf is a house's catalogue in memory, ready to size from and to list. It is immutable but for its rendering, made
// once.
type shelf struct {
	version int64
	stock   *catalog.Snapshot
	zone    *time.Location
	on      catalog.Date // the house's day, whose rates are listed as day_rate

	renderOnce sync.Once
	rendered   [][]byte // JSON of each item of stock.Items()
	renderErr  error
}

// shelves keeps the newest catalogue of each house. Every use asks the storage for the house's version, which is cheap,
// so that a change shows in the next answer, whichever process made it.
type shelves struct {
	storage Catalogue
	now     func() time.Time

	mu      sync.RWMutex
	byHouse map[string]*shelf
	loading singleflight.Group
}

func newShelves(storage Catalogue, now func() time.Time) *shelves {
	return &shelves{storage: storage, now: now, byHouse: map[string]*shelf{}}
}

// shelf is the house's catalogue as it stands; catalog.ErrNoHouse where there is no such house.
func (s *shelves) shelf(ctx context.Context, house string) (*shelf, error) {
	if !catalog.IsSlug(house) {
		return nil, catalog.ErrNoHouse
	}
	version, err := s.storage.Version(ctx, house)
	if err != nil {
		return nil, err
	}
	s.mu.RLock()
	kept := s.byHouse[house]
	s.mu.RUnlock()
	if kept != nil && kept.version == version && kept.on == office.DateIn(kept.zone, s.now()) {
		return kept, nil
	}
	// The load outlives a caller that goes away: others wait for it.
	loaded, err, _ := s.loading.Do(fmt.Sprintf("%s@%d", house, version), func() (any, error) {
		ctx, cancel := context.WithTimeout(context.WithoutCancel(ctx), loadTimeout)
		defer cancel()
		return s.load(ctx, house)
	})
	if err != nil {
		return nil, err
	}
	return loaded.(*shelf), nil
}

func (s *shelves) load(ctx context.Context, house string) (*shelf, error) {
	stock, version, err := s.storage.Snapshot(ctx, house)
	if err != nil {
		return nil, err
	}
	zone := office.ZoneOf(stock.House)
	fresh := &shelf{version: version, stock: stock, zone: zone, on: office.DateIn(zone, s.now())}
	s.mu.Lock()
	defer s.mu.Unlock()
	s.byHouse[house] = fresh
	return fresh, nil
}

// Snapshot implements [Stock].
func (s *shelves) Snapshot(ctx context.Context, house string) (*catalog.Snapshot, error) {
	shelf, err := s.shelf(ctx, house)
	if err != nil {
		return nil, err
	}
	return shelf.stock, nil
}

// Houses implements [Stock].
func (s *shelves) Houses(ctx context.Context) ([]catalog.House, error) { return s.storage.Houses(ctx) }
