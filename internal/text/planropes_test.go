package text_test

import (
	"strings"
	"testing"

	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/geom"
	"kitspan/internal/rigging"
	"kitspan/internal/sizing"
)

// overheadOnFour is a level square of 4 m, 3 m up over the subject on a stand under each corner, that ropes hold. The lens looks
// north: x is to the right, y away from it.
func overheadOnFour(lines ...sizing.GuyLine) sizing.Piece {
	p := sizing.Piece{
		Role: finding.RoleOverhead, Serves: "main", Covers: []string{"sun"}, Items: []catalog.Count{{SKU: "FRAME", Quantity: 1}}, ViewClearanceM: 1,
		Corners: [4]geom.Vec{{X: -2, Y: -2, Z: 3}, {X: 2, Y: -2, Z: 3}, {X: 2, Y: 2, Z: 3}, {X: -2, Y: 2, Z: 3}}, Lines: lines,
	}
	for i, c := range p.Corners {
		p.Supports = append(p.Supports, sizing.Support{SKU: "STAND", Base: geom.Vec{X: c.X, Y: c.Y}, HeightM: 3, FootprintM: 0.9, MastNM: 100*float64(i) + 100.2})
	}
	return p
}

func TestRopesSayWhereTheyRun(t *testing.T) {
	bags := catalog.Count{SKU: "BAG", Quantity: 3}
	p := overheadOnFour(
		sizing.GuyLine{SKU: "ROPE", Support: rigging.OnFrame, From: geom.Vec{X: -2.05, Y: 2.05, Z: 3}, To: geom.Vec{X: -4.05, Y: 4.3, Z: 0}, Anchor: bags, PullN: 240.1},
		sizing.GuyLine{SKU: "ROPE", Support: 1, From: geom.Vec{X: 2, Y: -2, Z: 3}, To: geom.Vec{X: 5, Y: -2, Z: 0}, Anchor: bags, PullN: 100},
		sizing.GuyLine{SKU: "ROPE", Support: rigging.OnFrame, From: geom.Vec{X: 2, Y: 2, Z: 3}, To: geom.Vec{X: 4, Y: 2, Z: 3.2}, Point: "railing", PullN: 50},
	)
	p.Hold.RopeGoneMS = 5.29
	r := rigged(p)
	r.Shot.GustMS = 8
	got := printedPlan(t, r)
	for _, want := range []string{
		// 3 m down over √(2² + 2.25²) = 3.01 m.
		"Rope (ROPE) from the far left corner, 45° down to 3 × BAG 3.0 m from below that corner: 4.0 m to the left, 4.3 m behind the subject.",
		"Rope (ROPE) from the head of the mast at the near right corner, 45° down to 3 × BAG 3.0 m from that mast: 5.0 m to the right, 2.0 m in front of the subject.",
		// 0.2 m up over 2 m: 5.7°.
		"Rope (ROPE) from the far right corner, 6° up to the fixed point railing 4.0 m to the right, 2.0 m behind the subject, 3.20 m up.",
		"Any of these ropes may pull up to 241 N, without factor.",
		"Bending at the foot of the masts, in this order: 101, 201, 301 and 401 N·m at 8.0 m/s, without factor. Compare with the maker's figure.",
		"; a rope that hangs slack: lower it at once (without its worst rope it holds 5.2 m/s)",
	} {
		if !strings.Contains(got, want) {
			t.Errorf("no %q in\n%s", want, got)
		}
	}
	r.Options[0].Pieces[0].Hold.RopeGoneMS = 8
	if got := printedPlan(t, r); !strings.Contains(got, "; without its worst rope it holds 8.0 m/s") || strings.Contains(got, "slack") {
		t.Errorf("a piece that holds the gust without any of its ropes: %s", got)
	}
	p.Hold.RopeGoneMS = 0
	if got := printedPlan(t, rigged(p)); !strings.Contains(got, "lower it at once (without its worst rope it holds no wind)") {
		t.Errorf("a piece that falls without a rope: %s", got)
	}
	p.Lines = nil
	for i := range p.Supports {
		p.Supports[i].MastNM = 0
	}
	if got := printedPlan(t, rigged(p)); strings.Contains(got, "worst rope") || strings.Contains(got, "Bending") {
		t.Errorf("a piece on machines without ropes: %s", got)
	}
}

func TestMastsThatBendAlikeAreTakenTogether(t *testing.T) {
	a, b := board(geom.Vec{X: -1, Y: -5, Z: 1.2}, 0, 31), board(geom.Vec{X: 1, Y: -5, Z: 1.2}, 0, 31)
	a.Supports[0].MastNM, b.Supports[0].MastNM = 30.2, 30.4
	r := rigged(a, b)
	r.Shot.GustMS = 8
	if got := printedPlan(t, r); !strings.Contains(got, "Bending at the foot of each mast: 31 N·m at 8.0 m/s, without factor. Compare") {
		t.Error(got)
	}
	// In calm air a heavy frame on an arm still bends its mast; little is no news.
	a.Hold.AreaM2 = 1.2
	got := printedPlan(t, rigged(a))
	if !strings.Contains(got, "Bending at the foot of the mast: 31 N·m in calm air, without factor. Compare") {
		t.Error(got)
	}
	if !strings.Contains(got, "Watch from 0.0 m/s, lower at 0.0") || strings.Contains(got, "Wind 0 N") {
		t.Errorf("the wind of a gust of 0: %s", got)
	}
	a.Supports[0].MastNM = 19.9
	if got := printedPlan(t, rigged(a)); strings.Contains(got, "Bending") {
		t.Error(got)
	}
}
