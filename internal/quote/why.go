package quote

import "kitspan/internal/price"

// Why is the formula of a line's amount, with its numbers. The set is closed. Package text makes the words.
//
//sumtype:decl
type Why interface{ why() }

type (
	// OfHire means quantity × rate × charged days, for so many calendar days. Reason is why an extra was added.
	OfHire struct {
		Quantity          int
		RateMinor         int64
		ChargedDays, Days int
		Reason            string
	}
	// OfLongHire means a percent of a line, from so many charged days on.
	OfLongHire struct {
		Percent         price.Decimal
		BaseMinor       int64
		FromChargedDays int
	}
	// OfPackage means a percent of what is left of a line after long hire, for those of its units that are in sets.
	OfPackage struct {
		Label           string
		Percent         price.Decimal
		BaseMinor       int64
		Sets            int
		Units, Quantity int
	}
	// OfCustomer means a percent of what is left of a line after long hire and packages.
	OfCustomer struct {
		Percent   price.Decimal
		BaseMinor int64
	}
	// OfMinimum means what hire is short of the minimum.
	OfMinimum struct{ MinimumMinor, HireMinor int64 }
	// OfWaiver means a percent of the hire.
	OfWaiver struct {
		Percent   price.Decimal
		BaseMinor int64
	}
	// OfSale means quantity × price.
	OfSale struct {
		Quantity  int
		RateMinor int64
		Reason    string
	}
	// OfLabour means people × day rate, and overtime: hours begun × day rate / hours of a day × the factor in force as each begins.
	OfLabour struct {
		Quantity    int
		RateMinor   int64
		Hours       *price.Decimal // of the day; nil where they were not said
		HoursPerDay price.Decimal  // that the rate is for; 0 for any
		Overtime    []Overtime
		Reason      string
	}
	// OfVehicle means vehicles, or their drivers, × day rate.
	OfVehicle struct {
		Quantity  int
		RateMinor int64
		Reason    string
	}
	// OfDelivery means kilometres × rate × trips.
	OfDelivery struct {
		Km        price.Decimal
		RateMinor int64
		Trips     int
	}
)

// Overtime is so many hours at one factor.
type Overtime struct {
	Hours int
	Times price.Decimal
}

func (OfHire) why()     {}
func (OfLongHire) why() {}
func (OfPackage) why()  {}
func (OfCustomer) why() {}
func (OfMinimum) why()  {}
func (OfWaiver) why()   {}
func (OfSale) why()     {}
func (OfLabour) why()   {}
func (OfVehicle) why()  {}
func (OfDelivery) why() {}
