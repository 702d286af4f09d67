package postgres

import (
	"context"
	"fmt"
	"strings"
	"time"

	"github.com/bojanz/currency"
	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgtype"

	"kitspan/internal/catalog"
)

// The columns of table items are the common ones and, for every kind, those of its fields: kind_field. The lists here
// come from [catalog.Spec.Fields], so that an attribute added there and in a migration is stored, read and imported;
// a test holds the table to it.
const commonColumns = "house, sku, kind, version, name, mass_kg, packed_m3, owned, replacement_minor, account"

var itemColumns = commonColumns + ", " + strings.Join(specColumns(), ", ")

func specColumns() []string {
	var columns []string
	for _, kind := range catalog.Kinds() {
		for _, f := range catalog.NewSpec(kind).Fields() {
			columns = append(columns, string(kind)+"_"+f.Name)
		}
	}
	return columns
}

// placeholders is "$1, $2, … $n".
func placeholders(n int) string {
	s := make([]string, n)
	for i := range s {
		s[i] = fmt.Sprintf("$%d", i+1)
	}
	return strings.Join(s, ", ")
}

// itemValues are the values of itemColumns: NULL for the attributes of other kinds, and for an operator that is not.
func itemValues(house catalog.House, item *catalog.Item, version int64) ([]any, error) {
	replacement, err := item.Replacement.Int64()
	if err != nil {
		return nil, fmt.Errorf("replacement of %s in minor units: %w", item.SKU, err)
	}
	values := make([]any, 0, 64)
	values = append(values, house.Slug, item.SKU, string(item.Kind()), version, item.Name, item.MassKg, item.PackedM3,
		item.Owned, replacement, item.Account)
	for _, block := range specBlocks {
		if block.kind != item.Kind() {
			values = append(values, make([]any, block.width)...)
			continue
		}
		for _, f := range item.Spec.Fields() {
			switch v := f.Value.(type) {
			case *float64:
				values = append(values, *v)
			case *int:
				values = append(values, *v)
			case *string:
				if *v == "" && f.Rule.Optional {
					values = append(values, nil)
				} else {
					values = append(values, *v)
				}
			}
		}
	}
	return values, nil
}

// specBlock is how many columns a kind has.
type specBlock struct {
	kind  catalog.Kind
	width int
}

// specBlocks are in the order of the columns.
var specBlocks = func() []specBlock {
	var blocks []specBlock
	for _, kind := range catalog.Kinds() {
		blocks = append(blocks, specBlock{kind, len(catalog.NewSpec(kind).Fields())})
	}
	return blocks
}()

// rateValues are an item's rates as two arrays of equal length.
func rateValues(item *catalog.Item) (validFrom []time.Time, perDayMinor []int64, err error) {
	validFrom, perDayMinor = make([]time.Time, len(item.Rates)), make([]int64, len(item.Rates))
	for i, r := range item.Rates {
		validFrom[i] = time.Date(r.From.Year, r.From.Month, r.From.Day, 0, 0, 0, 0, time.UTC)
		if perDayMinor[i], err = r.PerDay.Int64(); err != nil {
			return nil, nil, fmt.Errorf("rate of %s from %s in minor units: %w", item.SKU, r.From, err)
		}
	}
	return validFrom, perDayMinor, nil
}

// readItems reads all items of a house, ascending by SKU.
func readItems(ctx context.Context, tx pgx.Tx, house catalog.House) ([]catalog.Item, error) {
	rows, err := tx.Query(ctx, `
		SELECT `+itemColumns+`, r.valid_from, r.per_day_minor
		FROM items i
		LEFT JOIN (
			SELECT sku, array_agg(valid_from ORDER BY valid_from) AS valid_from, array_agg(per_day_minor ORDER BY valid_from) AS per_day_minor
			FROM item_rates
			WHERE house = $1
			GROUP BY sku
		) r USING (sku)
		WHERE i.house = $1
		ORDER BY sku`, house.Slug)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	var items []catalog.Item
	row := newItemRow(house)
	for rows.Next() {
		item, err := row.scan(rows)
		if err != nil {
			return nil, err
		}
		items = append(items, item.Item)
	}
	return items, rows.Err()
}

