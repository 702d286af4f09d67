package rest

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"errors"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"kitspan/internal/catalog"
	"kitspan/internal/fault"
	"kitspan/internal/terms"
	"kitspan/internal/text"
)

func quoteDesk() Desk {
	desk := NewDesk(catalog.Demo{}, func() time.Time { return time.Date(2027, 1, 1, 12, 0, 0, 0, time.UTC) })
	desk.Terms = terms.Demo{}
	return desk
}

// quoteBody is a shot on each of three days, with a quote.
func quoteBody(more string) []byte {
	body := string(threeDays("house"))
	return []byte(body[:len(body)-1] + `, "quote": {` + more + `}}`)
}

// quoteOf is a quote as a client reads it.
func quoteOf(t *testing.T, body []byte) (out Quote, raw []byte) {
	t.Helper()
	q, to, err := quoteDesk().QuoteJSON(t.Context(), body)
	if err != nil {
		t.Fatal(err)
	}
	if raw, err = MadeQuoteJSON(to, q); err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(raw, &out); err != nil {
		t.Fatal(err)
	}
	return out, raw
}

const anExtra = `{"sku": "NP-GRIP-HEAD", "quantity": 3, "reason": "=1+2, asked for"}`

func TestAQuoteIsThePlanAndWhatIsSaidBesides(t *testing.T) {
	plan, _, err := quoteDesk().PlanJSON(t.Context(), threeDays("house"))
	if err != nil {
		t.Fatal(err)
	}
	body := quoteBody(`"customer": {"name": "Ebb & Flow", "percent": "2.5"}, "made_at": "2027-03-01T23:30:00Z", "km": 62.5, "trips": 2, "extras": [` + anExtra + `]`)
	got, raw := quoteOf(t, body)
	if _, again := quoteOf(t, body); !bytes.Equal(raw, again) {
		t.Error("the same request makes another quote")
	}
	if got.Number != nil || got.Revision != nil || got.State != "draft" || got.Terms == nil || got.Terms.Prefix != "NP" {
		t.Errorf("number %v, revision %v, state %s, terms %+v", got.Number, got.Revision, got.State, got.Terms)
	}
	// 23:30 in Greenwich is the next day in Madrid, and 21 days on.
	if *got.ValidTo != "2027-03-23" {
		t.Errorf("valid to %s", *got.ValidTo)
	}
	hired := got.Lines[:len(plan.Kit)]
	for i, l := range hired {
		k := &plan.Kit[i]
		if *l.Sku != k.SKU || l.Quantity != k.Quantity || *l.From != k.From.String() || *l.ChargedDays != k.ChargedDays || l.Amount != money(k.Amount) || l.Group != "hire" {
			t.Errorf("line %+v of %+v", l, k)
		}
	}
	extra := got.Lines[len(plan.Kit)]
	if *extra.Sku != "NP-GRIP-HEAD" || *extra.From != "2027-06-15" || *extra.To != "2027-06-17" || *extra.ChargedDays != 2 || !strings.Contains(extra.Why, "asked for") {
		t.Errorf("the extra is %+v", extra)
	}
	for group, want := range map[string]Money{"labour": money(plan.Labour), "transport": money(plan.Transport), "delivery": {Amount: "90.00", Currency: "EUR"}} { // 62.5 × 0.72 × 2
		if got.Sums[group] != want {
			t.Errorf("%s comes to %+v, want %+v", group, got.Sums[group], want)
		}
	}
}

// No terms: every calendar day is charged, and the total is the plan's.
func TestAQuoteWithoutTermsIsThePlan(t *testing.T) {
	body := []byte(strings.Replace(string(quoteBody("")), `"terms": "house"`, `"terms": "none"`, 1))
	plan, _, err := quoteDesk().PlanJSON(t.Context(), threeDays("none"))
	if err != nil {
		t.Fatal(err)
	}
	if got, _ := quoteOf(t, body); got.Total != money(plan.Total) || got.Terms != nil || got.ValidTo != nil || len(got.Taxes) > 0 {
		t.Errorf("total %+v of a plan of %s, terms %+v", got.Total, plan.Total, got.Terms)
	}
}

func TestTermsOfAQuoteAreTheHousesUnlessSaid(t *testing.T) {
	body := []byte(strings.Replace(string(quoteBody("")), `"terms": "house", `, "", 1))
	if got, _ := quoteOf(t, body); got.Terms == nil {
		t.Error("a quote that says nothing of terms has none")
	}
}

