package office

import (
	"context"
	"fmt"
	"sync"
	"time"

	"golang.org/x/sync/singleflight"

	"kitspan/internal/catalog"
)

// loadTimeout bounds one reading of a whole catalogue; common practice, no source: 20,000 items take under a second.
const loadTimeout = 20 * time.Second

// Storage is where a [Cache] reads catalogues. Implementations are safe for concurrent use. An unknown house is
// [catalog.ErrNoHouse]; what the storage cannot do at the moment is [catalog.ErrUnavailable].
type Storage interface {
	// Houses lists all houses, ascending by slug.
	Houses(ctx context.Context) ([]catalog.House, error)
	// Version names the state of a house's catalogue: it is cheap, and changes with every change of the house or of
	// one of its items.
	Version(ctx context.Context, house string) (int64, error)
	// Snapshot reads a house's whole catalogue in one consistent state, and that state's Version.
	Snapshot(ctx context.Context, house string) (*catalog.Snapshot, int64, error)
}

// Catalogue is a house's catalogue as it stands on one of the house's days. It is immutable: another state is another
// Catalogue, so that what is derived from one may be kept by its pointer.
type Catalogue struct {
	Stock   *catalog.Snapshot
	Version int64
	// On is the house's day, whose rates are today's.
	On catalog.Date

	zone *time.Location
}

// Cache is a [Stock] that keeps the newest catalogue of each house in memory. Every use asks the storage for the house's
// version, which is cheap, so that a change shows in the next answer, whichever process made it. It is safe for concurrent
// use.
type Cache struct {
	storage Storage
	now     func() time.Time

	mu      sync.RWMutex
	byHouse map[string]*Catalogue
	loading singleflight.Group
}

var _ Stock = (*Cache)(nil)

// NewCache returns an empty cache; now returns the current time.
func NewCache(storage Storage, now func() time.Time) *Cache {
	return &Cache{storage: storage, now: now, byHouse: map[string]*Catalogue{}}
}

// Catalogue returns the house's catalogue as it stands; [catalog.ErrNoHouse] where there is no such house.
func (c *Cache) Catalogue(ctx context.Context, house string) (*Catalogue, error) {
	if !catalog.IsSlug(house) {
		return nil, catalog.ErrNoHouse
	}
	version, err := c.storage.Version(ctx, house)
	if err != nil {
		return nil, err
	}
	c.mu.RLock()
	kept := c.byHouse[house]
	c.mu.RUnlock()
	if kept != nil && kept.Version == version && kept.On == DateIn(kept.zone, c.now()) {
		return kept, nil
	}
	// The load outlives a caller that goes away: others wait for it.
	loaded := c.loading.DoChan(fmt.Sprintf("%s@%d", house, version), func() (any, error) {
		ctx, cancel := context.WithTimeout(context.WithoutCancel(ctx), loadTimeout)
		defer cancel()
		return c.load(ctx, house)
	})
	select {
	case l := <-loaded:
		if l.Err != nil {
			return nil, l.Err
		}
		return l.Val.(*Catalogue), nil
	case <-ctx.Done():
		return nil, ctx.Err()
	}
}

func (c *Cache) load(ctx context.Context, house string) (*Catalogue, error) {
	stock, version, err := c.storage.Snapshot(ctx, house)
	if err != nil {
		return nil, err
	}
	zone := ZoneOf(stock.House)
	fresh := &Catalogue{Version: version, Stock: stock, zone: zone, On: DateIn(zone, c.now())}
	c.mu.Lock()
	defer c.mu.Unlock()
	c.byHouse[house] = fresh
	return fresh, nil
}

// Snapshot implements [Stock].
func (c *Cache) Snapshot(ctx context.Context, house string) (*catalog.Snapshot, error) {
	kept, err := c.Catalogue(ctx, house)
	if err != nil {
		return nil, err
	}
	return kept.Stock, nil
}

// Houses implements [Stock].
func (c *Cache) Houses(ctx context.Context) ([]catalog.House, error) { return c.storage.Houses(ctx) }
