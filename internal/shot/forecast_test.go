package shot

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"kitspan/internal/fault"
)

func row(at string, gustMS float64) DraftForecastRow {
	return DraftForecastRow{At: &at, GustMS: &gustMS}
}

func TestForecastsAreReadInOrder(t *testing.T) {
	d := bare()
	d.Forecast = []DraftForecastRow{row("2027-06-18T15:00:00Z", 4), row("2027-06-18T16:00:00+01:00", 40), row("2027-06-18T18:30:15.5+02:00", 0)}
	d.Forecast[0].At, d.Forecast[1].Cloud = ptr("2027-06-18T14:00:00Z"), ptr(1.0)
	got := mustResolve(t, d).Forecast
	if len(got) != 3 || got[1].Cloud == nil || *got[1].Cloud != 1 || got[0].Cloud != nil || got[1].GustMS != 40 {
		t.Fatalf("read as %+v", got)
	}
	// Lisbon is an hour ahead of UTC in June.
	for i, want := range []string{"2027-06-18T15:00:00+01:00", "2027-06-18T16:00:00+01:00", "2027-06-18T17:30:15.5+01:00"} {
		if at := got[i].At.Format(time.RFC3339Nano); at != want {
			t.Errorf("row %d is of %s, want %s", i, at, want)
		}
	}
}

// The same forecast as rows and as tables of every kind.
func TestForecastsAsCSV(t *testing.T) {
	d := bare()
	d.Forecast = []DraftForecastRow{row("2027-06-18T16:00:00+01:00", 6.5), row("2027-06-18T17:00:00+01:00", 7.25)}
	d.Forecast[0].Cloud = ptr(0.2)
	want := mustResolve(t, d)
	for name, table := range map[string]string{
		"commas":               "at,gust_ms,cloud\n2027-06-18 16:00,6.5,0.2\n2027-06-18 17:00,7.25,\n",
		"semicolons":           "at;gust_ms;cloud\r\n2027-06-18 16:00;6,5;0,2\r\n2027-06-18 17:00;7,25\r\n",
		"tabs":                 "at\tgust_ms\tcloud\n2027-06-18 16:00\t6.5\t0,2\n2027-06-18 17:00\t7.25",
		"columns as they come": "\ufeff\n Cloud , GUST_MS , at \n\n0.2, 6.5, 2027-06-18T16:00\n,7.25,2027-06-18T17:00:00",
		"quotes":               `"at","gust_ms","cloud"` + "\n" + `"2027-06-18 16:00","6.5","0.2"` + "\n" + `"2027-06-18 17:00:00","7.25",""`,
		"offsets":              "at,gust_ms,cloud\n2027-06-18T15:00:00Z,6.5,0.2\n2027-06-18T18:00:00+02:00,7.25e0",
	} {
		d := bare()
		d.ForecastCSV = &table
		if diff := cmp.Diff(want, mustResolve(t, d), cmp.Comparer(sameInstant)); diff != "" {
			t.Errorf("%s (-rows +table)\n%s", name, diff)
		}
	}
}

// In Lisbon clocks are put back on 31 October 2027 from 02:00 to 01:00 (UTC), as zones of the European Union are.
func TestTheHourThatComesTwiceIsTakenInTurn(t *testing.T) {
	d := bare()
	d.ForecastCSV = ptr("at,gust_ms\n2027-10-31 00:30,5\n2027-10-31 01:30,6\n2027-10-31 01:30,7\n2027-10-31 02:30,8\n")
	for i, row := range mustResolve(t, d).Forecast {
		if want := time.Date(2027, 10, 30, 23+i, 30, 0, 0, time.UTC); !row.At.Equal(want) {
			t.Errorf("row %d is of %s, want %s", i, row.At, want)
		}
	}
}

