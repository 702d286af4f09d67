package postgres

import (
	"context"
	"errors"
	"fmt"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgxpool"

	"kitspan/internal/catalog"
)

// Catalogue keeps the houses, their items and rates. It is safe for concurrent use. Every method on a house that is not
// there answers [catalog.ErrNoHouse]; a database that does not answer is [catalog.ErrUnavailable].
//
// Writers of one house take turns on its row, so that versions of items never repeat and two writers cannot deadlock.
type Catalogue struct{ pool *pgxpool.Pool }

// How long a call waits for a database that may hang, connecting included; common practice, no source. Whole catalogues and imports
// take the time that the caller gives them.
const (
	lookTimeout  = 5 * time.Second  // a few rows, of which a busy server too makes short work
	writeTimeout = 15 * time.Second // one item, after the writers of the same house that came before
)

// NewCatalogue keeps the catalogue in a pool's database.
func NewCatalogue(pool *pgxpool.Pool) *Catalogue {
	if pool == nil {
		panic("postgres: a catalogue without a pool")
	}
	return &Catalogue{pool}
}

// Ping returns nil where the database answers.
func (c *Catalogue) Ping(ctx context.Context) error {
	ctx, cancel := context.WithTimeout(ctx, lookTimeout)
	defer cancel()
	if err := c.pool.Ping(ctx); err != nil {
		return refusal("ping the catalogue's database", err)
	}
	return nil
}

// Houses lists all houses, ascending by slug.
func (c *Catalogue) Houses(ctx context.Context) ([]catalog.House, error) {
	ctx, cancel := context.WithTimeout(ctx, lookTimeout)
	defer cancel()
	rows, err := c.pool.Query(ctx, `SELECT slug, name, currency, time_zone FROM houses ORDER BY slug COLLATE "C"`)
	if err != nil {
		return nil, refusal("list houses", err)
	}
	houses, err := pgx.CollectRows(rows, func(row pgx.CollectableRow) (h catalog.House, err error) {
		err = row.Scan(&h.Slug, &h.Name, &h.Currency, &h.TimeZone)
		return h, err
	})
	if err != nil {
		return nil, refusal("list houses", err)
	}
	return houses, nil
}

// Version names the state of a house's catalogue. It grows with every change of the house or of one of its items, and
// costs one look at one row.
func (c *Catalogue) Version(ctx context.Context, house string) (int64, error) {
	ctx, cancel := context.WithTimeout(ctx, lookTimeout)
	defer cancel()
	var version int64
	err := c.pool.QueryRow(ctx, `SELECT version FROM houses WHERE slug = $1`, house).Scan(&version)
	if err != nil {
		return 0, refusal("read the version of house "+house, noHouse(err))
	}
	return version, nil
}

// Snapshot reads a house's whole catalogue in one consistent state, and that state's version.
func (c *Catalogue) Snapshot(ctx context.Context, house string) (*catalog.Snapshot, int64, error) {
	var stock *catalog.Snapshot
	var version int64
	err := InTx(ctx, c.pool, pgx.TxOptions{IsoLevel: pgx.RepeatableRead, AccessMode: pgx.ReadOnly}, func(tx pgx.Tx) error {
		h, at, err := readHouse(ctx, tx, house)
		if err != nil {
			return err
		}
		items, err := readItems(ctx, tx, h)
		if err != nil {
			return err
		}
		stock, version = catalog.NewSnapshot(h, items), at
		return nil
	})
	if err != nil {
		return nil, 0, refusal("read the catalogue of house "+house, err)
	}
	return stock, version, nil
}

func readHouse(ctx context.Context, tx pgx.Tx, slug string) (h catalog.House, version int64, err error) {
	err = tx.QueryRow(ctx, `SELECT slug, name, currency, time_zone, version FROM houses WHERE slug = $1`, slug).
		Scan(&h.Slug, &h.Name, &h.Currency, &h.TimeZone, &version)
	return h, version, noHouse(err)
}

// lockHouse reads a house and keeps other writers of it waiting until the transaction ends. next is the version that
// the items changed by this transaction get: above every version that the house ever had, and not above the one that it
// has once the change is in, because the change itself makes that grow.
func lockHouse(ctx context.Context, tx pgx.Tx, slug string) (h catalog.House, next int64, err error) {
	err = tx.QueryRow(ctx, `SELECT slug, name, currency, time_zone, version + 1 FROM houses WHERE slug = $1 FOR NO KEY UPDATE`, slug).
		Scan(&h.Slug, &h.Name, &h.Currency, &h.TimeZone, &next)
	return h, next, noHouse(err)
}

func noHouse(err error) error {
	if errors.Is(err, pgx.ErrNoRows) {
		return catalog.ErrNoHouse
	}
	return err
}

// refusal names the operation and turns the database's kinds of error into the catalogue's.
func refusal(operation string, err error) error {
	err = Translate(err)
	switch {
	case errors.Is(err, ErrUnavailable), errors.Is(err, ErrBusy):
		err = fmt.Errorf("%w: %w", catalog.ErrUnavailable, err)
	case errors.Is(err, ErrConflict) && Constraint(err) == "items_pkey":
		err = fmt.Errorf("%w: %w", catalog.ErrItemExists, err)
	case errors.Is(err, ErrReference) && Constraint(err) == "items_support_operator_fkey":
		// Writers look for the operator first: what is left is an operator that went while a machine still needs it.
		err = fmt.Errorf("%w: %w", catalog.ErrItemInUse, err)
	}
	return fmt.Errorf("%s: %w", operation, err)
}

// Seed adds the demo houses that are not there yet, each with its whole catalogue, and returns how many it added. A house
// that is there is left as it is, whatever has been changed in it: seeding again does nothing.
func (c *Catalogue) Seed(ctx context.Context) (added int, err error) {
	for _, h := range catalog.DemoHouses() {
		stock, _ := catalog.DemoSnapshot(h.Slug)
		fresh, err := addHouse(ctx, c, h, stock.Items())
		if err != nil {
			return added, refusal("seed house "+h.Slug, err)
		}
		if fresh {
			added++
		}
	}
	return added, nil
}
