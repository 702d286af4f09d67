package postgres

import (
	"context"
	"fmt"
	"io"
	"iter"
	"strings"

	"github.com/jackc/pgx/v5"

	"kitspan/internal/catalog"
)

// ImportItems adds or changes the items of one kind that a catalogue file lists ([catalog.CSVRows]), all or none. What
// the file does not list stays. Bad cells come back as one [*catalog.CSVError], among them a SKU that the house uses for
// an item of another kind, and an operator that it does not have.
//
// The file is streamed into a table of the transaction's own, and only then are other writers of the house kept waiting.
// An item that the file does not change keeps its version.
func (c *Catalogue) ImportItems(ctx context.Context, house string, kind catalog.Kind, file io.Reader) (catalog.ImportCounts, error) {
	var counts catalog.ImportCounts
	begun := false
	err := InTx(ctx, c.pool, readCommitted, func(tx pgx.Tx) error {
		if begun {
			return fmt.Errorf("%w: the file cannot be read a second time", ErrBusy)
		}
		begun = true
		h, staged, err := stageFile(ctx, tx, house, kind, file)
		if err != nil {
			return err
		}
		locked, next, err := lockHouse(ctx, tx, house)
		if err != nil {
			return err
		}
		counts, err = importStaged(ctx, tx, h, locked, kind, staged, next)
		return err
	})
	if err != nil {
		return catalog.ImportCounts{}, refusal("import items of kind "+string(kind)+" into house "+house, err)
	}
	return counts, nil
}

// importStaged makes the staged rows, which were read for a house as it was, items of the house as it is now that it is locked.
func importStaged(ctx context.Context, tx pgx.Tx, read, locked catalog.House, kind catalog.Kind, staged, version int64) (catalog.ImportCounts, error) {
	if locked.Currency != read.Currency {
		return catalog.ImportCounts{}, fmt.Errorf("%w: the house has changed its currency meanwhile", ErrBusy)
	}
	if err := checkStaged(ctx, tx, locked, kind); err != nil {
		return catalog.ImportCounts{}, err
	}
	return applyStaged(ctx, tx, staged, version)
}

// stageFile stages the rows of a catalogue file of a house as it is.
func stageFile(ctx context.Context, tx pgx.Tx, house string, kind catalog.Kind, file io.Reader) (h catalog.House, staged int64, err error) {
	if h, _, err = readHouse(ctx, tx, house); err != nil {
		return h, 0, err
	}
	staged, err = stageRows(ctx, tx, h, catalog.CSVRows(file, kind, catalog.OneHouse(h)))
	return h, staged, err
}

const stagedColumns = "line, valid_from, per_day_minor"

// stageRows copies rows into the temporary table staged_items: the columns of items, the line, and the rates as arrays.
func stageRows(ctx context.Context, tx pgx.Tx, house catalog.House, rows iter.Seq2[catalog.Row, error]) (int64, error) {
	_, err := tx.Exec(ctx, `
		CREATE TEMPORARY TABLE staged_items ON COMMIT DROP AS
		SELECT `+itemColumns+`, 0::bigint AS line, NULL::date[] AS valid_from, NULL::bigint[] AS per_day_minor
		FROM items
		WITH NO DATA`)
	if err != nil {
		return 0, err
	}
	next, stop := iter.Pull2(rows)
	defer stop()
	var broken error // what ended the reading: COPY reports it as text alone
	staged, err := tx.CopyFrom(ctx, pgx.Identifier{"staged_items"}, strings.Split(itemColumns+", "+stagedColumns, ", "),
		pgx.CopyFromFunc(func() ([]any, error) {
			row, err, more := next()
			if !more {
				return nil, nil
			}
			if err == nil {
				var values []any
				if values, err = stagedValues(house, row); err == nil {
					return values, nil
				}
			}
			broken = err
			return nil, err
		}))
	if broken != nil {
		return 0, broken
	}
	if err != nil {
		return 0, err
	}
	// The planner knows nothing of a new table, and would loop over 20,000 rows where it should hash.
	_, err = tx.Exec(ctx, `ANALYZE staged_items`)
	return staged, err
}

func stagedValues(house catalog.House, row catalog.Row) ([]any, error) {
	const undecided = 1 // the version is set when the rows are applied
	values, err := itemValues(house, &row.Item, undecided)
	if err != nil {
		return nil, err
	}
	validFrom, perDay, err := rateValues(&row.Item)
	if err != nil {
		return nil, err
	}
	return append(values, row.Line, validFrom, perDay), nil
}

