package catalog

import (
	"fmt"
	"regexp"
	"strings"
	"time"
	_ "time/tzdata" // zone names are checked the same on machines without a zone database

	"github.com/bojanz/currency"
)

// Problem is one thing wrong with an item or a house: the name of the field and a sentence that says what would be
// right. A problem of one rate names it by its place: "rates/0".
type Problem struct {
	Field  string
	Detail string
}

func (p Problem) String() string { return p.Field + ": " + p.Detail }

const (
	skuRule  = "1 to 40 of A-Z, 0-9, '.' and '-', a letter or digit first"
	slugRule = "1 to 40 of a-z, 0-9 and '-', a letter first"
)

var (
	skuPattern  = regexp.MustCompile(`^[A-Z0-9][A-Z0-9.-]{0,39}$`)
	slugPattern = regexp.MustCompile(`^[a-z][a-z0-9-]{0,39}$`)
)

// IsSlug reports whether s can be the short name of a house. Nothing else need be looked for: a storage may refuse to
// search for some bytes at all, such as NUL in PostgreSQL.
func IsSlug(s string) bool { return slugPattern.MatchString(s) }

// IsSKU reports whether s can be the SKU of an item, as [IsSlug] does of a house.
func IsSKU(s string) bool { return skuPattern.MatchString(s) }

// itemFields are the attributes that items of every kind have and that follow a [Rule]; SKU, money and rates have
// rules of their own.
func (i *Item) itemFields() []Field {
	return []Field{
		{"name", &i.Name, Text(maxName), "what a kit list calls it"},
		{"mass_kg", &i.MassKg, NonNegative(maxMassKg), "mass of one"},
		{"packed_m3", &i.PackedM3, NonNegative(maxPackedM3), "volume of one in a vehicle"},
		{"owned", &i.Owned, NonNegative(maxOwned), "how many the house has"},
		{"account", &i.Account, Text(maxAccount).OrEmpty(), "budget code"},
	}
}

// Validate lists every fault of the item at once; nil when it is sound. Money must be in one currency throughout;
// that it is the house's is checked by [Item.ValidateIn].
func (i *Item) Validate() []Problem {
	var found []Problem
	if !skuPattern.MatchString(i.SKU) {
		found = append(found, Problem{"sku", quote(i.SKU) + ": must be " + skuRule})
	}
	found = append(found, fieldProblems(i.itemFields())...)
	found = append(found, i.moneyProblems(i.Replacement.CurrencyCode())...)
	if i.Spec == nil {
		return append(found, Problem{"kind", "is missing: must be one of " + kindNames()})
	}
	return append(found, specProblems(i.Spec)...)
}

// ValidateIn does what [Item.Validate] does for an item of a given house: its money must be in the house's currency.
func (i *Item) ValidateIn(h House) []Problem {
	found := i.Validate()
	if code := i.Replacement.CurrencyCode(); code != h.Currency && code != "" {
		found = append(found, Problem{"replacement", fmt.Sprintf("is in %s: the currency of house %s is %s", code, h.Slug, h.Currency)})
	}
	return found
}

func fieldProblems(fields []Field) []Problem {
	var found []Problem
	for _, f := range fields {
		if p := f.Problem(); p != "" {
			found = append(found, Problem{f.Name, p})
		}
	}
	return found
}

// specProblems asks for contradictions only where each value is sound by itself: a sentence about the sum of two
// impossible numbers helps nobody.
func specProblems(s Spec) []Problem {
	if found := fieldProblems(s.Fields()); found != nil {
		return found
	}
	if many, ok := s.(interface{ contradictions() []Problem }); ok {
		return many.contradictions()
	}
	if field, problem := s.Contradiction(); problem != "" {
		return []Problem{{field, problem}}
	}
	return nil
}

func (i *Item) moneyProblems(code string) []Problem {
	var found []Problem
	if p := amountProblem(i.Replacement); p != "" {
		found = append(found, Problem{"replacement", p})
	}
	if n := len(i.Rates); n > maxRates {
		return append(found, Problem{"rates", fmt.Sprintf("are %d: give at most %d", n, maxRates)})
	}
	for k, r := range i.Rates {
		name := fmt.Sprintf("rates/%d", k)
		if p := amountProblem(r.PerDay); p != "" {
			found = append(found, Problem{name, p})
		} else if r.PerDay.CurrencyCode() != code {
			found = append(found, Problem{name, fmt.Sprintf("is in %s, the replacement in %s: one house has one currency",
				r.PerDay.CurrencyCode(), code)})
		}
		if !r.From.valid() {
			found = append(found, Problem{name, fmt.Sprintf("%s is not a date between 1970-01-01 and 9999-12-31", r.From)})
		} else if k > 0 && !r.From.After(i.Rates[k-1].From) {
			found = append(found, Problem{name, fmt.Sprintf("starts on %s, not after the rate before it: one rate per date, earliest first", r.From)})
		}
	}
	return found
}

// amountProblem wants an amount of a known currency, not negative, of the currency's own number of decimals.
func amountProblem(a currency.Amount) string {
	if a.CurrencyCode() == "" {
		return "has no currency"
	}
	if _, err := ParseMoney(a.Number(), a.CurrencyCode()); err != nil {
		return err.Error()
	}
	return ""
}

// valid reports whether the date exists (Date's own arithmetic would move 30 February on) and has four digits of year.
func (d Date) valid() bool {
	t := time.Date(d.Year, d.Month, d.Day, 0, 0, 0, 0, time.UTC)
	return d.Year >= 1970 && d.Year <= 9999 && t.Year() == d.Year && t.Month() == d.Month && t.Day() == d.Day
}

// Validate lists every fault of the house at once.
func (h House) Validate() []Problem {
	var found []Problem
	if !slugPattern.MatchString(h.Slug) {
		found = append(found, Problem{"slug", quote(h.Slug) + ": must be " + slugRule})
	}
	if p := Text(maxName).text(h.Name); p != "" {
		found = append(found, Problem{"name", p})
	}
	if h.Currency == "" || !currency.IsValid(h.Currency) {
		found = append(found, Problem{"currency", quote(h.Currency) + ": must be an ISO 4217 code in use, as EUR"})
	}
	if _, err := time.LoadLocation(h.TimeZone); err != nil || h.TimeZone == "" || h.TimeZone == "Local" {
		found = append(found, Problem{"time_zone", quote(h.TimeZone) + ": must be an IANA zone, as Europe/Lisbon"})
	}
	return found
}

func kindNames() string {
	s := make([]string, len(kinds))
	for i, k := range kinds {
		s[i] = string(k)
	}
	return strings.Join(s, ", ")
}
