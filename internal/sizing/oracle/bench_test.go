package oracle_test

import (
	"testing"

	"github.com/bojanz/currency"

	"kitspan/internal/catalog"
	"kitspan/internal/shot"
	"kitspan/internal/sizing/oracle"
)

// The bench is a house and a shot with round numbers, whose distances are worked out by hand beside each test.

func ptr[T any](v T) *T { return &v }

func euros(t *testing.T, s string) currency.Amount {
	t.Helper()
	a, err := currency.NewAmount(s, "EUR")
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// benchHouse owns one frame of 3 by 3 m (outer edge 3.1 by 3.1), one of 4 by 2 m, cloths for both, and stands.
func benchHouse(t *testing.T) *catalog.Snapshot {
	t.Helper()
	item := func(sku string, massKg float64, owned int, rate string, spec catalog.Spec) catalog.Item {
		return catalog.Item{
			SKU: sku, Name: sku, MassKg: massKg, PackedM3: 0.1, Owned: owned, Replacement: euros(t, "100.00"), Spec: spec,
			Rates: []catalog.Rate{{From: catalog.Date{Year: 2027, Month: 1, Day: 1}, PerDay: euros(t, rate)}},
		}
	}
	cloth := func(w, h float64, use string) *catalog.Fabric {
		return &catalog.Fabric{
			FitsWidthM: w, FitsHeightM: h, Use: use, Transmittance: 0.4, Reflectance: 0.4, ArealMassKgM2: 0.1, Solidity: 1,
			FaceA: "white", FaceB: "white",
		}
	}
	return catalog.NewSnapshot(catalog.House{Slug: "bench", Name: "Bench", Currency: "EUR", TimeZone: "Europe/Lisbon"}, []catalog.Item{
		item("FRAME-33", 10, 2, "20.10", &catalog.Frame{OpeningWidthM: 3, OpeningHeightM: 3, OuterWidthM: 3.1, OuterHeightM: 3.1, SupportsMin: 2, SupportsMax: 4}),
		item("FRAME-42", 9, 1, "18.05", &catalog.Frame{OpeningWidthM: 4, OpeningHeightM: 2, OuterWidthM: 4.1, OuterHeightM: 2.1, SupportsMin: 2, SupportsMax: 2}),
		item("CLOTH-33", 1, 2, "7.35", cloth(3, 3, catalog.UseDiffusion)),
		item("CLOTH-42", 1, 1, "6.20", cloth(4, 2, catalog.UseDiffusion)),
		item("NET-33", 1, 1, "5.00", cloth(3, 3, catalog.UseNet)),
		item("STAND", 5, 4, "3.15", &catalog.Support{Class: catalog.ClassStand, LowestM: 1, HighestM: 4, SafeLoadKg: 20, FootprintM: 0.5, Legs: 3}),
		item("STAND-ARM", 6, 4, "4.15", &catalog.Support{Class: catalog.ClassStand, LowestM: 1, HighestM: 4, SafeLoadKg: 15, FootprintM: 0.5, Legs: 3, ArmReachM: 1}),
	})
}

// benchDraft is a roofed place with one lamp: the lens 5 m south of the zone looks north, level at 1.5 m; the picture is 2
// by 1 m there, so it widens by 0.2 m a metre to each side and 0.1 m up and down. The zone is 2 by 1 m, from the ground to
// 1.8 m.
func benchDraft(lamp shot.DraftLamp) shot.Draft {
	lamp.Label = ptr("lamp")
	return shot.Draft{
		Site:      shot.DraftSite{LatitudeDeg: ptr(38.7), LongitudeDeg: ptr(-9.2), TimeZone: ptr("Europe/Lisbon"), Roofed: ptr(true)},
		Window:    shot.DraftWindow{Date: ptr("2027-03-01"), Start: ptr("10:00"), End: ptr("11:00")},
		Camera:    shot.DraftCamera{BearingDeg: ptr(0.0), HeightM: ptr(1.5), AimHeightM: ptr(1.5)},
		Framing:   shot.DraftFraming{WidthM: ptr(2.0), DistanceM: ptr(5.0), AspectRatio: ptr(2.0)},
		Zone:      shot.DraftZone{WidthM: ptr(2.0), DepthM: ptr(1.0), BaseM: ptr(0.0), TopM: ptr(1.8)},
		Allowance: shot.DraftAllowance{CoverM: ptr(0.05), ViewM: ptr(0.1), HeadM: ptr(2.1)},
		Lamps:     []shot.DraftLamp{lamp},
	}
}

func overheadLamp() shot.DraftLamp {
	return shot.DraftLamp{AzimuthDeg: ptr(0.0), ElevationDeg: ptr(90.0), IlluminanceLx: ptr(1000.0)}
}

func resolved(t *testing.T, d shot.Draft) shot.Shot {
	t.Helper()
	shot, faults := d.Resolve()
	if len(faults) > 0 {
		t.Fatalf("the draft is refused: %v", faults)
	}
	return shot
}

func sceneOf(t *testing.T, d shot.Draft) *oracle.Scene {
	t.Helper()
	shot := resolved(t, d)
	return oracle.NewScene(shot, shot.Window.From, shot.Window.To)
}
