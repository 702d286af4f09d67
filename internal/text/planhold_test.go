package text_test

import (
	"strings"
	"testing"

	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/geom"
	"kitspan/internal/rigging"
)

func TestBallastSaysWhereItLies(t *testing.T) {
	b := board(geom.Vec{Y: -5, Z: 1.2}, 0, 31)
	s := &b.Supports[0]
	s.Legs, s.EachLeg, s.AtMast, s.Ballast = 3, 1, 2, catalog.Count{SKU: "BAG", Quantity: 5}
	if got := printedPlan(t, rigged(b)); !strings.Contains(got, ", with 5 × BAG (1 on each of 3 legs, 2 on the base, against the mast)") {
		t.Error(got)
	}
}

func TestCrewIsPeople(t *testing.T) {
	for want, c := range map[string]rigging.Crew{
		"1 person: about 40 min to rig": {Total: 1, Hold: 1, Work: 1, RigMin: 40},
		"2 people, the key grip in charge who lifts too (1 person stays with pieces that are up): about 40 min":          {Total: 2, Hold: 1, LeadLifts: true, RigMin: 40},
		"9 people, the key grip in charge (2 machine operators, 2 people stay with pieces that are up): about 40 min to": {Total: 9, Hold: 2, Operators: 2, RigMin: 40},
	} {
		r := rigged(board(geom.Vec{Y: -5, Z: 1.2}, 0, 31))
		r.Options[0].Crew = c
		r.Options[0].Order = []finding.Work{{Role: finding.RoleReflector, Pieces: 1, Hands: 1}}
		if got := printedPlan(t, r); !strings.Contains(got, want) {
			t.Errorf("no %q in\n%s", want, got)
		}
	}
}
