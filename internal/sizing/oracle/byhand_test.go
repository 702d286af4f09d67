package oracle_test

import (
	"math/rand/v2"
	"slices"
	"testing"

	"kitspan/internal/finding"
	"kitspan/internal/geom"
	"kitspan/internal/sizing"
	"kitspan/internal/sizing/oracle"
)

// byHand are requests in which a frame is held, standing and walking, past the sun and a lamp.
var byHand = []string{"held-by-hand.json", "walk-at-an-angle.json", "walk-across.json", "walk-past-a-lamp.json"}

// TestLevelsAroundWhatIsHeld holds levels to rays: those in the middle of the way, under a frame that moves with the people.
func TestLevelsAroundWhatIsHeld(t *testing.T) {
	t.Parallel()
	for _, name := range byHand {
		body := requests(t)[name]
		res, err := desk().SizeJSON(t.Context(), body)
		if err != nil {
			t.Fatal(err)
		}
		for _, v := range oracle.CheckLight(res, houseOf(t, body), rays(), 1) {
			t.Errorf("%s: %s", name, v)
		}
		if !slices.ContainsFunc(res.Options, func(o sizing.Option) bool { return o.Label == sizing.LabelHandHeld }) {
			t.Errorf("%s: nothing is held by hand", name)
		}
	}
}

// TestWrongHandsAreCaught spoils what is held in each of the answers.
func TestWrongHandsAreCaught(t *testing.T) {
	t.Parallel()
	for _, name := range byHand {
		body := requests(t)[name]
		res, err := desk().SizeJSON(t.Context(), body)
		if err != nil {
			t.Fatal(err)
		}
		stock := houseOf(t, body)
		at := slices.IndexFunc(res.Options, func(o sizing.Option) bool { return o.Label == sizing.LabelHandHeld })
		lens := geom.Toward(res.Shot.Camera.BearingDeg+180, 0).Scale(res.Shot.Framing.DistanceM)
		for what, c := range map[string]struct {
			rule  oracle.Rule
			spoil func(o *sizing.Option, p *sizing.Piece)
		}{
			"a person among the people": {oracle.RuleByHand, func(_ *sizing.Option, p *sizing.Piece) { p.HeldBy[0].Stands = res.Shot.Walk.Scale(0.5) }},
			"a person at the lens":      {oracle.RuleByHand, func(_ *sizing.Option, p *sizing.Piece) { p.HeldBy[1].Stands = lens }},
			"a person in the picture":   {oracle.RuleInView, func(_ *sizing.Option, p *sizing.Piece) { p.HeldBy[1].Stands = lens.Scale(0.3) }},
			"hands off the frame":       {oracle.RuleByHand, func(_ *sizing.Option, p *sizing.Piece) { p.HeldBy[0].Holds.Z += 0.2 }},
			"one person alone":          {oracle.RuleByHand, func(_ *sizing.Option, p *sizing.Piece) { p.HeldBy = p.HeldBy[:1] }},
			"held in more wind":         {oracle.RuleGust, func(_ *sizing.Option, p *sizing.Piece) { p.Hold.LowerAtMS += 0.3 }},
			"a clearance that is not":   {oracle.RuleClearance, func(_ *sizing.Option, p *sizing.Piece) { p.ViewClearanceM += 0.1 }},
			"a frame that misses the sun": {oracle.RuleCovered, func(_ *sizing.Option, p *sizing.Piece) {
				side := p.Corners[1].Sub(p.Corners[0]).Unit().Scale(2 * p.MarginM)
				for i := range p.Corners {
					p.Corners[i] = p.Corners[i].Add(side)
				}
			}},
			"nobody told": {oracle.RuleByHand, func(o *sizing.Option, _ *sizing.Piece) {
				o.Notes = slices.DeleteFunc(slices.Clone(o.Notes), func(n finding.Note) bool { _, is := n.(finding.HandHeld); return is })
			}},
			"one in charge who holds": {oracle.RuleCrew, func(o *sizing.Option, _ *sizing.Piece) { o.Crew.LeadLifts = true }},
			"on stands by its label":  {oracle.RuleByHand, func(o *sizing.Option, _ *sizing.Piece) { o.Label = sizing.LabelOverhead }},
		} {
			spoiled := res
			spoiled.Options = slices.Clone(res.Options)
			o := &spoiled.Options[at]
			o.Pieces = slices.Clone(o.Pieces)
			o.Pieces[0].HeldBy = slices.Clone(o.Pieces[0].HeldBy)
			c.spoil(o, &o.Pieces[0])
			if !slices.ContainsFunc(oracle.CheckResult(spoiled, stock, res.Shot.Window.Date, rand.New(rand.NewPCG(1, 1))), func(v oracle.Violation) bool { return v.Rule == c.rule }) {
				t.Errorf("%s, %s: passes %s", name, what, c.rule)
			}
		}
	}
}