// readItem reads one item; pgx.ErrNoRows where the house has none of that SKU.
func readItem(ctx context.Context, tx pgx.Tx, house catalog.House, sku string) (catalog.StoredItem, error) {
	rows, err := tx.Query(ctx, `
		SELECT `+itemColumns+`,
			ARRAY(SELECT valid_from FROM item_rates r WHERE r.house = i.house AND r.sku = i.sku ORDER BY valid_from),
			ARRAY(SELECT per_day_minor FROM item_rates r WHERE r.house = i.house AND r.sku = i.sku ORDER BY valid_from)
		FROM items i
		WHERE house = $1 AND sku = $2`, house.Slug, sku)
	if err != nil {
		return catalog.StoredItem{}, err
	}
	defer rows.Close()
	if !rows.Next() {
		if err := rows.Err(); err != nil {
			return catalog.StoredItem{}, err
		}
		return catalog.StoredItem{}, pgx.ErrNoRows
	}
	item, err := newItemRow(house).scan(rows)
	if err != nil {
		return catalog.StoredItem{}, err
	}
	rows.Close()
	return item, rows.Err()
}

// itemRow scans rows of itemColumns and the two arrays of rates. One serves all rows of a query: the attributes of every
// kind are scanned into specs of its own, from which the row's kind is copied.
type itemRow struct {
	house     catalog.House
	item      catalog.StoredItem
	slug      string
	kind      string
	minor     int64
	validFrom []time.Time
	perDay    []int64
	fields    map[catalog.Kind][]catalog.Field
	targets   []any
}

func newItemRow(house catalog.House) *itemRow {
	r := &itemRow{house: house, fields: map[catalog.Kind][]catalog.Field{}}
	i := &r.item
	r.targets = []any{&r.slug, &i.SKU, &r.kind, &i.Version, &i.Name, &i.MassKg, &i.PackedM3, &i.Owned, &r.minor, &i.Account}
	for _, kind := range catalog.Kinds() {
		r.fields[kind] = catalog.NewSpec(kind).Fields()
		for _, f := range r.fields[kind] {
			switch v := f.Value.(type) {
			case *float64:
				r.targets = append(r.targets, &floatCell{v})
			case *int:
				r.targets = append(r.targets, &intCell{v})
			case *string:
				r.targets = append(r.targets, &textCell{v})
			}
		}
	}
	r.targets = append(r.targets, &r.validFrom, &r.perDay)
	return r
}

func (r *itemRow) scan(rows pgx.Rows) (catalog.StoredItem, error) {
	r.validFrom, r.perDay = nil, nil
	if err := rows.Scan(r.targets...); err != nil {
		return catalog.StoredItem{}, err
	}
	item := r.item
	var err error
	if item.Replacement, err = currency.NewAmountFromInt64(r.minor, r.house.Currency); err != nil {
		return catalog.StoredItem{}, fmt.Errorf("replacement of %s: %w", item.SKU, err)
	}
	if len(r.perDay) > 0 {
		item.Rates = make([]catalog.Rate, len(r.perDay))
	}
	for i, minor := range r.perDay {
		day := r.validFrom[i]
		item.Rates[i].From = catalog.Date{Year: day.Year(), Month: day.Month(), Day: day.Day()}
		if item.Rates[i].PerDay, err = currency.NewAmountFromInt64(minor, r.house.Currency); err != nil {
			return catalog.StoredItem{}, fmt.Errorf("rate of %s from %s: %w", item.SKU, item.Rates[i].From, err)
		}
	}
	item.Spec = catalog.NewSpec(catalog.Kind(r.kind))
	for i, f := range item.Spec.Fields() {
		switch from := r.fields[catalog.Kind(r.kind)][i].Value.(type) {
		case *float64:
			*f.Value.(*float64) = *from
		case *int:
			*f.Value.(*int) = *from
		case *string:
			*f.Value.(*string) = *from
		}
	}
	return item, nil
}

// The cells take NULL for the zero value: only attributes of other kinds, and an operator that is not, are NULL.
type (
	floatCell struct{ v *float64 }
	intCell   struct{ v *int }
	textCell  struct{ v *string }
)

func (c *floatCell) ScanFloat64(v pgtype.Float8) error { *c.v = v.Float64; return nil }
func (c *intCell) ScanInt64(v pgtype.Int8) error       { *c.v = int(v.Int64); return nil }
func (c *textCell) ScanText(v pgtype.Text) error       { *c.v = v.String; return nil }
