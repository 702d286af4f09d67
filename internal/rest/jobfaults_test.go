package rest

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// Whatever is wrong with a plan request is named with its place, and a sentence says what it is and what to give.
func TestFaultsOfPlanRequests(t *testing.T) {
	const (
		places = `"places": {"jetty": {"latitude_deg": 38.7, "longitude_deg": -9.2, "time_zone": "Europe/Lisbon"}, "slip": {"latitude_deg": 38.7, "longitude_deg": -9.2, "time_zone": "Europe/Lisbon"}}`
		lens   = `"camera": {"bearing_deg": 258}, "framing": {"width_m": 3, "distance_m": 5.5}`
		window = `"window": {"date": "2027-06-18", "start": "16:30", "end": "17:30"}`
		shot   = `{"number": "1", "place": "jetty", ` + window + `, ` + lens + `}`
	)
	job := func(members string) string {
		return `"house": "quayside", "job": {"name": "Estuary", ` + places + `, ` + members + `}`
	}
	sound := job(`"shots": [` + shot + `]`)
	one := func(members string) string {
		return job(`"shots": [{"number": "1", "place": "jetty", ` + lens + `, ` + members + `}]`)
	}
	var many []string
	for i := range 501 {
		many = append(many, fmt.Sprintf(`{"number": "%d", "place": "jetty", %s, %s}`, i, window, lens))
	}
	for _, tc := range []struct {
		name, body string
		want       []string // pointers and sentences
	}{
		{"nothing", ``, []string{
			"/house: house is missing; give one of northpier, quayside", "/job/name: name is missing; give it", "/job/shots: the job has no shots; give at least one",
		}},
		{"no shots", job(`"shots": []`), []string{"/job/shots: the job has no shots; give at least one"}},
		{"501 shots", job(`"shots": [` + strings.Join(many, ",") + `]`), []string{"/job/shots: has 501 elements: give at most 500"}},
		{"an unknown place", job(`"shots": [{"number": "1", "place": "moon", ` + window + `, ` + lens + `}]`), []string{
			`/job/shots/0/place: place is "moon", which is no place of the job; give one of jetty, slip, or add it to the places`,
		}},
		{"no place", job(`"shots": [{"number": "1", ` + window + `, ` + lens + `}]`), []string{"/job/shots/0/place: place is missing or empty; give one of jetty, slip"}},
		{"no number", job(`"shots": [{"place": "jetty", ` + window + `, ` + lens + `}]`), []string{
			"/job/shots/0/number: number is missing or empty; give each shot a number of its own",
		}},
		{"a number of spaces", job(`"shots": [{"number": "  ", "place": "jetty", ` + window + `, ` + lens + `}]`), []string{
			"/job/shots/0/number: number is missing or empty; give each shot a number of its own",
		}},
		{"one number twice", job(`"shots": [` + shot + `, ` + shot + `]`), []string{
			`/job/shots/1/number: number is "1", as shots[0] is; give each shot a number of its own`,
		}},
		{"a number with a bell", job(`"shots": [{"number": "1\u0007", "place": "jetty", ` + window + `, ` + lens + `}]`), []string{
			"/job/shots/0/number: number has the character U+0007, which cannot be printed; leave it out",
		}},
		{"a name with a zero", `"house": "quayside", "job": {"name": "a\u0000b", ` + places + `, "shots": [` + shot + `]}`, []string{
			"/job/name: name has the character U+0000, which cannot be printed; leave it out",
		}},
		{"places without names", `"house": "quayside", "job": {"name": "Estuary", "shots": [` + shot + `], "places": {
			"jetty": {"latitude_deg": 38.7, "longitude_deg": -9.2, "time_zone": "Europe/Lisbon"}, "": {"latitude_deg": 38.7, "longitude_deg": -9.2, "time_zone": "Europe/Lisbon"},
			"slip\u0007": {"latitude_deg": 38.7, "longitude_deg": -9.2, "time_zone": "Europe/Lisbon"},
			"abcdefghijklmnopqrstuvwxyzabcdefghijklmnopqrstuvwxyzabcdefghij": {"latitude_deg": 38.7, "longitude_deg": -9.2, "time_zone": "Europe/Lisbon"}}}`, []string{
			"/job/places/: a place has no name; give each place one",
			`/job/places/abcdefghijklmnopqrstuvwxyzabcdefghijklmnopqrstuvwxyzabcdefghij: the name of the place "abcdefghijklmnopqrst…" has 62 characters; give at most 60`,
			"/job/places/slip\u0007: the name of the place \"slip\\a\" has the character U+0007, which cannot be printed; leave it out",
		}},
		{"an end before its start", one(`"window": {"date": "2027-06-18", "start": "16:30", "end": "15:30"}`), []string{
			"/job/shots/0/window/end: end 15:30 is not after start 16:30 on 2027-06-18; give a later end, or for a window over midnight end_date 2027-06-19",
		}},
		{"neither window nor when", one(`"name": "x"`), []string{"/job/shots/0/window: window is missing; give it, or when"}},
		{"both window and when", one(window + `, "when": {"date": "2027-06-18", "earliest": "10:00", "latest": "12:00", "duration_min": 30}`), []string{
			"/job/shots/0/when: when is given beside window; give window for a fixed time, or when for a shot that may be moved",
		}},
		{"a span without room", one(`"when": {"date": "2027-06-18", "earliest": "10:00", "latest": "10:30", "duration_min": 45}`), []string{
			"/job/shots/0/when/latest: 45 minutes do not fit between 10:00 and 10:30 of one day; give a later latest, an earlier earliest or a shorter duration_min",
		}},
		{"a span without anything", one(`"when": {}`), []string{
			"/job/shots/0/when/date: date is missing; give a date as YYYY-MM-DD",
			"/job/shots/0/when/duration_min: duration_min is missing; give a value from 1 to 1439 minutes",
			"/job/shots/0/when/earliest: earliest is missing; give HH:MM from 00:00 to 23:59",
			"/job/shots/0/when/latest: latest is missing; give HH:MM from 00:00 to 23:59",
		}},
		{"a day before the hire", job(`"hire": {"from": "2027-06-19"}, "shots": [` + shot + `]`), []string{
			"/job/shots/0/window/date: date is 2027-06-18, before the first day of the hire, 2027-06-19; give a day of the hire, or an earlier hire.from",
		}},
		{"a day after the hire", job(`"hire": {"to": "2027-06-01"}, "shots": [` + shot + `]`), []string{
			"/job/shots/0/window/date: date is 2027-06-18, after the last day of the hire, 2027-06-01; give a day of the hire, or a later hire.to",
		}},
		{"a hire backwards", job(`"hire": {"from": "2027-06-19", "to": "2027-06-17"}, "shots": [` + shot + `]`), []string{
			"/job/hire/to: the hire ends on 2027-06-17, before it begins on 2027-06-19; give a later hire.to or an earlier hire.from",
		}},
		{"a hire without an end", job(`"hire": {"from": "2027-01-01", "to": "2028-06-11"}, "shots": [` + shot + `]`), []string{
			"/job/hire/to: the hire from 2027-01-01 to 2028-06-11 takes 528 days; at most 366 are planned: check the dates, or cut the job in two",
		}},
		{"ways", job(`"moves": [{"between": ["jetty", "moon"], "minutes": 10}, {"between": ["jetty"], "minutes": 1}, {"between": ["jetty", "slip"], "minutes": -1}, {"between": ["slip", "jetty"], "minutes": 5}],
			"shots": [` + shot + `]`), []string{
			`/job/moves/0/between/1: between[1] is "moon", which is no place of the job; give one of jetty, slip, or add it to the places`,
			"/job/moves/1/between: between has 1 names; give those of two places",
			"/job/moves/2/minutes: minutes is -1, out of range; give a value from 0 to 1440 minutes",
			`/job/moves/3/between: between is "slip, jetty", as moves[2] is; give the way between two different places once`,
		}},
		{"an unknown zone", job(`"time_zone": "Mars/Base", "shots": [` + shot + `]`), []string{
			`/job/time_zone: time_zone is "Mars/Base", which is no known zone; give an IANA zone name such as Europe/Lisbon`,
		}},
		{"an unknown pin", one(window + `, "pin": "umbrella"`), []string{
			`/job/shots/0/pin: pin is "umbrella"; give one of overhead-and-reflector, overhead-on-lift, overhead-moved, reflectors-only, lamps, other-hour, hand-held`,
		}},
		{"items that are not to be used", sound + `, "forbid": ["QG-NOPE", "QG-VAN-06", "QG-VAN-06"]`, []string{
			`/forbid/0: forbid[0] is "QG-NOPE", which house quayside does not have; give the SKUs of its items`,
			`/forbid/2: forbid[2] is "QG-VAN-06", as forbid[1] is; give each item once`,
		}},
		{"an unknown house", strings.Replace(sound, "quayside", "nowhere", 1), []string{"/house: there is no house nowhere; give one of northpier, quayside"}},
		{"another currency", sound + `, "limits": {"total": {"amount": "100.00", "currency": "USD"}}`, []string{
			"/limits/total/currency: currency is USD; the currency of house quayside is EUR",
		}},
		{"another currency of a shot", one(window + `, "limits": {"price_per_day": {"amount": "100.00", "currency": "USD"}}`), []string{
			"/job/shots/0/limits/price_per_day/currency: currency is USD; the currency of house quayside is EUR",
		}},
		{"limits", sound + `, "limits": {"crew": 0, "mass_kg": 0}`, []string{
			"/limits/crew: crew is 0, out of range; give a value from 1 to 1000 people", "/limits/mass_kg: mass_kg is 0, out of range; give a value over 0 and at most 1000000 kg",
		}},
		{"an unknown aim", sound + `, "aim": "fame"`, []string{`/aim: aim is "fame"; give one of price, mass, people`}},
		{"no time", sound + `, "seconds": 0`, []string{"/seconds: seconds is 0, out of range; give a value over 0 and at most 600 s"}},
		{"all at once", job(`"shots": [{"number": "1", "place": "moon", "camera": {}, "framing": {"width_m": 3, "distance_m": 5}}]`) + `, "aim": "fame"`, []string{
			`/aim: aim is "fame"; give one of price, mass, people`,
			"/job/shots/0/camera/bearing_deg: bearing_deg is missing; give a value from -360 to 360 degrees clockwise from true north",
			`/job/shots/0/place: place is "moon", which is no place of the job; give one of jetty, slip, or add it to the places`,
			"/job/shots/0/window: window is missing; give it, or when",
		}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			res := newFace(t, newMemory()).do("POST", "/v1/plans", "{"+tc.body+"}").want(422)
			var problem Problem
			if err := json.Unmarshal(res.body, &problem); err != nil {
				t.Fatal(err)
			}
			var got []string
			for _, f := range *problem.Errors {
				got = append(got, *f.Pointer+": "+f.Detail)
			}
			if diff := cmp.Diff(tc.want, got); diff != "" {
				t.Errorf("(-want +got)\n%s", diff)
			}
		})
	}
}
