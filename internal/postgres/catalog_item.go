package postgres

import (
	"bytes"
	"context"
	"errors"
	"fmt"

	"github.com/jackc/pgx/v5"

	"kitspan/internal/catalog"
)

// readCommitted is enough for writers: they take turns on the house's row before they look at anything.
var readCommitted = pgx.TxOptions{IsoLevel: pgx.ReadCommitted}

// Item reads one item, or [catalog.ErrNoItem].
func (c *Catalogue) Item(ctx context.Context, house, sku string) (catalog.StoredItem, error) {
	ctx, cancel := context.WithTimeout(ctx, lookTimeout)
	defer cancel()
	var item catalog.StoredItem
	err := InTx(ctx, c.pool, pgx.TxOptions{IsoLevel: pgx.RepeatableRead, AccessMode: pgx.ReadOnly}, func(tx pgx.Tx) error {
		h, _, err := readHouse(ctx, tx, house)
		if err != nil {
			return err
		}
		item, err = readItem(ctx, tx, h, sku)
		return noItem(err)
	})
	if err != nil {
		return catalog.StoredItem{}, refusal("read item "+sku+" of house "+house, err)
	}
	return item, nil
}

// CreateItem adds an item. It is validated again for its house, and an unsound one or one whose operator the house does
// not have is an [*catalog.InvalidError]. A SKU that is taken is [catalog.ErrItemExists].
//
// key is the client's idempotency key and digest, 1 to 64 bytes, a hash of what it asked for: the same key with the same
// digest answers the item as it was first created and changes nothing, with another digest [catalog.ErrKeyReused]. Keys
// are remembered for a week.
func (c *Catalogue) CreateItem(ctx context.Context, house string, item catalog.Item, key string, digest []byte) (catalog.StoredItem, error) {
	ctx, cancel := context.WithTimeout(ctx, writeTimeout)
	defer cancel()
	var made catalog.StoredItem
	err := InTx(ctx, c.pool, readCommitted, func(tx pgx.Tx) error {
		h, next, err := lockHouse(ctx, tx, house)
		if err != nil {
			return err
		}
		made = catalog.StoredItem{Item: item}
		if made.Version, err = recallCreation(ctx, tx, house, key, digest); err != nil || made.Version != 0 {
			return err
		}
		made.Version = next
		if err := checkItem(ctx, tx, h, &item); err != nil {
			return err
		}
		if err := insertItem(ctx, tx, h, &item, next); err != nil {
			return err
		}
		_, err = tx.Exec(ctx, `INSERT INTO item_creations (house, idempotency_key, digest, version) VALUES ($1, $2, $3, $4)`,
			house, key, digest, next)
		return err
	})
	if err != nil {
		return catalog.StoredItem{}, refusal("create item "+item.SKU+" of house "+house, err)
	}
	return made, nil
}

// recallCreation is the version in which an earlier creation with this key made its item, 0 where there was none. Keys
// that are older than a week are forgotten on the way.
func recallCreation(ctx context.Context, tx pgx.Tx, house, key string, digest []byte) (version int64, err error) {
	if _, err := tx.Exec(ctx, `DELETE FROM item_creations WHERE house = $1 AND created_at < now() - INTERVAL '7 days'`, house); err != nil {
		return 0, err
	}
	var before []byte
	err = tx.QueryRow(ctx, `SELECT digest, version FROM item_creations WHERE house = $1 AND idempotency_key = $2`, house, key).
		Scan(&before, &version)
	switch {
	case errors.Is(err, pgx.ErrNoRows):
		return 0, nil
	case err != nil:
		return 0, err
	case !bytes.Equal(before, digest):
		return 0, catalog.ErrKeyReused
	}
	return version, nil
}

// ReplaceItem puts item, validated again as in [Catalogue.CreateItem], in the place of the one of the same SKU if that
// is still at version, else [catalog.ErrItemChanged]; [catalog.ErrNoItem] where there is none. A change of kind that a
// machine's operator would be lost by is [catalog.ErrItemInUse].
func (c *Catalogue) ReplaceItem(ctx context.Context, house string, item catalog.Item, version int64) (catalog.StoredItem, error) {
	ctx, cancel := context.WithTimeout(ctx, writeTimeout)
	defer cancel()
	var next int64
	err := InTx(ctx, c.pool, readCommitted, func(tx pgx.Tx) (err error) {
		var h catalog.House
		if h, next, err = lockHouse(ctx, tx, house); err != nil {
			return err
		}
		if err := expectVersion(ctx, tx, house, item.SKU, version); err != nil {
			return err
		}
		if err := checkItem(ctx, tx, h, &item); err != nil {
			return err
		}
		return updateItem(ctx, tx, h, &item, next)
	})
	if err != nil {
		return catalog.StoredItem{}, refusal("replace item "+item.SKU+" of house "+house, err)
	}
	return catalog.StoredItem{Item: item, Version: next}, nil
}

