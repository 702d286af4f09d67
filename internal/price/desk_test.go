package price

import (
	"errors"
	"fmt"
	"math"
	"math/big"
	"strings"
	"testing"
	"time"

	"github.com/bojanz/currency"
	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"kitspan/internal/catalog"
)

var june = catalog.Date{Year: 2027, Month: time.June, Day: 18}

// listed is an item with one rate from 2026 on.
func listed(t testing.TB, sku string, spec catalog.Spec, perDay, code string) catalog.Item {
	t.Helper()
	rate, err := catalog.ParseMoney(perDay, code)
	if err != nil {
		t.Fatal(err)
	}
	return catalog.Item{SKU: sku, Name: "Thing " + sku, Spec: spec, Rates: []catalog.Rate{{From: catalog.Date{Year: 2026, Month: 1, Day: 1}, PerDay: rate}}}
}

func deskOf(code string, items ...catalog.Item) *Desk {
	return NewDesk(catalog.NewSnapshot(catalog.House{Slug: "h", Name: "H", Currency: code, TimeZone: "UTC"}, items), june)
}

// told is a kit as text: quantity × SKU at rate = line; total.
func told(k Kit) string {
	var b strings.Builder
	for _, l := range k.Lines {
		fmt.Fprintf(&b, "%d × %s at %s = %s; ", l.Quantity, l.SKU, l.DayRate, l.LinePerDay)
	}
	return b.String() + k.PerDay.String()
}

// Sums by hand. The decimals of each currency are those of ISO 4217 (table of the Mozilla engine, generated from the ISO
// list): 0 for JPY, 2 for EUR, 3 for KWD, 4 for UYW. HUF has 2 there and 0 in CLDR. 0.1 + 0.2 and 10 × 1.005-like rates
// are where binary fractions go wrong.
func TestPriceIsExactInEveryCurrency(t *testing.T) {
	bag, frame := &catalog.Ballast{}, &catalog.Frame{}
	for _, c := range []struct {
		code         string
		rates        [2]string
		quantities   [2]int
		lines, total string
	}{
		{"EUR", [2]string{"0.10", "0.20"}, [2]int{1, 1}, "1 × F at 0.20 EUR = 0.20 EUR; 1 × B at 0.10 EUR = 0.10 EUR; ", "0.30 EUR"},
		{"EUR", [2]string{"11.31", "10.07"}, [2]int{10, 3}, "3 × F at 10.07 EUR = 30.21 EUR; 10 × B at 11.31 EUR = 113.10 EUR; ", "143.31 EUR"},
		{"EUR", [2]string{"17.50", "0.00"}, [2]int{7, 2}, "2 × F at 0.00 EUR = 0.00 EUR; 7 × B at 17.50 EUR = 122.50 EUR; ", "122.50 EUR"},
		{"JPY", [2]string{"1250", "1"}, [2]int{3, 9}, "9 × F at 1 JPY = 9 JPY; 3 × B at 1250 JPY = 3750 JPY; ", "3759 JPY"},
		{"KWD", [2]string{"1.005", "0.001"}, [2]int{10, 7}, "7 × F at 0.001 KWD = 0.007 KWD; 10 × B at 1.005 KWD = 10.050 KWD; ", "10.057 KWD"},
		{"UYW", [2]string{"0.0001", "2.6750"}, [2]int{9, 3}, "3 × F at 2.6750 UYW = 8.0250 UYW; 9 × B at 0.0001 UYW = 0.0009 UYW; ", "8.0259 UYW"},
		{"HUF", [2]string{"999.99", "0.01"}, [2]int{2, 2}, "2 × F at 0.01 HUF = 0.02 HUF; 2 × B at 999.99 HUF = 1999.98 HUF; ", "2000.00 HUF"},
		{"EUR", [2]string{"999999999999.99", "0.01"}, [2]int{1, 1}, "1 × F at 0.01 EUR = 0.01 EUR; 1 × B at 999999999999.99 EUR = 999999999999.99 EUR; ", "1000000000000.00 EUR"},
	} {
		d := deskOf(c.code, listed(t, "B", bag, c.rates[0], c.code), listed(t, "F", frame, c.rates[1], c.code))
		kit, err := d.Price([]catalog.Count{{SKU: "B", Quantity: c.quantities[0]}, {SKU: "F", Quantity: c.quantities[1]}})
		if err != nil {
			t.Errorf("%v: %v", c, err)
		} else if diff := cmp.Diff(c.lines+c.total, told(kit)); diff != "" {
			t.Errorf("(-want +got):\n%s", diff)
		}
	}
}

func TestPriceMergesAndDropsWhatComesToNone(t *testing.T) {
	d := deskOf("EUR", listed(t, "A", &catalog.Line{}, "1.20", "EUR"), listed(t, "B", &catalog.Line{}, "2.00", "EUR"))
	kit, err := d.Price([]catalog.Count{{SKU: "A", Quantity: 2}, {SKU: "B", Quantity: 0}, {SKU: "A", Quantity: 1}})
	if err != nil {
		t.Fatal(err)
	}
	if got, want := told(kit), "3 × A at 1.20 EUR = 3.60 EUR; 3.60 EUR"; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
	if kit, err = d.Price(nil); err != nil || told(kit) != "0.00 EUR" {
		t.Errorf("nothing costs %s, %v", told(kit), err)
	}
}

