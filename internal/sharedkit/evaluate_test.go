package sharedkit

import (
	"fmt"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// Worked out by hand: at one place those up at once share who is in charge (the most that one of them asks), each place has its own, and
// hands add up.
func TestWhoIsInChargeIsSharedAtAPlace(t *testing.T) {
	shot := func(from, place, lead, hands int) Shot {
		return Shot{Place: place, Options: []Option{{From: from, To: from + 60, Roles: []Use{{0, lead}, {1, hands}}}}}
	}
	for name, tc := range map[string]struct {
		shots []Shot
		want  []int
	}{
		"one place":                {[]Shot{shot(0, 0, 1, 2), shot(30, 0, 1, 3)}, []int{1, 5}},
		"two in charge of one":     {[]Shot{shot(0, 0, 1, 2), shot(30, 0, 2, 3)}, []int{2, 5}},
		"two places":               {[]Shot{shot(0, 0, 1, 2), shot(30, 1, 1, 3)}, []int{2, 5}},
		"two places, three shots":  {[]Shot{shot(0, 0, 1, 2), shot(30, 1, 1, 3), shot(45, 1, 1, 1)}, []int{2, 6}},
		"one after the other":      {[]Shot{shot(0, 0, 1, 2), shot(60, 1, 1, 3)}, []int{1, 3}},
		"nobody in charge of some": {[]Shot{shot(0, 0, 0, 2), shot(30, 1, 1, 3)}, []int{1, 5}},
	} {
		t.Run(name, func(t *testing.T) {
			p := &Problem{Days: 1, Roles: []Role{{Rates: []int64{300}, Shared: true}, {Rates: []int64{200}}}, Shots: tc.shots}
			pl := p.Evaluate(make([]int, len(tc.shots)))
			if diff := cmp.Diff(tc.want, pl.People[0]); diff != "" {
				t.Error(diff)
			}
			if want := int64(300*tc.want[0] + 200*tc.want[1]); pl.LabourMinor != want {
				t.Errorf("labour %d, want %d", pl.LabourMinor, want)
			}
		})
	}
}

// A day's vehicles are asked for once, for what is hired that day without machines, and for those who drive or ride; not on a day between,
// on which nothing is shot.
func TestVehiclesAreAskedForWhatADayBrings(t *testing.T) {
	week := make(Charges, 3) // kept over the idle day it costs as much as one day
	for first := range week {
		for range 3 - first {
			week[first] = append(week[first], 50)
		}
	}
	free := []int{9, 9, 9}
	var asked []string
	p := &Problem{
		Days:  3,
		Items: []Item{{Charges: week, Free: free, MassKg: 10, VolumeM3: 0.5}, {Charges: Flat(3, 7), Free: free, MassKg: 900, VolumeM3: 8, Alone: true}},
		Roles: []Role{{Rates: []int64{1, 1, 1}}, {Rates: []int64{1, 1, 1}, Apart: true}},
		Haul: func(day int, l Load, hands int) (int64, bool) {
			asked = append(asked, fmt.Sprintf("day %d: %g kg, %g m3, heaviest %g kg, bulkiest %g m3, %d hands", day, l.MassKg, l.VolumeM3, l.HeaviestKg, l.BulkiestM3, hands))
			return int64(100 * (day + 1)), true
		},
	}
	for _, day := range []int{0, 2} {
		p.Shots = append(p.Shots, Shot{Day: day, Options: []Option{{From: 1440 * day, To: 1440*day + 60, Items: []Use{{0, 2}, {1, 1}}, Roles: []Use{{0, 2 + day}, {1, 1}}}}})
	}
	pl := p.Evaluate([]int{0, 0})
	want := []string{"day 0: 20 kg, 1 m3, heaviest 10 kg, bulkiest 0.5 m3, 2 hands", "day 2: 20 kg, 1 m3, heaviest 10 kg, bulkiest 0.5 m3, 4 hands"}
	if diff := cmp.Diff(want, asked); diff != "" {
		t.Error(diff)
	}
	if pl.TransportMinor != 400 || pl.HireMinor != 2*50+2*7 || pl.MassKg != 920 {
		t.Errorf("transport %d, hire %d, heaviest day %g kg; want 400, 114, 920", pl.TransportMinor, pl.HireMinor, pl.MassKg)
	}
}
