package price

import (
	"cmp"
	"errors"
	"fmt"
	"math/bits"
	"slices"
	"sync"

	"github.com/bojanz/currency"

	"kitspan/internal/catalog"
)

// The closed set of reasons for which a kit has no price; an item that the house does not have is [catalog.ErrNoItem].
var (
	// ErrNoRate: an item has no rate in force on the desk's date.
	ErrNoRate = errors.New("no rate in force")
	// ErrCurrency: an item's rate is not in the house's currency.
	ErrCurrency = errors.New("rate in another currency")
	// ErrQuantity: fewer than none of an item.
	ErrQuantity = errors.New("negative quantity")
	// ErrTooMuch: more minor units than 63 bits count.
	ErrTooMuch = errors.New("beyond what can be computed")
)

// Desk prices kits by one house's catalogue at the rates of one date. It is safe for concurrent use.
type Desk struct {
	stock  *catalog.Snapshot
	on     catalog.Date
	offers func() []Offer
	held   map[string]int // by SKU, for nothing
}

// Offer is an item that the house owns and can price, and what one costs per day in minor units.
type Offer struct {
	Item  *catalog.Item
	Minor int64
}

// NewDesk opens a desk on a snapshot for the rates in force on a date.
func NewDesk(stock *catalog.Snapshot, on catalog.Date) *Desk {
	d := &Desk{stock: stock, on: on}
	d.offers = sync.OnceValue(d.findOffers)
	return d
}

// Holding returns a desk that charges nothing for the first so many units of some items, by their SKU, since somebody hires them anyway:
// what more units cost at the margin. Parts of a kit that are priced by themselves may each get the same units for nothing.
func (d *Desk) Holding(held map[string]int) *Desk {
	m := &Desk{stock: d.stock, on: d.on, held: held}
	m.offers = sync.OnceValue(m.findOffers)
	return m
}

// Offers returns the items that can be in a kit: of which the house owns at least one and has a rate on the desk's date, in
// the order of the catalogue. The list is shared: callers must not change it.
func (d *Desk) Offers() []Offer { return d.offers() }

func (d *Desk) findOffers() []Offer {
	items := d.stock.Items()
	out := make([]Offer, 0, len(items))
	for i := range items {
		if items[i].Owned < 1 {
			continue
		}
		if _, minor, err := d.cost(&items[i], 1); err == nil {
			out = append(out, Offer{&items[i], minor})
		}
	}
	return out
}

// Price merges counts of the same item, orders the lines by kind, then SKU, and adds them
// up. Counts that come to none of an item make no line. The order of the counts does not matter.
//
// Every item that cannot be priced is named in one error: [catalog.ErrNoItem], [ErrNoRate], [ErrCurrency],
// [ErrQuantity] or [ErrTooMuch].
func (d *Desk) Price(counts []catalog.Count) (Kit, error) {
	wants, faults := d.merge(counts)
	kit := Kit{Lines: make([]KitLine, 0, len(wants))}
	var total int64
	for _, w := range wants {
		if w.item == nil {
			faults = append(faults, fmt.Errorf("price: item %s of house %s: %w", w.SKU, d.stock.House.Slug, catalog.ErrNoItem))
			continue
		}
		line, minor, err := d.line(w.item, w.Quantity)
		if err == nil {
			total, err = add(total, minor)
		}
		if err != nil {
			faults = append(faults, fmt.Errorf("price: item %s: %w", w.SKU, err))
			continue
		}
		if w.Quantity > 0 {
			kit.Lines = append(kit.Lines, line)
		}
	}
	if faults != nil {
		return Kit{}, errors.Join(faults...)
	}
	var err error
	if kit.PerDay, err = currency.NewAmountFromInt64(total, d.stock.House.Currency); err != nil {
		return Kit{}, fmt.Errorf("price: house %s: %w", d.stock.House.Slug, err)
	}
	return kit, nil
}

