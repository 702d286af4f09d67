package oracle

import (
	"fmt"
	"math"
	"math/big"

	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/price"
	"kitspan/internal/sizing"
)

// priced holds the lines of a kit to what it has to have, by item, to the rates of a date and to their sum.
func priced(rule Rule, what string, k price.Kit, stock *catalog.Snapshot, on catalog.Date) []Violation {
	var bad []Violation
	total := new(big.Int)
	listed := map[string]bool{}
	for _, l := range k.Lines {
		item := stock.Item(l.SKU)
		if item == nil || listed[l.SKU] {
			bad = append(bad, broken(rule, 1, "%s: line %s is unknown or occurs twice", what, l.SKU))
			continue
		}
		listed[l.SKU] = true
		cents, problem := checkLine(l, item, on)
		if problem != "" {
			bad = append(bad, broken(rule, 1, "%s: line %s %s", what, l.SKU, problem))
			continue
		}
		total.Add(total, cents)
	}
	if got, ok := minorUnits(k.PerDay); !ok || got.Cmp(total) != 0 || k.PerDay.CurrencyCode() != stock.House.Currency {
		bad = append(bad, broken(rule, 1, "%s: the day costs %s, the lines add up to %s minor units", what, k.PerDay, total))
	}
	return bad
}

// CheckLabour holds the labour to the crew: one in charge, hands, operators and lamp hands, and no one else.
func CheckLabour(o sizing.Option, stock *catalog.Snapshot, on catalog.Date) []Violation {
	what := fmt.Sprintf("%s: labour", o.Label)
	bad := priced(RuleLabour, what, o.Labour, stock, on)
	got := map[string]int{}
	for _, l := range o.Labour.Lines {
		if item := stock.Item(l.SKU); item != nil {
			spec, is := item.Spec.(*catalog.Labour)
			if !is {
				bad = append(bad, broken(RuleLabour, 1, "%s: %s is no labour", what, l.SKU))
				continue
			}
			got[spec.Role] += l.Quantity
			if l.Quantity > item.Owned && !noted(&o, func(n finding.TooFew) bool { return n.SKU == item.SKU && n.Owned == item.Owned }) {
				bad = append(bad, broken(RuleStock, float64(l.Quantity-item.Owned), "%s: %d of %s, the house has %d and no note says so", what, l.Quantity, l.SKU, item.Owned))
			}
		}
	}
	c := o.Crew
	for role, want := range map[string]int{
		catalog.RoleLead: min(1, c.Total), catalog.RoleOperator: c.Operators, catalog.RoleElectrician: c.Electricians,
		catalog.RoleHand: max(0, c.Total-1-c.Operators-c.Electricians), catalog.RoleDriver: 0,
	} {
		if got[role] != want {
			bad = append(bad, broken(RuleLabour, math.Abs(float64(got[role]-want)), "%s: %d × %s priced, the crew of %+v has %d", what, got[role], role, c, want))
		}
	}
	return bad
}
