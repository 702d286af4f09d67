package rest

import (
	"bytes"
	"context"
	"errors"
	"io"
	"slices"
	"strings"
	"sync"
	"unicode/utf8"

	"kitspan/internal/catalog"
)

// memory is a storage without a database, filled with the demo houses, for tests of the handlers alone.
type memory struct {
	mu       sync.Mutex
	houses   []catalog.House
	items    map[string]map[string]catalog.StoredItem // by house, by SKU
	versions map[string]int64
	keys     map[string]created
	down     error // what every method answers while it is set
}

type created struct {
	digest []byte
	item   catalog.StoredItem
}

func newMemory() *memory {
	m := &memory{houses: catalog.DemoHouses(), items: map[string]map[string]catalog.StoredItem{}, versions: map[string]int64{}, keys: map[string]created{}}
	slices.SortFunc(m.houses, func(a, b catalog.House) int { return bytes.Compare([]byte(a.Slug), []byte(b.Slug)) })
	for _, h := range m.houses {
		stock, _ := catalog.DemoSnapshot(h.Slug)
		m.items[h.Slug] = map[string]catalog.StoredItem{}
		m.versions[h.Slug] = 1
		for _, item := range stock.Items() {
			m.items[h.Slug][item.SKU] = catalog.StoredItem{Item: item, Version: 1}
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
	if !storable(house) {
		m.mu.Unlock()
		return nil, errNotText
	}
	if house != "" && m.items[house] == nil {
		m.mu.Unlock()
		return nil, catalog.ErrNoHouse
	}
	return m.mu.Unlock, nil
}

// errNotText is what PostgreSQL answers to text with a NUL or of no encoding (SQLSTATE 22021).
var errNotText = errors.New("invalid byte sequence for encoding UTF8")

func storable(text string) bool { return utf8.ValidString(text) && !strings.ContainsRune(text, 0) }

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
	var items []catalog.Item
	for _, item := range m.items[house] {
		items = append(items, item.Item)
	}
	i := slices.IndexFunc(m.houses, func(h catalog.House) bool { return h.Slug == house })
	return catalog.NewSnapshot(m.houses[i], items), m.versions[house], nil
}

func (m *memory) Item(_ context.Context, house, sku string) (catalog.StoredItem, error) {
	leave, err := m.enter(house)
	if err != nil {
		return catalog.StoredItem{}, err
	}
	defer leave()
	if !storable(sku) {
		return catalog.StoredItem{}, errNotText
	}
	item, ok := m.items[house][sku]
	if !ok {
		return catalog.StoredItem{}, catalog.ErrNoItem
	}
	return item, nil
}

func (m *memory) CreateItem(_ context.Context, house string, item catalog.Item, key string, digest []byte) (catalog.StoredItem, error) {
	leave, err := m.enter(house)
	if err != nil {
		return catalog.StoredItem{}, err
	}
	defer leave()
	if was, ok := m.keys[house+"\n"+key]; ok {
		if !bytes.Equal(was.digest, digest) {
			return catalog.StoredItem{}, catalog.ErrKeyReused
		}
		return was.item, nil
	}
	if _, ok := m.items[house][item.SKU]; ok {
		return catalog.StoredItem{}, catalog.ErrItemExists
	}
	m.versions[house]++
	stored := catalog.StoredItem{Item: item, Version: 1}
	m.items[house][item.SKU] = stored
	m.keys[house+"\n"+key] = created{digest, stored}
	return stored, nil
}

func (m *memory) at(house, sku string, version int64) error {
	if !storable(sku) {
		return errNotText
	}
	was, ok := m.items[house][sku]
	if !ok {
		return catalog.ErrNoItem
	}
	if was.Version != version {
		return catalog.ErrItemChanged
	}
	return nil
}

func (m *memory) ReplaceItem(_ context.Context, house string, item catalog.Item, version int64) (catalog.StoredItem, error) {
	leave, err := m.enter(house)
	if err != nil {
		return catalog.StoredItem{}, err
	}
	defer leave()
	if err := m.at(house, item.SKU, version); err != nil {
		return catalog.StoredItem{}, err
	}
	m.versions[house]++
	stored := catalog.StoredItem{Item: item, Version: version + 1}
	m.items[house][item.SKU] = stored
	return stored, nil
}

func (m *memory) DeleteItem(_ context.Context, house, sku string, version int64) error {
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

func (m *memory) ImportItems(_ context.Context, house string, kind catalog.Kind, file io.Reader) (catalog.ImportCounts, error) {
	leave, err := m.enter(house)
	if err != nil {
		return catalog.ImportCounts{}, err
	}
	defer leave()
	i := slices.IndexFunc(m.houses, func(h catalog.House) bool { return h.Slug == house })
	var items []catalog.Item
	if err := catalog.ReadCSV(file, kind, catalog.OneHouse(m.houses[i]), func(_ string, item catalog.Item) error {
		items = append(items, item)
		return nil
	}); err != nil {
		return catalog.ImportCounts{}, err
	}
	var counts catalog.ImportCounts
	for _, item := range items {
		was, ok := m.items[house][item.SKU]
		if ok {
			counts.Changed++
		} else {
			counts.Created++
		}
		m.items[house][item.SKU] = catalog.StoredItem{Item: item, Version: was.Version + 1}
	}
	m.versions[house]++
	return counts, nil
}
