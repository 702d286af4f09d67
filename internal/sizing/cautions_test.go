//go:build !race

// Arithmetic in one goroutine, where the race detector finds nothing and takes eight times as long: deploy/tests.sh runs this without it.

package sizing_test

import (
	"path/filepath"
	"slices"
	"testing"

	"kitspan/internal/finding"
)

// What comes first is what can hurt most in that plan; everything else that is always said follows, once.
func TestCautionsBeginWithWhatThePlanNeeds(t *testing.T) {
	t.Parallel()
	for name, want := range map[string][2]finding.Caution{
		"01-two-anglers":            {finding.CautionWind, finding.CautionOverhead},
		"06-regatta-crowd":          {finding.CautionSun, finding.CautionWind}, // boards alone
		"09-floodlit-sports-hall":   {finding.CautionOverhead, finding.CautionMains},
		"11-overcast-market":        {finding.CautionMains, finding.CautionWind}, // no overhead
		"12-lamps-under-the-bridge": {finding.CautionOverhead, finding.CautionMains},
	} {
		house, d := exampleDraft(t, filepath.Join("../../docs/examples", name+".json"))
		res := planOf(t, d, demoHouse(t, house))
		if first := [2]finding.Caution(res.Cautions); first != want {
			t.Errorf("%s begins with %v, want %v", name, first, want)
		}
		for _, c := range finding.Cautions() {
			said := 0
			for _, o := range res.Cautions {
				if o == c {
					said++
				}
			}
			if said != 1 {
				t.Errorf("%s says %s %d times", name, c, said)
			}
		}
		for i := range res.Options {
			o := &res.Options[i]
			needs := o.Cautions(&res.Shot)
			mains, lamps := slices.Contains(needs, finding.CautionMains), o.Has(finding.RoleLamp)
			ropes, tied := slices.Contains(needs, finding.CautionRopes), false
			for k := range o.Pieces {
				tied = tied || len(o.Pieces[k].Lines) > 0
			}
			if mains != lamps || ropes != tied {
				t.Errorf("%s, %s: mains %v with lamps %v, ropes %v with ropes %v", name, o.Name, mains, lamps, ropes, tied)
			}
			if !slices.Contains(needs, finding.CautionQualified) || !slices.Contains(needs, finding.CautionEstimate) {
				t.Errorf("%s, %s needs %v: nothing of qualified people or an estimate", name, o.Name, needs)
			}
		}
	}
}
