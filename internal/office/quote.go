package office

import (
	"context"
	"fmt"
	"slices"
	"strconv"
	"time"
	"unicode"
	"unicode/utf8"

	"kitspan/internal/catalog"
	"kitspan/internal/fault"
	"kitspan/internal/job"
	"kitspan/internal/phrase"
	"kitspan/internal/price"
	"kitspan/internal/quote"
)

// QuoteDraft is a quote as it was asked for: a plan, and what is said besides.
type QuoteDraft struct {
	JobDraft
	Customer DraftCustomer
	MadeAt   *string
	Km       *float64
	Trips    *int
	Hours    []DraftHours
	Extras   []DraftExtra
	Lang     *string
}

// DraftCustomer is who a quote is for.
type DraftCustomer struct {
	Name, Address, Percent *string
	Insured                *bool
}

// DraftHours are the hours of work of a day.
type DraftHours struct{ Date, Hours *string }

// DraftExtra is what is added to the plan.
type DraftExtra struct {
	SKU              *string
	Quantity         *int
	From, To, Reason *string
}

// Quoting is a quote ready to be made.
type Quoting struct {
	Planning
	Quote quote.Request
	Lang  string
}

// How much a quote may hold, and how long its texts may be; common practice, no source.
const (
	mostExtras   = 200
	mostQuantity = 1000
	mostTrips    = 1000
	mostKm       = 20_000
	longestLine  = 400
	longestPost  = 1000
)

// TakeQuote reads what is asked of a quote against a house, as [Office.TakeJob] does. Where the request names no terms, those of the house are taken.
func (o Office) TakeQuote(ctx context.Context, d QuoteDraft) (Quoting, []fault.Fault, error) {
	if d.Terms == nil {
		d.Terms = new(TermsHouse)
	}
	p, faults, err := o.TakeJob(ctx, d.JobDraft)
	if err != nil {
		return Quoting{}, nil, err
	}
	r := quoteReader{now: o.Now, faults: faults}
	r.out.Planning = p
	if p.Stock == nil { // the days of the hire and the stock are needed for what follows, and other faults stand in front
		r.job, _ = d.Job.Resolve()
		r.stock, _, err = o.stock(ctx, d.House)
		if err != nil {
			return Quoting{}, nil, err
		}
	} else {
		r.job, r.stock = p.Job, p.Stock
	}
	r.customer(&d.Customer)
	r.said(&d)
	r.hours(d.Hours)
	r.extras(d.Extras)
	if len(r.faults) > 0 {
		return Quoting{}, r.faults, nil
	}
	return r.out, nil, nil
}

// MakeQuote plans the job and prices the plan. Its errors are those of [Office.PlanJob], and [price.ErrTooMuch].
func (o Office) MakeQuote(ctx context.Context, q Quoting) (*quote.Quote, error) {
	plan, err := o.PlanJob(ctx, q.Planning)
	if err != nil {
		return nil, err
	}
	made, err := quote.Make(plan, q.Stock, &q.Quote)
	if err != nil {
		return nil, fmt.Errorf("quote a job from house %s: %w", q.Stock.House.Slug, err)
	}
	return made, nil
}

// quoteReader reads a draft of a quote.
type quoteReader struct {
	now    func() time.Time
	job    job.Job
	stock  *catalog.Snapshot // nil where the house is not known
	out    Quoting
	faults []fault.Fault
}

func (r *quoteReader) fault(pointer string, kind fault.Kind) {
	r.faults = append(r.faults, fault.Fault{Pointer: "/quote" + pointer, Kind: kind})
}

func (r *quoteReader) customer(d *DraftCustomer) {
	b := &r.out.Quote.Buyer
	b.Name, b.Address = r.words("/customer/name", d.Name, longestLine), r.words("/customer/address", d.Address, longestPost)
	b.Percent = r.decimal("/customer/percent", d.Percent, 100)
	b.Insured = d.Insured != nil && *d.Insured
}

// said reads what stands in the quote itself.
func (r *quoteReader) said(d *QuoteDraft) {
	q := &r.out.Quote
	q.MadeAt = r.now().UTC().Truncate(time.Second)
	if s := d.MadeAt; s != nil {
		at, err := time.Parse(time.RFC3339, *s)
		if err != nil {
			r.fault("/made_at", fault.NotAnInstant{Got: cut(*s)})
		}
		q.MadeAt = at
	}
	if km := d.Km; km != nil {
		within := fault.Range{Most: mostKm, Unit: "km"}
		if !(*km >= 0 && *km <= mostKm) {
			r.fault("/km", fault.OutOfRange{Got: *km, Range: within})
		} else {
			q.Km, _ = price.ParseDecimal(strconv.FormatFloat(*km, 'f', 4, 64)) // to the decimetre
		}
	}
	if n := d.Trips; n != nil {
		if q.Trips = *n; *n < 0 || *n > mostTrips {
			r.fault("/trips", fault.OutOfRange{Got: float64(*n), Range: fault.Range{Most: mostTrips}})
		}
	}
	r.out.Lang = phrase.English.Tag()
	if s := d.Lang; s != nil {
		if r.out.Lang = *s; phrase.Named(*s) == nil {
			var words []string
			for _, l := range phrase.All() {
				words = append(words, l.Tag())
			}
			r.fault("/lang", fault.NotOneOf{Got: cut(*s), Words: words})
		}
	}
}

