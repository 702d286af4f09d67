package main

import (
	"context"

	"kitspan/internal/catalog"
)

// demoStock is the built-in demo catalogue: what the commands use where no database is named.
type demoStock struct{}

// Houses implements [office.Stock].
func (demoStock) Houses(context.Context) ([]catalog.House, error) { return catalog.DemoHouses(), nil }

// Snapshot implements [office.Stock].
func (demoStock) Snapshot(_ context.Context, house string) (*catalog.Snapshot, error) {
	stock, ok := catalog.DemoSnapshot(house)
	if !ok {
		return nil, catalog.ErrNoHouse
	}
	return stock, nil
}
