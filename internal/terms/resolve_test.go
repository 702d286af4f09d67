package terms_test

import (
	"encoding/json"
	"errors"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"

	"kitspan/internal/catalog"
	"kitspan/internal/fault"
	"kitspan/internal/terms"
)

func quayside(t *testing.T) *catalog.Snapshot {
	t.Helper()
	stock, ok := catalog.DemoSnapshot("quayside")
	if !ok {
		t.Fatal("no quayside")
	}
	return stock
}

// least is a draft that is sound, as JSON, to which members are added.
func least(t *testing.T, members string) *terms.Draft {
	t.Helper()
	d := &terms.Draft{}
	for _, body := range []string{`{"valid_from": "2027-01-01", "charged_days": [1], "prefix": "QG"}`, members} {
		if err := json.Unmarshal([]byte(body), d); err != nil {
			t.Fatalf("%s: %v", body, err)
		}
	}
	return d
}

func TestDemoTermsAreSoundAndDiffer(t *testing.T) {
	var seen []*terms.Terms
	for _, h := range catalog.DemoHouses() {
		of, err := terms.Demo{}.TermsOn(t.Context(), h.Slug, catalog.Date{Year: 2027, Month: 6, Day: 15})
		if err != nil {
			t.Fatalf("%s: %v", h.Slug, err)
		}
		seen = append(seen, of)
	}
	if slices.Equal(seen[0].ChargedDays, seen[1].ChargedDays) || seen[0].DepositPercent == seen[1].DepositPercent {
		t.Error("both demo houses have the same terms")
	}
}

func TestTermsHoldFromTheirDay(t *testing.T) {
	for day, want := range map[string]string{"2026-01-01": "2026-01-01", "2027-06-30": "2026-01-01", "2027-07-01": "2027-07-01", "2031-01-01": "2027-07-01"} {
		on, err := catalog.ParseDate(day)
		if err != nil {
			t.Fatal(err)
		}
		got, err := terms.Demo{}.TermsOn(t.Context(), "northpier", on)
		if err != nil || got.ValidFrom.String() != want {
			t.Errorf("on %s hold %+v, %v; want those of %s", day, got, err, want)
		}
	}
	if got, err := (terms.Demo{}).TermsOn(t.Context(), "northpier", catalog.Date{Year: 2025, Month: 12, Day: 31}); !errors.Is(err, terms.ErrNone) {
		t.Errorf("before the first terms hold %+v, %v", got, err)
	}
}

// What is written down of terms resolves to the same terms.
func TestTermsAreWrittenAsTheyAreRead(t *testing.T) {
	want, err := terms.Demo{}.TermsOn(t.Context(), "quayside", catalog.Date{Year: 2027, Month: 1, Day: 1})
	if err != nil {
		t.Fatal(err)
	}
	body, err := json.Marshal(want.Draft())
	if err != nil {
		t.Fatal(err)
	}
	var again terms.Draft
	if err := json.Unmarshal(body, &again); err != nil {
		t.Fatal(err)
	}
	got, faults := again.Resolve(quayside(t))
	if len(faults) > 0 {
		t.Fatalf("%s: %+v", body, faults)
	}
	if diff := cmp.Diff(want.Draft(), got.Draft()); diff != "" {
		t.Errorf("(-read +read again)\n%s", diff)
	}
}