func (r *quoteReader) hours(list []DraftHours) {
	r.out.Quote.Hours = map[catalog.Date]price.Decimal{}
	first := map[catalog.Date]string{}
	for i, h := range list {
		at := fmt.Sprintf("/hours/%d", i)
		if h.Hours == nil {
			r.fault(at+"/hours", fault.NotADecimal{Most: 24})
		}
		hours := r.decimal(at+"/hours", h.Hours, 24)
		day, ok := r.day(at+"/date", h.Date, nil)
		if before, twice := first[day]; ok && twice {
			r.fault(at+"/date", fault.Repeated{Got: day.String(), First: before})
		} else if ok {
			first[day] = "/quote" + at + "/date"
			r.out.Quote.Hours[day] = hours
		}
	}
}

func (r *quoteReader) extras(list []DraftExtra) {
	if len(list) > mostExtras {
		r.fault("/extras", fault.TooMany{Count: len(list), Most: mostExtras})
		return
	}
	for i, d := range list {
		at := fmt.Sprintf("/extras/%d", i)
		e := quote.Extra{Reason: r.words(at+"/reason", d.Reason, longestLine)}
		if q := d.Quantity; q == nil {
			r.fault(at+"/quantity", fault.Missing{Want: fault.WantInteger, Range: &fault.Range{Least: 1, Most: mostQuantity}})
		} else if e.Quantity = *q; *q < 1 || *q > mostQuantity {
			r.fault(at+"/quantity", fault.OutOfRange{Got: float64(*q), Range: fault.Range{Least: 1, Most: mostQuantity}})
		}
		from, sound := r.day(at+"/from", d.From, &r.job.From)
		to, ok := r.day(at+"/to", d.To, &r.job.To)
		if e.From, e.To = from, to; from.After(to) && sound && ok {
			r.fault(at+"/to", fault.HireBackwards{From: from.String(), To: to.String()})
			ok = false
		}
		r.extra(at+"/sku", &e, d.SKU, sound && ok)
	}
}

// extra finds the item and its rates; dated means that the days are sound.
func (r *quoteReader) extra(at string, e *quote.Extra, sku *string, dated bool) {
	if sku == nil || *sku == "" {
		r.fault(at, fault.Missing{Want: fault.WantText})
		return
	}
	if r.stock == nil {
		return
	}
	if e.Item = r.stock.Item(*sku); e.Item == nil {
		r.fault(at, fault.UnknownItem{Got: cut(*sku), House: r.stock.House.Slug})
		return
	}
	same := func(o quote.Extra) bool { return o.Item == e.Item && o.From == e.From && o.To == e.To }
	if first := slices.IndexFunc(r.out.Quote.Extras, same); first >= 0 && dated {
		r.fault(at, fault.Repeated{Got: *sku, First: fmt.Sprintf("/quote/extras/%d/sku", first)})
	}
	for day := e.From; dated && r.out.Prices != nil && !day.After(e.To); day = dayAfter(day) {
		rate, ok := r.out.Prices(day).Minor([]catalog.Count{{SKU: *sku, Quantity: 1}})
		if !ok {
			r.fault(at, fault.NoRateOn{Got: *sku, Date: day.String()})
			break
		}
		e.RateMinor = append(e.RateMinor, rate)
	}
	r.out.Quote.Extras = append(r.out.Quote.Extras, *e)
}

func dayAfter(d catalog.Date) catalog.Date {
	t := time.Date(d.Year, d.Month, d.Day+1, 0, 0, 0, 0, time.UTC)
	return catalog.Date{Year: t.Year(), Month: t.Month(), Day: t.Day()}
}

// day is a day of the hire; otherwise is what it is where it was left out, nil where it may not be.
func (r *quoteReader) day(at string, s *string, otherwise *catalog.Date) (catalog.Date, bool) {
	if s == nil {
		if otherwise == nil {
			r.fault(at, fault.Missing{Want: fault.WantDate})
			return catalog.Date{}, false
		}
		return *otherwise, *otherwise != catalog.Date{}
	}
	day, err := catalog.ParseDate(*s)
	from, to := r.job.From, r.job.To
	switch {
	case err != nil:
		r.fault(at, fault.NotADate{Got: cut(*s)})
		return day, false
	case from == catalog.Date{}: // the days of the hire are the fault
		return day, false
	case from.After(day) || day.After(to):
		r.fault(at, fault.OutsideHire{Date: day.String(), From: from.String(), To: to.String()})
		return day, false
	}
	return day, true
}

func (r *quoteReader) decimal(at string, s *string, most int) price.Decimal {
	if s == nil {
		return price.Decimal{}
	}
	d, err := price.ParseDecimal(*s)
	if err != nil || d.Cmp(price.WholeDecimal(most)) > 0 {
		r.fault(at, fault.NotADecimal{Got: cut(*s), Most: most})
	}
	return d
}

// words reads a text for people, which may have several lines.
func (r *quoteReader) words(at string, s *string, longest int) string {
	if s == nil {
		return ""
	}
	if n := utf8.RuneCountInString(*s); n > longest {
		r.fault(at, fault.TooLong{Characters: n, Most: longest})
	}
	for _, c := range *s {
		if !unicode.IsPrint(c) && c != '\n' {
			r.fault(at, fault.Unprintable{Character: fmt.Sprintf("%U", c)})
			break
		}
	}
	return *s
}
