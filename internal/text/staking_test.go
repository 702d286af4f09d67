package text_test

import (
	"fmt"
	"strings"
	"testing"

	"kitspan/internal/catalog"
	"kitspan/internal/geom"
	"kitspan/internal/rigging"
	"kitspan/internal/sizing"
	"kitspan/internal/text"
)

// stakedOut is the table of a plan made by hand, a line for each spot, its figures in metres with a comma.
func stakedOut(r *sizing.Result, u text.Reader) (lines []string, staked []text.Staked) {
	length := func(m float64) string { return strings.ReplaceAll(fmt.Sprintf("%.2f m", m), ".", ",") }
	staked = text.Staking(u, length, r, &r.Options[0], map[string]string{"BAG": "Sand bag"})
	for _, p := range staked {
		for _, s := range p.Stakes {
			lines = append(lines, strings.Join([]string{s.Mark, s.Is, s.Aside, s.Along, s.Mast, s.Arm, s.EachLeg, s.AtMast}, "|"))
		}
	}
	return lines, staked
}

// The lens looks north, so that x is to the right of it and y away.
func TestStakingOutMeasuresEverySpot(t *testing.T) {
	bags := catalog.Count{SKU: "BAG", Quantity: 3}
	frame := overheadOnFour(
		sizing.GuyLine{SKU: "ROPE", Support: 1, From: geom.Vec{X: 2, Y: -2, Z: 3}, To: geom.Vec{X: 5, Y: -2}, Anchor: bags, PullN: 100.2},
		sizing.GuyLine{SKU: "ROPE", Support: rigging.OnFrame, From: geom.Vec{X: 2, Y: 2, Z: 3}, To: geom.Vec{X: 4, Y: 2, Z: 3.2}, Point: "railing", PullN: 50},
	)
	frame.Hold.RopeGoneMS = 5.29
	frame.Supports[0].Base = geom.Vec{X: -3, Y: -2}
	frame.Supports[0].Arm = &[2]geom.Vec{{X: -3, Y: -2, Z: 3}, {X: -2, Y: -2, Z: 3}}
	frame.Supports[2].Arm = &[2]geom.Vec{{X: 3, Y: 3, Z: 3}, {X: 2, Y: 2, Z: 3}}
	frame.Supports[0].Legs, frame.Supports[0].EachLeg, frame.Supports[0].AtMast, frame.Supports[0].Ballast = 3, 1, 2, catalog.Count{SKU: "BAG", Quantity: 5}
	one := board(geom.Vec{Y: -5, Z: 1.2}, 0, 31)
	one.Supports[0].AtMast, one.Supports[0].Ballast = 2, catalog.Count{SKU: "BAG", Quantity: 2}
	held := overheadOnFour()
	held.Supports, held.HeldBy = nil, []sizing.Hand{{Stands: geom.Vec{X: -2.5}, Holds: geom.Vec{X: -2, Z: 1.9}}, {Stands: geom.Vec{X: 2.5, Y: 0.004}, Holds: geom.Vec{X: 2, Z: 1.9}}}
	r := rigged(frame, one, held)
	r.Shot.GustMS = 8
	got, staked := stakedOut(&r, text.Metres)
	want := []string{
		"|middle: level at 3.00 m|on the axis|level with it||||",
		"1a|near left corner|3,00 m left|2,00 m in front|3,00 m|1,00 m right|1 (3 legs)|2",
		"1b|near right corner|2,00 m right|2,00 m in front|3,00 m|||",
		"1c|far right corner|2,00 m right|2,00 m behind|3,00 m|1,41 m left and to the lens||", // √2 m
		"1d|far left corner|2,00 m left|2,00 m behind|3,00 m|||",
		"|3 × Sand bag, 3.00 m off: rope from mast 1b, 45° down|5,00 m right|2,00 m in front||||",
		"|rope from the far right corner, 6° up to the fixed point railing, 3.20 m up|4,00 m right|2,00 m behind||||", // atan(0.2 / 2)
		"2|faces the subject, tilted up 31°|on the axis|5,00 m in front|1,20 m|||2",
		"|middle: level at 3.00 m|on the axis|level with it||||",
		"3a|person 1 of 2, holds a side 1.90 m up|2,50 m left|level with it||||",
		"3b|person 2 of 2, holds a side 1.90 m up|2,50 m right|level with it||||",
	}
	for i := range max(len(got), len(want)) {
		if i >= len(got) || i >= len(want) || got[i] != want[i] {
			t.Fatalf("spot %d: %q\nwant %q", i, got[min(i, len(got)):], want[min(i, len(want)):])
		}
	}
	if says := staked[0].Ropes; says != "any of its ropes may pull up to 101 N, without factor; a rope that hangs slack: lower it at once" {
		t.Errorf("ropes: %q", says)
	}
	if r.Shot.GustMS = 5.29; strings.Contains(stakedRopes(&r), "slack") || staked[1].Ropes != "" {
		t.Error("a rope that may hang slack is an order")
	}
}

func stakedRopes(r *sizing.Result) string {
	_, staked := stakedOut(r, text.Metres)
	return staked[0].Ropes
}

// A stand of a piece whose stands are held down by different things names its own; words are in the reader's feet.
func TestStakingOutTellsTheBagsApart(t *testing.T) {
	frame := overheadOnFour()
	frame.Supports[0].AtMast, frame.Supports[0].Ballast = 2, catalog.Count{SKU: "BAG", Quantity: 2}
	frame.Supports[3].Legs, frame.Supports[3].EachLeg, frame.Supports[3].Ballast = 4, 1, catalog.Count{SKU: "BLOCK", Quantity: 4}
	r := rigged(frame)
	got, _ := stakedOut(&r, text.Feet)
	if len(got) != 5 || got[0] != "|middle: level at 9 ft 10 in|on the axis|level with it||||" ||
		!strings.HasSuffix(got[1], "||2 × Sand bag") || !strings.HasSuffix(got[4], "|1 × BLOCK (4 legs)|") {
		t.Errorf("%q", got)
	}
}

// What the table says of how a board is turned is what the plan as text says.
func TestStakingOutTurnsBoardsAsThePlanDoes(t *testing.T) {
	turned := board(geom.Vec{X: 1, Y: -5, Z: 1.2}, 20, 25)
	r := rigged(turned)
	_, staked := stakedOut(&r, text.Metres)
	plan := printedPlan(t, r)
	s := &staked[0]
	if is := s.Stakes[0].Is; !strings.Contains(is, "right of the subject") || !strings.Contains(plan, is) {
		t.Errorf("%q is not in %s", is, plan)
	}
	if s.AimedBy == "" || !strings.Contains(plan, s.AimedBy+" on "+s.AimedOn) {
		t.Errorf("%q on %q is not in %s", s.AimedBy, s.AimedOn, plan)
	}
}
