package rest

import (
	"context"
	"time"

	"kitspan/internal/catalog"
	"kitspan/internal/office"
	"kitspan/internal/phrase"
	"kitspan/internal/quote"
	"kitspan/internal/text"
)

// QuoteRequest is the body of a quote without a job that is kept: that of a plan, and a quote.
type QuoteRequest struct {
	House   *string           `json:"house,omitempty"`
	Job     *JobDraft         `json:"job,omitempty"`
	Aim     *Aim              `json:"aim,omitempty"`
	Limits  *PlanLimitsDraft  `json:"limits,omitempty"`
	Forbid  *[]string         `json:"forbid,omitempty" max_items:"200"`
	Terms   *PlanRequestTerms `json:"terms,omitempty"`
	Pool    *bool             `json:"pool,omitempty"`
	Seconds *float64          `json:"seconds,omitempty"`
	Quote   *QuoteDraft       `json:"quote,omitempty"`
}

// QuoteDraft is what is asked of a quote beside its plan.
type QuoteDraft struct {
	Customer *QuoteCustomerDraft `json:"customer,omitempty"`
	MadeAt   *string             `json:"made_at,omitempty"`
	Km       *float64            `json:"km,omitempty"`
	Trips    *int                `json:"trips,omitempty"`
	Hours    *[]QuoteHoursDraft  `json:"hours,omitempty" max_items:"400"`
	Extras   *[]QuoteExtraDraft  `json:"extras,omitempty" max_items:"200"`
	Lang     *string             `json:"lang,omitempty"`
}

// QuoteCustomerDraft is who a quote is for.
type QuoteCustomerDraft struct {
	Name    *string `json:"name,omitempty"`
	Address *string `json:"address,omitempty"`
	Percent *string `json:"percent,omitempty"`
	Insured *bool   `json:"insured,omitempty"`
}

// QuoteHoursDraft are the hours of work of a day.
type QuoteHoursDraft struct {
	Date  *string `json:"date,omitempty"`
	Hours *string `json:"hours,omitempty"`
}

// QuoteExtraDraft is what is added to the plan.
type QuoteExtraDraft struct {
	Sku      *string `json:"sku,omitempty"`
	Quantity *int    `json:"quantity,omitempty"`
	From     *string `json:"from,omitempty"`
	To       *string `json:"to,omitempty"`
	Reason   *string `json:"reason,omitempty"`
}

// QuoteJSON makes the quote of the JSON body of a quote request, and the reader whose language it asks for. What is wrong with the request
// comes back as a [*Refusal].
func (d Desk) QuoteJSON(ctx context.Context, body []byte) (*quote.Quote, text.Reader, error) {
	var req QuoteRequest
	excess, err := DecodeJSON(body, &req)
	if err != nil {
		return nil, text.Metres, err
	}
	plan := PlanRequest{House: req.House, Job: req.Job, Aim: req.Aim, Limits: req.Limits, Forbid: req.Forbid, Terms: req.Terms, Seconds: req.Seconds}
	job, faults := planDraftOf(&plan)
	quoting, unsound, err := d.TakeQuote(ctx, quoteDraftOf(job, req.Quote))
	if err != nil {
		return nil, text.Metres, err
	}
	faults = append(faults, faultsOf(unsound)...)
	if faults = append(faults, excess...); len(faults) > 0 {
		return nil, text.Metres, invalid(faults)
	}
	made, err := d.MakeQuote(ctx, quoting)
	return made, text.Metres.In(phrase.Named(quoting.Lang)), err
}

func quoteDraftOf(job office.JobDraft, in *QuoteDraft) office.QuoteDraft {
	out := office.QuoteDraft{JobDraft: job}
	if in == nil {
		return out
	}
	out.MadeAt, out.Km, out.Trips, out.Lang = in.MadeAt, in.Km, in.Trips, in.Lang
	if c := in.Customer; c != nil {
		out.Customer = office.DraftCustomer{Name: c.Name, Address: c.Address, Percent: c.Percent, Insured: c.Insured}
	}
	for _, h := range deref(in.Hours) {
		out.Hours = append(out.Hours, office.DraftHours{Date: h.Date, Hours: h.Hours})
	}
	for _, e := range deref(in.Extras) {
		out.Extras = append(out.Extras, office.DraftExtra{SKU: e.Sku, Quantity: e.Quantity, From: e.From, To: e.To, Reason: e.Reason})
	}
	return out
}

