package postgres

import (
	"context"
	"errors"

	"github.com/jackc/pgx/v5"

	"kitspan/internal/catalog"
)

// Seed adds the demo houses that are not there yet, each with its whole catalogue, and returns how many it added. A house
// that is there is left as it is, whatever has been changed in it: seeding again does nothing.
func (c *Catalogue) Seed(ctx context.Context) (added int, err error) {
	for _, h := range catalog.DemoHouses() {
		stock, _ := catalog.DemoSnapshot(h.Slug)
		fresh, err := c.addHouse(ctx, h, stock.Items())
		if err != nil {
			return added, refusal("seed house "+h.Slug, err)
		}
		if fresh {
			added++
		}
	}
	return added, nil
}

// addHouse adds a house with its items unless there is one of that name; two callers at once add it once.
func (c *Catalogue) addHouse(ctx context.Context, house catalog.House, items []catalog.Item) (added bool, err error) {
	err = InTx(ctx, c.pool, readCommitted, func(tx pgx.Tx) error {
		added = false
		var version int64
		err := tx.QueryRow(ctx, `
			INSERT INTO houses (slug, name, currency, time_zone) VALUES ($1, $2, $3, $4)
			ON CONFLICT DO NOTHING
			RETURNING version`, house.Slug, house.Name, house.Currency, house.TimeZone).Scan(&version)
		if errors.Is(err, pgx.ErrNoRows) {
			return nil
		}
		if err != nil {
			return err
		}
		rows := func(yield func(catalog.Row, error) bool) {
			for _, item := range items {
				if !yield(catalog.Row{House: house.Slug, Item: item}, nil) {
					return
				}
			}
		}
		staged, err := stageRows(ctx, tx, house, rows)
		if err != nil {
			return err
		}
		if _, err := applyStaged(ctx, tx, staged, version); err != nil {
			return err
		}
		added = true
		return nil
	})
	return added, err
}
