package terms

import (
	"fmt"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/bojanz/currency"

	"kitspan/internal/catalog"
	"kitspan/internal/fault"
	"kitspan/internal/price"
)

// How much terms may hold, and how long their texts may be; common practice, no source.
const (
	mostDays         = 366
	mostSpareDays    = 14
	mostSteps        = 20
	mostPackages     = 50
	mostPackageItems = 8 // each may stand on two lines, so that there are 256 ways to put one together
	mostQuantity     = 1000
	mostValidDays    = 366
	mostTimes        = 10

	longestLabel      = 120
	longestCode       = 20
	longestPrefix     = 12
	longestConditions = 8000

	defaultValidDays = 14
)

// Resolve checks terms against the catalogue of their house and fills in what was left out. Pointers are from the terms on.
func (d *Draft) Resolve(stock *catalog.Snapshot) (*Terms, []fault.Fault) {
	r := resolver{stock: stock}
	t := &Terms{
		PrepareDays: r.whole("/prepare_days", d.PrepareDays, 0, 0, mostSpareDays, "days"), ReturnDays: r.whole("/return_days", d.ReturnDays, 0, 0, mostSpareDays, "days"),
		MinimumHire: r.money("/minimum_hire", d.MinimumHire), WaiverPercent: r.percent("/waiver_percent", d.WaiverPercent, false),
		DepositPercent: r.percent("/deposit_percent", d.DepositPercent, false), KmRate: r.money("/km_rate", d.KmRate),
		ValidDays: r.whole("/valid_days", d.ValidDays, defaultValidDays, 1, mostValidDays, "days"),
		Accounts: Accounts{Waiver: r.text("/accounts/waiver", &d.Accounts.Waiver, longestCode, false), Delivery: r.text("/accounts/delivery", &d.Accounts.Delivery, longestCode, false),
			Minimum: r.text("/accounts/minimum", &d.Accounts.Minimum, longestCode, false)},
		Prefix: r.text("/prefix", d.Prefix, longestPrefix, true), Conditions: r.text("/conditions", d.Conditions, longestConditions, false),
	}
	if d.ValidFrom == nil || *d.ValidFrom == "" {
		r.fault("/valid_from", fault.Missing{Want: fault.WantDate})
	} else if day, err := catalog.ParseDate(*d.ValidFrom); err != nil {
		r.fault("/valid_from", fault.NotADate{Got: cut(*d.ValidFrom)})
	} else {
		t.ValidFrom = day
	}
	t.ChargedDays = d.ChargedDays
	r.table(d.ChargedDays)
	r.longHire(t, d.LongHire)
	r.packages(t, d.Packages)
	r.overtime(t, d.Overtime)
	r.taxes(t, d.Taxes)
	if len(r.faults) > 0 {
		return nil, r.faults
	}
	return t, nil
}

type resolver struct {
	stock  *catalog.Snapshot
	faults []fault.Fault
}

func (r *resolver) fault(pointer string, kind fault.Kind) {
	r.faults = append(r.faults, fault.Fault{Pointer: pointer, Kind: kind})
}

// table names what is wrong with charged days: each that is out of range, falls, or is beaten by two spans, by the cheapest two.
func (r *resolver) table(c []int) {
	const at = "/charged_days"
	if len(c) == 0 || len(c) > mostDays {
		if len(c) == 0 {
			r.fault(at, fault.Missing{Want: fault.WantArray})
		} else {
			r.fault(at, fault.TooMany{Count: len(c), Most: mostDays})
		}
		return
	}
	for i, charged := range c {
		days, here := i+1, fmt.Sprintf("%s/%d", at, i)
		if charged < 1 || charged > days {
			r.fault(here, fault.ChargedOutOfRange{Days: days, Charged: charged})
			continue
		}
		if i > 0 && charged < c[i-1] {
			r.fault(here, fault.ChargedFalls{Days: days, Charged: charged, Before: c[i-1]})
			continue
		}
		beaten := fault.ChargedBeaten{Days: days, Charged: charged, Together: charged}
		for first := 1; first <= days/2; first++ {
			if two := c[first-1] + c[days-first-1]; two < beaten.Together {
				beaten.First, beaten.Second, beaten.Together = first, days-first, two
			}
		}
		if beaten.First > 0 {
			r.fault(here, beaten)
		}
	}
}

