//go:build !race

// Arithmetic in one goroutine, where the race detector finds nothing and takes eight times as long: deploy/tests.sh runs this without it.

package sizing_test

import (
	"slices"
	"testing"

	"github.com/bojanz/currency"

	"kitspan/internal/finding"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
)

// TestLimitsAreSearched: where what does it all is over a limit, a plan that softens and keeps the limit comes first at the hour asked, with
// less than the look asks, and says what that is.
func TestLimitsAreSearched(t *testing.T) {
	t.Parallel()
	_, d := exampleDraft(t, "../../docs/examples/02-letter-close-up.json")
	d.Limits = shot.DraftLimits{}
	free := plan(t, d).Options[0]
	if free.State != finding.DoesIt {
		t.Fatalf("%s, gives up %v", free.State, free.GivesUp)
	}
	lighter := 0.7 * free.Load.MassKg
	d.Limits.MassKg = &lighter
	r := plan(t, d)
	first := then(r)
	out, told := noted[finding.LeftOut](first)
	if first.State != finding.DoesLess || first.Load.MassKg > lighter || first.GivesUpOn(finding.Softening) || !told || !first.GivesUpOn(out.What[0]) {
		t.Errorf("%.0f kg at most: first %s with %.0f kg, gives up %v, left out %v", lighter, first.State, first.Load.MassKg, first.GivesUp, out.What)
	}
	for _, what := range out.What {
		if what == finding.Net || what == finding.Zone || what == finding.Back {
			t.Errorf("the %s is told to be left out, which is not asked", what)
		}
	}
	for _, o := range r.Options {
		over := o.Load.MassKg > lighter
		if over != (o.State == finding.OverLimit) || over != slices.Contains(o.Broken, finding.Note(finding.OverMass{MassKg: o.Load.MassKg, LimitKg: lighter})) {
			t.Errorf("%s: %s with %.0f kg, broken %v", o.Name, o.State, o.Load.MassKg, o.Broken)
		}
	}
}

// TestADayHasALimit bounds hire, labour and transport together, and one vehicle all that is brought.
func TestADayHasALimit(t *testing.T) {
	t.Parallel()
	d := jetty()
	free := plan(t, d).Options[0]
	cent, err := currency.NewAmount("0.01", "EUR")
	if err != nil {
		t.Fatal(err)
	}
	less, err := free.TotalPerDay.Sub(cent)
	if err != nil {
		t.Fatal(err)
	}
	for what, c := range map[string]struct {
		limits shot.DraftLimits
		broken bool
	}{
		"the day":       {shot.DraftLimits{TotalPerDay: &free.TotalPerDay}, false},
		"a cent less":   {shot.DraftLimits{TotalPerDay: &less}, true},
		"a long van":    {shot.DraftLimits{VehicleSKU: some("QG-VAN-12")}, false},
		"a parcel bike": {shot.DraftLimits{VehicleSKU: some("QG-BIKE")}, true},
	} {
		d.Limits = c.limits
		stock := house(t)
		if what == "a parcel bike" {
			stock = withVehicle(t, stock, "QG-BIKE", 20, 0.2)
		}
		for _, o := range planOf(t, d, stock).Options {
			if o.Label != sizing.LabelOverhead || o.Kit.PerDay.CurrencyCode() == "" {
				continue
			}
			same := o.TotalPerDay.Equal(free.TotalPerDay) || what == "a parcel bike" || what == "a long van"
			if same && (o.State == finding.OverLimit) != c.broken {
				t.Errorf("%s: %s, broken %v", what, o.State, o.Broken)
			}
		}
	}
}

// TestLadderOfPeople: more people never light less well, and no rung takes more than it has.
func TestLadderOfPeople(t *testing.T) {
	t.Parallel()
	_, d := exampleDraft(t, "../../docs/examples/10-late-light.json")
	d.CrewLadder = []int{1, 2, 4, 6, 12}
	r := plan(t, d)
	if len(r.Ladder) != len(d.CrewLadder) {
		t.Fatalf("%d rungs", len(r.Ladder))
	}
	for i, g := range r.Ladder {
		if g.Crew != d.CrewLadder[i] || g.Option.State != finding.OverLimit && g.Option.Crew.Total > g.Crew {
			t.Errorf("%d people: %s with %d", g.Crew, g.Option.State, g.Option.Crew.Total)
		}
		if i > 0 && g.Option.State.Compare(r.Ladder[i-1].Option.State) > 0 {
			t.Errorf("%d people: %s, with fewer %s", g.Crew, g.Option.State, r.Ladder[i-1].Option.State)
		}
	}
	if last := r.Ladder[len(r.Ladder)-1].Option; last.State != finding.DoesIt {
		t.Errorf("twelve people: %s", last.State)
	}
}
