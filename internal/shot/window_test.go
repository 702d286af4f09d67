package shot

import (
	"strings"
	"testing"
	"time"

	"kitspan/internal/finding"
)

func draftWithWindow(zone, date, start, endDate, end string) Draft {
	d := bare()
	d.Site.TimeZone = &zone
	d.Window = DraftWindow{Date: &date, Start: &start, End: &end}
	if endDate != "" {
		d.Window.EndDate = &endDate
	}
	return d
}

// The clock changes are those of the IANA zone rules, checks.md section 11 (2025 and 2026), Apia's lost day of 2011,
// and for 2027 the European Union's rule: last Sundays of March and October at 01:00 UTC.
func TestWindowsAcrossClockChanges(t *testing.T) {
	tests := []struct {
		name                            string
		zone, date, start, endDate, end string
		from, to                        string // instants in UTC
		notes                           int
	}{
		{"a plain afternoon", "Europe/Lisbon", "2027-06-18", "16:30", "", "17:30", "2027-06-18T15:30:00Z", "2027-06-18T16:30:00Z", 0},
		{"over midnight", "Europe/Lisbon", "2027-06-18", "23:00", "2027-06-19", "00:30", "2027-06-18T22:00:00Z", "2027-06-18T23:30:00Z", 0},
		{"over a skipped hour", "Europe/Lisbon", "2027-03-28", "00:59", "", "02:00", "2027-03-28T00:59:00Z", "2027-03-28T01:00:00Z", 0},
		{"a repeated start is the first", "Europe/Lisbon", "2027-10-31", "01:30", "", "02:30", "2027-10-31T00:30:00Z", "2027-10-31T02:30:00Z", 1},
		{"the end of a repeated hour is the first", "Europe/Lisbon", "2027-10-31", "00:30", "", "01:59", "2027-10-30T23:30:00Z", "2027-10-31T00:59:00Z", 1},
		{"both repeated", "America/New_York", "2025-11-02", "01:00", "", "01:30", "2025-11-02T05:00:00Z", "2025-11-02T05:30:00Z", 2},
		{"after the repeated hour", "America/New_York", "2025-11-02", "02:00", "", "03:00", "2025-11-02T07:00:00Z", "2025-11-02T08:00:00Z", 0},
		{"after the skipped hour", "America/New_York", "2026-03-08", "03:00", "", "04:00", "2026-03-08T07:00:00Z", "2026-03-08T08:00:00Z", 0},
		{"half an hour repeated", "Australia/Lord_Howe", "2025-04-06", "01:45", "", "02:15", "2025-04-05T14:45:00Z", "2025-04-05T15:45:00Z", 1},
		{"just before the repeated half hour", "Australia/Lord_Howe", "2025-04-06", "01:29", "", "02:00", "2025-04-05T14:29:00Z", "2025-04-05T15:30:00Z", 0},
		{"after the skipped half hour", "Australia/Lord_Howe", "2025-10-05", "02:30", "", "03:00", "2025-10-04T15:30:00Z", "2025-10-04T16:00:00Z", 0},
		{"after a midnight that does not exist", "Africa/Cairo", "2025-04-25", "01:00", "", "02:00", "2025-04-24T22:00:00Z", "2025-04-24T23:00:00Z", 0},
		{"over a lost day", "Pacific/Apia", "2011-12-29", "23:00", "2011-12-31", "01:00", "2011-12-30T09:00:00Z", "2011-12-30T11:00:00Z", 0},
		{"a whole day", "Asia/Tokyo", "2027-01-01", "00:00", "2027-01-02", "00:00", "2026-12-31T15:00:00Z", "2027-01-01T15:00:00Z", 0},
		{"a leap day", "UTC", "2028-02-29", "09:00", "", "10:00", "2028-02-29T09:00:00Z", "2028-02-29T10:00:00Z", 0},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			s := mustResolve(t, draftWithWindow(test.zone, test.date, test.start, test.endDate, test.end))
			if got := s.Window.From.UTC().Format(time.RFC3339); got != test.from {
				t.Errorf("from %s, want %s", got, test.from)
			}
			if got := s.Window.To.UTC().Format(time.RFC3339); got != test.to {
				t.Errorf("to %s, want %s", got, test.to)
			}
			if got := s.Window.From.Format("2006-01-02 15:04"); got != test.date+" "+test.start {
				t.Errorf("its clock shows %s", got)
			}
			if s.Window.From.Location().String() != test.zone {
				t.Errorf("location %s", s.Window.From.Location())
			}
			if len(s.Notes) != test.notes {
				t.Errorf("notes %+v", s.Notes)
			}
			for _, n := range s.Notes {
				twice, ok := n.(finding.TimeTwice)
				if !ok || twice.TimeZone != test.zone || !twice.Taken.Equal(s.Window.From) && !twice.Taken.Equal(s.Window.To) {
					t.Errorf("note %+v", n)
				}
			}
		})
	}
}

