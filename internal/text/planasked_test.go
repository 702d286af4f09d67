package text_test

import (
	"strings"
	"testing"

	"github.com/bojanz/currency"

	"kitspan/internal/geom"
	"kitspan/internal/shot"
)

// Whoever holds the plan sees for which wind, ground and limits it was made.
func TestPlansSayWhatWasAsked(t *testing.T) {
	r := rigged(board(geom.Vec{Y: -5, Z: 1.2}, 0, 31))
	r.Shot.GustMS, r.Shot.SafetyFactor = 8, 1.5
	r.Shot.Site = shot.Site{Ground: "grass", Anchors: []shot.Anchor{{Label: "railing", Position: geom.Vec{X: 3, Y: -2.5, Z: 1}, SafePullN: 2000}}}
	r.Shot.GroundAnchor = shot.AnchorStakes
	price, _ := currency.NewAmount("900.00", "EUR")
	r.Shot.Limits = shot.Limits{Crew: new(6), PricePerDay: &price, MassKg: new(400.0), RigHeightM: new(4.0)}
	r.Shot.OtherZones[0] = shot.OtherZone{Label: "bystanders", CenterX: -2, CenterY: 10, WidthM: 2, DepthM: 1, TopM: 1.8}
	got := printedPlan(t, r)
	for _, want := range []string{
		"To hold a gust of 8.0 m/s at each piece, with a safety factor of 1.5. On grass; ropes go to stakes or fixed points.",
		"Fixed point railing: 3.0 m to the right, 2.5 m in front of the subject, 1.00 m up, may bear 2000 N as stated.",
		"Not to go over: 900.00 EUR of hire a day, 6 people, 400 kg of kit, 4.00 m high.",
		"Further zone bystanders: 2.00 m (6.6 ft) wide, 1.00 m (3.3 ft) deep, from 0.00 to 1.80 m above the ground; its middle is 2.0 m to the left, 10.0 m behind the subject.",
	} {
		if strings.Count(got, want) != 1 {
			t.Errorf("%d times %q in\n%s", strings.Count(got, want), want, got)
		}
	}
	r.Shot.GustMS, r.Shot.Site, r.Shot.GroundAnchor, r.Shot.Limits = 0, shot.Site{Roofed: true, GroundReflectance: 0.3}, shot.AnchorBallast, shot.Limits{}
	if got = printedPlan(t, r); !strings.Contains(got, "No gust is asked for, safety factor 1.5. On ground that reflects 30 %, under a roof; ropes go to weights.") ||
		strings.Contains(got, "Not to go over") || strings.Contains(got, "Fixed point") {
		t.Error(got)
	}
	r.Shot.Site = shot.Site{Ground: "water"}
	if got = printedPlan(t, r); !strings.Contains(got, "By the water; ropes") {
		t.Error(got)
	}
}

// A piece for people elsewhere is laid out from where they are, too.
func TestPiecesForAFurtherZoneStandFromThatZone(t *testing.T) {
	for _, tc := range []struct {
		at   geom.Vec
		want string
	}{
		{geom.Vec{X: 1, Y: 7, Z: 1.2}, "1.0 m to the right, 7.0 m behind the subject (3.0 m to the right, 3.0 m in front of bystanders)"},
		{geom.Vec{X: -2, Y: 13, Z: 1.2}, "2.0 m to the left, 13.0 m behind the subject (straight in line, 3.0 m behind bystanders)"},
		{geom.Vec{X: -3.5, Y: 10, Z: 1.2}, "3.5 m to the left, 10.0 m behind the subject (1.5 m to the left, level with bystanders)"},
	} {
		own, other := board(tc.at, 0, 31), board(tc.at, 0, 31)
		other.Serves = "bystanders"
		r := rigged(own, other)
		r.Shot.OtherZones[0].CenterX = -2
		got := printedPlan(t, r)
		if strings.Count(got, tc.want) != 1 {
			t.Errorf("%v: not once %q in\n%s", tc.at, tc.want, got)
		}
	}
}
