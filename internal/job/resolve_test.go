package job

import (
	"encoding/json"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"kitspan/internal/fault"
)

// faultsOf resolves a job of which members are given in place of those of a sound one.
func faultsOf(t *testing.T, members string) []fault.Fault {
	t.Helper()
	all := map[string]json.RawMessage{}
	for _, text := range []string{`{"name": "Estuary", "places": {"jetty": {"latitude_deg": 38.7, "longitude_deg": -9.2, "time_zone": "Europe/Lisbon"}},
		"shots": [` + soundShot + `]}`, "{" + members + "}"} {
		if err := json.Unmarshal([]byte(text), &all); err != nil {
			t.Fatal(err)
		}
	}
	body, err := json.Marshal(all)
	if err != nil {
		t.Fatal(err)
	}
	var d Draft
	if err := json.Unmarshal(body, &d); err != nil {
		t.Fatal(err)
	}
	j, faults := d.Resolve()
	if len(faults) > 0 && len(j.Shots) > 0 {
		t.Error("a job with faults is not zero")
	}
	return faults
}

const (
	lens      = `"camera": {"bearing_deg": 258}, "framing": {"width_m": 3, "distance_m": 5.5}`
	soundShot = `{"number": "1", "place": "jetty", "window": {"date": "2027-06-18", "start": "16:30", "end": "17:30"}, ` + lens + `}`
)

