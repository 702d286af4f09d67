package catalog

import (
	"slices"
	"time"

	"github.com/bojanz/currency"
)

// Kind says what an item is for. The set is closed: every kind has a [Spec] type of its own.
type Kind string

// The kinds of item, in the order in which a kit list reads.
const (
	KindFrame      Kind = "frame"
	KindFabric     Kind = "fabric"
	KindReflector  Kind = "reflector"
	KindSupport    Kind = "support"
	KindBallast    Kind = "ballast"
	KindLine       Kind = "line"
	KindAnchor     Kind = "anchor"
	KindLamp       Kind = "lamp"
	KindVehicle    Kind = "vehicle"
	KindLabour     Kind = "labour"
	KindAccessory  Kind = "accessory"
	KindExpendable Kind = "expendable"
)

// House is a rental house. Slug is its short name in addresses, files and keys.
type House struct {
	Slug     string
	Name     string
	Currency string // ISO 4217; every rate of the house is in it
	TimeZone string // IANA zone whose dates the rates follow
}

// Item is one line of a house's catalogue: something that can be hired (or, for an expendable, bought).
type Item struct {
	SKU  string
	Name string
	// MassKg is one unit's own mass: a frame's tubes without fabric, a fabric's cloth.
	MassKg float64
	// PackedM3 is the volume that one unit takes in a vehicle.
	PackedM3 float64
	// Owned is how many the house has.
	Owned int
	// Replacement is what the house charges for a lost unit.
	Replacement currency.Amount
	// Account is the budget code that a production's books file the hire under.
	Account string
	// Spec holds the attributes of the item's kind; never nil in a valid item.
	Spec Spec
	// Rates are the hire per day from a date on, ascending by From; an item without one cannot be priced.
	Rates []Rate
}

// Kind returns the kind of the item's spec.
func (i *Item) Kind() Kind { return i.Spec.Kind() }

// Rate is a price per day that holds from a date until a later rate takes over.
type Rate struct {
	From   Date
	PerDay currency.Amount
}

// RateOn returns the rate in force on a date: the latest whose From is not after it. ok is false where the item has
// no price yet on that date.
func (i *Item) RateOn(d Date) (perDay currency.Amount, ok bool) {
	rate, ok := i.RateInForce(d)
	return rate.PerDay, ok
}

// RateInForce returns the rate of a day with the day from which it holds; false where there is none yet.
func (i *Item) RateInForce(d Date) (Rate, bool) {
	for _, rate := range slices.Backward(i.Rates) {
		if !rate.From.After(d) {
			return rate, true
		}
	}
	return Rate{}, false
}

// Date is a calendar day without a zone.
type Date struct {
	Year  int
	Month time.Month
	Day   int
}

// After reports whether d is a later day than e.
func (d Date) After(e Date) bool {
	if d.Year != e.Year {
		return d.Year > e.Year
	}
	if d.Month != e.Month {
		return d.Month > e.Month
	}
	return d.Day > e.Day
}

// String prints YYYY-MM-DD.
func (d Date) String() string {
	return time.Date(d.Year, d.Month, d.Day, 0, 0, 0, 0, time.UTC).Format(time.DateOnly)
}

// ParseDate reads YYYY-MM-DD; an impossible date (30 February) is an error.
func ParseDate(s string) (Date, error) {
	t, err := time.Parse(time.DateOnly, s)
	if err != nil {
		return Date{}, err
	}
	return Date{t.Year(), t.Month(), t.Day()}, nil
}

// Count is so many of one item: the currency in which kits, pieces and price lists speak.
type Count struct {
	SKU      string
	Quantity int
}
