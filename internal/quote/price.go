package quote

import (
	"cmp"
	"slices"
	"strings"
	"time"

	"kitspan/internal/catalog"
	"kitspan/internal/price"
	"kitspan/internal/terms"
)

// Asked is what is to be priced.
type Asked struct {
	Terms    *terms.Terms
	From, To catalog.Date // of the hire
	// Hire are items by the day, Sales what is sold, Labour people of one day, Transport vehicles and drivers of one day; each in the order of
	// its lines.
	Hire, Sales, Labour, Transport []Piece
	CustomerPercent                price.Decimal
	Insured                        bool
	Km                             price.Decimal
	Trips                          int
	Hours                          map[catalog.Date]price.Decimal // worked; a day that is left out has no overtime
}

// Piece is so many of an item at a rate.
type Piece struct {
	SKU, Name, Account string
	Quantity           int
	From, To           catalog.Date
	RateMinor          int64
	HoursPerDay        price.Decimal // that a day's rate of people is for; 0 for any
	Shots              []string
	Reason             string // of what was added to a plan
}

// Price computes a quote by the table of steps. Its error is [price.ErrTooMuch].
func Price(a Asked) (Sums, error) {
	c := computer{a: &a, by: a.Terms}
	for _, step := range []func() error{c.hire, c.longHire, c.packages, c.customer, c.minimum, c.waiver, c.sales, c.labour, c.transport, c.delivery, c.sum} {
		if err := step(); err != nil {
			return Sums{}, err
		}
	}
	return c.out, nil
}

type computer struct {
	a     *Asked
	by    *terms.Terms
	out   Sums
	hired []int64 // what is left of each line of hire
}

// add appends a line, with its number and the code of its tax.
func (c *computer) add(l Line) {
	l.Number = len(c.out.Lines) + 1
	if tax := c.by.TaxOn(l.Group.category()); tax != nil {
		l.TaxCode = tax.Code
	}
	c.out.Lines = append(c.out.Lines, l)
}

// of is a line of a piece.
func (p *Piece) of(g Group, amount int64, why Why) Line {
	return Line{Group: g, SKU: p.SKU, Name: p.Name, Account: p.Account, Quantity: p.Quantity, From: p.From, To: p.To, RateMinor: &p.RateMinor, AmountMinor: amount, Shots: p.Shots, Why: why}
}

func (c *computer) hire() error {
	for i := range c.a.Hire {
		p := &c.a.Hire[i]
		days := daysFrom(p.From, p.To) + 1
		charged := c.by.Charged(days)
		amount, err := price.Product(p.RateMinor, p.Quantity, charged)
		if err != nil {
			return err
		}
		l := p.of(Hire, amount, OfHire{p.Quantity, p.RateMinor, charged, days, p.Reason})
		l.ChargedDays = charged
		c.add(l)
		c.hired = append(c.hired, amount)
	}
	return nil
}

// off takes a discount off a line of hire, where it comes to anything.
func (c *computer) off(g Group, i int, percent price.Decimal, amount int64, why Why) {
	if amount == 0 {
		return
	}
	c.hired[i] -= amount
	p, line := &c.a.Hire[i], &c.out.Lines[i] // the lines of hire come first
	c.add(Line{Group: g, SKU: p.SKU, Name: p.Name, Account: p.Account, Quantity: p.Quantity, From: p.From, To: p.To, ChargedDays: line.ChargedDays, Percent: &percent,
		AmountMinor: -amount, Shots: p.Shots, Of: line.Number, Why: why})
}

func (c *computer) longHire() error {
	for i := range c.a.Hire {
		step := c.by.LongHireOf(c.out.Lines[i].ChargedDays)
		if step == nil {
			continue
		}
		amount, err := step.Percent.Percent(c.hired[i], 1, 1)
		if err != nil {
			return err
		}
		c.off(LongHire, i, step.Percent, amount, OfLongHire{step.Percent, c.hired[i], step.FromChargedDays})
	}
	return nil
}

func (c *computer) packages() error {
	uses, err := bestUses(c.by.Packages, c.a.Hire, c.hired)
	if err != nil {
		return err
	}
	type part struct{ use, item int }
	byLine := map[int]part{}
	for u := range uses {
		for k, line := range uses[u].lines {
			byLine[line] = part{u, k}
		}
	}
	for i := range c.a.Hire {
		at, in := byLine[i]
		if !in {
			continue
		}
		u := &uses[at.use]
		p := &c.by.Packages[u.pack]
		units := u.sets * p.Items[at.item].Quantity
		c.off(Package, i, p.Percent, u.off[at.item], OfPackage{p.Label, p.Percent, c.hired[i], u.sets, units, c.a.Hire[i].Quantity})
	}
	return nil
}

func (c *computer) customer() error {
	for i := range c.a.Hire {
		amount, err := c.a.CustomerPercent.Percent(c.hired[i], 1, 1)
		if err != nil {
			return err
		}
		c.off(Customer, i, c.a.CustomerPercent, amount, OfCustomer{c.a.CustomerPercent, c.hired[i]})
	}
	return nil
}

func (c *computer) minimum() error {
	sum, err := price.Sum(c.hired...)
	if err != nil || len(c.hired) == 0 {
		return err
	}
	least, err := c.by.MinimumHire.Int64()
	if err != nil {
		return price.ErrTooMuch
	}
	if sum < least {
		c.add(Line{Group: Minimum, Account: c.by.Accounts.Minimum, Quantity: 1, AmountMinor: least - sum, Why: OfMinimum{least, sum}})
		c.hired = append(c.hired, least-sum)
	}
	return nil
}