func TestFaultsOfJobs(t *testing.T) {
	shots := func(members ...string) string {
		for i := range members {
			members[i] = `{"place": "jetty", ` + lens + `, ` + members[i] + `}`
		}
		return `"shots": [` + strings.Join(members, ", ") + `]`
	}
	const (
		one    = `"number": "1"`
		window = `"window": {"date": "2027-06-18", "start": "16:30", "end": "17:30"}`
	)
	for _, tc := range []struct {
		name, members string
		want          []fault.Fault
	}{
		{"none", `"notes": "Bring\n\tboots"`, nil},
		{"a blank name", `"name": " "`, []fault.Fault{{Pointer: "/job/name", Kind: fault.Missing{Want: fault.WantText}}}},
		{"a name of two lines", `"name": "a\nb"`, []fault.Fault{{Pointer: "/job/name", Kind: fault.Unprintable{Character: "U+000A"}}}},
		{"notes with a mark of direction", `"notes": "a\u200eb"`, []fault.Fault{{Pointer: "/job/notes", Kind: fault.Unprintable{Character: "U+200E"}}}},
		{"an address beyond measure", `"production": {"address": "` + strings.Repeat("é", 1001) + `"}`, []fault.Fault{
			{Pointer: "/job/production/address", Kind: fault.TooLong{Characters: 1001, Most: 1000}},
		}},
		{"a number with a space before it", shots(`"number": " 1", ` + window), []fault.Fault{{Pointer: "/job/shots/0/number", Kind: fault.SpaceAround{Got: " 1"}}}},
		{"a number beyond measure", shots(`"number": "` + strings.Repeat("1", 41) + `", ` + window), []fault.Fault{
			{Pointer: "/job/shots/0/number", Kind: fault.TooLong{Characters: 41, Most: 40}},
		}},
		{"a number twice", shots(one+", "+window, one+", "+window), []fault.Fault{{Pointer: "/job/shots/1/number", Kind: fault.Repeated{Got: "1", First: "/job/shots/0/number"}}}},
		{"an unknown pin", shots(one + ", " + window + `, "pin": "umbrella"`), []fault.Fault{
			{Pointer: "/job/shots/0/pin", Kind: fault.NotOneOf{Got: "umbrella", Words: Pins()}},
		}},
		{"another place", shots(one + ", " + window + `, "place": "moon"`), []fault.Fault{
			{Pointer: "/job/shots/0/place", Kind: fault.UnknownPlace{Got: "moon", Words: []string{"jetty"}}},
		}},
		{"neither window nor when", shots(one), []fault.Fault{
			{Pointer: "/job/shots/0/window", Kind: fault.Missing{Want: fault.WantObject, Instead: []string{"when"}}},
		}},
		{"both", shots(one + ", " + window + `, "when": {"date": "2027-06-18", "earliest": "16:30", "latest": "17:30", "duration_min": 60}`), []fault.Fault{
			{Pointer: "/job/shots/0/when", Kind: fault.BothGiven{Beside: []string{"window"}, Sets: [][]string{{"window"}, {"when"}}}},
		}},
		{"an end before its start", shots(one + `, "window": {"date": "2027-06-18", "start": "17:30", "end": "16:30"}`), []fault.Fault{
			{Pointer: "/job/shots/0/window/end", Kind: fault.EndNotAfterStart{Date: "2027-06-18", Start: "17:30", End: "16:30", NextDate: "2027-06-19"}},
		}},
		{"a span as long as the shot", shots(one + `, "when": {"date": "2027-06-18", "earliest": "16:30", "latest": "17:30", "duration_min": 60}`), nil},
		{"a span a minute too short", shots(one + `, "when": {"date": "2027-06-18", "earliest": "16:30", "latest": "17:30", "duration_min": 61}`), []fault.Fault{
			{Pointer: "/job/shots/0/when/latest", Kind: fault.NoRoom{Earliest: "16:30", Latest: "17:30", DurationMin: 61}},
		}},
		{"a span of the hour that is left out", shots(one + `, "when": {"date": "2027-03-28", "earliest": "00:30", "latest": "02:30", "duration_min": 61}`), []fault.Fault{
			{Pointer: "/job/shots/0/when/latest", Kind: fault.NoRoom{Earliest: "00:30", Latest: "02:30", DurationMin: 61}},
		}},
		{"a day before the hire", `"hire": {"from": "2027-06-19"}`, []fault.Fault{
			{Pointer: "/job/shots/0/window/date", Kind: fault.OutsideHire{Date: "2027-06-18", From: "2027-06-19", To: "2027-06-18"}},
		}},
		{"a movable shot's day after the hire", shots(one+`, "when": {"date": "2027-06-18", "earliest": "16:30", "latest": "17:30", "duration_min": 60}`) + `, "hire": {"to": "2027-06-17"}`, []fault.Fault{
			{Pointer: "/job/shots/0/when/date", Kind: fault.OutsideHire{Date: "2027-06-18", From: "2027-06-18", To: "2027-06-17"}},
		}},
		{"the day by the job's zone", `"time_zone": "Pacific/Auckland", "hire": {"from": "2027-06-18", "to": "2027-06-18"}`, []fault.Fault{
			{Pointer: "/job/shots/0/window/date", Kind: fault.OutsideHire{Date: "2027-06-19", From: "2027-06-18", To: "2027-06-18"}},
		}},
		{"a hire backwards", `"hire": {"from": "2027-06-19", "to": "2027-06-17"}`, []fault.Fault{
			{Pointer: "/job/hire/to", Kind: fault.HireBackwards{From: "2027-06-19", To: "2027-06-17"}},
		}},
		{"a year of hire", `"hire": {"from": "2027-06-18", "to": "2028-06-17"}`, nil},
		{"a day more", `"hire": {"from": "2027-06-18", "to": "2028-06-18"}`, []fault.Fault{
			{Pointer: "/job/hire/to", Kind: fault.HireTooLong{From: "2027-06-18", To: "2028-06-18", Days: 367, Most: 366}},
		}},
		{"a place on the moon", `"places": {"jetty": {"latitude_deg": 38.7, "longitude_deg": 999, "time_zone": "Europe/Lisbon"}}`, []fault.Fault{
			{Pointer: "/job/places/jetty/longitude_deg", Kind: fault.OutOfRange{Got: 999, Range: fault.Range{Least: -180, Most: 180, Unit: "degrees, east positive"}}},
		}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			if diff := cmp.Diff(tc.want, faultsOf(t, tc.members)); diff != "" {
				t.Errorf("(-want +got)\n%s", diff)
			}
		})
	}
}

// Too many shots are one fault, not one for each.
func TestTooManyShotsAreOneFault(t *testing.T) {
	shots := strings.Repeat(`{"number": ""}, `, MaxShots) + `{"number": ""}`
	want := []fault.Fault{{Pointer: "/job/shots", Kind: fault.TooMany{Count: MaxShots + 1, Most: MaxShots}}}
	if diff := cmp.Diff(want, faultsOf(t, `"shots": [`+shots+`]`)); diff != "" {
		t.Errorf("(-want +got)\n%s", diff)
	}
}
