package rest

import (
	"bytes"
	"encoding/json"
	"errors"
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"kitspan/internal/text"
)

// decoded runs the decoder and lists the places of the faults, by class.
func decoded(t *testing.T, body string) (req SizingRequest, malformed, excess []string) {
	t.Helper()
	late, err := DecodeJSON([]byte(body), &req)
	for _, f := range late {
		excess = append(excess, f.Pointer)
	}
	if err == nil {
		return req, nil, excess
	}
	var r *Refusal
	if !errors.As(err, &r) || r.Reason != ReasonMalformed {
		t.Fatalf("DecodeJSON(%.200s): %v, want a malformed refusal", body, err)
	}
	for _, f := range r.Faults {
		if f.detail(text.Metres) == "" {
			t.Errorf("fault at %q says nothing", f.Pointer)
		}
		malformed = append(malformed, f.Pointer)
	}
	return req, malformed, excess
}

func TestDecodeJSONPlacesEveryFault(t *testing.T) {
	for name, tc := range map[string]struct {
		body      string
		malformed []string
		excess    []string
	}{
		"an empty object is readable":      {body: `{}`},
		"white space around is no fault":   {body: " \n{}\t "},
		"nothing":                          {body: ``, malformed: []string{""}},
		"white space alone":                {body: "  \n", malformed: []string{""}},
		"not JSON":                         {body: `hello`, malformed: []string{""}},
		"cut off":                          {body: `{"shot": {"name": "a"`, malformed: []string{"/shot"}},
		"cut off in a string":              {body: `{"shot": {"name": "a`, malformed: []string{"/shot/name"}},
		"something after the end":          {body: `{} {}`, malformed: []string{""}},
		"a comma after the end":            {body: `{},`, malformed: []string{""}},
		"NaN":                              {body: `{"shot": {"gust_ms": NaN}}`, malformed: []string{"/shot/gust_ms"}},
		"Infinity":                         {body: `{"shot": {"gust_ms": -Infinity}}`, malformed: []string{"/shot/gust_ms"}},
		"a number with a leading zero":     {body: `{"shot": {"gust_ms": 08}}`, malformed: []string{"/shot"}},
		"a trailing comma":                 {body: `{"house": "a",}`, malformed: []string{""}},
		"single quotes":                    {body: `{'house': 'a'}`, malformed: []string{""}},
		"an array in place of the object":  {body: `[]`, malformed: []string{""}},
		"a number in place of the object":  {body: `1`, malformed: []string{""}},
		"null in place of the object":      {body: `null`, malformed: []string{""}},
		"an unknown member":                {body: `{"shot": {"gust": 8}}`, malformed: []string{"/shot/gust"}},
		"names are case-sensitive":         {body: `{"House": "quayside"}`, malformed: []string{"/House"}},
		"the decoder's own field name":     {body: `{"Prefer": "cheapest"}`, malformed: []string{"/Prefer"}},
		"a member twice":                   {body: `{"house": "a", "house": "b"}`, malformed: []string{"/house"}},
		"a member twice, once escaped":     {body: `{"house": "a", "\u0068ouse": "b"}`, malformed: []string{"/house"}},
		"an unknown member twice":          {body: `{"x": 1, "x": 2}`, malformed: []string{"/x"}},
		"text for a number":                {body: `{"shot": {"gust_ms": "8"}}`, malformed: []string{"/shot/gust_ms"}},
		"a number for text":                {body: `{"house": 7}`, malformed: []string{"/house"}},
		"true for a number":                {body: `{"shot": {"gust_ms": true}}`, malformed: []string{"/shot/gust_ms"}},
		"an object for a number":           {body: `{"shot": {"gust_ms": {"a": [1, {"b": 2}]}}}`, malformed: []string{"/shot/gust_ms"}},
		"an array for an object":           {body: `{"shot": []}`, malformed: []string{"/shot"}},
		"an object for an array":           {body: `{"shot": {"lamps": {}}}`, malformed: []string{"/shot/lamps"}},
		"text inside an array of numbers":  {body: `{"shot": {"lamps": [{"position_m": [1, "2", 3]}]}}`, malformed: []string{"/shot/lamps/0/position_m/1"}},
		"null for a number":                {body: `{"shot": {"gust_ms": null}}`, malformed: []string{"/shot/gust_ms"}},
		"null for an object":               {body: `{"shot": null}`, malformed: []string{"/shot"}},
		"null inside an array":             {body: `{"shot": {"lamps": [null]}}`, malformed: []string{"/shot/lamps/0"}},
		"null where it has a meaning":      {body: `{"shot": {"look": {"back_stops": null}}}`},
		"a pointer escapes slash and wave": {body: `{"a/b~c": 1}`, malformed: []string{"/a~1b~0c"}},
		"not UTF-8":                        {body: "{\"house\": \"\xff\"}", malformed: []string{""}},
		"a byte order mark":                {body: "\ufeff{}", malformed: []string{""}},
		"every fault at once": {
			body: `{"house": 1, "extra": {"house": 1, "house": 2}, "shot": {"site": {"latitude_deg": "38", "roofed": 1}, "camera": [], "lamps": [{}, {"label": 1, "glow": 2}]}, "prefer": []}`,
			malformed: []string{"/extra", "/house", "/prefer", "/shot/camera", "/shot/lamps/1/glow",
				"/shot/lamps/1/label", "/shot/site/latitude_deg", "/shot/site/roofed"},
		},
		"faults before the text breaks": {body: `{"house": 1, "extra": 2, "shot": {"gust_ms": NaN`, malformed: []string{"/extra", "/house", "/shot/gust_ms"}},
		"a number beyond float64":       {body: `{"shot": {"gust_ms": 1e400}}`, excess: []string{"/shot/gust_ms"}},
		"a huge whole number":           {body: `{"limits": {"crew": 99999999999999999999}}`, excess: []string{"/limits/crew"}},
		"a count that is not whole":     {body: `{"limits": {"crew": 2.5}}`, excess: []string{"/limits/crew"}},
		"a whole number spelt as real":  {body: `{"limits": {"crew": 6.0}}`},
		"a whole number with exponent":  {body: `{"limits": {"crew": 1e1}}`},
		"a number too small is zero":    {body: `{"shot": {"gust_ms": 1e-400}}`},
		"very deep, and cut off":        {body: strings.Repeat(`{"a":`, 200_000), malformed: []string{"/a"}},
		"very deep, and whole":          {body: strings.Repeat(`{"a":`, 150_000) + "0" + strings.Repeat("}", 150_000), malformed: []string{"/a"}},
		"more lamps than are taken":     {body: `{"shot": {"lamps": [` + strings.Repeat(`{"label": "a"},`, 12) + `{"glow": 1}]}}`, excess: []string{"/shot/lamps"}},
		"as many lamps as are taken":    {body: `{"shot": {"lamps": [` + strings.Repeat(`{"label": "a"},`, 11) + `{"label": "a"}]}}`},
		"a point of four coordinates":   {body: `{"shot": {"lamps": [{"position_m": [1, 2, 3, 4]}]}}`, excess: []string{"/shot/lamps/0/position_m"}},
		"too many lamps, then no JSON":  {body: `{"shot": {"lamps": [` + strings.Repeat(`{},`, 20) + `{]}}`, malformed: []string{"/shot/lamps/20"}},
	} {
		t.Run(name, func(t *testing.T) {
			_, malformed, excess := decoded(t, tc.body)
			if diff := cmp.Diff(tc.malformed, malformed); diff != "" {
				t.Errorf("malformed (-want +got):\n%s", diff)
			}
			if diff := cmp.Diff(tc.excess, excess); diff != "" {
				t.Errorf("out of range (-want +got):\n%s", diff)
			}
		})
	}
}