// checkStaged finds, in the order of the lines, the rows that the house's other items forbid.
func checkStaged(ctx context.Context, tx pgx.Tx, house catalog.House, kind catalog.Kind) error {
	bad := &catalog.CSVError{}
	rows, err := tx.Query(ctx, `
		SELECT s.line, 'sku', s.sku || ' is an item of kind ' || i.kind || ' already: take another SKU, or delete that item first'
		FROM staged_items s
		JOIN items i USING (house, sku)
		WHERE i.kind <> s.kind
		ORDER BY s.line`)
	if err != nil {
		return err
	}
	if err := collectFaults(rows, bad); err != nil {
		return err
	}
	if kind == catalog.KindSupport {
		rows, err := tx.Query(ctx, `
			SELECT s.line, 'operator_sku', s.support_operator_sku
			FROM staged_items s
			WHERE s.support_operator_sku IS NOT NULL AND NOT EXISTS (
				SELECT FROM items i WHERE i.house = s.house AND i.sku = s.support_operator_sku AND i.kind = 'labour')
			ORDER BY s.line`)
		if err != nil {
			return err
		}
		before := len(bad.Faults)
		if err := collectFaults(rows, bad); err != nil {
			return err
		}
		for i := range bad.Faults[before:] {
			bad.Faults[before+i].Reason = noOperator(bad.Faults[before+i].Reason, house.Slug)
		}
	}
	if len(bad.Faults) > 0 {
		return bad
	}
	return nil
}

func collectFaults(rows pgx.Rows, bad *catalog.CSVError) error {
	defer rows.Close()
	for rows.Next() {
		if len(bad.Faults) == catalog.MaxFaults {
			bad.More++
			continue
		}
		var f catalog.CellFault
		if err := rows.Scan(&f.Line, &f.Column, &f.Reason); err != nil {
			return err
		}
		bad.Faults = append(bad.Faults, f)
	}
	return rows.Err()
}

// applyStaged writes the staged rows that change something at the given version, and counts.
func applyStaged(ctx context.Context, tx pgx.Tx, staged, version int64) (catalog.ImportCounts, error) {
	counts, err := countStaged(ctx, tx, staged)
	if err != nil {
		return counts, err
	}
	return counts, writeStaged(ctx, tx, counts, version)
}

// countStaged drops the staged rows that would change nothing, and counts what the rest would do.
func countStaged(ctx context.Context, tx pgx.Tx, staged int64) (catalog.ImportCounts, error) {
	var counts catalog.ImportCounts
	compared := strings.Replace(itemColumns, ", version", "", 1)
	tag, err := tx.Exec(ctx, `
		DELETE FROM staged_items s
		USING items i
		LEFT JOIN (
			SELECT house, sku, array_agg(valid_from ORDER BY valid_from) AS valid_from, array_agg(per_day_minor ORDER BY valid_from) AS per_day_minor
			FROM item_rates
			WHERE house = (SELECT house FROM staged_items LIMIT 1)
			GROUP BY house, sku
		) r USING (house, sku)
		WHERE i.house = s.house AND i.sku = s.sku
			AND ROW (`+prefixed("i", compared)+`) IS NOT DISTINCT FROM ROW (`+prefixed("s", compared)+`)
			AND COALESCE(r.valid_from, '{}') = s.valid_from AND COALESCE(r.per_day_minor, '{}') = s.per_day_minor`)
	if err != nil {
		return counts, err
	}
	counts.Unchanged = int(tag.RowsAffected())
	err = tx.QueryRow(ctx, `SELECT count(*) FROM staged_items JOIN items USING (house, sku)`).Scan(&counts.Changed)
	if err != nil {
		return counts, err
	}
	counts.Created = int(staged) - counts.Unchanged - counts.Changed
	return counts, nil
}

// writeStaged writes the staged rows that are left at the given version.
func writeStaged(ctx context.Context, tx pgx.Tx, counts catalog.ImportCounts, version int64) error {
	if counts.Created+counts.Changed == 0 {
		return nil
	}
	if _, err := tx.Exec(ctx, `DELETE FROM item_rates r USING staged_items s WHERE r.house = s.house AND r.sku = s.sku`); err != nil {
		return err
	}
	rest := strings.Replace(itemColumns, "house, sku, kind, version, ", "", 1)
	tag, err := tx.Exec(ctx, `
		INSERT INTO items (house, sku, kind, version, `+rest+`)
		SELECT house, sku, kind, $1, `+rest+` FROM staged_items
		ON CONFLICT (house, sku) DO UPDATE SET (version, `+rest+`) = ROW (`+prefixed("EXCLUDED", "version, "+rest)+`)`, version)
	if err != nil {
		return err
	}
	if written := tag.RowsAffected(); written != int64(counts.Created+counts.Changed) {
		return fmt.Errorf("import wrote %d items instead of %d", written, counts.Created+counts.Changed)
	}
	_, err = tx.Exec(ctx, `
		INSERT INTO item_rates (house, sku, valid_from, per_day_minor)
		SELECT s.house, s.sku, r.valid_from, r.per_day_minor
		FROM staged_items s
		CROSS JOIN LATERAL unnest(s.valid_from, s.per_day_minor) AS r (valid_from, per_day_minor)`)
	return err
}

// prefixed puts a table's alias before each column of a list.
func prefixed(alias, columns string) string {
	return alias + "." + strings.ReplaceAll(columns, ", ", ", "+alias+".")
}
