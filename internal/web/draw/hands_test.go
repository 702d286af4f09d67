package draw_test

import (
	"math"
	"testing"

	"kitspan/internal/geom"
	"kitspan/internal/sizing"
)

// TestPeopleWhoHoldAreDrawnWhereTheyStand reads them back from the plan and the elevations, with the way that the others walk.
func TestPeopleWhoHoldAreDrawnWhereTheyStand(t *testing.T) {
	seen := 0
	each(t, func(t *testing.T, a *answer, o *sizing.Option, kind, svg string) {
		if kind != "plan" && kind != "along" && kind != "across" {
			return
		}
		s := sheetOf(t, kind, svg, &a.res)
		for i := range o.Pieces {
			held := o.Pieces[i].HeldBy
			heads := part(s.list, i, "head")
			if kind != "plan" {
				heads = nil
				if got := part(s.list, i, "holder"); len(got) != len(held) {
					t.Errorf("%d people hold piece %d, %d are drawn", len(held), i+1, len(got))
				}
			} else if len(heads) != len(held) {
				t.Fatalf("%d people hold piece %d, %d are drawn", len(held), i+1, len(heads))
			}
			for k := range heads {
				seen++
				at, _ := s.at(geom.Vec{X: held[k].Stands.X, Y: held[k].Stands.Y})
				if x, y := heads[k].num(t, "cx"), heads[k].num(t, "cy"); math.Hypot(x-at.x, y-at.y) > rounding {
					t.Errorf("person %d of piece %d is drawn at (%.2f, %.2f), stands at %v", k+1, i+1, x, y, at)
				}
			}
		}
		if kind != "plan" {
			return
		}
		arrows := find(s.list, "walk")
		if (len(arrows) > 0) != a.res.Shot.Walks() {
			t.Fatalf("%d arrows of a walk, walks: %v", len(arrows), a.res.Shot.Walks())
		}
		if len(arrows) > 0 {
			from, _ := s.at(geom.Vec{})
			p := arrows[0].points(t)
			if math.Hypot(p[0].x-from.x, p[0].y-from.y) > rounding {
				t.Errorf("the walk begins at %v, the people are at %v", p[0], from)
			}
		}
	})
	if seen == 0 {
		t.Error("no example has a frame that people hold")
	}
}