func TestWindowFaults(t *testing.T) {
	tests := []struct {
		name                            string
		zone, date, start, endDate, end string
		pointer, holds                  string
	}{
		{"a start in a skipped hour", "Europe/Lisbon", "2027-03-28", "01:30", "", "03:00",
			"/shot/window/start", "does not exist in Europe/Lisbon: the clock goes from 2027-03-28 01:00 to 2027-03-28 02:00; give a time outside"},
		{"the skipped hour's first minute", "Europe/Lisbon", "2027-03-28", "01:00", "", "03:00",
			"/shot/window/start", "does not exist"},
		{"an end in a skipped hour", "America/New_York", "2026-03-08", "01:00", "", "02:59",
			"/shot/window/end", "from 2026-03-08 02:00 to 2026-03-08 03:00"},
		{"a skipped half hour", "Australia/Lord_Howe", "2025-10-05", "02:15", "", "03:00",
			"/shot/window/start", "from 2025-10-05 02:00 to 2025-10-05 02:30"},
		{"a midnight that does not exist", "Africa/Cairo", "2025-04-25", "00:00", "", "02:00",
			"/shot/window/start", "from 2025-04-25 00:00 to 2025-04-25 01:00"},
		{"a day that does not exist", "Pacific/Apia", "2011-12-30", "09:00", "2011-12-31", "08:00",
			"/shot/window/start", "from 2011-12-30 00:00 to 2011-12-31 00:00"},
		{"an end that the repeated hour puts before the start", "Europe/Lisbon", "2027-10-31", "01:30", "", "01:15",
			"/shot/window/end", "not after start"},
		{"an end before the start", "Europe/Lisbon", "2027-06-18", "17:30", "", "16:30",
			"/shot/window/end", "end 16:30 is not after start 17:30 on 2027-06-18; give a later end, or for a window over midnight end_date 2027-06-19"},
		{"an end at the start", "Europe/Lisbon", "2027-06-18", "17:30", "", "17:30", "/shot/window/end", "not after"},
		{"the hint over a year's end", "Europe/Lisbon", "2027-12-31", "17:30", "", "01:30", "/shot/window/end", "end_date 2028-01-01"},
		{"an end date before the date", "Europe/Lisbon", "2027-06-18", "16:30", "2027-06-17", "17:30",
			"/shot/window/end_date", "2027-06-17 17:30, is not after the start, 2027-06-18 16:30"},
		{"more than a day", "Europe/Lisbon", "2027-06-18", "16:30", "2027-06-19", "16:31",
			"/shot/window/end_date", "24h1m0s long; give an end at most 24 hours"},
		{"a day of 25 hours", "America/New_York", "2025-11-01", "09:00", "2025-11-02", "09:00",
			"/shot/window/end_date", "25h0m0s long"},
		{"an impossible date", "Europe/Lisbon", "2027-02-29", "16:30", "", "17:30",
			"/shot/window/date", `"2027-02-29", no date of the calendar; give one as YYYY-MM-DD`},
		{"a date the other way round", "Europe/Lisbon", "18-06-2027", "16:30", "", "17:30", "/shot/window/date", "YYYY-MM-DD"},
		{"an impossible end date", "Europe/Lisbon", "2027-06-18", "16:30", "2027-06-31", "17:30", "/shot/window/end_date", "YYYY-MM-DD"},
		{"a year mistyped", "Europe/Lisbon", "2207-06-18", "16:30", "", "17:30", "/shot/window/date", "from the years 1950 to 2100"},
		{"an hour of one digit", "Europe/Lisbon", "2027-06-18", "9:30", "", "17:30", "/shot/window/start", "give HH:MM from 00:00 to 23:59"},
		{"a time with seconds", "Europe/Lisbon", "2027-06-18", "09:30:00", "", "17:30", "/shot/window/start", "give HH:MM"},
		{"a minute too many", "Europe/Lisbon", "2027-06-18", "09:60", "", "17:30", "/shot/window/start", "give HH:MM"},
		{"midnight as 24:00", "Europe/Lisbon", "2027-06-18", "16:30", "", "24:00", "/shot/window/end", "00:00 of the next, with end_date"},
		{"a sign for a digit", "Europe/Lisbon", "2027-06-18", "+9:30", "", "17:30", "/shot/window/start", "give HH:MM"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			_, faults := draftWithWindow(test.zone, test.date, test.start, test.endDate, test.end).Resolve()
			if len(faults) != 1 || faults[0].Pointer != test.pointer || !strings.Contains(Said(faults[0]), test.holds) {
				t.Errorf("faults %+v, want %s with %q", faults, test.pointer, test.holds)
			}
		})
	}
}

