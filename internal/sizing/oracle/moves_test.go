package oracle_test

import (
	"math/rand/v2"
	"testing"
	"time"

	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/sizing"
	"kitspan/internal/sizing/oracle"
)

// longShots are long windows of the documented afternoon, the lens turned and the wind varied.
func longShots(t *testing.T) (house string, shots []oracle.Shoot) {
	t.Helper()
	house, s, err := oracle.Example("../../../docs/examples/13-four-seated-all-afternoon.json")
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		start, end         string
		bearingDeg, gustMS float64
	}{{"15:00", "19:00", 234, 6}, {"14:00", "16:00", 215, 8}, {"13:00", "18:00", 200, 3}, {"12:00", "13:30", 180, 5}} {
		one := s
		one.Kind = c.start + " to " + c.end
		d := &one.Draft
		d.Window.Start, d.Window.End, d.Camera.BearingDeg, d.GustMS = &c.start, &c.end, &c.bearingDeg, &c.gustMS
		shots = append(shots, one)
	}
	return house, shots
}

// TestMovedOptionsKeepEveryRule holds what is moved in the course of a long window to every rule, part by part, and the light of each.
func TestMovedOptionsKeepEveryRule(t *testing.T) {
	t.Parallel()
	house, shots := longShots(t)
	stock := demo(t, house)
	moved := 0
	for _, s := range shots {
		res, err := oracle.Size(t.Context(), s, stock)
		if err != nil {
			t.Fatal(err)
		}
		report(t, s, oracle.CheckResult(res, stock, res.Shot.Window.Date, rand.New(rand.NewPCG(1, 1))))
		report(t, s, oracle.CheckLight(res, stock, rays(), 1))
		for _, o := range res.Options {
			if o.Label == sizing.LabelMoved {
				moved++
			}
		}
	}
	if moved < len(shots)-1 {
		t.Errorf("%d options are moved in %d long windows: too few to check the rules on", moved, len(shots))
	}
}

// TestSpoiltMovesAreSeen: what an answer tells wrong of its moves, or of what stands after one, is found.
func TestSpoiltMovesAreSeen(t *testing.T) {
	t.Parallel()
	house, shots := longShots(t)
	stock := demo(t, house)
	check := func(spoil func(o *sizing.Option)) []oracle.Violation {
		res, err := oracle.Size(t.Context(), shots[0], stock)
		if err != nil {
			t.Fatal(err)
		}
		at := -1
		for i := range res.Options {
			if res.Options[i].Label == sizing.LabelMoved {
				at = i
				break
			}
		}
		if at < 0 {
			t.Fatal("nothing is moved")
		}
		spoil(&res.Options[at])
		return oracle.CheckWithoutHolds(res, stock, res.Shot.Window.Date, rand.New(rand.NewPCG(1, 1)))
	}
	last := func(o *sizing.Option) *sizing.Move { return &o.Moves[len(o.Moves)-1] }
	for name, c := range map[string]struct {
		spoil func(o *sizing.Option)
		rule  oracle.Rule
	}{
		"the frame stays where it stood first": {func(o *sizing.Option) { last(o).Pieces[0].Corners = o.Pieces[0].Corners }, oracle.RuleCovered},
		"another frame": {func(o *sizing.Option) {
			last(o).Pieces[0].Items = []catalog.Count{{SKU: "QG-FRAME-12X12", Quantity: 1}, {SKU: "QG-FABRIC-FULL-12X12", Quantity: 1}}
		}, oracle.RuleOptions},
		"other stands": {func(o *sizing.Option) {
			last(o).Pieces[0].Supports[0].SKU = "QG-STAND-CRANK-64-ARM-25"
		}, oracle.RuleOptions},
		"more ballast than the kit has": {func(o *sizing.Option) { last(o).Pieces[0].Supports[0].Ballast.Quantity += 50 }, oracle.RuleKit},
		"the kit of the sum of the parts": {func(o *sizing.Option) {
			for i := range o.Kit.Lines {
				o.Kit.Lines[i].Quantity *= o.Parts()
			}
		}, oracle.RuleKit},
		"moved in no time":     {func(o *sizing.Option) { last(o).Minutes = 0 }, oracle.RuleCrew},
		"moved by nobody":      {func(o *sizing.Option) { last(o).Hands = 0 }, oracle.RuleCrew},
		"no time between":      {func(o *sizing.Option) { o.Moves = o.Moves[:len(o.Moves)-1] }, oracle.RuleOptions},
		"a part of its length": {func(o *sizing.Option) { last(o).Window.From = last(o).Window.From.Add(10 * time.Minute) }, oracle.RuleOptions},
		"nothing is noted": {func(o *sizing.Option) {
			for i, n := range o.Notes {
				if m, ok := n.(finding.Moved); ok {
					m.Minutes--
					o.Notes[i] = m
				}
			}
		}, oracle.RuleOptions},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			for _, v := range check(c.spoil) {
				if v.Rule == c.rule {
					return
				}
			}
			t.Errorf("%s is not noticed", c.rule)
		})
	}
}
