package quote

import (
	"time"

	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/job"
	"kitspan/internal/price"
	"kitspan/internal/terms"
)

// Group is what a line is for.
type Group string

// The groups, in the order of the lines.
const (
	Hire      Group = "hire"
	LongHire  Group = "long_hire"
	Package   Group = "package"
	Customer  Group = "customer"
	Minimum   Group = "minimum"
	Waiver    Group = "waiver"
	Sale      Group = "sale"
	Labour    Group = "labour"
	Transport Group = "transport"
	Delivery  Group = "delivery"
)

// Groups returns all of them in their order.
func Groups() []Group {
	return []Group{Hire, LongHire, Package, Customer, Minimum, Waiver, Sale, Labour, Transport, Delivery}
}

// category is what a group is taxed as: discounts and the minimum are hire.
func (g Group) category() terms.Category {
	switch g {
	case Hire, LongHire, Package, Customer, Minimum:
		return terms.Hire
	case Waiver:
		return terms.Waiver
	case Sale:
		return terms.Sale
	case Labour:
		return terms.Labour
	case Transport:
		return terms.Transport
	case Delivery:
		return terms.Delivery
	}
	return ""
}

// Quote is a priced offer. Amounts are in minor units of the house's currency.
type Quote struct {
	House    catalog.House
	Plan     *job.Plan
	Terms    *terms.Terms // nil where every calendar day is charged and nothing else asked
	Customer Buyer
	MadeAt   time.Time
	ValidTo  catalog.Date // zero where the terms do not say
	// Notes are the plan's, but that of a day's overtime where it is in the total.
	Notes []finding.Note
	Sums
}

// Buyer is who a quote is for.
type Buyer struct {
	Name, Address string
	Percent       price.Decimal // of discount
	Insured       bool          // so that no waiver is asked
}

// Sums are the lines of a quote and what they come to.
type Sums struct {
	Lines      []Line
	ByGroup    []GroupSum // of the groups that have lines
	NetMinor   int64
	Taxes      []TaxSum // of the taxes that have lines, in the order of the terms
	TotalMinor int64    // with taxes
	// DepositMinor is due on acceptance; PerDayMinor is the total over the calendar days of the hire, which are Days.
	DepositMinor, PerDayMinor int64
	Days                      int
	ByAccount                 []AccountSum // by account
}

// Line is one row of a quote.
type Line struct {
	Number             int // from 1
	Group              Group
	SKU, Name, Account string
	Quantity           int
	From, To           catalog.Date // both zero where a line is of no days
	ChargedDays        int          // 0 where no days are charged
	RateMinor          *int64
	Percent            *price.Decimal
	AmountMinor        int64 // negative for a discount
	TaxCode            string
	Shots              []string
	Of                 int // the line that a discount is of; 0 for none
	Why                Why
}

// GroupSum is what the lines of a group come to.
type GroupSum struct {
	Group Group
	Minor int64
}

// TaxSum is the tax of one code.
type TaxSum struct {
	Code             string
	Percent          price.Decimal
	BaseMinor, Minor int64
}

// AccountSum is what the lines of a budget code come to, taxes left out.
type AccountSum struct {
	Account string
	Minor   int64
}
