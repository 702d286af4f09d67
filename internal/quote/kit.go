package quote

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/bojanz/currency"

	"kitspan/internal/catalog"
	"kitspan/internal/sizing"
)

// Desk prices kits by one house's catalogue at the rates of one date. It is safe for concurrent use.
type Desk struct {
	stock *catalog.Snapshot
	on    catalog.Date
}

// NewDesk opens a desk on a snapshot for the rates in force on a date.
func NewDesk(stock *catalog.Snapshot, on catalog.Date) *Desk { return &Desk{stock, on} }

// Price implements [sizing.Pricer]: it merges counts of the same item, orders the lines by kind, then SKU, and adds them up. An item that the
// house does not have, or that has no rate on the desk's date, is an error that names it.
func (d *Desk) Price(counts []catalog.Count) (sizing.Kit, error) {
	sum := make(map[string]int, len(counts))
	for _, c := range counts {
		sum[c.SKU] += c.Quantity
	}
	kit := sizing.Kit{Lines: make([]sizing.KitLine, 0, len(sum))}
	total, err := currency.NewAmount("0", d.stock.House.Currency)
	if err != nil {
		return sizing.Kit{}, fmt.Errorf("quote: house %s: %w", d.stock.House.Slug, err)
	}
	kit.PerDay = total.Round()
	for sku, n := range sum {
		line, err := d.line(sku, n)
		if err != nil {
			return sizing.Kit{}, err
		}
		if n != 0 {
			kit.Lines = append(kit.Lines, line)
		}
	}
	slices.SortFunc(kit.Lines, func(a, b sizing.KitLine) int {
		ka, kb := d.stock.Item(a.SKU).Kind(), d.stock.Item(b.SKU).Kind()
		if ka != kb {
			return catalog.KindOrder(ka) - catalog.KindOrder(kb)
		}
		return strings.Compare(a.SKU, b.SKU)
	})
	for _, l := range kit.Lines {
		if kit.PerDay, err = kit.PerDay.Add(l.LinePerDay); err != nil {
			return sizing.Kit{}, fmt.Errorf("quote: add %s: %w", l.SKU, err)
		}
	}
	return kit, nil
}

func (d *Desk) line(sku string, n int) (sizing.KitLine, error) {
	item := d.stock.Item(sku)
	if item == nil {
		return sizing.KitLine{}, fmt.Errorf("quote: house %s has no item %s", d.stock.House.Slug, sku)
	}
	rate, ok := item.RateOn(d.on)
	if !ok {
		return sizing.KitLine{}, fmt.Errorf("quote: item %s has no rate on %s", sku, d.on)
	}
	per, err := rate.Mul(strconv.Itoa(n))
	if err != nil {
		return sizing.KitLine{}, fmt.Errorf("quote: item %s: %w", sku, err)
	}
	return sizing.KitLine{SKU: sku, Name: item.Name, Quantity: n, DayRate: rate, LinePerDay: per.Round()}, nil
}
