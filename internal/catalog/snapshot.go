package catalog

import (
	"fmt"
	"slices"
	"strings"
)

// Snapshot is one house's catalogue at one moment. It is immutable once made and safe to share.
type Snapshot struct {
	House House
	items []Item // ascending by SKU
	bySKU map[string]int
}

// NewSnapshot takes over items and sorts them by SKU. A SKU that occurs twice is a programmer's error and panics:
// every way in checks it first.
func NewSnapshot(house House, items []Item) *Snapshot {
	slices.SortFunc(items, func(a, b Item) int { return strings.Compare(a.SKU, b.SKU) })
	bySKU := make(map[string]int, len(items))
	for i := range items {
		if _, twice := bySKU[items[i].SKU]; twice {
			panic(fmt.Sprintf("catalog: SKU %s occurs twice in a snapshot of %s", items[i].SKU, house.Slug))
		}
		bySKU[items[i].SKU] = i
	}
	return &Snapshot{House: house, items: items, bySKU: bySKU}
}

// Items returns all items, ascending by SKU. Do not change them.
func (s *Snapshot) Items() []Item { return s.items }

// Item finds one by SKU; nil when the house has none.
func (s *Snapshot) Item(sku string) *Item {
	if i, ok := s.bySKU[sku]; ok {
		return &s.items[i]
	}
	return nil
}

// Without returns the catalogue with none of some items to be had: they are known, and owned by nobody.
func (s *Snapshot) Without(skus []string) *Snapshot {
	if len(skus) == 0 {
		return s
	}
	items := slices.Clone(s.items)
	for i := range items {
		if slices.Contains(skus, items[i].SKU) {
			items[i].Owned = 0
		}
	}
	return &Snapshot{House: s.House, items: items, bySKU: s.bySKU}
}
