package text

import (
	"strconv"
	"strings"

	"kitspan/internal/phrase"
	"kitspan/internal/price"
	"kitspan/internal/quote"
)

// quoteGroups are the words for groups of lines.
var quoteGroups = map[quote.Group]phrase.Key{
	quote.Hire: "quote|Hire", quote.LongHire: "quote|Long hire", quote.Package: "quote|Packages", quote.Customer: "quote|Customer's discount",
	quote.Minimum: "quote|Minimum hire", quote.Waiver: "quote|Damage waiver", quote.Sale: "quote|Sales", quote.Labour: "quote|People",
	quote.Transport: "quote|Transport", quote.Delivery: "quote|Kilometres",
}

// QuoteGroup names a group of lines.
func QuoteGroup(to Reader, g quote.Group) string { return to.say(quoteGroups[g]) }

// QuoteLineName is the name of the line's item, and the words for the group where it is of none.
func QuoteLineName(to Reader, l *quote.Line) string {
	if l.Name == "" {
		return QuoteGroup(to, l.Group)
	}
	return l.Name
}

// decimalText is a decimal number as the reader writes it.
func (to Reader) decimalText(d price.Decimal) string { return to.language.Number(d.String()) }

// QuoteWhy says why a line's amount is what it is: the formula with its numbers.
func QuoteWhy(to Reader, q *quote.Quote, l *quote.Line) string {
	money := func(minor int64) string { return to.amount(q.Money(minor)) }
	switch w := l.Why.(type) {
	case quote.OfHire:
		return reasoned(to.count("%d × %s × %d charged day of %d", "%d × %s × %d charged days of %d", w.ChargedDays, w.Quantity, money(w.RateMinor), w.ChargedDays, w.Days), w.Reason)
	case quote.OfLongHire:
		return to.say("%s %% of %s, from %d charged days on", to.decimalText(w.Percent), money(w.BaseMinor), w.FromChargedDays)
	case quote.OfPackage:
		return to.say("%s: %s %% of %s, for %d of %d in a set", w.Label, to.decimalText(w.Percent), money(w.BaseMinor), w.Units, w.Quantity)
	case quote.OfCustomer:
		return to.say("%s %% of %s for the customer", to.decimalText(w.Percent), money(w.BaseMinor))
	case quote.OfMinimum:
		return to.say("hire of %s, topped up to the minimum of %s", money(w.HireMinor), money(w.MinimumMinor))
	case quote.OfWaiver:
		return to.say("%s %% of the hire of %s", to.decimalText(w.Percent), money(w.BaseMinor))
	case quote.OfSale:
		return reasoned(to.say("%d × %s, sold", w.Quantity, money(w.RateMinor)), w.Reason)
	case quote.OfLabour:
		return reasoned(labourWhy(to, w, money), w.Reason)
	case quote.OfVehicle:
		return reasoned(to.say("%d × %s for the day", w.Quantity, money(w.RateMinor)), w.Reason)
	case quote.OfDelivery:
		return to.say("%s km × %s × %d trips", to.decimalText(w.Km), money(w.RateMinor), w.Trips)
	}
	return ""
}

func labourWhy(to Reader, w quote.OfLabour, money func(int64) string) string {
	day := to.say("%d × %s for the day", w.Quantity, money(w.RateMinor))
	if len(w.Overtime) == 0 {
		return day
	}
	hours := make([]string, len(w.Overtime))
	for i, o := range w.Overtime {
		hours[i] = strconv.Itoa(o.Hours) + " h × " + to.decimalText(o.Times)
	}
	return to.say("%s of %s h; of %s h worked, begun beyond it: %s, each hour a day's rate divided by %s", day, to.decimalText(w.HoursPerDay), to.decimalText(*w.Hours),
		strings.Join(hours, " + "), to.decimalText(w.HoursPerDay))
}

// reasoned is a formula with the reason why the line was added.
func reasoned(formula, reason string) string {
	if reason == "" {
		return formula
	}
	return formula + " (" + reason + ")"
}
