package quote_test

import (
	"fmt"
	"testing"

	"kitspan/internal/catalog"
	"kitspan/internal/quote"
	"kitspan/internal/terms"
)

// large is what forty shots over ten days come to: 400 lines of hire, twenty packages, a line for each role and day.
func large() quote.Asked {
	by := terms.None("EUR")
	by.ChargedDays = []int{1, 2, 3, 3, 3, 3, 3}
	by.LongHire = []terms.LongHire{{FromChargedDays: 3, Percent: decimal("10")}}
	by.WaiverPercent, by.DepositPercent = decimal("8"), decimal("30")
	by.Overtime = []terms.Overtime{{AfterHours: 10, Times: decimal("1.5")}}
	by.Taxes = []terms.Tax{{Code: "STD", Percent: decimal("23"), On: everything()}}
	sku := func(i int) string { return fmt.Sprintf("S%02d", i%60) }
	for p := range 20 {
		items := []catalog.Count{{SKU: sku(3 * p), Quantity: 1}, {SKU: sku(3*p + 1), Quantity: 1}, {SKU: sku(3*p + 4), Quantity: 2}}
		by.Packages = append(by.Packages, terms.Package{Label: "set", Items: items, Percent: decimal("7.5")})
	}
	a := quote.Asked{Terms: by, From: june(1), To: june(10), CustomerPercent: decimal("2.5")}
	for i := range 400 {
		from := 1 + i/60%5
		a.Hire = append(a.Hire, quote.Piece{SKU: sku(i), Quantity: 1 + i%7, From: june(from), To: june(from + 3), RateMinor: int64(100 + 37*i)})
	}
	for day := 1; day <= 10; day++ {
		for range 4 {
			a.Labour = append(a.Labour, quote.Piece{Quantity: 3, From: june(day), To: june(day), RateMinor: 25500, HoursPerDay: decimal("10")})
		}
	}
	return a
}

func BenchmarkPriceFortyShots(b *testing.B) {
	a := large()
	for b.Loop() {
		if _, err := quote.Price(a); err != nil {
			b.Fatal(err)
		}
	}
}

// Packages that vie for the same lines as hard as terms let them end the search, and what is found is sound.
func TestManyPackagesOfTheSameLinesComeToAnEnd(t *testing.T) {
	by := terms.None("EUR")
	a := quote.Asked{Terms: by, From: june(1), To: june(1)}
	for i := range 24 {
		a.Hire = append(a.Hire, quote.Piece{SKU: fmt.Sprintf("S%d", i/2), Quantity: 3 + i%2, From: june(1), To: june(1), RateMinor: int64(1000 + 13*i)})
	}
	for p := range 30 {
		pack := terms.Package{Percent: decimal(fmt.Sprintf("%d.%d", 5+p%3, p%10))}
		for k := range 6 {
			pack.Items = append(pack.Items, catalog.Count{SKU: fmt.Sprintf("S%d", (p+k*(1+p%2))%12), Quantity: 1 + k%2})
		}
		by.Packages = append(by.Packages, pack)
	}
	got := priced(t, a)
	of := map[int]int{}
	for _, l := range got.Lines {
		if l.Group == quote.Package {
			of[l.Of]++
		}
	}
	for line, n := range of {
		if n > 1 {
			t.Errorf("line %d is part of %d packages", line, n)
		}
	}
	if len(of) == 0 {
		t.Error("no package is used")
	}
}
