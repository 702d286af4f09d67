package rest

import (
	"fmt"
	"sync"

	"kitspan/internal/catalog"
	"kitspan/internal/office"
)

// itemLists keeps each house's items as JSON, made when they are first listed. It is safe for concurrent use.
type itemLists struct {
	mu      sync.Mutex
	byHouse map[string]*itemList
}

func newItemLists() *itemLists { return &itemLists{byHouse: map[string]*itemList{}} }

// of returns the list of a catalogue, in place of that of an older state of the same house.
func (l *itemLists) of(c *office.Catalogue) *itemList {
	l.mu.Lock()
	defer l.mu.Unlock()
	list := l.byHouse[c.Stock.House.Slug]
	if list == nil || list.catalogue != c {
		list = &itemList{catalogue: c}
		l.byHouse[c.Stock.House.Slug] = list
	}
	return list
}

// itemList is the items of one catalogue as JSON.
type itemList struct {
	catalogue *office.Catalogue
	once      sync.Once
	rendered  [][]byte
	err       error
}

// entries are the JSON of each item, in the order of the catalogue's.
func (l *itemList) entries() ([][]byte, error) {
	l.once.Do(func() { l.rendered, l.err = renderItems(l.catalogue.Stock.Items(), l.catalogue.On) })
	return l.rendered, l.err
}

func renderItems(items []catalog.Item, on catalog.Date) ([][]byte, error) {
	out := make([][]byte, len(items))
	for i := range items {
		entry, err := itemJSON(&items[i], on)
		if err != nil {
			return nil, err
		}
		out[i] = entry
	}
	return out, nil
}

// listTag is the ETag of lists: the catalogue's version, the day whose rates are shown, and the media type where that is not JSON. It is
// weak, since the same list goes out plain and compressed (RFC 9110, 8.8.3.3).
func listTag(c *office.Catalogue, media string) string {
	form := ""
	if media == csvType {
		form = ".csv"
	}
	return fmt.Sprintf(`W/"%d.%s%s"`, c.Version, c.On, form)
}
