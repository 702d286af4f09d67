package text

import (
	"io"
	"strings"

	"kitspan/internal/catalog"
	"kitspan/internal/quote"
)

// WriteQuote prints a quote: what it comes to, its lines by group with why, taxes, and the conditions. An error is w's.
func WriteQuote(w io.Writer, to Reader, q *quote.Quote) error {
	p := printer{to: to}
	p.quoteHead(q)
	p.quoteSums(q)
	for _, g := range q.ByGroup {
		p.quoteGroup(q, g)
	}
	p.quoteAccounts(q)
	if len(q.Notes) > 0 {
		p.line("", "")
		p.say("", "To be known:")
		for _, n := range q.Notes {
			p.line("  - ", Note(to, n))
		}
	}
	p.clashes(q.Plan)
	if q.Terms != nil && q.Terms.Conditions != "" {
		p.line("", "")
		p.say("", "Conditions:")
		for line := range strings.Lines(q.Terms.Conditions) {
			p.line("   ", line)
		}
	}
	p.cautions(q.Plan.Cautions)
	return p.writeTo(w)
}

func (p *printer) quoteHead(q *quote.Quote) {
	to := p.to
	p.say("", "Quote for %s by %s, %s to %s, made %s.", q.Plan.Job.Name, q.House.Name, q.Plan.Job.From.String(), q.Plan.Job.To.String(), q.MadeAt.Format("2006-01-02"))
	if q.ValidTo != (catalog.Date{}) {
		p.say("", "It may be accepted until %s.", q.ValidTo.String())
	}
	if c := &q.Customer; c.Name != "" {
		p.say("", "For %s.", strings.Join(strings.Fields(c.Name+" "+c.Address), " "))
	}
	p.say("", "It comes to %s, %s without tax: %s a day over %d days.", to.money(q.Money(q.TotalMinor)), to.amount(q.Money(q.NetMinor)), to.money(q.Money(q.PerDayMinor)), q.Days)
	if q.DepositMinor > 0 {
		p.say("", "A deposit of %s is due on acceptance.", to.money(q.Money(q.DepositMinor)))
	}
	for _, n := range q.Plan.Broken {
		p.line("! ", Note(to, n))
	}
}

// quoteSums prints what each group comes to, the taxes, and the total.
func (p *printer) quoteSums(q *quote.Quote) {
	to := p.to
	var names, amounts []string
	add := func(name string, minor int64) {
		names, amounts = append(names, name), append(amounts, to.amount(q.Money(minor)))
	}
	for _, g := range q.ByGroup {
		add(QuoteGroup(to, g.Group), g.Minor)
	}
	add(to.say("quote|Without tax"), q.NetMinor)
	for _, t := range q.Taxes {
		add(to.say("Tax %s, %s %% of %s", t.Code, to.decimalText(t.Percent), to.amount(q.Money(t.BaseMinor))), t.Minor)
	}
	add(to.say("quote|Total with tax"), q.TotalMinor)
	wide, long := 0, 0
	for i := range names {
		wide, long = max(wide, columns(names[i])), max(long, columns(amounts[i]))
	}
	p.line("", "")
	for i := range names {
		p.row("   %s%s  %*s", names[i], strings.Repeat(" ", wide-columns(names[i])), long, amounts[i])
	}
}

func (p *printer) quoteGroup(q *quote.Quote, g quote.GroupSum) {
	to := p.to
	p.line("", "")
	p.line("", QuoteGroup(to, g.Group)+": "+to.amount(q.Money(g.Minor)))
	for i := range q.Lines {
		l := &q.Lines[i]
		if l.Group != g.Group {
			continue
		}
		says := to.say("%d. %s", l.Number, QuoteLineName(to, l))
		if l.SKU != "" {
			says += " (" + l.SKU + ")"
		}
		if l.Of > 0 {
			says += ", " + to.say("of line %d", l.Of)
		} else if l.From != (catalog.Date{}) {
			says += ", " + quoteDays(to, l)
		}
		says += ": " + QuoteWhy(to, q, l) + ": " + to.amount(q.Money(l.AmountMinor))
		if l.Of == 0 && len(l.Shots) > 0 && g.Group == quote.Hire {
			says += ". " + to.count("Shot %s", "Shots %s", len(l.Shots), strings.Join(l.Shots, ", "))
		}
		p.line("   ", says)
	}
}

func quoteDays(to Reader, l *quote.Line) string {
	if l.From == l.To {
		return l.From.String()
	}
	return to.say("quote|%s to %s", l.From.String(), l.To.String())
}

func (p *printer) quoteAccounts(q *quote.Quote) {
	p.line("", "")
	p.say("", "By account, without tax:")
	for _, a := range q.ByAccount {
		code := a.Account
		if code == "" {
			code = "-"
		}
		p.line("   ", code+": "+p.to.amount(q.Money(a.Minor)))
	}
}