func TestDecodeJSONKeepsWhatWasSaid(t *testing.T) {
	req, _, _ := decoded(t, `{"house": "quayside", "limits": {"crew": 1e1}, "shot": {"gust_ms": -0, "lamps": [], "site": {"roofed": false},
		"other_zones": [{"center_m": [1.5, -2e0]}], "look": {"back_stops": null}}}`)
	zero, ten, no := 0.0, 10, false
	center, lamps, zones := []float64{1.5, -2}, []LampDraft{}, []OtherZoneDraft{}
	zones = append(zones, OtherZoneDraft{CenterM: &center})
	house := "quayside"
	want := SizingRequest{House: &house, Limits: &LimitsDraft{Crew: &ten}, Shot: &ShotDraft{
		GustMs: &zero, Lamps: &lamps, Site: &SiteDraft{Roofed: &no}, OtherZones: &zones, Look: &LookDraft{},
	}}
	if b := req.Shot.Look.BackStops; b == nil || !math.IsNaN(*b) {
		t.Errorf("null was said, decoded is %v", b)
	}
	req.Shot.Look.BackStops = nil
	if diff := cmp.Diff(want, req); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
	if math.Signbit(*req.Shot.GustMs) {
		t.Error("-0 stayed negative")
	}
}

func TestDecodeJSONRefusesWhatIsTooLarge(t *testing.T) {
	var req SizingRequest
	_, err := DecodeJSON([]byte(`{"house": "`+strings.Repeat("a", MaxBody)+`"}`), &req)
	if r := asRefusal(err); r == nil || r.Reason != ReasonTooLarge {
		t.Errorf("got %v, want a refusal as too large", err)
	}
}

