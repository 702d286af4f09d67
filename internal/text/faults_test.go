package text_test

import (
	"strings"
	"testing"

	"kitspan/internal/fault"
	"kitspan/internal/text"
)

// Every kind has a sentence of its own; its parts are filled in by the tests of the packages that find the faults.
func TestEveryKindOfFaultHasASentence(t *testing.T) {
	full := map[string]fault.Kind{ // where an empty one would not do
		"both_given":    fault.BothGiven{Beside: []string{"gust_ms"}, Sets: [][]string{{"gust_ms"}, {"mean_wind_ms"}}},
		"neither_given": fault.NeitherGiven{Sets: [][]string{{"a", "b"}, {"c", "d"}}},
		"not_json":      fault.NotJSON{Reason: "the body is empty"}, "not_an_amount": fault.NotAnAmount{Reason: "no amount"}, "other": fault.Other{Says: "taken"},
	}
	codes, sentences := map[string]bool{}, map[string]string{}
	for _, k := range fault.Kinds() {
		code := k.Code()
		if codes[code] {
			t.Errorf("two kinds are called %s", code)
		}
		codes[code] = true
		if f := full[code]; f != nil {
			k = f
		}
		says := text.Fault(text.Metres, fault.Fault{Pointer: "/shot/place", Kind: k})
		if strings.TrimSpace(strings.TrimPrefix(says, "place")) == "" || strings.Contains(says, "%!") {
			t.Errorf("%s: %q", code, says)
		}
		if other := sentences[says]; other != "" {
			t.Errorf("%s and %s are both %q", code, other, says)
		}
		sentences[says] = code
	}
}

// Beside a label a fault goes without the member's name, and what is missing is said by what to give.
func TestFaultsBesideALabelLeaveItsNameOut(t *testing.T) {
	const at = "/shot/framing/width_m"
	within := fault.Range{Most: 200, Open: true, Unit: "m"}
	for _, tc := range []struct {
		kind         fault.Kind
		full, beside string
	}{
		{fault.OutOfRange{Got: 250, Range: within}, "width_m is 250, out of range; give a value over 0 and at most 200 m", "is 250, out of range; give a value over 0 and at most 200 m"},
		{fault.Missing{Want: fault.WantNumber, Range: &within}, "width_m is missing; give a value over 0 and at most 200 m", "give a value over 0 and at most 200 m"},
		{fault.UnknownHouse{Got: "nowhere", Words: []string{"a", "b"}}, "there is no house nowhere; give one of a, b", "there is no house nowhere; give one of a, b"},
	} {
		f := fault.Fault{Pointer: at, Kind: tc.kind}
		if got := text.Fault(text.Metres, f); got != tc.full {
			t.Errorf("%q, want %q", got, tc.full)
		}
		if got := text.FaultBeside(text.Metres, f); got != tc.beside {
			t.Errorf("beside a label %q, want %q", got, tc.beside)
		}
	}
}
