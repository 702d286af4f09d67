package job

import (
	"slices"
	"testing"
	"time"

	"kitspan/internal/shot"
)

// movable is a job of one shot that may be moved within a span of a day in a zone.
func movable(tb testing.TB, zone, date, earliest, latest string, minutes int) Job {
	tb.Helper()
	name, number, place, latitude, longitude, bearing, width, distance := "By night", "1", "quay", 38.7, -9.2, 200.0, 1.4, 3.0
	d := Draft{Name: &name, Places: map[string]Place{place: {DraftSite: shot.DraftSite{LatitudeDeg: &latitude, LongitudeDeg: &longitude, TimeZone: &zone}}}}
	one := DraftShot{Number: &number, Place: &place, When: &DraftWhen{Date: &date, Earliest: &earliest, Latest: &latest, DurationMin: &minutes}}
	one.Camera.BearingDeg, one.Framing.WidthM, one.Framing.DistanceM = &bearing, &width, &distance
	d.Shots = []DraftShot{one}
	j, faults := d.Resolve()
	if len(faults) > 0 {
		tb.Fatal(faults)
	}
	return j
}

// Where clocks change, a movable shot takes as long as on any other day, and each start is another.
func TestStartsOfAMovableShotTakeTheirTime(t *testing.T) {
	for _, tc := range []struct {
		name, zone, date, earliest, latest string
		minutes                            int
		starts                             []string // by the clock, in UTC
	}{
		{"on any day", "Europe/Lisbon", "2027-06-15", "14:20", "15:30", 40, []string{"13:20", "13:30", "13:45"}},
		{"on a quarter", "Europe/Lisbon", "2027-06-15", "14:30", "15:10", 25, []string{"13:30", "13:45"}},
		{"with no more room than it takes", "Europe/Lisbon", "2027-06-15", "14:20", "15:00", 40, []string{"13:20"}},
		{"through an hour that is left out", "Europe/Lisbon", "2027-03-28", "00:30", "02:30", 45, []string{"00:30", "00:45"}},
		{"where an hour comes twice", "Europe/Lisbon", "2027-10-31", "00:30", "02:30", 45, []string{"23:30", "23:45", "00:00"}},
		{"past an hour that comes twice", "Europe/Lisbon", "2027-10-31", "00:30", "03:00", 30, []string{"23:30", "23:45", "00:00", "00:15", "02:00", "02:15", "02:30"}},
		{"where half an hour comes twice", "Australia/Lord_Howe", "2027-04-04", "01:10", "02:30", 15, []string{"14:10", "14:15", "14:30", "15:30", "15:45"}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			s := &movable(t, tc.zone, tc.date, tc.earliest, tc.latest, tc.minutes).Shots[0]
			var got []string
			for _, w := range s.When.starts(s.Window.From.Location()) {
				at := s.At(w).Window
				if at.From.IsZero() {
					continue
				}
				got = append(got, at.From.UTC().Format("15:04"))
				if took := at.To.Sub(at.From); took != time.Duration(tc.minutes)*time.Minute {
					t.Errorf("from %s to %s it takes %s, want %d minutes", at.From, at.To, took, tc.minutes)
				}
			}
			if !slices.Equal(got, tc.starts) {
				t.Errorf("starts at %v, want %v", got, tc.starts)
			}
		})
	}
}