func TestDecodeJSONBoundsTheListOfFaults(t *testing.T) {
	var b strings.Builder
	b.WriteString(`{"house": 1`)
	for i := range 5000 {
		b.WriteString(`,"x` + strconv.Itoa(i) + `": 1`)
	}
	b.WriteString(`}`)
	_, malformed, _ := decoded(t, b.String())
	if len(malformed) != maxFaults {
		t.Errorf("%d faults listed, want %d", len(malformed), maxFaults)
	}
}

// The standard decoder, made strict, is the slow oracle: what ours takes, that one takes to the same value.
func FuzzDecodeJSON(f *testing.F) {
	for _, s := range []string{
		`{}`, `{"house": "quayside", "shot": {"gust_ms": 8, "lamps": [{"label": "a", "position_m": [1, 2, 3]}]}}`,
		`{"shot": {"look": {"back_stops": null}}}`, `{"a": 1e400}`, `[[[[`, `{"house": "\ud800"}`, `{"limits": {"crew": 6}}`,
		`{"limits": {"price_per_day": {"amount": "900.00", "currency": "EUR"}}, "prefer": "cheapest"}`,
		`{"shot": {"site": {"anchors": [{"label": "rail", "position_m": [4, 5, 1], "safe_pull_n": 2e3}]}, "allowance": {"ballast_kg": 0, "ballast_high_kg": 0}}}`,
		`{"shot": {"forecast": [{"at": "2027-06-18T16:00:00+01:00", "gust_ms": 6, "cloud": 0.1}, {"at": 5, "gust_ms": null}]}}`,
	} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, body []byte) {
		var ours SizingRequest
		excess, err := DecodeJSON(body, &ours)
		if err != nil {
			if r := asRefusal(err); r == nil || len(r.Faults) == 0 {
				t.Fatalf("%q: refused without a fault: %v", body, err)
			}
			return
		}
		if excess != nil {
			return
		}
		var theirs SizingRequest
		d := json.NewDecoder(bytes.NewReader(body))
		d.DisallowUnknownFields()
		if err := d.Decode(&theirs); err != nil {
			var whole *json.UnmarshalTypeError
			if errors.As(err, &whole) && strings.HasPrefix(whole.Value, "number") {
				return // 6.0 for a whole number, which theirs does not take
			}
			t.Fatalf("%q: taken, though encoding/json says %v", body, err)
		}
		if s := ours.Shot; s != nil && s.Look != nil && s.Look.BackStops != nil && math.IsNaN(*s.Look.BackStops) {
			s.Look.BackStops = nil // null was said, which theirs does not tell from nothing
		}
		if diff := cmp.Diff(theirs, ours); diff != "" {
			t.Fatalf("%q (-encoding/json +ours):\n%s", body, diff)
		}
	})
}
