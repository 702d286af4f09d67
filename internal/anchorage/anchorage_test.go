package anchorage

import (
	"testing"

	"kitspan/internal/catalog"
	"kitspan/internal/rigging"
)

// TestWhatHoldsByItselfNeedsNoBallastInTheHouse stands a board low in next to no wind, with every bag and block gone; a
// heavier kind is taken where those of the kind that comes first do not do.
func TestWhatHoldsByItselfNeedsNoBallastInTheHouse(t *testing.T) {
	b := rigging.Piece{
		Panel: rigging.Panel{WidthM: 1, HeightM: 1, TiltDeg: 90, MiddleM: 1, LowestM: 0.5, Solidity: 1}, MassKg: 2, Friction: 0.5,
		Supports: []rigging.Support{{MassKg: 10, FootprintM: 0.6, Legs: 3, HeightM: 1, SafeLoadKg: 40}},
	}
	light, heavy := Fixing{Item: &catalog.Item{SKU: "light", MassKg: 5}, Minor: 10}, Fixing{Item: &catalog.Item{SKU: "heavy", MassKg: 25}, Minor: 100}
	house := Planner{Bags: []Fixing{light, heavy}}
	none, all := func(string) int { return 0 }, func(string) int { return 100 }
	lines := func() []LineSet { return nil }
	if got := house.Secure(&b, 0.5, lines, none); !got.Holds || got.Bag != nil {
		t.Errorf("out of ballast: holds %v with %v", got.Holds, got.Bag)
	}
	if got := house.Secure(&b, 9, lines, none); got.Holds {
		t.Error("9 m/s are held by nothing")
	}
	if got := house.Secure(&b, 9, lines, all); !got.Holds || got.Bag != heavy.Item {
		t.Errorf("9 m/s: holds %v up to %.2f m/s with %+v", got.Holds, got.Limits.LowerAtMS, got.Bag)
	}
	if got := house.Secure(&b, 3, lines, all); !got.Holds || got.Bag != light.Item {
		t.Errorf("3 m/s: holds %v up to %.2f m/s with %+v", got.Holds, got.Limits.LowerAtMS, got.Bag)
	}
}
