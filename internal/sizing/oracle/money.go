package oracle

import (
	"fmt"
	"math"
	"math/big"
	"strings"

	"github.com/bojanz/currency"

	"kitspan/internal/catalog"
	"kitspan/internal/price"
	"kitspan/internal/sizing"
)

// minorUnits reads an amount as a whole number of the currency's minor units, digit by digit; ok is false where it has more decimals
// than the currency.
func minorUnits(a currency.Amount) (*big.Int, bool) {
	digits, known := currency.GetDigits(a.CurrencyCode())
	whole, frac, _ := strings.Cut(a.Number(), ".")
	if !known || len(frac) > int(digits) {
		return nil, false
	}
	n, ok := new(big.Int).SetString(whole+frac+strings.Repeat("0", int(digits)-len(frac)), 10)
	return n, ok
}

// used adds up what an option's pieces use: frames, fabrics, boards, lamps, supports, and what holds them; of those that are moved, the
// most that stands in any part of the window.
func used(o sizing.Option) map[string]int {
	most := map[string]int{}
	for k := range o.Parts() {
		for sku, n := range usedAtOnce(o.Part(k)) {
			most[sku] = max(most[sku], n)
		}
	}
	return most
}

func usedAtOnce(o sizing.Option) map[string]int {
	sum := map[string]int{}
	for _, p := range o.Pieces {
		for _, c := range p.Items {
			sum[c.SKU] += c.Quantity
		}
		for _, sp := range p.Supports {
			sum[sp.SKU]++
			if sp.Ballast.Quantity != 0 {
				sum[sp.Ballast.SKU] += sp.Ballast.Quantity
			}
		}
		for _, l := range p.Lines {
			sum[l.SKU]++
			if l.Anchor.Quantity != 0 {
				sum[l.Anchor.SKU] += l.Anchor.Quantity
			}
		}
	}
	return sum
}

// Hire returns what a piece costs a day with its supports and all that holds it, in minor units by the rates of a date.
func Hire(p sizing.Piece, stock *catalog.Snapshot, on catalog.Date) (*big.Int, error) {
	total := new(big.Int)
	for sku, n := range used(sizing.Option{Pieces: []sizing.Piece{p}}) {
		rate, ok := stock.Item(sku).RateOn(on)
		if !ok {
			return nil, fmt.Errorf("%s has no rate on %s", sku, on)
		}
		each, ok := minorUnits(rate)
		if !ok {
			return nil, fmt.Errorf("the rate of %s has more decimals than the currency", sku)
		}
		total.Add(total, each.Mul(each, big.NewInt(int64(n))))
	}
	return total, nil
}

// CheckKit holds an option's kit to its pieces, its money to the rates of a date, its quantities to what the house
// owns, and its load to the items' masses and volumes.
func CheckKit(o sizing.Option, stock *catalog.Snapshot, on catalog.Date) []Violation {
	var bad []Violation
	wrong := func(rule Rule, by float64, format string, args ...any) {
		bad = append(bad, broken(rule, by, "%s: "+format, append([]any{o.Label}, args...)...))
	}
	want := used(o)
	total, massKg, volumeM3 := new(big.Int), 0.0, 0.0
	listed := map[string]bool{}
	for _, l := range o.Kit.Lines {
		item := stock.Item(l.SKU)
		if item == nil || listed[l.SKU] {
			wrong(RuleKit, 1, "line %s is unknown or occurs twice", l.SKU)
			continue
		}
		listed[l.SKU] = true
		if l.Quantity != want[l.SKU] {
			wrong(RuleKit, math.Abs(float64(l.Quantity-want[l.SKU])), "%d of %s in the kit, the pieces use %d", l.Quantity, l.SKU, want[l.SKU])
		}
		if l.Quantity > item.Owned {
			wrong(RuleStock, float64(l.Quantity-item.Owned), "%d of %s, the house owns %d", l.Quantity, l.SKU, item.Owned)
		}
		massKg += float64(l.Quantity) * item.MassKg
		volumeM3 += float64(l.Quantity) * item.PackedM3
		cents, problem := checkLine(l, item, on)
		if problem != "" {
			wrong(RuleKit, 1, "line %s %s", l.SKU, problem)
			continue
		}
		total.Add(total, cents)
	}
	for sku, n := range want {
		if !listed[sku] {
			wrong(RuleKit, float64(n), "the pieces use %d of %s, the kit has none", n, sku)
		}
	}
	if got, ok := minorUnits(o.Kit.PerDay); !ok || got.Cmp(total) != 0 || o.Kit.PerDay.CurrencyCode() != stock.House.Currency {
		wrong(RuleKit, 1, "the day costs %s, the lines add up to %s minor units of %s", o.Kit.PerDay, total, stock.House.Currency)
	}
	if off := math.Abs(o.Load.MassKg - massKg); off > 1e-6 {
		wrong(RuleLoad, off, "mass %.6f kg, the items weigh %.6f kg", o.Load.MassKg, massKg)
	}
	if off := math.Abs(o.Load.VolumeM3 - volumeM3); off > 1e-6 {
		wrong(RuleLoad, off, "volume %.6f m³, the items take %.6f m³", o.Load.VolumeM3, volumeM3)
	}
	return bad
}

// checkLine is a line's price in minor units, and what is wrong with it.
func checkLine(l price.KitLine, item *catalog.Item, on catalog.Date) (*big.Int, string) {
	rate, ok := item.RateOn(on)
	if !ok {
		return nil, "has no rate on " + on.String()
	}
	if !rate.Equal(l.DayRate) {
		return nil, fmt.Sprintf("is priced at %s a day, the rate is %s", l.DayRate, rate)
	}
	per, okRate := minorUnits(rate)
	line, okLine := minorUnits(l.LinePerDay)
	if !okRate || !okLine {
		return nil, fmt.Sprintf("has more decimals than the currency: %s, %s", rate, l.LinePerDay)
	}
	if due := new(big.Int).Mul(per, big.NewInt(int64(l.Quantity))); due.Cmp(line) != 0 {
		return nil, fmt.Sprintf("comes to %s, %d times %s is %s minor units", l.LinePerDay, l.Quantity, rate, due)
	}
	return line, ""
}