// DeleteItem removes an item with its rates if it is still at version, else [catalog.ErrItemChanged];
// [catalog.ErrNoItem] where there is none, [catalog.ErrItemInUse] where a machine of the house names it as its operator.
func (c *Catalogue) DeleteItem(ctx context.Context, house, sku string, version int64) error {
	ctx, cancel := context.WithTimeout(ctx, writeTimeout)
	defer cancel()
	err := InTx(ctx, c.pool, readCommitted, func(tx pgx.Tx) error {
		if _, _, err := lockHouse(ctx, tx, house); err != nil {
			return err
		}
		if err := expectVersion(ctx, tx, house, sku, version); err != nil {
			return err
		}
		return oneRow(tx.Exec(ctx, `DELETE FROM items WHERE house = $1 AND sku = $2`, house, sku))
	})
	if err != nil {
		return refusal("delete item "+sku+" of house "+house, err)
	}
	return nil
}

// expectVersion holds because the caller has the house's row: nobody changes the item in between.
func expectVersion(ctx context.Context, tx pgx.Tx, house, sku string, version int64) error {
	var now int64
	err := tx.QueryRow(ctx, `SELECT version FROM items WHERE house = $1 AND sku = $2`, house, sku).Scan(&now)
	if err != nil {
		return noItem(err)
	}
	if now != version {
		return fmt.Errorf("%w: it is at version %d, not %d", catalog.ErrItemChanged, now, version)
	}
	return nil
}

// checkItem finds what is wrong with an item in this house, its operator included.
func checkItem(ctx context.Context, tx pgx.Tx, house catalog.House, item *catalog.Item) error {
	if found := item.ValidateIn(house); found != nil {
		return &catalog.InvalidError{Problems: found}
	}
	support, ok := item.Spec.(*catalog.Support)
	if !ok || support.OperatorSKU == "" {
		return nil
	}
	var kind string
	err := tx.QueryRow(ctx, `SELECT kind FROM items WHERE house = $1 AND sku = $2`, house.Slug, support.OperatorSKU).Scan(&kind)
	if errors.Is(err, pgx.ErrNoRows) || (err == nil && kind != string(catalog.KindLabour)) {
		return &catalog.InvalidError{Problems: []catalog.Problem{{Field: "operator_sku", Detail: noOperator(support.OperatorSKU, house.Slug)}}}
	}
	return err
}

func noOperator(sku, house string) string {
	return sku + " is not an item of kind labour of house " + house + ": add the operator first"
}

func insertItem(ctx context.Context, tx pgx.Tx, house catalog.House, item *catalog.Item, version int64) error {
	values, err := itemValues(house, item, version)
	if err != nil {
		return err
	}
	if err := oneRow(tx.Exec(ctx, `INSERT INTO items (`+itemColumns+`) VALUES (`+placeholders(len(values))+`)`, values...)); err != nil {
		return err
	}
	return insertRates(ctx, tx, house, item)
}

// updateItem sets every column, those of other kinds to NULL, and writes the rates anew.
func updateItem(ctx context.Context, tx pgx.Tx, house catalog.House, item *catalog.Item, version int64) error {
	values, err := itemValues(house, item, version)
	if err != nil {
		return err
	}
	if err := oneRow(tx.Exec(ctx, `UPDATE items SET (`+itemColumns+`) = ROW (`+placeholders(len(values))+`) WHERE house = $1 AND sku = $2`, values...)); err != nil {
		return err
	}
	if _, err := tx.Exec(ctx, `DELETE FROM item_rates WHERE house = $1 AND sku = $2`, house.Slug, item.SKU); err != nil {
		return err
	}
	return insertRates(ctx, tx, house, item)
}

func insertRates(ctx context.Context, tx pgx.Tx, house catalog.House, item *catalog.Item) error {
	if len(item.Rates) == 0 {
		return nil
	}
	validFrom, perDay, err := rateValues(item)
	if err != nil {
		return err
	}
	_, err = tx.Exec(ctx, `
		INSERT INTO item_rates (house, sku, valid_from, per_day_minor)
		SELECT $1, $2, r.valid_from, r.per_day_minor
		FROM unnest($3::date[], $4::bigint[]) AS r (valid_from, per_day_minor)`, house.Slug, item.SKU, validFrom, perDay)
	return err
}

// oneRow turns a write that touched another number of rows than one into an error.
func oneRow(tag interface{ RowsAffected() int64 }, err error) error {
	if err == nil && tag.RowsAffected() != 1 {
		err = fmt.Errorf("write touched %d rows instead of 1", tag.RowsAffected())
	}
	return err
}

func noItem(err error) error {
	if errors.Is(err, pgx.ErrNoRows) {
		return catalog.ErrNoItem
	}
	return err
}
