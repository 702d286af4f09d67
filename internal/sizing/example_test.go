//go:build !race

// Arithmetic in one goroutine, where the race detector finds nothing and takes eight times as long: deploy/tests.sh runs this without it.

package sizing_test

import (
	"context"
	"fmt"

	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/price"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
)

// fromDraft is two people on a jetty in the afternoon sun, from the demo house's catalogue.
func fromDraft() (shot.Shot, *catalog.Snapshot, *price.Desk, error) {
	d := shot.Draft{
		Site:    shot.DraftSite{LatitudeDeg: new(38.6935), LongitudeDeg: new(-9.2057), TimeZone: new("Europe/Lisbon")},
		Window:  shot.DraftWindow{Date: new("2027-06-18"), Start: new("16:30"), End: new("17:30")},
		Camera:  shot.DraftCamera{BearingDeg: new(258.0)},
		Framing: shot.DraftFraming{WidthM: new(3.0), DistanceM: new(5.5)},
		Zone:    shot.DraftZone{WidthM: new(2.0), DepthM: new(0.8)},
	}
	s, faults := d.Resolve()
	if len(faults) > 0 {
		return s, nil, nil, fmt.Errorf("%v", faults)
	}
	stock, err := catalog.Demo{}.Snapshot(context.Background(), "quayside")
	if err != nil {
		return s, nil, nil, err
	}
	return s, stock, price.NewDesk(stock, s.Window.Date), nil
}

// The first option's overhead keeps what was asked: every ray of the sun passes 15 cm inside its edge, and it hangs 10 cm
// out of the picture.
func ExamplePlan() {
	s, stock, prices, err := fromDraft()
	if err != nil {
		fmt.Println(err)
		return
	}
	result, err := sizing.Plan(context.Background(), s, stock, prices)
	if err != nil {
		fmt.Println(err)
		return
	}
	first := result.Options[0]
	fmt.Println(first.Workable, first.State)
	for _, p := range first.Pieces {
		if p.Role == finding.RoleOverhead {
			fmt.Println(p.Role, p.MarginM >= 0.15, p.ViewClearanceM >= 0.10, p.Hold.LowerAtMS >= s.GustMS)
		}
	}
	// Output:
	// true does_it
	// overhead true true true
}

// A larger frame covers a wider zone.
func ExampleReach() {
	s, stock, prices, err := fromDraft()
	if err != nil {
		fmt.Println(err)
		return
	}
	reaches, err := sizing.Reach(context.Background(), s, []string{"QG-FRAME-08X08", "QG-FRAME-12X12"}, stock, prices, 1)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(reaches.Frames[0].WidestZoneM < reaches.Frames[1].WidestZoneM)
	// Output: true
}
