package sizing

import (
	"testing"

	"kitspan/internal/catalog"
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