// Quote is the answer to a quote request.
type Quote struct {
	Number       *string          `json:"number"`   // null: it is kept nowhere
	Revision     *int             `json:"revision"` // likewise
	State        string           `json:"state"`
	MadeAt       time.Time        `json:"made_at"`
	ValidTo      *string          `json:"valid_to"`
	Customer     QuoteCustomer    `json:"customer"`
	Terms        *Terms           `json:"terms"`
	Lines        []QuoteLine      `json:"lines"`
	Sums         map[string]Money `json:"sums"` // by group
	Net          Money            `json:"net"`
	Taxes        []QuoteTax       `json:"taxes"`
	Total        Money            `json:"total"`
	Deposit      Money            `json:"deposit"`
	PerDay       Money            `json:"per_day"`
	ByAccount    []QuoteAccount   `json:"by_account"`
	Alternatives []struct{}       `json:"alternatives"` // a quote that is kept nowhere has none
	Notes        []Note           `json:"notes"`
	Cautions     []Caution        `json:"cautions"`
}

// QuoteCustomer is who a quote is for.
type QuoteCustomer struct {
	Name    string `json:"name"`
	Address string `json:"address"`
	Percent string `json:"percent"`
	Insured bool   `json:"insured"`
}

// QuoteLine is a row of a quote.
type QuoteLine struct {
	Line        int      `json:"line"`
	Group       string   `json:"group"`
	Sku         *string  `json:"sku"`
	Name        string   `json:"name"`
	Account     string   `json:"account"`
	Quantity    int      `json:"quantity"`
	From        *string  `json:"from"`
	To          *string  `json:"to"`
	ChargedDays *int     `json:"charged_days"`
	Rate        *Money   `json:"rate"`
	Percent     *string  `json:"percent"`
	Amount      Money    `json:"amount"`
	TaxCode     *string  `json:"tax_code"`
	Shots       []string `json:"shots"`
	Of          *int     `json:"of"`
	Why         string   `json:"why"`
}

// QuoteTax is the tax of one code.
type QuoteTax struct {
	Code    string `json:"code"`
	Base    Money  `json:"base"`
	Percent string `json:"percent"`
	Amount  Money  `json:"amount"`
}

// QuoteAccount is what the lines of a budget code come to, taxes left out.
type QuoteAccount struct {
	Account string `json:"account"`
	Amount  Money  `json:"amount"`
}

// stateDraft is the state of a quote that nobody was sent.
const stateDraft = "draft"

// MadeQuoteJSON returns the response's body for a quote that is kept nowhere, in the reader's language.
func MadeQuoteJSON(to text.Reader, q *quote.Quote) ([]byte, error) {
	p := printer{to: to}
	amount := func(minor int64) Money { return money(q.Money(minor)) }
	out := Quote{
		State: stateDraft, MadeAt: q.MadeAt, Customer: QuoteCustomer{q.Customer.Name, q.Customer.Address, q.Customer.Percent.String(), q.Customer.Insured},
		Terms: termsJSON(q.Terms), Lines: make([]QuoteLine, len(q.Lines)), Sums: map[string]Money{}, Net: amount(q.NetMinor), Taxes: make([]QuoteTax, len(q.Taxes)),
		Total: amount(q.TotalMinor), Deposit: amount(q.DepositMinor), PerDay: amount(q.PerDayMinor), ByAccount: make([]QuoteAccount, len(q.ByAccount)),
		Alternatives: []struct{}{}, Notes: p.notes(q.Notes), Cautions: cautionsOf(to, q.Plan.Cautions),
	}
	if q.ValidTo != (catalog.Date{}) {
		out.ValidTo = new(q.ValidTo.String())
	}
	for i := range q.Lines {
		out.Lines[i] = quoteLine(to, q, &q.Lines[i])
	}
	for _, g := range q.ByGroup {
		out.Sums[string(g.Group)] = amount(g.Minor)
	}
	for i, t := range q.Taxes {
		out.Taxes[i] = QuoteTax{Code: t.Code, Base: amount(t.BaseMinor), Percent: t.Percent.String(), Amount: amount(t.Minor)}
	}
	for i, a := range q.ByAccount {
		out.ByAccount[i] = QuoteAccount{Account: a.Account, Amount: amount(a.Minor)}
	}
	return line(out)
}

func quoteLine(to text.Reader, q *quote.Quote, l *quote.Line) QuoteLine {
	out := QuoteLine{
		Line: l.Number, Group: string(l.Group), Name: text.QuoteLineName(to, l), Account: l.Account, Quantity: l.Quantity, Amount: money(q.Money(l.AmountMinor)),
		Shots: list(l.Shots), Why: text.QuoteWhy(to, q, l),
	}
	if l.SKU != "" {
		out.Sku = &l.SKU
	}
	if l.From != (catalog.Date{}) {
		out.From, out.To = new(l.From.String()), new(l.To.String())
	}
	if l.ChargedDays > 0 {
		out.ChargedDays = &l.ChargedDays
	}
	if l.RateMinor != nil {
		rate := money(q.Money(*l.RateMinor))
		out.Rate = &rate
	}
	if l.Percent != nil {
		out.Percent = new(l.Percent.String())
	}
	if l.TaxCode != "" {
		out.TaxCode = &l.TaxCode
	}
	if l.Of > 0 {
		out.Of = &l.Of
	}
	return out
}