// Plain numbers, negative ones too, ISO dates, lines that end as RFC 4180 has them, and a text that a spreadsheet would run is none to it.
func TestAQuoteAsCSVIsReadBack(t *testing.T) {
	body := quoteBody(`"customer": {"percent": "10"}, "extras": [` + anExtra + `, {"sku": "NP-CREW-HAND", "quantity": 1, "from": "2027-06-16", "to": "2027-06-17"}]`)
	q, to, err := quoteDesk().QuoteJSON(t.Context(), []byte(strings.Replace(string(body), `"number": "2"`, `"number": "=2"`, 1)))
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := WriteQuoteCSV(&b, to, q); err != nil {
		t.Fatal(err)
	}
	if n := strings.Count(b.String(), "\n"); n != strings.Count(b.String(), "\r\n") || n != len(q.Lines)+1 {
		t.Errorf("%d line breaks for %d lines", n, len(q.Lines))
	}
	rows, err := csv.NewReader(&b).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	at := map[string]int{}
	for i, name := range rows[0] {
		at[name] = i
	}
	crew, run := 0, 0
	for i, l := range q.Lines {
		row := rows[i+1]
		if row[at["amount"]] != q.Money(l.AmountMinor).Number() || row[at["currency"]] != "EUR" || row[at["group"]] != string(l.Group) || row[at["account"]] != l.Account {
			t.Errorf("row %q of %+v", row, l)
		}
		if l.Group == "customer" && !strings.HasPrefix(row[at["amount"]], "-") {
			t.Errorf("a discount of %q", row[at["amount"]])
		}
		if l.Group == "labour" && l.Shots == nil {
			crew++
		}
		if len(l.Shots) == 1 && l.Shots[0] == "=2" {
			if run++; row[at["shots"]] != "'=2" {
				t.Errorf("a cell that a spreadsheet runs: %q", row[at["shots"]])
			}
		}
	}
	if run == 0 {
		t.Error("no line is for shot =2 alone")
	}
	if crew != 2 {
		t.Errorf("%d days of extra crew", crew)
	}
}

func TestWhatIsWrongWithAQuoteIsNamed(t *testing.T) {
	for name, tc := range map[string]struct {
		quote string
		want  Fault
	}{
		"percent":            {`"customer": {"percent": "101"}`, faultAt("/quote/customer/percent", fault.NotADecimal{Got: "101", Most: 100})},
		"made_at":            {`"made_at": "yesterday"`, faultAt("/quote/made_at", fault.NotAnInstant{Got: "yesterday"})},
		"trips":              {`"trips": -1`, faultAt("/quote/trips", fault.OutOfRange{Got: -1, Range: fault.Range{Most: 1000}})},
		"hours of no day":    {`"hours": [{"date": "2027-06-30", "hours": "11"}]`, faultAt("/quote/hours/0/date", fault.OutsideHire{Date: "2027-06-30", From: "2027-06-15", To: "2027-06-17"})},
		"more hours":         {`"hours": [{"date": "2027-06-15", "hours": "24.5"}]`, faultAt("/quote/hours/0/hours", fault.NotADecimal{Got: "24.5", Most: 24})},
		"a day twice":        {`"hours": [{"date": "2027-06-15", "hours": "9"}, {"date": "2027-06-15", "hours": "9"}]`, faultAt("/quote/hours/1/date", fault.Repeated{Got: "2027-06-15", First: "/quote/hours/0/date"})},
		"no such item":       {`"extras": [{"sku": "XX", "quantity": 1}]`, faultAt("/quote/extras/0/sku", fault.UnknownItem{Got: "XX", House: "northpier"})},
		"none of it":         {`"extras": [{"sku": "NP-GRIP-HEAD", "quantity": 0}]`, faultAt("/quote/extras/0/quantity", fault.OutOfRange{Range: fault.Range{Least: 1, Most: 1000}})},
		"an extra twice":     {`"extras": [` + anExtra + `,` + anExtra + `]`, faultAt("/quote/extras/1/sku", fault.Repeated{Got: "NP-GRIP-HEAD", First: "/quote/extras/0/sku"})},
		"an extra backwards": {`"extras": [{"sku": "NP-GRIP-HEAD", "quantity": 1, "from": "2027-06-17", "to": "2027-06-15"}]`, faultAt("/quote/extras/0/to", fault.HireBackwards{From: "2027-06-17", To: "2027-06-15"})},
		"language":           {`"lang": "xx"`, faultAt("/quote/lang", fault.NotOneOf{Got: "xx", Words: []string{"en", "de", "pt", "fr", "es"}})},
	} {
		t.Run(name, func(t *testing.T) {
			_, _, err := quoteDesk().QuoteJSON(t.Context(), quoteBody(tc.quote))
			var refusal *Refusal
			if !errors.As(err, &refusal) || refusal.Reason != ReasonInvalid {
				t.Fatalf("%v", err)
			}
			if diff := cmp.Diff([]Fault{tc.want}, refusal.Faults, cmp.AllowUnexported(Fault{})); diff != "" {
				t.Errorf("(-want +got)\n%s", diff)
			}
		})
	}
}

func TestAPlanRefusesAQuote(t *testing.T) {
	_, _, err := quoteDesk().PlanJSON(t.Context(), quoteBody(`"km": 1`))
	var refusal *Refusal
	if !errors.As(err, &refusal) || refusal.Reason != ReasonMalformed || refusal.Faults[0].Pointer != "/quote" {
		t.Errorf("%v", err)
	}
}

// The words are those of the language asked for, the numbers the same.
func TestAQuoteIsInItsLanguage(t *testing.T) {
	q, to, err := quoteDesk().QuoteJSON(t.Context(), quoteBody(`"lang": "de"`))
	if err != nil {
		t.Fatal(err)
	}
	if got := text.QuoteWhy(to, q, &q.Lines[0]); !strings.Contains(got, "berechnet") {
		t.Errorf("%q", got)
	}
}