func TestFaultsOfForecasts(t *testing.T) {
	gust := fault.Range{Most: 40, Unit: "m/s"}
	many := make([]DraftForecastRow, 401)
	lines := "at,gust_ms\n" + strings.Repeat("never,many\n", 401)
	for name, tc := range map[string]struct {
		rows  []DraftForecastRow
		table string
		want  []fault.Fault
		says  string // of the first
	}{
		"back in time": {
			rows: []DraftForecastRow{row("2027-06-18T16:00:00+01:00", 4), row("2027-06-18T17:00:00+01:00", 4), row("2027-06-18T15:59:00Z", 4), row("2027-06-18T18:00:00+01:00", 4)},
			want: []fault.Fault{{Pointer: "/shot/forecast/2/at", Kind: fault.NotLater{At: "2027-06-18T16:59:00+01:00", Before: "2027-06-18T17:00:00+01:00"}}},
			says: "at is 2027-06-18T16:59:00+01:00, not later than 2027-06-18T17:00:00+01:00 in the row before; put the rows in the order of time, each time once",
		},
		"twice the same time": {
			rows: []DraftForecastRow{row("2027-06-18T16:00:00+01:00", 4), row("2027-06-18T15:00:00Z", 4)},
			want: []fault.Fault{{Pointer: "/shot/forecast/1/at", Kind: fault.NotLater{At: "2027-06-18T16:00:00+01:00", Before: "2027-06-18T16:00:00+01:00"}}},
		},
		"a local time in rows": {
			rows: []DraftForecastRow{row("2027-06-18T16:00", 4)},
			want: []fault.Fault{{Pointer: "/shot/forecast/0/at", Kind: fault.NotAnInstant{Got: "2027-06-18T16:00"}}},
			says: `at is "2027-06-18T16:00", no time with its offset; give date and time with the offset from UTC, such as 2027-06-18T16:00:00+01:00; in CSV a local time such as 2027-06-18 16:00 will do`,
		},
		"a storm, and nothing": {
			rows: []DraftForecastRow{row("2027-06-18T16:00:00+01:00", 40.5), {}},
			want: []fault.Fault{
				{Pointer: "/shot/forecast/0/gust_ms", Kind: fault.OutOfRange{Got: 40.5, Range: gust}},
				{Pointer: "/shot/forecast/1/at", Kind: fault.Missing{Want: fault.WantInstant}},
				{Pointer: "/shot/forecast/1/gust_ms", Kind: fault.Missing{Want: fault.WantNumber, Range: &gust}},
			},
			says: "gust_ms is 40.5, out of range; give a value from 0 to 40 m/s",
		},
		"another age": {
			rows: []DraftForecastRow{row("1949-06-18T16:00:00+01:00", 4)},
			want: []fault.Fault{{Pointer: "/shot/forecast/0/at", Kind: fault.YearOutOfRange{Got: "1949-06-18T16:00:00+01:00", LeastYear: 1950, MostYear: 2100}}},
		},
		"too many rows":  {rows: many, want: []fault.Fault{{Pointer: "/shot/forecast", Kind: fault.TooMany{Count: 401, Most: 400}}}, says: "forecast has 401 rows; give at most 400"},
		"too many lines": {table: lines, want: []fault.Fault{{Pointer: "/shot/forecast", Line: 1, Kind: fault.TooMany{Count: 401, Most: 400}}}},
		"both": {rows: many[:0], table: "at,gust_ms\n", want: []fault.Fault{{Pointer: "/shot/forecast", Kind: fault.BothGiven{Beside: []string{"csv"}, Sets: [][]string{{"forecast"}, {"csv"}}}}},
			says: "forecast is given beside a forecast as CSV; give one of them"},
		"no rows under the heading": {table: "\nat,gust_ms\n\n", want: []fault.Fault{{Pointer: "/shot/forecast", Line: 2, Kind: fault.Missing{Want: fault.WantRows}}},
			says: "forecast has no rows under the names of its columns; give one a line, or leave it out"},
		"no heading": {table: "2027-06-18 16:00,5", want: []fault.Fault{{Pointer: "/shot/forecast", Line: 1,
			Kind: fault.WrongColumns{Got: "2027-06-18 16:00,5", Columns: []string{"at", "gust_ms"}, MayBe: []string{"cloud"}}}},
			says: `forecast begins with "2027-06-18 16:00,5"; give the names of the columns in its first line: at, gust_ms, and if you like cloud`},
		"a column twice":   {table: "at,gust_ms,at", want: []fault.Fault{{Pointer: "/shot/forecast", Line: 1, Kind: fault.WrongColumns{Got: "at,gust_ms,at", Columns: []string{"at", "gust_ms"}, MayBe: []string{"cloud"}}}}},
		"a column missing": {table: "at,cloud", want: []fault.Fault{{Pointer: "/shot/forecast", Line: 1, Kind: fault.WrongColumns{Got: "at,cloud", Columns: []string{"at", "gust_ms"}, MayBe: []string{"cloud"}}}}},
		"bad cells": {
			table: "at,gust_ms,cloud\n2027-06-18 16:00,5,80\n\n18.06.2027 17:00,gale,0x1\n,5\n2027-06-18 15:00,6,0.1,0\n2027-06-18 15:30,7\n2027-06-18 15:15,inf",
			want: []fault.Fault{
				{Pointer: "/shot/forecast", Line: 6, Kind: fault.WrongCells{Count: 4, Most: 3}},
				{Pointer: "/shot/forecast/0/cloud", Line: 2, Column: "cloud", Kind: fault.OutOfRange{Got: 80, Range: fault.Range{Most: 1, Unit: "of the sky"}}},
				{Pointer: "/shot/forecast/1/at", Line: 4, Column: "at", Kind: fault.NotAnInstant{Got: "18.06.2027 17:00"}},
				{Pointer: "/shot/forecast/1/gust_ms", Line: 4, Column: "gust_ms", Kind: fault.NotANumber{Got: "gale", Range: gust}},
				{Pointer: "/shot/forecast/1/cloud", Line: 4, Column: "cloud", Kind: fault.NotANumber{Got: "0x1", Range: fault.Range{Most: 1, Unit: "of the sky"}}},
				{Pointer: "/shot/forecast/2/at", Line: 5, Column: "at", Kind: fault.Missing{Want: fault.WantInstant}},
				{Pointer: "/shot/forecast/4/at", Line: 8, Column: "at", Kind: fault.NotLater{At: "2027-06-18T15:15:00+01:00", Before: "2027-06-18T15:30:00+01:00"}},
				{Pointer: "/shot/forecast/4/gust_ms", Line: 8, Column: "gust_ms", Kind: fault.NotANumber{Got: "inf", Range: gust}},
			},
			says: "forecast has 4 cells here and 3 in its first line; give one for each column, with a point for the decimals",
		},
		"an hour that is skipped": {table: "at,gust_ms\n2027-03-28 01:30,5", want: []fault.Fault{{Pointer: "/shot/forecast/0/at", Line: 2, Column: "at",
			Kind: fault.SkippedTime{At: "2027-03-28 01:30", Zone: "Europe/Lisbon", Before: "2027-03-28 01:00", After: "2027-03-28 02:00"}}}},
	} {
		d := bare()
		d.Forecast = tc.rows
		if tc.table != "" {
			d.ForecastCSV = &tc.table
		}
		_, faults := d.Resolve()
		if diff := cmp.Diff(tc.want, faults); diff != "" {
			t.Errorf("%s (-want +got)\n%s", name, diff)
		} else if got := Said(faults[0]); tc.says != "" && got != tc.says {
			t.Errorf("%s: %s", name, got)
		}
	}
}

// Without a zone nothing is said of the times that need one.
func TestALocalForecastWithoutAZoneIsNotBlamed(t *testing.T) {
	d := bare()
	d.Site.TimeZone, d.ForecastCSV = nil, ptr("at,gust_ms\n2027-06-18 16:00,5\n2027-06-18 15:00,5")
	_, faults := d.Resolve()
	if got := fmt.Sprint(pointers(faults)); got != "[/shot/site/time_zone]" {
		t.Error(got)
	}
}