func TestPriceTakesTheRateOfTheDay(t *testing.T) {
	stock, _ := catalog.DemoSnapshot("quayside")
	for on, want := range map[catalog.Date]string{
		{Year: 2026, Month: 12, Day: 31}: "18.50", {Year: 2027, Month: 1, Day: 1}: "19.00", // demo/frame.csv
	} {
		kit, err := NewDesk(stock, on).Price([]catalog.Count{{SKU: "QG-FRAME-08X08", Quantity: 1}})
		if err != nil || kit.PerDay.Number() != want {
			t.Errorf("%s: %s, %v, want %s", on, kit.PerDay, err, want)
		}
	}
}

func TestEveryItemWithoutAPriceIsNamedInOneOrder(t *testing.T) {
	late := listed(t, "LATE", &catalog.Line{}, "1.00", "EUR")
	late.Rates[0].From = catalog.Date{Year: 2028, Month: 1, Day: 1}
	dear := listed(t, "DEAR", &catalog.Line{}, "999999999999.99", "EUR")
	d := deskOf("EUR", late, dear, listed(t, "OTHER", &catalog.Line{}, "1.00", "USD"))
	counts := []catalog.Count{{SKU: "LATE", Quantity: 1}, {SKU: "GONE", Quantity: 1}, {SKU: "AWAY", Quantity: 0}, {SKU: "DEAR", Quantity: math.MaxInt},
		{SKU: "DEAR", Quantity: -1}, {SKU: "OTHER", Quantity: 1}}
	_, err := d.Price(counts)
	for _, want := range []error{catalog.ErrNoItem, ErrNoRate, ErrCurrency, ErrQuantity, ErrTooMuch} {
		if !errors.Is(err, want) {
			t.Errorf("%v: lacks %v", err, want)
		}
	}
	for _, sku := range []string{"AWAY", "DEAR", "GONE", "LATE", "OTHER"} {
		if !strings.Contains(err.Error(), sku) {
			t.Errorf("%v: does not name %s", err, sku)
		}
	}
	for _, c := range counts {
		if minor, ok := d.Minor([]catalog.Count{c}); ok {
			t.Errorf("Minor prices %v at %d", c, minor)
		}
	}
	for range len(counts) {
		counts = append(counts[1:], counts[0])
		if _, again := d.Price(counts); again.Error() != err.Error() {
			t.Errorf("another order of counts, another error:\n%v\n%v", err, again)
		}
	}
}

func TestSumsBeyondBitsAreRefusedNotWrapped(t *testing.T) {
	dear := listed(t, "DEAR", &catalog.Line{}, "999999999999.99", "EUR") // 99,999,999,999,999 minor units
	d := deskOf("EUR", dear, listed(t, "DEAR-2", &catalog.Line{}, "999999999999.99", "EUR"))
	most := math.MaxInt64 / 99_999_999_999_999
	if kit, err := d.Price([]catalog.Count{{SKU: "DEAR", Quantity: most}}); err != nil {
		t.Errorf("%d: %v, %v", most, kit.PerDay, err)
	}
	for _, counts := range [][]catalog.Count{
		{{SKU: "DEAR", Quantity: most + 1}},
		{{SKU: "DEAR", Quantity: most}, {SKU: "DEAR-2", Quantity: most}},
		{{SKU: "DEAR", Quantity: math.MaxInt}, {SKU: "DEAR", Quantity: math.MaxInt}},
	} {
		if kit, err := d.Price(counts); !errors.Is(err, ErrTooMuch) {
			t.Errorf("%v: %v, %v, want ErrTooMuch", counts, kit.PerDay, err)
		}
		if minor, ok := d.Minor(counts); ok {
			t.Errorf("%v: Minor says %d", counts, minor)
		}
	}
}

// minorOf reads the minor units of an amount from its decimal text, apart from the library's own arithmetic.
func minorOf(t interface{ Fatalf(string, ...any) }, a currency.Amount) *big.Int {
	n, ok := new(big.Int).SetString(strings.Replace(a.Number(), ".", "", 1), 10)
	if !ok {
		t.Fatalf("%s is no number", a)
	}
	return n
}