func TestWhatIsWrongWithTerms(t *testing.T) {
	days := func(most float64) fault.Range { return fault.Range{Least: 1, Most: most, Unit: "days"} }
	for _, tc := range []struct {
		name, members string
		want          []fault.Fault
	}{
		{"a table that falls", `{"charged_days": [1, 2, 1]}`, []fault.Fault{{Pointer: "/charged_days/2", Kind: fault.ChargedFalls{Days: 3, Charged: 1, Before: 2}}}},
		{"more days than there are", `{"charged_days": [1, 3, 3]}`, []fault.Fault{{Pointer: "/charged_days/1", Kind: fault.ChargedOutOfRange{Days: 2, Charged: 3}}}},
		{"a day for nothing", `{"charged_days": [0]}`, []fault.Fault{{Pointer: "/charged_days/0", Kind: fault.ChargedOutOfRange{Days: 1}}}},
		// A table that is not subadditive (computed by a linear program): six days at once are charged 4, twice three days 2.
		{"beaten by two spans", `{"charged_days": [1, 1, 1, 2, 3, 4, 4]}`, []fault.Fault{
			{Pointer: "/charged_days/4", Kind: fault.ChargedBeaten{Days: 5, Charged: 3, First: 2, Second: 3, Together: 2}},
			{Pointer: "/charged_days/5", Kind: fault.ChargedBeaten{Days: 6, Charged: 4, First: 3, Second: 3, Together: 2}},
			{Pointer: "/charged_days/6", Kind: fault.ChargedBeaten{Days: 7, Charged: 4, First: 3, Second: 4, Together: 3}},
		}},
		{"no table", `{"charged_days": []}`, []fault.Fault{{Pointer: "/charged_days", Kind: fault.Missing{Want: fault.WantArray}}}},
		{"percent over 100", `{"waiver_percent": "100.5"}`, []fault.Fault{{Pointer: "/waiver_percent", Kind: fault.NotADecimal{Got: "100.5", Most: 100}}}},
		{"percent with five decimals", `{"deposit_percent": "1.00001"}`, []fault.Fault{{Pointer: "/deposit_percent", Kind: fault.NotADecimal{Got: "1.00001", Most: 100}}}},
		{"a discount that is negative", `{"long_hire": [{"from_charged_days": 6, "percent": "-5"}]}`,
			[]fault.Fault{{Pointer: "/long_hire/0/percent", Kind: fault.NotADecimal{Got: "-5", Most: 100}}}},
		{"steps that fall", `{"long_hire": [{"from_charged_days": 6, "percent": "5"}, {"from_charged_days": 6, "percent": "10"}]}`,
			[]fault.Fault{{Pointer: "/long_hire/1/from_charged_days", Kind: fault.NotMore{Got: 6, Before: 6}}}},
		{"a step without days", `{"long_hire": [{"percent": "5"}]}`,
			[]fault.Fault{{Pointer: "/long_hire/0/from_charged_days", Kind: fault.Missing{Want: fault.WantInteger, Range: new(days(366))}}}},
		{"a tax code without rate", `{"taxes": [{"code": "STD", "on": ["hire"]}]}`, []fault.Fault{{Pointer: "/taxes/0/percent", Kind: fault.NotADecimal{Most: 100}}}},
		{"two taxes on one category", `{"taxes": [{"code": "A", "percent": "5", "on": ["hire", "sale"]}, {"code": "B", "percent": "6", "on": ["sale"]}]}`,
			[]fault.Fault{{Pointer: "/taxes/1/on/0", Kind: fault.TaxedTwice{Got: "sale", First: "/taxes/0/on/1"}}}},
		{"one code twice", `{"taxes": [{"code": "A", "percent": "5", "on": ["hire"]}, {"code": "A", "percent": "6", "on": ["sale"]}]}`,
			[]fault.Fault{{Pointer: "/taxes/1/code", Kind: fault.Repeated{Got: "A", First: "/taxes/0/code"}}}},
		{"a category that is none", `{"taxes": [{"code": "A", "percent": "5", "on": ["rent"]}]}`,
			[]fault.Fault{{Pointer: "/taxes/0/on/0", Kind: fault.NotOneOf{Got: "rent", Words: []string{"hire", "labour", "transport", "sale", "waiver", "delivery"}}}}},
		{"an item that the house does not have", `{"packages": [{"label": "P", "items": [{"sku": "XX-1", "quantity": 1}], "percent": "5"}]}`,
			[]fault.Fault{{Pointer: "/packages/0/items/0/sku", Kind: fault.UnknownItem{Got: "XX-1", House: "quayside"}}}},
		{"an item twice", `{"packages": [{"label": "P", "items": [{"sku": "QG-BAG-11", "quantity": 1}, {"sku": "QG-BAG-11", "quantity": 2}], "percent": "5"}]}`,
			[]fault.Fault{{Pointer: "/packages/0/items/1/sku", Kind: fault.Repeated{Got: "QG-BAG-11", First: "/packages/0/items/0/sku"}}}},
		{"people in a package", `{"packages": [{"label": "P", "items": [{"sku": "QG-CREW-HAND", "quantity": 1}], "percent": "5"}]}`,
			[]fault.Fault{{Pointer: "/packages/0/items/0/sku", Kind: fault.NotHired{Got: "QG-CREW-HAND", Kind: "labour"}}}},
		{"another currency", `{"minimum_hire": {"amount": "80.00", "currency": "USD"}}`,
			[]fault.Fault{{Pointer: "/minimum_hire/currency", Kind: fault.OtherCurrency{Got: "USD", House: "quayside", Want: "EUR"}}}},
		{"a factor under 1", `{"overtime": [{"after_hours": 10, "times": "0.5"}]}`,
			[]fault.Fault{{Pointer: "/overtime/0/times", Kind: fault.NotADecimal{Got: "0.5", Least: 1, Most: 10}}}},
		{"an impossible day", `{"valid_from": "2027-02-30"}`, []fault.Fault{{Pointer: "/valid_from", Kind: fault.NotADate{Got: "2027-02-30"}}}},
		{"no prefix, a bad validity", `{"prefix": "", "valid_days": 0}`, []fault.Fault{
			{Pointer: "/valid_days", Kind: fault.OutOfRange{Got: 0, Range: days(366)}}, {Pointer: "/prefix", Kind: fault.Missing{Want: fault.WantText}}}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			got, faults := least(t, tc.members).Resolve(quayside(t))
			if diff := cmp.Diff(tc.want, faults); diff != "" {
				t.Errorf("(-want +got)\n%s", diff)
			}
			if got != nil {
				t.Errorf("terms with faults are %+v", got)
			}
		})
	}
}

// 1 2 3 3 3 3 3 and 1 2 3 4 4 4 4 are subadditive (computed by a linear program).
func TestSoundTablesAreTaken(t *testing.T) {
	for _, table := range []string{"[1, 2, 3, 3, 3, 3, 3]", "[1, 2, 3, 4, 4, 4, 4]", "[1]", "[1, 1, 2, 2]"} {
		if _, faults := least(t, `{"charged_days": `+table+`}`).Resolve(quayside(t)); len(faults) > 0 {
			t.Errorf("%s: %+v", table, faults)
		}
	}
}
