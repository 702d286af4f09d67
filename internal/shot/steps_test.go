package shot

import (
	"fmt"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"kitspan/internal/finding"
)

func TestStepsLeftOutFollowTheSun(t *testing.T) {
	place := func(lat, lon float64, zone, date string) func(*Draft) {
		return func(d *Draft) {
			d.Site.LatitudeDeg, d.Site.LongitudeDeg, d.Site.TimeZone, d.Window.Date = &lat, &lon, &zone, &date
		}
	}
	for name, tc := range map[string]struct {
		change     func(*Draft)
		start, end string
		count      int // of ten minutes
	}{
		// By hand: the equation of time is -7.2 min on that day (almanac, from memory), half the day 6 h 3.4 min (0.8333°
		// below the horizon at 15° an hour): 12:07.2 -/+ 6:03.4.
		"equinox at the equator": {place(0, 0, "UTC", "2027-03-21"), "06:04", "18:11", 73},
		"midnight sun":           {place(78.22, 15.65, "Arctic/Longyearbyen", "2027-06-18"), "00:00", "24:00", 144},
		"polar night":            {place(78.22, 15.65, "Arctic/Longyearbyen", "2027-12-18"), "00:00", "24:00", 144},
		"roofed":                 {func(d *Draft) { d.Site.Roofed = ptr(true) }, "00:00", "24:00", 144},
		"roofed, a day of 23 h": {func(d *Draft) {
			d.Site.Roofed, d.Window.Date = ptr(true), ptr("2027-03-28") // Directive 2000/84/EC: last Sunday of March
		}, "00:00", "24:00", 138},
		// The clock of Havana goes from 0:00 to 1:00 on the second Sunday of March (tz database), so that the day has no midnight.
		"roofed, a day without midnight": {func(d *Draft) {
			d.Site.Roofed, d.Site.TimeZone, d.Window.Date = ptr(true), ptr("America/Havana"), ptr("2027-03-14")
		}, "01:00", "24:00", 138},
		// A clock far from the site's own time: the sun of Greenwich rises about 18:00 and sets about 06:00 at UTC+12.
		"a sun that sets before it rises": {place(0, 0, "Etc/GMT-12", "2027-03-21"), "18:04", "24:00", 36},
	} {
		t.Run(name, func(t *testing.T) {
			d := bare()
			tc.change(&d)
			s, faults := DraftSteps{}.Resolve(mustResolve(t, d))
			if len(faults) > 0 {
				t.Fatal(faults)
			}
			if s.StepMin != 10 || !within(s.Start, tc.start, 1) || !within(s.End, tc.end, 1) || s.Count() < tc.count-1 || s.Count() > tc.count+1 {
				t.Errorf("%d min from %s to %s in %d steps, want %s to %s in %d", s.StepMin, s.Start, s.End, s.Count(), tc.start, tc.end, tc.count)
			}
			if s.From.Second() != 0 || s.From.Nanosecond() != 0 {
				t.Errorf("from %s, not a whole minute", s.From)
			}
			again, faults := DraftSteps{From: &s.Start, To: &s.End, StepMin: &s.StepMin}.Resolve(mustResolve(t, d))
			if diff := cmp.Diff(s, again); len(faults) > 0 || diff != "" {
				t.Errorf("given as answered: %v (-left out +given)\n%s", faults, diff)
			}
		})
	}
}

// within reports whether two times of day differ by no more than some minutes.
func within(a, b string, minutes int) bool {
	parse := func(s string) int {
		var h, m int
		if _, err := fmt.Sscanf(s, "%d:%d", &h, &m); err != nil {
			return -1000
		}
		return 60*h + m
	}
	d := parse(a) - parse(b)
	return d >= -minutes && d <= minutes
}

