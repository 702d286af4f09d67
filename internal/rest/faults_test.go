package rest

import (
	"testing"

	"github.com/getkin/kin-openapi/openapi3"
	"github.com/google/go-cmp/cmp"

	"kitspan/api"
	"kitspan/internal/fault"
)

// The contract's list of codes is that of the kinds, in their order.
func TestContractNamesEveryFault(t *testing.T) {
	doc, err := openapi3.NewLoader().LoadFromData(api.YAML)
	if err != nil {
		t.Fatal(err)
	}
	var want, got []string
	for _, k := range fault.Kinds() {
		want = append(want, k.Code())
	}
	for _, code := range doc.Components.Schemas["InputFault"].Value.Properties["code"].Value.Enum {
		s, _ := code.(string)
		got = append(got, s)
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("(-kinds +contract)\n%s", diff)
	}
}

// A problem carries what a fault is made of beside its code, under the names that the kinds give it.
func TestProblemsCarryCodeAndQuantities(t *testing.T) {
	err := invalid([]Fault{
		faultAt("/a", fault.OutOfRange{Got: 250, Range: fault.Range{Most: 200, Open: true, Unit: "m"}}),
		faultAt("/b", fault.BothGiven{Beside: []string{"gust_ms"}, Sets: [][]string{{"gust_ms"}, {"mean_wind_ms"}}}),
		faultAt("/c", fault.Twice{}),
		faultOf("limit", fault.Other{Says: "0: give 1 to 500"}),
	})
	want := []InputFault{
		{Code: OutOfRange, AdditionalProperties: map[string]any{"got": 250.0, "least": 0.0, "most": 200.0, "open": true, "unit": "m"},
			Detail: "a is 250, out of range; give a value over 0 and at most 200 m"},
		{Code: BothGiven, AdditionalProperties: map[string]any{"beside": []any{"gust_ms"}, "sets": []any{[]any{"gust_ms"}, []any{"mean_wind_ms"}}},
			Detail: "b is given beside gust_ms; give one of them, the gust where it is known"},
		{Code: Twice, Detail: "appears twice: give it once"},
		{Code: Other, Detail: "0: give 1 to 500"},
	}
	for i, place := range []string{"/a", "/b", "/c"} {
		want[i].Pointer = &place
	}
	want[3].Parameter = new("limit")
	if diff := cmp.Diff(want, *ProblemOf(err).Errors); diff != "" {
		t.Errorf("(-want +got)\n%s", diff)
	}
}