// TestEveryMinuteAgainstTheClock goes the slow other way: it runs the instants of a change's two days through the
// zone's clock and looks up which show each minute.
func TestEveryMinuteAgainstTheClock(t *testing.T) {
	for zone, noon := range map[string]time.Time{
		"Europe/Lisbon":       time.Date(2027, 3, 28, 12, 0, 0, 0, time.UTC),
		"America/New_York":    time.Date(2025, 11, 2, 12, 0, 0, 0, time.UTC),
		"Australia/Lord_Howe": time.Date(2025, 4, 6, 12, 0, 0, 0, time.UTC),
		"Africa/Cairo":        time.Date(2025, 4, 25, 12, 0, 0, 0, time.UTC),
		"Pacific/Apia":        time.Date(2011, 12, 30, 12, 0, 0, 0, time.UTC),
		"Asia/Kathmandu":      time.Date(2027, 6, 18, 12, 0, 0, 0, time.UTC), // +05:45, no change
	} {
		loc, err := time.LoadLocation(zone)
		if err != nil {
			t.Fatal(err)
		}
		shown := map[string][]time.Time{}
		for at := noon.Add(-48 * time.Hour); at.Before(noon.Add(48 * time.Hour)); at = at.Add(time.Minute) {
			wall := at.In(loc).Format("2006-01-02 15:04")
			shown[wall] = append(shown[wall], at)
		}
		for wall := noon.Add(-24 * time.Hour); wall.Before(noon.Add(24 * time.Hour)); wall = wall.Add(time.Minute) {
			want := shown[wall.Format("2006-01-02 15:04")]
			got, gap := wallInstants(wall, loc)
			if len(got) != len(want) {
				t.Fatalf("%s %s: %d instants, want %d", zone, wall, len(got), len(want))
			}
			for i := range got {
				if !got[i].Equal(want[i]) {
					t.Fatalf("%s %s: %s, want %s", zone, wall, got[i], want[i])
				}
			}
			if inGap := !wall.Before(gap.before) && wall.Before(gap.after); inGap != (len(want) == 0) {
				t.Fatalf("%s %s: gap %v, %d instants", zone, wall, gap, len(want))
			}
		}
	}
}
