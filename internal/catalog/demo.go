package catalog

import (
	"context"
	"embed"
	"fmt"
	"slices"
	"sync"
)

// The demo catalogue: two invented houses, one file per kind in the format that import and export use. Sizes, masses,
// loads, optical values and prices are what such gear commonly has: common practice, no source.
//
//go:embed demo/*.csv
var demoFiles embed.FS

var demoHouses = []House{
	{Slug: "quayside", Name: "Quayside Grip & Light", Currency: "EUR", TimeZone: "Europe/Lisbon"},
	{Slug: "northpier", Name: "Northpier Rentals", Currency: "EUR", TimeZone: "Europe/Madrid"},
}

// DemoHouses returns the houses of the demo catalogue.
func DemoHouses() []House { return slices.Clone(demoHouses) }

// DemoSnapshot returns the demo catalogue of one house; false where there is no such house.
func DemoSnapshot(slug string) (*Snapshot, bool) {
	s, ok := demo()[slug]
	return s, ok
}

// Demo is the demo catalogue as what answers requests reads one: it stands in for a database, in the commands that need none and in tests.
type Demo struct{}

// Houses returns the demo houses. The error is nil.
func (Demo) Houses(context.Context) ([]House, error) { return DemoHouses(), nil }

// Snapshot returns the catalogue of one demo house, or [ErrNoHouse].
func (Demo) Snapshot(_ context.Context, house string) (*Snapshot, error) {
	s, ok := DemoSnapshot(house)
	if !ok {
		return nil, ErrNoHouse
	}
	return s, nil
}

// demo reads the embedded files once. A fault in them is a programmer's error, which a test finds, and panics.
var demo = sync.OnceValue(func() map[string]*Snapshot {
	items := map[string][]Item{}
	for _, kind := range kinds {
		if err := readDemo(kind, func(house string, item Item) error {
			items[house] = append(items[house], item)
			return nil
		}); err != nil {
			panic(fmt.Sprintf("catalog: demo %s: %v", kind, err))
		}
	}
	snapshots := map[string]*Snapshot{}
	for _, h := range demoHouses {
		snapshots[h.Slug] = NewSnapshot(h, items[h.Slug])
	}
	return snapshots
})

func readDemo(kind Kind, row func(house string, item Item) error) error {
	f, err := demoFiles.Open("demo/" + string(kind) + ".csv")
	if err != nil {
		return err
	}
	defer func() { _ = f.Close() }() // read-only and in memory
	return ReadCSV(f, kind, demoHouse, row)
}

func demoHouse(slug string) (House, bool) {
	if i := slices.IndexFunc(demoHouses, func(h House) bool { return h.Slug == slug }); i >= 0 {
		return demoHouses[i], true
	}
	return House{}, false
}
