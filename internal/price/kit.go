package price

import "github.com/bojanz/currency"

// Kit is a priced list of items: PerDay is the sum of the lines, exact to the minor unit.
type Kit struct {
	Lines  []KitLine
	PerDay currency.Amount
}

// KitLine is so many of one item at its rate.
type KitLine struct {
	SKU        string
	Name       string
	Quantity   int
	DayRate    currency.Amount
	LinePerDay currency.Amount // Quantity × DayRate
}
