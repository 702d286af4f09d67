package shot_test

import (
	"fmt"

	"kitspan/internal/fault"
	"kitspan/internal/shot"
)

// What is required and no more: the rest is filled in. A 50 mm lens on 36 mm shows 5 · 36/50 = 3.6 m at 5 m with the axis level.
func ExampleDraft_Resolve() {
	var d shot.Draft
	d.Site = shot.DraftSite{LatitudeDeg: new(38.6935), LongitudeDeg: new(-9.2057), TimeZone: new("Europe/Lisbon")}
	d.Window = shot.DraftWindow{Date: new("2027-06-18"), Start: new("16:30"), End: new("17:30")}
	d.Camera = shot.DraftCamera{BearingDeg: new(258.0)}
	d.Framing = shot.DraftFraming{DistanceM: new(5.0), FocalLengthMM: new(50.0), SensorWidthMM: new(36.0)}
	s, faults := d.Resolve()
	fmt.Println(len(faults), "faults")
	fmt.Printf("%.1f m wide, lit to %.2f m, in gusts of %.0f m/s\n", s.Framing.WidthM, s.Zone.TopM, s.GustMS)
	fmt.Println(s.Window.From.UTC().Format("15:04"), "UTC")
	// Output:
	// 0 faults
	// 3.6 m wide, lit to 1.85 m, in gusts of 8 m/s
	// 15:30 UTC
}

// Faults come all at once, as values.
func ExampleDraft_Resolve_faults() {
	var d shot.Draft
	d.Site = shot.DraftSite{LatitudeDeg: new(95.0), LongitudeDeg: new(-9.2057), TimeZone: new("Europe/Lisbon")}
	d.Window = shot.DraftWindow{Date: new("2027-06-18"), Start: new("16:30"), End: new("17:30")}
	d.Camera = shot.DraftCamera{BearingDeg: new(258.0)}
	d.Framing = shot.DraftFraming{WidthM: new(3.0)}
	_, faults := d.Resolve()
	for _, f := range faults {
		fmt.Println(f.Pointer, f.Kind.Code())
		if far, ok := f.Kind.(fault.OutOfRange); ok {
			fmt.Println(far.Got, "is not from", far.Least, "to", far.Most)
		}
	}
	// Output:
	// /shot/site/latitude_deg out_of_range
	// 95 is not from -90 to 90
	// /shot/framing/distance_m missing
}
