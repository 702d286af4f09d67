package sizing_test

import (
	"testing"

	"kitspan/internal/finding"
	"kitspan/internal/shot"
)

// A day is paid for so many hours: what goes beyond is said, since it is not in the total.
func TestADayBeyondTheHoursOfARateIsNoted(t *testing.T) {
	for _, tc := range []struct {
		start string
		long  bool
	}{{"08:00", true}, {"16:00", false}} {
		d := window(tc.start, "18:30")
		d.Look.Soften = is(shot.SoftenOff)
		res := plan(t, d)
		o := &res.Options[0]
		noted := 0
		for _, n := range o.Notes {
			if l, ok := n.(finding.LongDay); ok {
				noted++
				want := o.Window.To.Sub(o.Window.From).Hours() + float64(o.Crew.RigMin+o.Crew.StrikeMin)/60
				if l.Hours != want || l.Hours <= l.HoursPerDay {
					t.Errorf("from %s: noted %+v, want %.2f h", tc.start, l, want)
				}
			}
		}
		if o.Crew.Total == 0 || (noted > 0) != tc.long {
			t.Errorf("from %s: %d people, %d notes of a long day", tc.start, o.Crew.Total, noted)
		}
	}
}