func TestStepsAsTheyAreSaid(t *testing.T) {
	s, faults := DraftSteps{StepMin: ptr(7), From: ptr("09:05"), To: ptr("24:00")}.Resolve(mustResolve(t, bare()))
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	lisbon := s.From.Location()
	want := Steps{StepMin: 7, Start: "09:05", End: "24:00",
		From: time.Date(2027, 6, 18, 9, 5, 0, 0, lisbon), To: time.Date(2027, 6, 19, 0, 0, 0, 0, lisbon)}
	if diff := cmp.Diff(want, s); diff != "" {
		t.Errorf("(-want +got)\n%s", diff)
	}
	if s.Count() != 128 { // 895 minutes are 127 steps of 7 and 6 minutes more
		t.Errorf("%d steps", s.Count())
	}
}

func TestATimeOfStepsThatOccursTwiceIsTheFirstWithANote(t *testing.T) {
	d := bare()
	d.Window.Date = ptr("2027-10-31")
	s, faults := DraftSteps{From: ptr("01:30"), To: ptr("12:00")}.Resolve(mustResolve(t, d))
	if want := (finding.TimeTwice{Field: "from", Clock: "2027-10-31 01:30", TimeZone: "Europe/Lisbon", Taken: s.From}); len(faults) > 0 ||
		s.From.UTC().Hour() != 0 || len(s.Notes) != 1 || s.Notes[0] != finding.Note(want) {
		t.Errorf("%+v %v", s, faults)
	}
}

func TestFaultsOfSteps(t *testing.T) {
	spring, autumn := bare(), bare()
	spring.Window.Date, autumn.Window.Date = ptr("2027-03-28"), ptr("2027-10-31") // Directive 2000/84/EC
	for name, tc := range map[string]struct {
		draft Draft
		steps DraftSteps
		want  map[string]string
	}{
		"no step":       {bare(), DraftSteps{StepMin: ptr(0)}, map[string]string{"/step_min": "step_min is 0, out of range; give a value from 1 to 120 minutes"}},
		"a long step":   {bare(), DraftSteps{StepMin: ptr(121)}, map[string]string{"/step_min": "is 121, out of range"}},
		"no times":      {bare(), DraftSteps{From: ptr("6"), To: ptr("24:01")}, map[string]string{"/from": `from is "6", no time of day; give HH:MM from 00:00 to 23:59`, "/to": `to is "24:01", no time of day; give HH:MM from 00:00 to 24:00`}},
		"midnight last": {bare(), DraftSteps{From: ptr("24:00")}, map[string]string{"/from": "no time of day"}},
		"backwards":     {bare(), DraftSteps{From: ptr("18:00"), To: ptr("09:00")}, map[string]string{"/to": "from 18:00 is not before to 09:00; give an earlier from or a later to"}},
		"at once":       {bare(), DraftSteps{From: ptr("18:00"), To: ptr("18:00")}, map[string]string{"/to": "not before"}},
		// Lisbon in the middle of June, sunrise 06:12 and sunset 21:04: almanac, from memory.
		"after sunset": {bare(), DraftSteps{From: ptr("22:30")}, map[string]string{"/from": "from 22:30 is not before to 21:04 (by default, sunset)"}},
		"before dawn":  {bare(), DraftSteps{To: ptr("05:00")}, map[string]string{"/to": "from 06:12 (by default, sunrise) is not before to 05:00"}},
		"a gap":        {spring, DraftSteps{From: ptr("01:30")}, map[string]string{"/from": "does not exist in Europe/Lisbon"}},
		"every minute of a day of 25 h": {autumn, DraftSteps{StepMin: ptr(1), From: ptr("00:00"), To: ptr("24:00")},
			map[string]string{"/step_min": "step_min 1 makes 1500 steps from 00:00 to 24:00; give one that makes at most 1440"}},
		"of a faulty shot": {Draft{}, DraftSteps{StepMin: ptr(500), From: ptr("noon")}, map[string]string{"/step_min": "is 500", "/from": `"noon"`}},
	} {
		t.Run(name, func(t *testing.T) {
			shot, _ := tc.draft.Resolve()
			s, faults := tc.steps.Resolve(shot)
			got := saidOf(faults, tc.want)
			if diff := cmp.Diff(tc.want, got); diff != "" {
				t.Errorf("(-want +got)\n%s", diff)
			}
			if !cmp.Equal(s, Steps{}) {
				t.Errorf("faulty steps made %+v", s)
			}
		})
	}
}
