package text_test

import (
	"strings"
	"testing"
	"time"

	"kitspan/internal/finding"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
	"kitspan/internal/text"
)

var lisbon = func() *time.Location {
	loc, err := time.LoadLocation("Europe/Lisbon")
	if err != nil {
		panic(err)
	}
	return loc
}()

// at is a time of 18 June 2027, hours past 24 on the days after.
func at(hour, minute, second int) time.Time {
	return time.Date(2027, 6, 18, hour, minute, second, 0, lisbon)
}

func span(from, to time.Time) finding.Span { return finding.Span{From: from, To: to} }

func TestTimesOfStandingAreTold(t *testing.T) {
	all := span(at(6, 0, 0), at(24, 0, 0))
	piece := func(role finding.Role, serves string, stands, watch []finding.Span) sizing.Piece {
		return sizing.Piece{Role: role, Serves: serves, Stands: stands, OnWatch: watch}
	}
	morning, evening := span(at(6, 0, 0), at(10, 59, 59)), span(at(18, 0, 1), at(24, 0, 0))
	reflector := piece(finding.RoleReflector, "main", []finding.Span{all}, []finding.Span{span(at(12, 0, 0), at(13, 30, 1))})
	r := sizing.Result{Shot: shot.Shot{Window: shot.WindowBetween(at(16, 30, 0), at(17, 30, 0))}, Forecast: &all}
	o := sizing.Option{Window: r.Shot.Window, Pieces: []sizing.Piece{
		piece(finding.RoleOverhead, "main", []finding.Span{morning, evening}, []finding.Span{morning, evening}),
		reflector, reflector,
		piece(finding.RoleFill, "bank", []finding.Span{}, []finding.Span{}),
		piece(finding.RoleNet, "main", []finding.Span{span(at(12, 0, 10), at(12, 0, 50))}, nil),
		piece(finding.RoleBlack, "main", []finding.Span{all}, []finding.Span{}),
	}}
	want := []string{
		"Overhead (1): may stand from 06:00 to 10:59 and from 18:01 to 24:00, all of it on watch.",
		"2 reflectors (2 to 3): may stand from 06:00 to 24:00, on watch from 12:00 to 13:31.",
		"Fill for bank (4): down all of that time.",
		"Background net (5): down all of that time.",
		"Black panel (6): may stand from 06:00 to 24:00.",
	}
	got := text.ForecastStands(text.Metres, &r, &o, true)
	if strings.Join(got, "\n") != strings.Join(want, "\n") {
		t.Errorf("%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
	if got, want := text.ForecastSays(text.Metres, &r), "By the forecast, from 06:00 to 24:00, which is not the wind on the spot: measure at each piece, and lower by what you measure."; got != want {
		t.Errorf("%s", got)
	}
	r.Forecast = nil
	if text.ForecastSays(text.Metres, &r) != "" || text.ForecastStands(text.Metres, &r, &o, false) != nil {
		t.Error("words about no forecast")
	}
}

func TestNotesOfAForecast(t *testing.T) {
	for want, n := range map[string]finding.Note{
		"By the forecast the overhead must be down from 16:30 to 16:46: gusts up to 9.0 m/s, to be lowered at 6.4.": finding.MustBeDown{
			Roles: []finding.Role{finding.RoleOverhead}, Times: []finding.Span{span(at(16, 30, 0), at(16, 45, 1))}, GustMS: 9, LowerAtMS: 6.49},
		"By the forecast the overhead, the fill and the lens shade must be down from 23:10 to 24:00 and from 19 June 01:00 to 19 June 02:00: " +
			"gusts up to 12.5 m/s, the first to be lowered at 6.4.": finding.MustBeDown{
			Roles: []finding.Role{finding.RoleOverhead, finding.RoleFill, finding.RoleCameraShade},
			Times: []finding.Span{span(at(23, 10, 59), at(24, 0, 0)), span(at(25, 0, 0), at(26, 0, 0))}, GustMS: 12.5, LowerAtMS: 6.4},
		"The forecast reaches from 18 June 06:00 to 19 June 03:00, not over all of the window: nothing is said of the rest.": finding.ForecastShort{From: at(6, 0, 0), To: at(27, 0, 0)},
	} {
		if got := text.Note(text.Metres, n); got != want {
			t.Errorf("%s\nwant %s", got, want)
		}
	}
	if says := text.Caution(text.Metres, finding.CautionForecast); !strings.Contains(says, "measured at the piece") {
		t.Errorf("%q", says)
	}
}

// The plan of a documented shot says it after the prices, and of options that stand alike once.
func TestThePlanTellsTheForecast(t *testing.T) {
	const rows = `"forecast": [{"at": "2027-06-18T06:00:00+01:00", "gust_ms": 0.5}, {"at": "2027-06-18T12:00:00+01:00", "gust_ms": 0.5}, {"at": "2027-06-18T14:00:00+01:00", "gust_ms": 30}]`
	plan := textOf(t, "01-two-anglers.json", `"window"`, rows+`, "window"`)
	brokenWell(t, plan)
	for _, want := range []string{
		"- The forecast reaches from 18 June 06:00 to 18 June 14:00, not over all of the window: nothing is said of the rest.",
		"By the forecast, from 06:00 to 14:00, which is not the wind on the spot: measure at each piece, and lower by what you measure. Overhead: may stand from 06:00 to 12:00.",
		"Forecast: it is made for a region and an hour",
	} {
		if !strings.Contains(flat(plan), want) {
			t.Errorf("lacks %q:\n%s", want, plan)
		}
	}
	if without := textOf(t, "01-two-anglers.json"); strings.Contains(without, "orecast") && strings.Contains(without, "may stand") {
		t.Error("a plan without a forecast speaks of one")
	}
}
