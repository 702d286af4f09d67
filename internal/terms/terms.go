package terms

import (
	"context"
	"errors"

	"github.com/bojanz/currency"

	"kitspan/internal/catalog"
	"kitspan/internal/price"
)

// Terms are sound terms of a house.
type Terms struct {
	// ValidFrom is the first day of a hire for which they hold, until later ones do.
	ValidFrom catalog.Date
	// ChargedDays are how many days are charged for 1, 2, 3 … calendar days; [Terms.Charged] goes on after its end.
	ChargedDays []int
	// PrepareDays before and ReturnDays after a hire take stock and are not charged.
	PrepareDays, ReturnDays int
	LongHire                []LongHire // ascending by days
	Packages                []Package
	// MinimumHire is what hire is topped up to; 0 tops nothing up.
	MinimumHire                   currency.Amount
	WaiverPercent, DepositPercent price.Decimal
	KmRate                        currency.Amount
	Overtime                      []Overtime // ascending by hours
	Taxes                         []Tax
	Accounts                      Accounts
	// ValidDays is for how many days after it was made a quote may be accepted; 0 says nothing of it.
	ValidDays  int
	Prefix     string // of the house's quote numbers
	Conditions string
}

// LongHire is a discount on a line that is charged for so many days or more.
type LongHire struct {
	FromChargedDays int
	Percent         price.Decimal
}

// Package is a discount on items that are hired together.
type Package struct {
	Label   string
	Items   []catalog.Count // each item once
	Percent price.Decimal
}

// Overtime is the factor of an hour of work that begins after so many.
type Overtime struct {
	AfterHours int
	Times      price.Decimal
}

// Tax is a rate and what it is on.
type Tax struct {
	Code    string
	Percent price.Decimal
	On      []Category
}

// Category is what a tax can be on.
type Category string

// The categories. Discounts and the minimum are hire.
const (
	Hire      Category = "hire"
	Labour    Category = "labour"
	Transport Category = "transport"
	Sale      Category = "sale"
	Waiver    Category = "waiver"
	Delivery  Category = "delivery"
)

// Categories returns all of them.
func Categories() []Category { return []Category{Hire, Labour, Transport, Sale, Waiver, Delivery} }

// Accounts are the budget codes of lines that are of no item.
type Accounts struct {
	Waiver   string `json:"waiver,omitzero"`
	Delivery string `json:"delivery,omitzero"`
	Minimum  string `json:"minimum,omitzero"`
}

// None are terms by which every calendar day is charged and nothing else is asked or given.
func None(code string) *Terms {
	zero, _ := currency.NewAmountFromInt64(0, code) // the code of a house
	return &Terms{ChargedDays: []int{1}, MinimumHire: zero, KmRate: zero}
}

// week is how far a table is looked back into where it is extended.
const week = 7

// Charged returns how many days are charged for so many calendar days. After its end a table of a week or more goes on by what its last
// week adds, a shorter one by every day.
func (t *Terms) Charged(days int) int {
	table, end := t.ChargedDays, len(t.ChargedDays)
	at := func(n int) int { // 0 for no day
		if n == 0 {
			return 0
		}
		return table[n-1]
	}
	switch {
	case days <= end:
		return at(days)
	case end < week:
		return at(end) + days - end
	}
	weeks := (days - end + week - 1) / week
	return at(days-weeks*week) + weeks*(at(end)-at(end-week))
}

// LongHireOf returns the discount of a line that is charged for so many days; nil where there is none.
func (t *Terms) LongHireOf(chargedDays int) *LongHire {
	var found *LongHire
	for i := range t.LongHire {
		if t.LongHire[i].FromChargedDays <= chargedDays {
			found = &t.LongHire[i]
		}
	}
	return found
}

// OvertimeAt returns the factor of an hour of work that begins after so many: 1 before the first step.
func (t *Terms) OvertimeAt(hours price.Decimal) price.Decimal {
	factor := price.WholeDecimal(1)
	for _, step := range t.Overtime {
		if hours.Cmp(price.WholeDecimal(step.AfterHours)) >= 0 {
			factor = step.Times
		}
	}
	return factor
}

// TaxOn returns the tax on a category; nil where there is none.
func (t *Terms) TaxOn(c Category) *Tax {
	for i := range t.Taxes {
		for _, on := range t.Taxes[i].On {
			if on == c {
				return &t.Taxes[i]
			}
		}
	}
	return nil
}

// ErrNone: a house has no terms on a day.
var ErrNone = errors.New("no terms in force")

// Book is where terms are found: a database or the built-in demo.
type Book interface {
	// TermsOn returns the terms of a house for a hire that begins on a day, and [ErrNone] where there are none.
	TermsOn(ctx context.Context, house string, day catalog.Date) (*Terms, error)
}

// InForce returns those of a house's terms, in any order, that hold on a day; nil where none do.
func InForce(list []*Terms, day catalog.Date) *Terms {
	var found *Terms
	for _, t := range list {
		if !t.ValidFrom.After(day) && (found == nil || t.ValidFrom.After(found.ValidFrom)) {
			found = t
		}
	}
	return found
}
