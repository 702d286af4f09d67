package oracle_test

import (
	"slices"
	"testing"

	"kitspan/internal/finding"
	"kitspan/internal/sizing"
	"kitspan/internal/sizing/oracle"
)

// TestWrongSidesAndWrongLampsOffAreCaught spoils an answer in which lamps are off and others are placed before and behind.
func TestWrongSidesAndWrongLampsOffAreCaught(t *testing.T) {
	t.Parallel()
	res, err := desk().SizeJSON(t.Context(), requests(t)["street-lamps-off.json"])
	if err != nil {
		t.Fatal(err)
	}
	turned := map[finding.Lit]finding.Lit{finding.LitKey: finding.LitBack, finding.LitFill: finding.LitBack, finding.LitBack: finding.LitKey}
	seen, off := map[finding.Lit]int{}, 0
	for i := range res.Options {
		o := &res.Options[i]
		s := oracle.SceneFor(res.Shot, o)
		for k := range o.Pieces {
			if is := o.Pieces[k].Lights; is != "" {
				seen[is]++
				for _, wrong := range []finding.Lit{turned[is], "", "side"} {
					spoiled := *o
					spoiled.Pieces = slices.Clone(o.Pieces)
					spoiled.Pieces[k].Lights = wrong
					if len(oracle.CheckLampSides(s, &spoiled)) == 0 {
						t.Errorf("%s: a %s for the %s that says %q passes", o.Name, o.Pieces[k].Role, is, wrong)
					}
				}
			}
		}
		off += len(o.SwitchOff)
		for _, wrong := range [][]string{append(slices.Clone(o.SwitchOff), "sun"), {"left street lamp", "left street lamp"}} {
			spoiled := *o
			spoiled.SwitchOff = wrong
			if len(oracle.CheckSwitchedOff(&res.Shot, &spoiled)) == 0 {
				t.Errorf("%s with %v off passes", o.Name, wrong)
			}
		}
	}
	for _, is := range []finding.Lit{finding.LitKey, finding.LitFill, finding.LitBack} {
		if seen[is] == 0 {
			t.Errorf("no lamp lights the %s: nothing to spoil", is)
		}
	}
	if off == 0 {
		t.Error("no lamp is off: nothing to spoil")
	}
	kept := slices.DeleteFunc(slices.Clone(res.Options), func(o sizing.Option) bool { return len(o.SwitchOff) > 0 })
	if len(kept) == 0 {
		t.Error("no option leaves every lamp on")
	}
}
