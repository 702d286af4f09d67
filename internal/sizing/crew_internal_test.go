//go:build !race

// Arithmetic in one goroutine, where the race detector finds nothing and takes eight times as long: deploy/tests.sh runs this without it.

package sizing

import (
	"testing"

	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/rigging"
)

// TestPeopleForFrames: how many put up a framed cloth overhead, alone and in calm air (common practice, no source: there is none to be
// found). It holds for every cloth that fits, and for all of the house's stands that carry it.
func TestPeopleForFrames(t *testing.T) {
	stock, ok := catalog.DemoSnapshot("quayside")
	if !ok {
		t.Fatal("no demo house")
	}
	for _, test := range []struct {
		sku         string
		least, most int
	}{
		{"QG-FRAME-04X04", 1, 1},
		{"QG-FRAME-06X06", 2, 2},
		{"QG-FRAME-08X08", 2, 2},
		{"QG-FRAME-12X12", 3, 4},
		{"QG-FRAME-12X20", 4, 5},
		{"QG-FRAME-20X20", 6, 6},
		{"QG-FRAME-20X30", 8, 10},
	} {
		item := stock.Item(test.sku)
		frame := item.Spec.(*catalog.Frame)
		rigs := 0
		for _, cloth := range stock.Items() {
			c, is := cloth.Spec.(*catalog.Fabric)
			if !is || c.Use != catalog.UseDiffusion || c.FitsWidthM != frame.OpeningWidthM || c.FitsHeightM != frame.OpeningHeightM {
				continue
			}
			massKg := item.MassKg + cloth.MassKg
			for _, stand := range stock.Items() {
				s, is := stand.Spec.(*catalog.Support)
				if !is || s.Class != catalog.ClassStand {
					continue
				}
				for n := frame.SupportsMin; n <= frame.SupportsMax; n += 2 {
					if s.SafeLoadKg < rigging.DefaultSafetyFactor*massKg/float64(n) {
						continue
					}
					task := frameTask(frame, massKg)
					task.Supports, task.LiftToM = n, s.LowestM
					rigs++
					if crew, _ := rigging.PlanCrew([]rigging.Task{task}, 0); crew.Total < test.least || crew.Total > test.most {
						t.Errorf("%s with %s on %d × %s: %d people, practice is %d to %d", item.Name, cloth.SKU, n, stand.SKU, crew.Total, test.least, test.most)
					}
				}
			}
		}
		if rigs == 0 {
			t.Errorf("no stands carry a %s", item.Name)
		}
	}
}

// The note of a heavy lift and the step of the order of work take the same people in the same teams. Half of 114 kg takes seven beside the one
// in charge (eight in all, in the test of crews of package rigging), who are two teams of the four that work well (HSE L23).
func TestAHeavyLiftIsTheSameInNoteAndOrder(t *testing.T) {
	for _, test := range []struct {
		massKg float64
		teams  int
	}{{40, 0}, {114, 2}} {
		task := rigging.Task{MassKg: test.massKg, Supports: 4}
		o := Option{Pieces: []Piece{{Role: finding.RoleOverhead}}}
		noteHeavyLifts(&o, []rigging.Task{task})
		step := workOn(nil, &o.Pieces[0], &task)
		if step.Teams != test.teams {
			t.Errorf("%v kg: %d teams", test.massKg, step.Teams)
		}
		if test.teams == 0 {
			if len(o.Notes) != 0 {
				t.Errorf("%v kg: %+v", test.massKg, o.Notes)
			}
			continue
		}
		if len(o.Notes) != 1 {
			t.Fatalf("%v kg: %+v", test.massKg, o.Notes)
		}
		if n := o.Notes[0].(finding.HeavyLift); n.Teams != step.Teams || n.People != step.Hands || n.People != 7 || n.Most != 4 {
			t.Errorf("the note says %+v, the step %+v", n, step)
		}
	}
}
