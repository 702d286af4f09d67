package oracle_test

import (
	"math/rand/v2"
	"slices"
	"testing"

	"kitspan/internal/finding"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
	"kitspan/internal/sizing/oracle"
)

// TestStandsMakeRoomForFurtherZones sizes shots, puts people where a stand of the overhead stood, and sizes them again: nothing may
// stand among them, and most overheads still find a place.
func TestStandsMakeRoomForFurtherZones(t *testing.T) {
	t.Parallel()
	stock := demo(t, "quayside")
	standing := []oracle.Rule{oracle.RuleSupport, oracle.RuleHead, oracle.RuleLines, oracle.RuleInView, oracle.RuleApart, oracle.RuleCovered}
	moved, served := 0, 0
	for _, s := range oracle.Scenes(3000, scenes(10, 400)) {
		res, err := oracle.Size(t.Context(), s, stock)
		if err != nil {
			t.Errorf("%v\n\tdraft %s", err, drafted(s.Draft))
			continue
		}
		over := overheadOf(res)
		if over == nil {
			continue
		}
		at := over.Supports[int(s.Seed)%len(over.Supports)].Base
		crowd := s
		crowd.Draft.OtherZones = append(crowd.Draft.OtherZones, shot.DraftOtherZone{
			Label: ptr("crowd"), CenterM: []float64{at.X, at.Y}, WidthM: ptr(1.2), DepthM: ptr(0.8),
		})
		if _, faults := crowd.Draft.Resolve(); len(faults) > 0 {
			continue // too near to the people or to the lens for a zone of its own
		}
		res, err = oracle.Size(t.Context(), crowd, stock)
		if err != nil {
			t.Errorf("%v\n\tdraft %s", err, drafted(crowd.Draft))
			continue
		}
		bad := oracle.CheckResult(res, stock, res.Shot.Window.Date, rand.New(rand.NewPCG(s.Seed, 3)))
		report(t, crowd, slices.DeleteFunc(bad, func(v oracle.Violation) bool { return !slices.Contains(standing, v.Rule) }))
		if moved++; overheadOf(res) != nil {
			served++
		}
	}
	t.Logf("%d of %d overheads still find a place", served, moved)
	if moved < 4 || 10*served < 8*moved {
		t.Errorf("%d of %d overheads still find a place", served, moved)
	}
}

// overheadOf is the overhead on stands of an answer; nil where there is none.
func overheadOf(res sizing.Result) *sizing.Piece {
	for i := range res.Options {
		if o := &res.Options[i]; o.Label == sizing.LabelOverhead {
			return the(o, finding.RoleOverhead)
		}
	}
	return nil
}
