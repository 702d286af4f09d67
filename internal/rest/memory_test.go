package rest

import (
	"bytes"
	"context"
	"io"
	"slices"
	"sync"

	"kitspan/internal/catalog"
)

// memory is a [Catalogue] without a database, filled with the demo houses, for tests of the handlers alone.
type memory struct {
	mu       sync.Mutex
	houses   []catalog.House
	items    map[string]map[string]StoredItem // by house, by SKU
	versions map[string]int64
	keys     map[string]created
	down     error // what every method answers while it is set
	loads    int   // how many snapshots were read
}

type created struct {
	digest []byte
	item   StoredItem
}

func newMemory() *memory {
	m := &memory{houses: catalog.DemoHouses(), items: map[string]map[string]StoredItem{}, versions: map[string]int64{}, keys: map[string]created{}}
	slices.SortFunc(m.houses, func(a, b catalog.House) int { return bytes.Compare([]byte(a.Slug), []byte(b.Slug)) })
	for _, h := range m.houses {
		stock, _ := catalog.DemoSnapshot(h.Slug)
		m.items[h.Slug] = map[string]StoredItem{}
		m.versions[h.Slug] = 1
		for _, item := range stock.Items() {
			m.items[h.Slug][item.SKU] = StoredItem{item, 1}
		}
	}
	return m
}

func (m *memory) enter(house string) (leave func(), err error) {
	m.mu.Lock()
	if err := m.down; err != nil {
		m.mu.Unlock()
		return nil, err
	}
	if house != "" && m.items[house] == nil {
		m.mu.Unlock()
		return nil, ErrNoHouse
	}
	return m.mu.Unlock, nil
}

func (m *memory) Ping(context.Context) error { return m.down }

func (m *memory) Houses(context.Context) ([]catalog.House, error) {
	leave, err := m.enter("")
	if err != nil {
		return nil, err
	}
	defer leave()
	return m.houses, nil
}

func (m *memory) Version(_ context.Context, house string) (int64, error) {
	leave, err := m.enter(house)
	if err != nil {
		return 0, err
	}
	defer leave()
	return m.versions[house], nil
}

func (m *memory) Snapshot(_ context.Context, house string) (*catalog.Snapshot, int64, error) {
	leave, err := m.enter(house)
	if err != nil {
		return nil, 0, err
	}
	defer leave()
	m.loads++
	var items []catalog.Item
	for _, item := range m.items[house] {
		items = append(items, item.Item)
	}
	i := slices.IndexFunc(m.houses, func(h catalog.House) bool { return h.Slug == house })
	return catalog.NewSnapshot(m.houses[i], items), m.versions[house], nil
}

func (m *memory) Item(_ context.Context, house, sku string) (StoredItem, error) {
	leave, err := m.enter(house)
	if err != nil {
		return StoredItem{}, err
	}
	defer leave()
	item, ok := m.items[house][sku]
	if !ok {
		return StoredItem{}, ErrNoItem
	}
	return item, nil
}

func (m *memory) CreateItem(_ context.Context, house string, item catalog.Item, key string, digest []byte) (StoredItem, error) {
	leave, err := m.enter(house)
	if err != nil {
		return StoredItem{}, err
	}
	defer leave()
	if was, ok := m.keys[house+"\n"+key]; ok {
		if !bytes.Equal(was.digest, digest) {
			return StoredItem{}, ErrKeyReused
		}
		return was.item, nil
	}
	if _, ok := m.items[house][item.SKU]; ok {
		return StoredItem{}, ErrItemExists
	}
	m.versions[house]++
	stored := StoredItem{item, 1}
	m.items[house][item.SKU] = stored
	m.keys[house+"\n"+key] = created{digest, stored}
	return stored, nil
}

func (m *memory) at(house, sku string, version ItemVersion) error {
	was, ok := m.items[house][sku]
	if !ok {
		return ErrNoItem
	}
	if was.Version != version {
		return ErrItemChanged
	}
	return nil
}

func (m *memory) ReplaceItem(_ context.Context, house string, item catalog.Item, version ItemVersion) (StoredItem, error) {
	leave, err := m.enter(house)
	if err != nil {
		return StoredItem{}, err
	}
	defer leave()
	if err := m.at(house, item.SKU, version); err != nil {
		return StoredItem{}, err
	}
	m.versions[house]++
	stored := StoredItem{item, version + 1}
	m.items[house][item.SKU] = stored
	return stored, nil
}

func (m *memory) DeleteItem(_ context.Context, house, sku string, version ItemVersion) error {
	leave, err := m.enter(house)
	if err != nil {
		return err
	}
	defer leave()
	if err := m.at(house, sku, version); err != nil {
		return err
	}
	m.versions[house]++
	delete(m.items[house], sku)
	return nil
}

func (m *memory) ImportItems(_ context.Context, house string, kind catalog.Kind, file io.Reader) (ImportCounts, error) {
	leave, err := m.enter(house)
	if err != nil {
		return ImportCounts{}, err
	}
	defer leave()
	i := slices.IndexFunc(m.houses, func(h catalog.House) bool { return h.Slug == house })
	var items []catalog.Item
	if err := catalog.ReadCSV(file, kind, catalog.OneHouse(m.houses[i]), func(_ string, item catalog.Item) error {
		items = append(items, item)
		return nil
	}); err != nil {
		return ImportCounts{}, err
	}
	var counts ImportCounts
	for _, item := range items {
		was, ok := m.items[house][item.SKU]
		if ok {
			counts.Changed++
		} else {
			counts.Created++
		}
		m.items[house][item.SKU] = StoredItem{item, was.Version + 1}
	}
	m.versions[house]++
	return counts, nil
}