// Minor returns what [Desk.Price] would come to in minor units, without the lines, for comparing
// rigs by the thousand. ok is false where Price would refuse.
func (d *Desk) Minor(counts []catalog.Count) (minor int64, ok bool) {
	for _, c := range counts {
		item := d.stock.Item(c.SKU)
		if item == nil || c.Quantity < 0 {
			return 0, false
		}
		_, amount, err := d.cost(item, c.Quantity)
		if err != nil {
			return 0, false
		}
		if minor, err = add(minor, amount); err != nil {
			return 0, false
		}
	}
	return minor, true
}

// want is so many of one item, which is nil where the house has none of that SKU, and the item's place by kind.
type want struct {
	catalog.Count
	item  *catalog.Item
	order int
}

// merge adds up the counts of each item, in the order of a kit list; items that the house does not have come last.
func (d *Desk) merge(counts []catalog.Count) (wants []want, faults []error) {
	wants = make([]want, len(counts))
	for i, c := range counts {
		wants[i] = want{c, d.stock.Item(c.SKU), catalog.KindOrder("")}
		if wants[i].item != nil {
			wants[i].order = catalog.KindOrder(wants[i].item.Kind())
		}
	}
	slices.SortFunc(wants, func(a, b want) int {
		// By quantity too, so that faults do not depend on the order of the counts either.
		return cmp.Or(a.order-b.order, cmp.Compare(a.SKU, b.SKU), cmp.Compare(a.Quantity, b.Quantity))
	})
	kept := wants[:0]
	for _, w := range wants {
		last := len(kept) - 1
		switch {
		case w.Quantity < 0:
			faults = append(faults, fmt.Errorf("price: %d of item %s: %w", w.Quantity, w.SKU, ErrQuantity))
		case last < 0 || kept[last].SKU != w.SKU:
			kept = append(kept, w)
		default:
			sum, err := add(int64(kept[last].Quantity), int64(w.Quantity))
			if err != nil {
				faults = append(faults, fmt.Errorf("price: count of item %s: %w", w.SKU, err))
			} else {
				kept[last].Quantity = int(sum)
			}
		}
	}
	return kept, faults
}

// line is so many of one item, and what they cost in minor units.
func (d *Desk) line(item *catalog.Item, quantity int) (KitLine, int64, error) {
	rate, minor, err := d.cost(item, quantity)
	if err != nil {
		return KitLine{}, 0, err
	}
	amount, err := currency.NewAmountFromInt64(minor, rate.CurrencyCode())
	if err != nil {
		return KitLine{}, 0, err
	}
	return KitLine{SKU: item.SKU, Name: item.Name, Quantity: quantity, DayRate: rate, LinePerDay: amount}, minor, nil
}

// cost is an item's rate on the desk's date, and so many times that in minor units.
func (d *Desk) cost(item *catalog.Item, quantity int) (rate currency.Amount, minor int64, err error) {
	rate, ok := item.RateOn(d.on)
	if !ok {
		return rate, 0, fmt.Errorf("%w on %s", ErrNoRate, d.on)
	}
	if rate.CurrencyCode() != d.stock.House.Currency {
		return rate, 0, fmt.Errorf("rate in %s, house in %s: %w", rate.CurrencyCode(), d.stock.House.Currency, ErrCurrency)
	}
	each, err := rate.Int64()
	if err != nil {
		return rate, 0, fmt.Errorf("rate %s: %w", rate, ErrTooMuch)
	}
	if minor, err = times(each, int64(max(0, quantity-d.held[item.SKU]))); err != nil {
		return rate, 0, fmt.Errorf("%d at %s: %w", quantity, rate, err)
	}
	return rate, minor, nil
}

// add and times work on numbers that are not negative.
func add(a, b int64) (int64, error) {
	if sum := a + b; sum >= 0 {
		return sum, nil
	}
	return 0, ErrTooMuch
}

func times(a, b int64) (int64, error) {
	high, low := bits.Mul64(uint64(a), uint64(b))
	if high != 0 || low > 1<<63-1 {
		return 0, ErrTooMuch
	}
	return int64(low), nil
}