func (c *computer) waiver() error {
	hire, err := price.Sum(c.hired...)
	if err != nil || c.a.Insured {
		return err
	}
	percent := c.by.WaiverPercent
	amount, err := percent.Percent(hire, 1, 1)
	if err == nil && amount > 0 {
		c.add(Line{Group: Waiver, Account: c.by.Accounts.Waiver, Quantity: 1, Percent: &percent, AmountMinor: amount, Why: OfWaiver{percent, hire}})
	}
	return err
}

func (c *computer) sales() error {
	for i := range c.a.Sales {
		p := &c.a.Sales[i]
		amount, err := price.Product(p.RateMinor, p.Quantity)
		if err != nil {
			return err
		}
		l := p.of(Sale, amount, OfSale{p.Quantity, p.RateMinor, p.Reason})
		l.From, l.To = catalog.Date{}, catalog.Date{}
		c.add(l)
	}
	return nil
}

func (c *computer) labour() error {
	for i := range c.a.Labour {
		p := &c.a.Labour[i]
		amount, err := price.Product(p.RateMinor, p.Quantity)
		if err != nil {
			return err
		}
		why := OfLabour{Quantity: p.Quantity, RateMinor: p.RateMinor, HoursPerDay: p.HoursPerDay, Reason: p.Reason}
		if hours, said := c.a.Hours[p.From]; said && !p.HoursPerDay.IsZero() {
			why.Hours = &hours
			var factors price.Decimal
			factors, why.Overtime = c.overtime(hours, p.HoursPerDay)
			over, err := p.HoursPerDay.Over(factors, amount)
			if err != nil {
				return err
			}
			if amount, err = price.Sum(amount, over); err != nil {
				return err
			}
		}
		c.add(p.of(Labour, amount, why))
	}
	return nil
}

// overtime returns the factors of the hours begun beyond those of a day, added up, and how many there are at each.
func (c *computer) overtime(hours, perDay price.Decimal) (factors price.Decimal, list []Overtime) {
	for k := range hours.Minus(perDay).Up() {
		times := c.by.OvertimeAt(perDay.Plus(price.WholeDecimal(k)))
		factors = factors.Plus(times)
		if n := len(list); n > 0 && list[n-1].Times == times {
			list[n-1].Hours++
		} else {
			list = append(list, Overtime{1, times})
		}
	}
	return factors, list
}

func (c *computer) transport() error {
	for i := range c.a.Transport {
		p := &c.a.Transport[i]
		amount, err := price.Product(p.RateMinor, p.Quantity)
		if err != nil {
			return err
		}
		c.add(p.of(Transport, amount, OfVehicle{p.Quantity, p.RateMinor, p.Reason}))
	}
	return nil
}

func (c *computer) delivery() error {
	rate, err := c.by.KmRate.Int64()
	if err != nil {
		return price.ErrTooMuch
	}
	trips, err := price.Product(rate, c.a.Trips)
	if err != nil {
		return err
	}
	amount, err := c.a.Km.Times(trips)
	if err == nil && amount > 0 {
		c.add(Line{Group: Delivery, Account: c.by.Accounts.Delivery, Quantity: c.a.Trips, RateMinor: &rate, AmountMinor: amount, Why: OfDelivery{c.a.Km, rate, c.a.Trips}})
	}
	return err
}

// sum adds up what the lines come to.
func (c *computer) sum() (err error) {
	s := &c.out
	add := func(to *int64, minor int64) {
		if err == nil {
			*to, err = price.Sum(*to, minor)
		}
	}
	groups, codes, accounts := map[Group]*int64{}, map[string]*int64{}, map[string]*int64{}
	for i := range s.Lines {
		l := &s.Lines[i]
		into(groups, l.Group, l.AmountMinor, add)
		into(codes, l.TaxCode, l.AmountMinor, add)
		into(accounts, l.Account, l.AmountMinor, add)
		add(&s.NetMinor, l.AmountMinor)
	}
	s.TotalMinor = s.NetMinor
	for _, g := range Groups() {
		if sum := groups[g]; sum != nil {
			s.ByGroup = append(s.ByGroup, GroupSum{g, *sum})
		}
	}
	for _, t := range c.by.Taxes {
		base := codes[t.Code]
		if base == nil || err != nil {
			continue
		}
		tax, wrong := t.Percent.Percent(*base, 1, 1)
		if err = wrong; err == nil {
			s.Taxes = append(s.Taxes, TaxSum{t.Code, t.Percent, *base, tax})
			add(&s.TotalMinor, tax)
		}
	}
	for account, sum := range accounts {
		s.ByAccount = append(s.ByAccount, AccountSum{account, *sum})
	}
	slices.SortFunc(s.ByAccount, func(a, b AccountSum) int { return strings.Compare(a.Account, b.Account) })
	if err == nil {
		s.DepositMinor, err = c.by.DepositPercent.Percent(s.TotalMinor, 1, 1)
	}
	if err == nil {
		s.Days = daysFrom(c.a.From, c.a.To) + 1
		s.PerDayMinor, err = price.Share(s.TotalMinor, s.Days)
	}
	return err
}

// into adds to the sum of a key.
func into[K cmp.Ordered](sums map[K]*int64, key K, minor int64, add func(*int64, int64)) {
	if sums[key] == nil {
		sums[key] = new(int64)
	}
	add(sums[key], minor)
}

func daysFrom(a, b catalog.Date) int {
	at := func(d catalog.Date) time.Time { return time.Date(d.Year, d.Month, d.Day, 0, 0, 0, 0, time.UTC) }
	return int(at(b).Sub(at(a)) / (24 * time.Hour))
}
