package postgres

import (
	"context"
	"errors"

	"github.com/jackc/pgx/v5"

	"kitspan/internal/catalog"
)

// addHouse adds a house with its items unless there is one of that name; two callers at once add it once.
func addHouse(ctx context.Context, c *Catalogue, house catalog.House, items []catalog.Item) (added bool, err error) {
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
