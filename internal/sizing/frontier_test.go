//go:build !race

// Arithmetic in one goroutine, where the race detector finds nothing and takes eight times as long: deploy/tests.sh runs this without it.

package sizing

import (
	"slices"
	"testing"

	"kitspan/internal/finding"
	"kitspan/internal/overhead"
)

// choice is an option by what it takes; rank is by its area.
func choice(state finding.State, areaM2 float64, totalMinor int64, people int, massKg float64, minutes int) Option {
	o := Option{State: state, areaM2: areaM2, totalMinor: totalMinor, rank: overhead.Rank{areaM2, areaM2, float64(totalMinor)}, Label: LabelOverhead}
	o.Crew.Total, o.Crew.RigMin, o.Load.MassKg = people, minutes, massKg
	switch state {
	case finding.DoesLess:
		o.GivesUp = []finding.Shortfall{{What: finding.Net}}
	case finding.OverLimit:
		o.Broken = []finding.Note{finding.OverCrew{}}
	case finding.DoesIt:
	}
	return o
}

func TestFrontierKeepsWhatIsBetterInSomething(t *testing.T) {
	t.Parallel()
	small := choice(finding.DoesIt, 6, 100_000, 4, 500, 120)
	for _, c := range []struct {
		what string
		o    Option
		kept bool
	}{
		{"larger and cheaper", choice(finding.DoesIt, 9, 90_000, 4, 500, 120), true},
		{"larger, with a person fewer", choice(finding.DoesIt, 9, 110_000, 3, 500, 120), true},
		{"larger and lighter", choice(finding.DoesIt, 9, 110_000, 4, 400, 120), true},
		{"larger and quicker", choice(finding.DoesIt, 9, 110_000, 4, 500, 100), true},
		{"larger, and no better", choice(finding.DoesIt, 9, 100_000, 4, 500, 120), false},
		{"larger, and cheaper by what nobody chooses by", choice(finding.DoesIt, 9, 99_000, 4, 499, 118), false},
		{"does less for less", choice(finding.DoesLess, 0, 50_000, 1, 100, 60), true},
		{"does less for as much", choice(finding.DoesLess, 6, 100_000, 4, 500, 120), false},
		{"over a limit, and larger", choice(finding.OverLimit, 9, 100_000, 5, 500, 120), false},
		{"over a limit, and smaller", choice(finding.OverLimit, 3, 100_000, 5, 500, 120), true},
	} {
		p := pool{pl: &planner{frames: &overhead.Planner{}}, options: []Option{small, c.o}}
		got := p.frontier()
		if kept := len(got) == 2; kept != c.kept || got[0].areaM2 != small.areaM2 {
			t.Errorf("%s: %d kept, the first of %v m²", c.what, len(got), got[0].areaM2)
		}
	}
}

// TestFrontierIsShort keeps six of many, all that are best in something among them.
func TestFrontierIsShort(t *testing.T) {
	t.Parallel()
	var many []Option
	for i := range 12 { // larger and cheaper, step by step; the tenth is the lightest
		kg := 500.0
		if i == 9 {
			kg = 300
		}
		many = append(many, choice(finding.DoesIt, 5+float64(i), int64(100_000-4000*i), 4, kg, 120))
	}
	p := pool{pl: &planner{frames: &overhead.Planner{}}, options: many}
	got := p.frontier()
	if len(got) != mostOptions {
		t.Fatalf("%d options", len(got))
	}
	for _, areaM2 := range []float64{5, 14, 16} {
		if !slices.ContainsFunc(got, func(o Option) bool { return o.areaM2 == areaM2 }) {
			t.Errorf("the option of %v m² is best in something, and left out", areaM2)
		}
	}
	if !slices.Equal(got[0].BestIn, []finding.Measure{finding.MeasureFrame, finding.MeasurePeople, finding.MeasureTime}) {
		t.Errorf("the smallest frame is best in %v", got[0].BestIn)
	}
}