func TestTotalIsTheSumOfLinesInWhateverOrder(t *testing.T) {
	kinds := catalog.Kinds()
	rapid.Check(t, func(t *rapid.T) {
		code := rapid.SampledFrom([]string{"EUR", "JPY", "KWD", "UYW"}).Draw(t, "currency")
		digits := map[string]int{"EUR": 2, "JPY": 0, "KWD": 3, "UYW": 4}[code] // ISO 4217
		n := rapid.IntRange(1, 12).Draw(t, "items")
		items := make([]catalog.Item, n)
		for i := range items {
			whole := fmt.Sprint(rapid.IntRange(0, 999_999).Draw(t, "whole"))
			if digits > 0 {
				whole += "." + rapid.StringMatching(fmt.Sprintf(`[0-9]{%d}`, digits)).Draw(t, "decimals")
			}
			rate, err := catalog.ParseMoney(whole, code)
			if err != nil {
				t.Fatal(err)
			}
			items[i] = catalog.Item{SKU: fmt.Sprintf("I-%02d", i), Spec: catalog.NewSpec(rapid.SampledFrom(kinds).Draw(t, "kind")),
				Rates: []catalog.Rate{{From: catalog.Date{Year: 2026, Month: 1, Day: 1}, PerDay: rate}}}
		}
		counts := rapid.SliceOf(rapid.Custom(func(t *rapid.T) catalog.Count {
			return catalog.Count{SKU: items[rapid.IntRange(0, n-1).Draw(t, "which")].SKU, Quantity: rapid.IntRange(0, 5000).Draw(t, "quantity")}
		})).Draw(t, "counts")
		d := deskOf(code, items...)
		kit, err := d.Price(counts)
		if err != nil {
			t.Fatal(err)
		}
		// The oracle: every count by itself, in whole numbers, unmerged and unsorted.
		want := new(big.Int)
		for _, c := range counts {
			each := minorOf(t, d.stock.Item(c.SKU).Rates[0].PerDay)
			want.Add(want, each.Mul(each, big.NewInt(int64(c.Quantity))))
		}
		if got := minorOf(t, kit.PerDay); got.Cmp(want) != 0 {
			t.Fatalf("total %s, counts come to %s", kit.PerDay, want)
		}
		if minor, ok := d.Minor(counts); !ok || minor != want.Int64() {
			t.Fatalf("Minor says %d, %v, counts come to %s", minor, ok, want)
		}
		sum := new(big.Int)
		for i, l := range kit.Lines {
			sum.Add(sum, minorOf(t, l.LinePerDay))
			if i > 0 {
				a, b := d.stock.Item(kit.Lines[i-1].SKU), d.stock.Item(l.SKU)
				if ka, kb := catalog.KindOrder(a.Kind()), catalog.KindOrder(b.Kind()); ka > kb || (ka == kb && a.SKU >= b.SKU) {
					t.Fatalf("%s before %s", a.SKU, b.SKU)
				}
			}
		}
		if sum.Cmp(want) != 0 {
			t.Fatalf("lines come to %s, the total is %s", sum, want)
		}
		shuffled := rapid.Permutation(counts).Draw(t, "shuffled")
		again, err := d.Price(shuffled)
		if err != nil || told(again) != told(kit) {
			t.Fatalf("another order: %s, %v, want %s", told(again), err, told(kit))
		}
	})
}

func BenchmarkPrice(b *testing.B) {
	stock, _ := catalog.DemoSnapshot("quayside")
	d := NewDesk(stock, june)
	counts := []catalog.Count{
		{SKU: "QG-FRAME-12X12", Quantity: 1}, {SKU: "QG-FABRIC-FULL-12X12", Quantity: 1}, {SKU: "QG-STAND-CRANK-52-ARM-15", Quantity: 4},
		{SKU: "QG-BAG-16", Quantity: 24}, {SKU: "QG-LINE-15", Quantity: 4}, {SKU: "QG-ANCHOR-BARREL-120", Quantity: 4}, {SKU: "QG-FRAME-EAR", Quantity: 4},
		{SKU: "QG-BAG-16", Quantity: 8},
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := d.Price(counts); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkMinor(b *testing.B) {
	stock, _ := catalog.DemoSnapshot("quayside")
	d := NewDesk(stock, june)
	counts := []catalog.Count{{SKU: "QG-STAND-CRANK-52-ARM-15", Quantity: 4}}
	b.ReportAllocs()
	for b.Loop() {
		if _, ok := d.Minor(counts); !ok {
			b.Fatal("no price")
		}
	}
}

func TestOffersAreWhatIsOwnedAndPriced(t *testing.T) {
	owned := func(i catalog.Item, n int) catalog.Item {
		i.Owned = n
		return i
	}
	late := owned(listed(t, "LATE", &catalog.Line{}, "3.00", "EUR"), 2)
	next := catalog.Date{Year: 2027, Month: time.June, Day: 19}
	late.Rates[0].From = next
	items := []catalog.Item{
		owned(listed(t, "ONE", &catalog.Line{}, "1.50", "EUR"), 1), owned(listed(t, "NONE", &catalog.Line{}, "2.00", "EUR"), 0),
		owned(listed(t, "DOLLARS", &catalog.Line{}, "2.00", "USD"), 1), late,
	}
	offers := func(on catalog.Date) (out []string) {
		for _, o := range NewDesk(deskOf("EUR", items...).stock, on).Offers() {
			out = append(out, fmt.Sprint(o.Item.SKU, " ", o.Minor))
		}
		return out
	}
	if diff := cmp.Diff([]string{"ONE 150"}, offers(june)); diff != "" {
		t.Error(diff)
	}
	if diff := cmp.Diff([]string{"LATE 300", "ONE 150"}, offers(next)); diff != "" {
		t.Error(diff)
	}
}
