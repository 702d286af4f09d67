package main

import (
	"context"
	"time"

	"kitspan/internal/catalog"
	"kitspan/internal/office"
	"kitspan/internal/postgres"
	"kitspan/internal/rest"
	"kitspan/internal/terms"
)

// stored is a database's catalogue, read whole at each use: the commands use it once.
type stored struct{ *postgres.Catalogue }

// Snapshot implements [office.Stock].
func (s stored) Snapshot(ctx context.Context, house string) (*catalog.Snapshot, error) {
	stock, _, err := s.Catalogue.Snapshot(ctx, house)
	return stock, err
}

// deskOn is a desk on what openStock opened: the demo has terms, a database none yet.
func deskOn(stock office.Stock, url string) rest.Desk {
	desk := rest.NewDesk(stock, time.Now)
	if url == "" {
		desk.Terms = terms.Demo{}
	}
	return desk
}

// openStock is the catalogue of the database at url, or the built-in demo where there is none. done gives it back.
func openStock(ctx context.Context, url string) (stock office.Stock, done func(), err error) {
	if url == "" {
		return catalog.Demo{}, func() {}, nil
	}
	pool, err := postgres.Open(ctx, url)
	if err != nil {
		return nil, nil, reached(err)
	}
	return stored{postgres.NewCatalogue(pool)}, pool.Close, nil
}