func (r *resolver) longHire(t *Terms, list []DraftLongHire) {
	const at = "/long_hire"
	if r.tooMany(at, len(list), mostSteps) {
		return
	}
	for i, l := range list {
		here := fmt.Sprintf("%s/%d", at, i)
		step := LongHire{r.needed(here+"/from_charged_days", l.FromChargedDays, 1, mostDays, "days"), r.percent(here+"/percent", l.Percent, true)}
		if n := len(t.LongHire); n > 0 && step.FromChargedDays <= t.LongHire[n-1].FromChargedDays && l.FromChargedDays != nil {
			r.fault(here+"/from_charged_days", fault.NotMore{Got: step.FromChargedDays, Before: t.LongHire[n-1].FromChargedDays})
		}
		t.LongHire = append(t.LongHire, step)
	}
}

func (r *resolver) packages(t *Terms, list []DraftPackage) {
	const at = "/packages"
	if r.tooMany(at, len(list), mostPackages) {
		return
	}
	for i, p := range list {
		here := fmt.Sprintf("%s/%d", at, i)
		out := Package{Label: r.text(here+"/label", p.Label, longestLabel, true), Percent: r.percent(here+"/percent", p.Percent, true)}
		if len(p.Items) == 0 {
			r.fault(here+"/items", fault.Missing{Want: fault.WantArray})
		}
		if r.tooMany(here+"/items", len(p.Items), mostPackageItems) {
			continue
		}
		for k, n := range p.Items {
			item := fmt.Sprintf("%s/items/%d", here, k)
			sku := r.text(item+"/sku", n.SKU, longestLabel, true)
			found := r.stock.Item(sku)
			switch first := slices.IndexFunc(out.Items, func(c catalog.Count) bool { return c.SKU == sku }); {
			case sku == "":
			case found == nil:
				r.fault(item+"/sku", fault.UnknownItem{Got: cut(sku), House: r.stock.House.Slug})
			case !packable(found):
				r.fault(item+"/sku", fault.NotHired{Got: sku, Kind: string(found.Kind())})
			case first >= 0:
				r.fault(item+"/sku", fault.Repeated{Got: sku, First: fmt.Sprintf("%s/items/%d/sku", here, first)})
			}
			out.Items = append(out.Items, catalog.Count{SKU: sku, Quantity: r.needed(item+"/quantity", n.Quantity, 1, mostQuantity, "")})
		}
		t.Packages = append(t.Packages, out)
	}
}

func (r *resolver) overtime(t *Terms, list []DraftOvertime) {
	const at = "/overtime"
	if r.tooMany(at, len(list), mostSteps) {
		return
	}
	for i, o := range list {
		here := fmt.Sprintf("%s/%d", at, i)
		step := Overtime{AfterHours: r.needed(here+"/after_hours", o.AfterHours, 0, 24, "h"), Times: r.decimal(here+"/times", o.Times, 1, mostTimes, true)}
		if n := len(t.Overtime); n > 0 && step.AfterHours <= t.Overtime[n-1].AfterHours && o.AfterHours != nil {
			r.fault(here+"/after_hours", fault.NotMore{Got: step.AfterHours, Before: t.Overtime[n-1].AfterHours})
		}
		t.Overtime = append(t.Overtime, step)
	}
}

func (r *resolver) taxes(t *Terms, list []DraftTax) {
	const at = "/taxes"
	if r.tooMany(at, len(list), mostSteps) {
		return
	}
	codes, taxed := map[string]string{}, map[Category]string{} // where each stands
	for i, x := range list {
		here := fmt.Sprintf("%s/%d", at, i)
		out := Tax{Code: r.text(here+"/code", x.Code, longestCode, true), Percent: r.percent(here+"/percent", x.Percent, true)}
		if first, twice := codes[out.Code]; twice && out.Code != "" {
			r.fault(here+"/code", fault.Repeated{Got: out.Code, First: first})
		} else {
			codes[out.Code] = here + "/code"
		}
		if len(x.On) == 0 {
			r.fault(here+"/on", fault.Missing{Want: fault.WantArray})
		}
		for k, on := range x.On {
			at, c := fmt.Sprintf("%s/on/%d", here, k), Category(on)
			if !slices.Contains(Categories(), c) {
				var words []string
				for _, known := range Categories() {
					words = append(words, string(known))
				}
				r.fault(at, fault.NotOneOf{Got: cut(on), Words: words})
				continue
			}
			if first, twice := taxed[c]; twice {
				r.fault(at, fault.TaxedTwice{Got: on, First: first})
				continue
			}
			taxed[c] = at
			out.On = append(out.On, c)
		}
		t.Taxes = append(t.Taxes, out)
	}
}

