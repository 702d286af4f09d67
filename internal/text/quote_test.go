package text_test

import (
	"strings"
	"testing"

	"kitspan/internal/catalog"
	"kitspan/internal/phrase"
	"kitspan/internal/price"
	"kitspan/internal/quote"
	"kitspan/internal/text"
)

func decimal(t *testing.T, s string) price.Decimal {
	t.Helper()
	d, err := price.ParseDecimal(s)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// Every formula has its numbers in every language, with the language's decimal sign.
func TestEveryFormulaOfAQuoteIsInWords(t *testing.T) {
	percent, hours := decimal(t, "7.5"), decimal(t, "11.25")
	q := &quote.Quote{House: catalog.House{Currency: "EUR"}}
	for _, tc := range []struct {
		why     quote.Why
		english string
		numbers []string
	}{
		{quote.OfHire{Quantity: 4, RateMinor: 5725, ChargedDays: 3, Days: 6, Reason: "spare"}, "4 × 57.25 × 3 charged days of 6 (spare)", []string{"4", "57.25", "3", "6", "spare"}},
		{quote.OfHire{Quantity: 4, RateMinor: 5725, ChargedDays: 1, Days: 2}, "4 × 57.25 × 1 charged day of 2", []string{"57.25"}},
		{quote.OfLongHire{Percent: percent, BaseMinor: 40512, FromChargedDays: 6}, "7.5 % of 405.12, from 6 charged days on", []string{"7.5 %", "405.12", "6"}},
		{quote.OfPackage{Label: "12 x 12", Percent: percent, BaseMinor: 40512, Sets: 1, Units: 2, Quantity: 5}, "12 x 12: 7.5 % of 405.12, for 2 of 5 in a set", []string{"12 x 12", "7.5 %", "405.12", "2", "5"}},
		{quote.OfCustomer{Percent: percent, BaseMinor: 123}, "7.5 % of 1.23 for the customer", []string{"7.5 %", "1.23"}},
		{quote.OfMinimum{MinimumMinor: 8050, HireMinor: 7001}, "hire of 70.01, topped up to the minimum of 80.50", []string{"70.01", "80.50"}},
		{quote.OfWaiver{Percent: percent, BaseMinor: 123}, "7.5 % of the hire of 1.23", []string{"7.5 %", "1.23"}},
		{quote.OfSale{Quantity: 3, RateMinor: 1250}, "3 × 12.50, sold", []string{"3", "12.50"}},
		{quote.OfLabour{Quantity: 2, RateMinor: 25550, Hours: &hours, HoursPerDay: decimal(t, "10"), Overtime: []quote.Overtime{{Hours: 2, Times: decimal(t, "1.5")}}},
			"2 × 255.50 for the day of 10 h; of 11.25 h worked, begun beyond it: 2 h × 1.5, each hour a day's rate divided by 10", []string{"255.50", "10 h", "11.25 h", "2 h × 1.5"}},
		{quote.OfVehicle{Quantity: 1, RateMinor: 7350}, "1 × 73.50 for the day", []string{"73.50"}},
		{quote.OfDelivery{Km: decimal(t, "62.5"), RateMinor: 85, Trips: 2}, "62.5 km × 0.85 × 2 trips", []string{"62.5 km", "0.85", "2"}},
	} {
		line := &quote.Line{Why: tc.why}
		for _, l := range phrase.All() {
			got := text.QuoteWhy(text.Metres.In(l), q, line)
			if l == phrase.English && got != tc.english {
				t.Errorf("%q, want %q", got, tc.english)
			}
			if l != phrase.English && (got == tc.english || strings.Contains(got, "%!")) {
				t.Errorf("%s: %q", l.Tag(), got)
			}
			for _, n := range tc.numbers {
				if !strings.Contains(got, l.Number(n)) {
					t.Errorf("%s: %q has no %s", l.Tag(), got, n)
				}
			}
		}
	}
}

// A line that is of no item is called by its group.
func TestLinesWithoutAnItemHaveAName(t *testing.T) {
	for _, g := range quote.Groups() {
		for _, l := range phrase.All() {
			to := text.Metres.In(l)
			if got := text.QuoteLineName(to, &quote.Line{Group: g}); got == "" || got != text.QuoteGroup(to, g) {
				t.Errorf("%s: the name of a line of %s is %q", l.Tag(), g, got)
			}
		}
	}
	if got := text.QuoteLineName(text.Metres, &quote.Line{Group: quote.Hire, Name: "Frame"}); got != "Frame" {
		t.Errorf("%q", got)
	}
}
