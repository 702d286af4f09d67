package rigging

import (
	"math"
	"testing"

	"kitspan/internal/geom"
)

// TestGustsOfAFactor are the shares of a gust that follow from factors on its force, which goes with its square: 1.5 is 1/√1.5 on
// the gust, 0.816497, and 80 % of it is a factor of 1.5625; 75 % of that is 60 %, the lower mark of the event guide of Cardiff
// council for Bute Park.
func TestGustsOfAFactor(t *testing.T) {
	for _, c := range []struct{ factor, safe, lower float64 }{{1, 1, 0.8}, {1.5, 0.816497, 0.8}, {1.5625, 0.8, 0.8}, {2, 0.707107, 0.707107}} {
		for _, friction := range []float64{0.1, 1} { // it slides, it tips over
			s := board(0.75, friction, c.factor)
			h := HoldOf(s.Solver().Stability([]float64{400}), 0, -1)
			near(t, "safe to", h.SafeToMS/h.GoesAtMS, c.safe, 1e-6)
			near(t, "lower at", h.LowerAtMS/h.GoesAtMS, c.lower, 1e-6)
			near(t, "watch at", h.WatchAtMS/h.LowerAtMS, 0.75, 1e-12)
			if c.factor <= 1.5625 {
				near(t, "watch at, of what it goes at", h.WatchAtMS/h.GoesAtMS, 0.6, 1e-6)
			}
		}
	}
	// Ballast for a gust is that of a factor of 1.5625 where the safety factor is less, and of the safety factor where it is more.
	kg := func(factor float64) float64 {
		need, ok := board(0.75, 1, factor).Solver().Need(9, nil, 0, 0)
		if !ok {
			t.Fatal("no ballast holds it")
		}
		return need.Kg()[0]
	}
	near(t, "factor 1", kg(1)/kg(1.5625), 1, 1e-5)
	near(t, "factor 1.5", kg(1.5)/kg(1.5625), 1, 1e-5)
	near(t, "factor 2", kg(2)/kg(1.5625), 2/1.5625, 1e-5)
}

// board is a weightless upright board of 2.4 × 2.4 m, its middle 3 m up, on a single weightless stand of some lever.
func board(leverM, friction, factor float64) *Structure {
	held := geom.Vec{Z: 3}
	return &Structure{
		Frame: geom.Rect{Center: held, U: geom.Vec{X: 1}, V: geom.Vec{Z: 1}, HalfU: 1.2, HalfV: 1.2}, Solidity: 1, Friction: friction, SafetyFactor: factor,
		Stands: []Stand{{Held: held, FootprintM: 2 * leverM, Legs: 3, SafeLoadKg: 1e6}},
	}
}

func TestHoldOf(t *testing.T) {
	house := setLimit{7, GovernsHouseLimit, -1}
	for _, c := range []struct {
		name       string
		safe, goes float64
		set        setLimit
		want       Hold
	}{
		{"80 % of what it goes at", 9, 10, setLimit{}, Hold{SafeToMS: 9, GoesAtMS: 10, LowerAtMS: 8, WatchAtMS: 6, Governs: GovernsSliding, Support: 1}},
		{"what is safe", 6, 10, setLimit{}, Hold{SafeToMS: 6, GoesAtMS: 10, LowerAtMS: 6, WatchAtMS: 4.5, Governs: GovernsSliding, Support: 1}},
		{"the house's limit", 9, 10, house, Hold{SafeToMS: 9, GoesAtMS: 10, LowerAtMS: 7, WatchAtMS: 5.25, Governs: GovernsHouseLimit, Support: -1}},
		{"a limit above", 8, 8, house, Hold{SafeToMS: 8, GoesAtMS: 8, LowerAtMS: 6.4, WatchAtMS: 4.8, Governs: GovernsSliding, Support: 1}},
		{"a hurricane", 70, 90, setLimit{}, Hold{SafeToMS: 60, GoesAtMS: 60, LowerAtMS: 48, WatchAtMS: 36, Governs: GovernsSliding, Support: 1}},
		{"in calm air with its factor alone not", -1, 5, setLimit{}, Hold{GoesAtMS: 5, Governs: GovernsSliding, Support: 1, fallen: true}},
		{"not in calm air", -1, -1, house, Hold{Governs: GovernsSliding, Support: 1, fallen: true}},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := holdOf(c.safe, c.goes, GovernsSliding, 1, c.set)
			near(t, "lower at", got.LowerAtMS, c.want.LowerAtMS, 1e-12)
			near(t, "watch at", got.WatchAtMS, c.want.WatchAtMS, 1e-12)
			got.LowerAtMS, got.WatchAtMS = c.want.LowerAtMS, c.want.WatchAtMS
			if got != c.want {
				t.Errorf("%+v, want %+v", got, c.want)
			}
			if got.Holds(0) == c.want.fallen || !got.fallen && (!got.Holds(got.LowerAtMS) || got.Holds(math.Nextafter(got.LowerAtMS, 99))) {
				t.Errorf("%+v holds calm air %v", got, got.Holds(0))
			}
		})
	}
}