func (r *resolver) tooMany(at string, count, most int) bool {
	if count > most {
		r.fault(at, fault.TooMany{Count: count, Most: most})
	}
	return count > most
}

// whole is a number that may be left out.
func (r *resolver) whole(at string, n *int, otherwise, least, most int, unit string) int {
	if n == nil {
		return otherwise
	}
	return r.needed(at, n, least, most, unit)
}

// needed is a number that may not be left out.
func (r *resolver) needed(at string, n *int, least, most int, unit string) int {
	within := fault.Range{Least: float64(least), Most: float64(most), Unit: unit}
	switch {
	case n == nil:
		r.fault(at, fault.Missing{Want: fault.WantInteger, Range: &within})
		return 0
	case *n < least || *n > most:
		r.fault(at, fault.OutOfRange{Got: float64(*n), Range: within})
	}
	return *n
}

// percent is a decimal number from 0 to 100.
func (r *resolver) percent(at string, s *string, needed bool) price.Decimal {
	return r.decimal(at, s, 0, 100, needed)
}

func (r *resolver) decimal(at string, s *string, least, most int, needed bool) price.Decimal {
	if s == nil {
		if needed {
			r.fault(at, fault.NotADecimal{Least: least, Most: most})
		}
		return price.Decimal{}
	}
	d, err := price.ParseDecimal(*s)
	if err != nil || d.Cmp(price.WholeDecimal(least)) < 0 || d.Cmp(price.WholeDecimal(most)) > 0 {
		r.fault(at, fault.NotADecimal{Got: cut(*s), Least: least, Most: most})
	}
	return d
}

// money is an amount in the house's currency, 0 where nothing was said.
func (r *resolver) money(at string, m *DraftMoney) currency.Amount {
	house := r.stock.House
	zero, _ := currency.NewAmountFromInt64(0, house.Currency) // the code of a house
	switch {
	case m == nil:
		return zero
	case m.Currency == nil:
		r.fault(at+"/currency", fault.Missing{Want: fault.WantCurrency})
		return zero
	case *m.Currency != house.Currency:
		r.fault(at+"/currency", fault.OtherCurrency{Got: cut(*m.Currency), House: house.Slug, Want: house.Currency})
		return zero
	case m.Amount == nil:
		r.fault(at+"/amount", fault.Missing{Want: fault.WantAmount})
		return zero
	}
	a, err := catalog.ParseMoney(*m.Amount, house.Currency)
	if err != nil {
		r.fault(at+"/amount", fault.NotAnAmount{Reason: err.Error()})
		return zero
	}
	return a
}

// text is a line of text, or several where it is long.
func (r *resolver) text(at string, s *string, longest int, needed bool) string {
	if s == nil || *s == "" {
		if needed {
			r.fault(at, fault.Missing{Want: fault.WantText})
		}
		return ""
	}
	if n := utf8.RuneCountInString(*s); n > longest {
		r.fault(at, fault.TooLong{Characters: n, Most: longest})
		return ""
	}
	for _, c := range *s {
		if c == '\n' && longest == longestConditions {
			continue
		}
		if !unicode.IsPrint(c) {
			r.fault(at, fault.Unprintable{Character: fmt.Sprintf("%U", c)})
			return ""
		}
	}
	if longest < longestConditions && strings.TrimSpace(*s) != *s {
		r.fault(at, fault.SpaceAround{Got: cut(*s)})
	}
	return *s
}

// longestGot is how much of a text a fault repeats.
const longestGot = 60

func cut(s string) string {
	if len(s) <= longestGot {
		return s
	}
	return strings.ToValidUTF8(s[:longestGot], "") + "…"
}
