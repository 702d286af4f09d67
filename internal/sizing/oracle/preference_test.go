package oracle_test

import (
	"math"
	"sync/atomic"
	"testing"

	"kitspan/internal/finding"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
	"kitspan/internal/sizing/oracle"
)

// leastOf returns the least of a measure among the options that do all that is asked, at the hour asked and with all lamps on; ok is false
// where there are none.
func leastOf(t *testing.T, res *sizing.Result, in finding.Measure) (least float64, ok bool) {
	least = math.Inf(1)
	for i := range res.Options {
		o := &res.Options[i]
		if o.State != finding.DoesIt || o.Label == sizing.LabelOtherHour || len(o.SwitchOff) > 0 {
			continue
		}
		v := 0.0
		switch in {
		case finding.MeasureTotal:
			minor, err := o.TotalPerDay.Int64()
			if err != nil {
				t.Error(err)
			}
			v = float64(minor)
		case finding.MeasurePeople:
			v = float64(o.Crew.Total)
		case finding.MeasureMass:
			v = o.Load.MassKg
		case finding.MeasureFrame:
			for k := range o.Pieces {
				if p := &o.Pieces[k]; p.Role == finding.RoleOverhead || p.Role == finding.RoleSide {
					v += p.Corners[1].Sub(p.Corners[0]).Len() * p.Corners[2].Sub(p.Corners[1]).Len()
				}
			}
		case finding.MeasureTime:
			v = float64(o.Crew.RigMin + o.Crew.StrikeMin)
		}
		least = math.Min(least, v)
	}
	return least, !math.IsInf(least, 1)
}

// TestOptionsHoldTheBestByEachPreference asks for the same by each preference. Options are those between which a crew would choose, so
// whatever is preferred, the best of it is among them already: but for a tenth, by which searches that begin with another frame may
// differ, and in one comparison of twelve.
func TestOptionsHoldTheBestByEachPreference(t *testing.T) {
	t.Parallel()
	const share, oneOf = 1.1, 12
	stock := demo(t, "quayside")
	var compared, missed atomic.Int64
	t.Cleanup(func() {
		t.Logf("%d of %d comparisons are missed", missed.Load(), compared.Load())
		if compared.Load() < 12 || missed.Load() > compared.Load()/oneOf {
			t.Errorf("%d of %d comparisons are missed, wanted 12 comparisons and one of %d at most", missed.Load(), compared.Load(), oneOf)
		}
	})
	inParts(t, oracle.Scenes(9000, scenes(12, 300)), func(t *testing.T, s oracle.Shoot) {
		asked, faults := s.Draft.Resolve()
		if len(faults) > 0 {
			return
		}
		d := oracle.Spelled(s.Draft, asked)
		d.Prefer, d.GustMS, d.MeanWindMS, d.Limits = ptr(shot.PreferSmallest), ptr(3.0), nil, shot.DraftLimits{} // so that most do all that is asked
		first, ok := answered(t, s, d, stock)
		if !ok {
			return
		}
		for prefer, in := range map[string]finding.Measure{
			shot.PreferCheapest: finding.MeasureTotal, shot.PreferFewestHands: finding.MeasurePeople, shot.PreferLightest: finding.MeasureMass,
		} {
			d.Prefer = &prefer
			other, ok := answered(t, s, d, stock)
			if !ok {
				continue
			}
			want, does := leastOf(t, &other, in)
			got, had := leastOf(t, &first, in)
			if !does {
				continue
			}
			if compared.Add(1); !had || got > share*want {
				missed.Add(1)
				t.Logf("%s: the least %s is %.0f, by the preference for it %.0f\n\tdraft %s", s, in, got, want, drafted(d))
			}
		}
	})
}
