package oracle_test

import (
	"math/rand/v2"
	"slices"
	"testing"

	"kitspan/internal/sizing"
	"kitspan/internal/sizing/oracle"
)

// alone is a result with one of its options, which can be changed without changing the original.
func alone(r sizing.Result, i int) sizing.Result {
	o := r.Options[i]
	o.Pieces = slices.Clone(o.Pieces)
	for k := range o.Pieces {
		p := &o.Pieces[k]
		p.Supports = slices.Clone(p.Supports)
		for n := range p.Supports {
			if a := p.Supports[n].Arm; a != nil {
				c := *a
				p.Supports[n].Arm = &c
			}
		}
	}
	r.Options = []sizing.Option{o}
	return r
}

// TestSpoiltLightIsCaught spoils options in every way above, each once (in full, some forty times), and wants each spoil caught by its rule.
func TestSpoiltLightIsCaught(t *testing.T) {
	t.Parallel()
	enoughOfEach, least := scenes(1, 40), 1
	stock := demo(t, "quayside")
	tried := map[string]int{}
	check := func(res sizing.Result, light bool, seed uint64) []oracle.Violation {
		if light {
			n := rays()
			n.Again = 0
			return oracle.CheckLight(res, stock, n, seed)
		}
		// What the wind does has spoils of its own.
		return oracle.CheckWithoutHolds(res, stock, res.Shot.Window.Date, rand.New(rand.NewPCG(seed, 9)))
	}
	broken := func(list []oracle.Violation, rule oracle.Rule) bool {
		return slices.ContainsFunc(list, func(v oracle.Violation) bool { return v.Rule == rule })
	}
	for _, s := range oracle.Scenes(800, scenes(320, 320)) {
		if !slices.ContainsFunc(spoils, func(sp spoil) bool { return tried[sp.name] < enoughOfEach }) {
			break
		}
		res, _, err := answerTo(t, s, "quayside")
		if err != nil {
			continue // told by TestAnswersKeepEveryRule
		}
		for i := range res.Options {
			// What is broken as it is, told by the tests of answers, tries no spoil.
			var sound [2][]oracle.Violation
			for k, light := range []bool{false, true} {
				if slices.ContainsFunc(spoils, func(sp spoil) bool {
					spare := alone(res, i)
					return sp.light == light && tried[sp.name] < enoughOfEach && sp.apply(&spare.Shot, &spare.Options[0], stock)
				}) {
					sound[k] = check(alone(res, i), light, s.Seed)
				}
			}
			for _, sp := range spoils {
				if tried[sp.name] >= enoughOfEach {
					continue
				}
				spoilt := alone(res, i)
				if !sp.apply(&spoilt.Shot, &spoilt.Options[0], stock) {
					continue
				}
				was := sound[0]
				if sp.light {
					was = sound[1]
				}
				if broken(was, sp.rule) {
					continue
				}
				tried[sp.name]++
				if !broken(check(spoilt, sp.light, s.Seed), sp.rule) {
					t.Errorf("%s, %s: %s is not caught as %s\n\tdraft %s", s, res.Options[i].Label, sp.name, sp.rule, drafted(s.Draft))
				}
			}
		}
	}
	for _, sp := range spoils {
		if n := tried[sp.name]; n < least {
			t.Errorf("%s was tried %d times", sp.name, n)
		}
	}
}
