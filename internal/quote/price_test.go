package quote_test

import (
	"slices"
	"testing"

	"github.com/bojanz/currency"
	"github.com/google/go-cmp/cmp"

	"kitspan/internal/catalog"
	"kitspan/internal/price"
	"kitspan/internal/quote"
	"kitspan/internal/terms"
)

func decimal(s string) price.Decimal {
	d, err := price.ParseDecimal(s)
	if err != nil {
		panic(s)
	}
	return d
}

func euro(minor int64) currency.Amount {
	a, err := currency.NewAmountFromInt64(minor, "EUR")
	if err != nil {
		panic(err)
	}
	return a
}

func june(day int) catalog.Date { return catalog.Date{Year: 2027, Month: 6, Day: day} }

func everything() []terms.Category { return terms.Categories() }

// amounts are those of the lines, by group.
func amounts(s quote.Sums) map[quote.Group][]int64 {
	out := map[quote.Group][]int64{}
	for _, l := range s.Lines {
		out[l.Group] = append(out[l.Group], l.AmountMinor)
	}
	return out
}

func priced(t *testing.T, a quote.Asked) quote.Sums {
	t.Helper()
	s, err := quote.Price(a)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// The order of the steps, computed with a decimal library outside this project: 3 × 45.00 × 3 charged days, long hire 10, package 5 of the
// line after that, customer 2.5, waiver 8, tax 23, deposit 30 per cent.
func TestTheStepsAreTakenInTheirOrder(t *testing.T) {
	by := terms.None("EUR")
	by.LongHire = []terms.LongHire{{FromChargedDays: 2, Percent: decimal("1")}, {FromChargedDays: 3, Percent: decimal("10")}, {FromChargedDays: 4, Percent: decimal("50")}}
	by.Packages = []terms.Package{{Label: "set", Items: []catalog.Count{{SKU: "A", Quantity: 1}}, Percent: decimal("5")}}
	by.WaiverPercent, by.DepositPercent = decimal("8"), decimal("30")
	by.Taxes = []terms.Tax{{Code: "STD", Percent: decimal("23"), On: everything()}}
	got := priced(t, quote.Asked{
		Terms: by, From: june(1), To: june(3), CustomerPercent: decimal("2.5"),
		Hire: []quote.Piece{{SKU: "A", Account: "2410", Quantity: 3, From: june(1), To: june(3), RateMinor: 4500}},
	})
	want := map[quote.Group][]int64{quote.Hire: {40500}, quote.LongHire: {-4050}, quote.Package: {-1823}, quote.Customer: {-866}, quote.Waiver: {2701}}
	if diff := cmp.Diff(want, amounts(got)); diff != "" {
		t.Errorf("(-want +got)\n%s", diff)
	}
	if got.NetMinor != 36462 || got.Taxes[0].Minor != 8386 || got.TotalMinor != 44848 || got.DepositMinor != 13454 || got.PerDayMinor != 14949 {
		t.Errorf("net %d, taxes %+v, total %d, deposit %d, per day %d", got.NetMinor, got.Taxes, got.TotalMinor, got.DepositMinor, got.PerDayMinor)
	}
}

// Example 2 of the eInvoicing-EN16931 set: bases 1460.50 at 25, 1.00 at 15 and −25.00 at 0 per cent give 365.13, 0.15 and 0.00 of tax. The tax
// of a code is that of the sum of its lines (BR-CO-17), the total tax their sum (BR-CO-14). The last base, a credit, is left out here.
func TestATaxIsOfTheSumOfItsLines(t *testing.T) {
	by := terms.None("EUR")
	by.Taxes = []terms.Tax{{Code: "S", Percent: decimal("25"), On: []terms.Category{terms.Sale}}, {Code: "L", Percent: decimal("15"), On: []terms.Category{terms.Labour}}}
	got := priced(t, quote.Asked{
		Terms: by, From: june(1), To: june(1), Sales: []quote.Piece{{Quantity: 2, RateMinor: 50000}, {Quantity: 1, RateMinor: 46050}},
		Labour: []quote.Piece{{Quantity: 1, RateMinor: 100, From: june(1), To: june(1)}},
	})
	want := []quote.TaxSum{{Code: "S", Percent: decimal("25"), BaseMinor: 146050, Minor: 36513}, {Code: "L", Percent: decimal("15"), BaseMinor: 100, Minor: 15}}
	if diff := cmp.Diff(want, got.Taxes, cmp.AllowUnexported(price.Decimal{})); diff != "" {
		t.Errorf("(-want +got)\n%s", diff)
	}
	if got.TotalMinor != 146150+36528 {
		t.Errorf("total %d", got.TotalMinor)
	}
}

// Example 1 of the same set: bases 183.23 at 6 and 46.37 at 21 per cent, 250.33 in all.
func TestTaxesOfSeveralCodes(t *testing.T) {
	by := terms.None("EUR")
	by.Taxes = []terms.Tax{{Code: "6", Percent: decimal("6"), On: []terms.Category{terms.Sale}}, {Code: "21", Percent: decimal("21"), On: []terms.Category{terms.Transport}}}
	got := priced(t, quote.Asked{Terms: by, From: june(1), To: june(1), Sales: []quote.Piece{{Quantity: 1, RateMinor: 18323}}, Transport: []quote.Piece{{Quantity: 1, RateMinor: 4637}}})
	if got.NetMinor != 22960 || got.Taxes[0].Minor != 1099 || got.Taxes[1].Minor != 974 || got.TotalMinor != 25033 {
		t.Errorf("%+v", got)
	}
}

// 10 × 11.31 at 20 per cent, a worked example (tucasi.atlassian.net): 2.26 a line would be 22.60, on the sum it is 22.62.
func TestTaxIsNotRoundedLineByLine(t *testing.T) {
	by := terms.None("EUR")
	by.Taxes = []terms.Tax{{Code: "STD", Percent: decimal("20"), On: everything()}}
	got := priced(t, quote.Asked{Terms: by, From: june(1), To: june(1), Sales: slices.Repeat([]quote.Piece{{Quantity: 1, RateMinor: 1131}}, 10)})
	if got.Taxes[0].Minor != 2262 {
		t.Errorf("tax %d", got.Taxes[0].Minor)
	}
}

// The factors of the hours begun, by hand: a rate of 300.00 is for ten hours, 30.00 an hour.
func TestABegunHourCountsWholeAtTheFactorInForce(t *testing.T) {
	by := terms.None("EUR")
	by.Overtime = []terms.Overtime{{AfterHours: 10, Times: decimal("1.5")}, {AfterHours: 12, Times: decimal("2")}}
	for hours, want := range map[string]int64{"0": 60000, "10": 60000, "10.0001": 69000, "11": 69000, "11.5": 78000, "12": 78000, "12.25": 90000, "14": 102000} {
		got := priced(t, quote.Asked{
			Terms: by, From: june(1), To: june(2), Hours: map[catalog.Date]price.Decimal{june(1): decimal(hours)},
			Labour: []quote.Piece{{Quantity: 2, From: june(1), To: june(1), RateMinor: 30000, HoursPerDay: decimal("10")}},
		})
		if got.NetMinor != want {
			t.Errorf("%s hours of two people cost %d, want %d", hours, got.NetMinor, want)
		}
	}
	// Of a day of eight hours the first step comes after two more at the plain rate; a third of a cent is rounded once, for all people.
	got := priced(t, quote.Asked{
		Terms: by, From: june(1), To: june(1), Hours: map[catalog.Date]price.Decimal{june(1): decimal("11")},
		Labour: []quote.Piece{{Quantity: 3, From: june(1), To: june(1), RateMinor: 10001, HoursPerDay: decimal("8")}},
	})
	if want := int64(30003 + 13126); got.NetMinor != want { // 30003 / 8 × 3.5 = 13126.3125
		t.Errorf("got %d, want %d", got.NetMinor, want)
	}
}

func TestAMinimumFollowsTheDiscounts(t *testing.T) {
	by := terms.None("EUR")
	by.MinimumHire, by.WaiverPercent = euro(8000), decimal("10")
	by.Accounts = terms.Accounts{Minimum: "M", Waiver: "W"}
	hire := []quote.Piece{{SKU: "A", Account: "H", Quantity: 1, From: june(1), To: june(1), RateMinor: 8100}}
	got := priced(t, quote.Asked{Terms: by, From: june(1), To: june(1), CustomerPercent: decimal("10"), Hire: hire})
	want := map[quote.Group][]int64{quote.Hire: {8100}, quote.Customer: {-810}, quote.Minimum: {710}, quote.Waiver: {800}}
	if diff := cmp.Diff(want, amounts(got)); diff != "" {
		t.Errorf("(-want +got)\n%s", diff)
	}
	if diff := cmp.Diff([]quote.AccountSum{{Account: "H", Minor: 7290}, {Account: "M", Minor: 710}, {Account: "W", Minor: 800}}, got.ByAccount); diff != "" {
		t.Errorf("by account (-want +got)\n%s", diff)
	}
	if none := priced(t, quote.Asked{Terms: by, From: june(1), To: june(1), Sales: []quote.Piece{{Quantity: 1, RateMinor: 100}}}); len(none.Lines) != 1 {
		t.Errorf("nothing is hired: %+v", none.Lines)
	}
	insured := priced(t, quote.Asked{Terms: by, From: june(1), To: june(1), Insured: true, Hire: hire})
	if len(amounts(insured)[quote.Waiver]) > 0 {
		t.Error("an insured customer pays a waiver")
	}
}

func TestKilometresAreRoundedOnce(t *testing.T) {
	by := terms.None("EUR")
	by.KmRate = euro(85)
	got := priced(t, quote.Asked{Terms: by, From: june(1), To: june(1), Km: decimal("12.3"), Trips: 3}) // 31.365
	if len(got.Lines) != 1 || got.Lines[0].AmountMinor != 3137 || got.Lines[0].Group != quote.Delivery {
		t.Errorf("%+v", got.Lines)
	}
}

// Half a cent off 12.50 and 0.10 at 5 per cent goes away from zero (computed with a decimal library).
func TestADiscountOfHalfACentIsAWholeOne(t *testing.T) {
	for rate, want := range map[int64]int64{1250: -63, 10: -1, 9: 0} {
		got := priced(t, quote.Asked{Terms: terms.None("EUR"), From: june(1), To: june(1), CustomerPercent: decimal("5"),
			Hire: []quote.Piece{{SKU: "A", Quantity: 1, From: june(1), To: june(1), RateMinor: rate}}})
		if off := got.NetMinor - rate; off != want {
			t.Errorf("5 %% of %d takes off %d, want %d", rate, off, want)
		}
	}
}

// Of ways that take off as much the first in the order of the terms is taken, then that of the lines.
func TestOfEqualPackagesTheFirstIsUsed(t *testing.T) {
	by := terms.None("EUR")
	pack := func(label string, skus ...string) terms.Package {
		p := terms.Package{Label: label, Percent: decimal("10")}
		for _, sku := range skus {
			p.Items = append(p.Items, catalog.Count{SKU: sku, Quantity: 1})
		}
		return p
	}
	by.Packages = []terms.Package{pack("B with C", "B", "C"), pack("A with B", "A", "B")}
	piece := func(sku string) quote.Piece {
		return quote.Piece{SKU: sku, Quantity: 1, From: june(1), To: june(1), RateMinor: 1000}
	}
	got := priced(t, quote.Asked{Terms: by, From: june(1), To: june(1), Hire: []quote.Piece{piece("A"), piece("B"), piece("C"), piece("C")}})
	var of []int
	for _, l := range got.Lines {
		if why, ok := l.Why.(quote.OfPackage); ok {
			if of = append(of, l.Of); why.Label != "B with C" {
				t.Errorf("line %d is part of %s", l.Of, why.Label)
			}
		}
	}
	if !slices.Equal(of, []int{2, 3}) { // the first of the two lines of C
		t.Errorf("lines %v are part of a package", of)
	}
}
