package catalog

import (
	"fmt"
	"strings"

	"github.com/bojanz/currency"
)

// Fields returns everything of an item that people read and change as texts, in the order of its file's columns: what all
// items have, the attributes of its kind ([Spec.Fields]), and money in the currency of a code. SKU and kind say which item
// it is and are not among them.
func (i *Item) Fields(code string) []Field {
	common := i.itemFields()
	at := len(common) - 1 // the account comes after the replacement
	fields := append(common[:at:at], Field{Name: "replacement", Value: amountField{&i.Replacement, code}, Means: "what a lost one costs"}, common[at])
	fields = append(fields, i.Spec.Fields()...)
	return append(fields, Field{Name: "rates", Value: ratesField{&i.Rates, code}, Means: "per day from a date on"})
}

// Edit sets the item's fields to what people said of each, by its name, spaces around it left out. The problems are those
// of texts that say nothing, whose fields are left as they were, and of [Item.Validate].
func (i *Item) Edit(house House, said func(field string) string) []Problem {
	return i.edit(house.Currency, said)
}

// edit is [Item.Edit] in the currency of a code; where that is empty, money is not looked at.
func (i *Item) edit(code string, said func(field string) string) []Problem {
	var found []Problem
	unread := map[string]bool{}
	for _, f := range i.Fields(code) {
		if code == "" && f.isMoney() {
			unread[f.Name] = true
			continue
		}
		if err := f.Parse(strings.TrimSpace(said(f.Name))); err != nil {
			found = append(found, Problem{f.Name, err.Error()})
			unread[f.Name] = true
		}
	}
	wrong := len(found) > 0
	if unread["replacement"] && code != "" && i.Replacement.CurrencyCode() == "" {
		i.Replacement, _ = currency.NewAmount("0", code) // else every rate would be in another currency; the code is a house's
	}
	for _, p := range i.Validate() {
		p.Field, _, _ = strings.Cut(p.Field, "/") // one rate of several
		if !unread[p.Field] && (!wrong || !i.contradicts(p)) {
			found = append(found, p)
		}
	}
	return found
}

// contradicts reports whether a problem is not one of the field's own value: beside texts that say nothing it may come from
// the value that stands in for one of them.
func (i *Item) contradicts(p Problem) bool {
	for _, f := range i.Spec.Fields() {
		if f.Name == p.Field {
			return f.Problem() == ""
		}
	}
	return false
}

// amountField is the value of a field that is an amount of money.
type amountField struct {
	amount *currency.Amount
	code   string
}

func (a amountField) format() string { return a.amount.Number() }

func (a amountField) parse(s string) error {
	amount, err := ParseMoney(padMoney(s, a.code), a.code)
	if err == nil {
		*a.amount = amount
	}
	return err
}

// ratesField is the value of a field that is a list of rates: "2026-01-01=12.00;2027-01-01=13.00", earliest first. No text
// is an item without a price.
type ratesField struct {
	rates *[]Rate
	code  string
}

func (r ratesField) format() string {
	var b strings.Builder
	for i, rate := range *r.rates {
		if i > 0 {
			b.WriteByte(';')
		}
		b.WriteString(rate.From.String())
		b.WriteByte('=')
		b.WriteString(rate.PerDay.Number())
	}
	return b.String()
}

func (r ratesField) parse(s string) error {
	if s == "" {
		*r.rates = nil
		return nil
	}
	var rates []Rate
	for part := range strings.SplitSeq(s, ";") {
		day, amount, ok := strings.Cut(strings.TrimSpace(part), "=")
		if !ok {
			return fmt.Errorf("%s: write date=amount, several separated by ';', as 2026-01-01=12.00;2027-01-01=13.00", quote(part))
		}
		from, err := ParseDate(strings.TrimSpace(day))
		if err != nil {
			return fmt.Errorf("%s is not a date: write YYYY-MM-DD", quote(day))
		}
		perDay, err := ParseMoney(padMoney(strings.TrimSpace(amount), r.code), r.code)
		if err != nil {
			return err
		}
		rates = append(rates, Rate{from, perDay})
	}
	*r.rates = rates
	return nil
}
