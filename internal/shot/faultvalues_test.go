package shot

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"kitspan/internal/fault"
)

// Faults carry what they are made of; their sentences are tested in TestFaults.
func TestFaultsCarryTheirQuantities(t *testing.T) {
	zone := func(label string, x, y float64) DraftOtherZone {
		return DraftOtherZone{Label: &label, CenterM: []float64{x, y}, WidthM: ptr(2.0)}
	}
	width := fault.Range{Most: 200, Open: true, Unit: "m"}
	for name, tc := range map[string]struct {
		change func(*Draft)
		want   fault.Fault
	}{
		"out of range": {func(d *Draft) { d.Framing.WidthM = ptr(250.0) },
			fault.Fault{Pointer: "/shot/framing/width_m", Kind: fault.OutOfRange{Got: 250, Range: width}}},
		"as good as nothing": {func(d *Draft) { d.Framing.WidthM = ptr(1e-12) },
			fault.Fault{Pointer: "/shot/framing/width_m", Kind: fault.CountsAsZero{Got: 1e-12, Range: width}}},
		"no width": {func(d *Draft) { d.Framing.WidthM = nil },
			fault.Fault{Pointer: "/shot/framing/width_m", Kind: fault.Missing{Want: fault.WantNumber, Range: &width, Instead: []string{"focal_length_mm", "sensor_width_mm"}}}},
		"a word": {func(d *Draft) { d.Look.KeySide = ptr("up") },
			fault.Fault{Pointer: "/shot/look/key_side", Kind: fault.NotOneOf{Got: "up", Words: []string{"left", "right", "auto"}}}},
		"two winds": {func(d *Draft) { d.GustMS, d.MeanWindMS = ptr(8.0), ptr(5.0) },
			fault.Fault{Pointer: "/shot/mean_wind_ms", Kind: fault.BothGiven{Beside: []string{"gust_ms"}, Sets: [][]string{{"gust_ms"}, {"mean_wind_ms"}}}}},
		"a zone in the main one": {func(d *Draft) { d.OtherZones = []DraftOtherZone{zone("band", 0.9, 0)} },
			fault.Fault{Pointer: "/shot/other_zones/0/center_m", Kind: fault.Overlaps{CenterM: [2]float64{0.9, 0}, Other: "/shot/zone"}}},
		"a zone in another": {func(d *Draft) { d.OtherZones = []DraftOtherZone{zone("a", -8, 0), zone("b", -8.9, 0)} },
			fault.Fault{Pointer: "/shot/other_zones/1/center_m", Kind: fault.Overlaps{CenterM: [2]float64{-8.9, 0}, Other: "/shot/other_zones/0"}}},
		"a name twice": {func(d *Draft) { d.OtherZones = []DraftOtherZone{zone("a", -8, 0), zone("a", -16, 0)} },
			fault.Fault{Pointer: "/shot/other_zones/1/label", Kind: fault.Repeated{Got: "a", First: "/shot/other_zones/0/label"}}},
		// Level, 9 m up, 3 m wide at 3:2: 1 m up and down.
		"over everybody's head": {func(d *Draft) { d.Camera.HeightM = ptr(9.0); d.Framing.AspectRatio = ptr(1.5) },
			fault.Fault{Pointer: "/shot/zone/top_m", Kind: fault.NobodyInView{BottomM: ptr(8.0), TopM: ptr(10.0), HeadM: 1.85}}},
		"a short top": {func(d *Draft) { d.Zone.BaseM = ptr(2.0) },
			fault.Fault{Pointer: "/shot/zone/top_m", Kind: fault.TopNotAboveBase{TopM: 1.85, BaseM: 2, Defaulted: "top_m", MostM: 60}}},
		"a skipped hour": {func(d *Draft) {
			d.Window = DraftWindow{Date: ptr("2027-03-28"), Start: ptr("01:30"), End: ptr("03:00")}
		},
			fault.Fault{Pointer: "/shot/window/start", Kind: fault.SkippedTime{At: "2027-03-28 01:30", Zone: "Europe/Lisbon", Before: "2027-03-28 01:00", After: "2027-03-28 02:00"}}},
		"an end before the start": {func(d *Draft) { d.Window.Start, d.Window.End = ptr("17:30"), ptr("16:30") },
			fault.Fault{Pointer: "/shot/window/end", Kind: fault.EndNotAfterStart{Date: "2027-06-18", Start: "17:30", End: "16:30", NextDate: "2027-06-19"}}},
	} {
		d := bare()
		tc.change(&d)
		_, faults := d.Resolve()
		if diff := cmp.Diff([]fault.Fault{tc.want}, faults); diff != "" {
			t.Errorf("%s (-want +got)\n%s", name, diff)
		}
	}
}
