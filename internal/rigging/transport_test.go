package rigging

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

func TestTransport(t *testing.T) {
	van := Vehicle{PayloadKg: 900, LoadM3: 6, PriceMinor: 7000, Owned: 3}
	long := Vehicle{PayloadKg: 1300, LoadM3: 12, PriceMinor: 9500, Owned: 3}
	lorry := Vehicle{PayloadKg: 6000, LoadM3: 40, PriceMinor: 28000, Owned: 1}
	fleet := []Vehicle{van, long, lorry}
	for _, test := range []struct {
		name     string
		cargo    Cargo
		trips    int
		vehicles []int
		made     []int
		ok       bool
	}{
		{"nothing", Cargo{}, 1, []int{0, 0, 0}, []int{0, 0, 0}, true},
		{"one van", Cargo{MassKg: 900, VolumeM3: 4.5}, 1, []int{1, 0, 0}, []int{1, 0, 0}, true},
		{"a kilogram too many", Cargo{MassKg: 901, VolumeM3: 4.5}, 1, []int{0, 1, 0}, []int{0, 1, 0}, true},
		{"a load space is never packed full", Cargo{MassKg: 900, VolumeM3: 4.6}, 1, []int{0, 1, 0}, []int{0, 1, 0}, true},
		{"two vans are cheaper than the lorry", Cargo{MassKg: 1800, VolumeM3: 5}, 1, []int{2, 0, 0}, []int{2, 0, 0}, true},
		{"the lorry is cheaper than three long vans", Cargo{MassKg: 3800, VolumeM3: 25}, 1, []int{0, 0, 1}, []int{0, 0, 1}, true},
		{"a van twice", Cargo{MassKg: 1700, VolumeM3: 5}, 2, []int{1, 0, 0}, []int{2, 0, 0}, true},
		{"all there is", Cargo{MassKg: 12600, VolumeM3: 70}, 1, []int{3, 3, 1}, []int{3, 3, 1}, true},
		{"more than there is", Cargo{MassKg: 12601, VolumeM3: 70}, 1, nil, nil, false},
		{"one heavy thing", Cargo{MassKg: 1000, VolumeM3: 4, HeaviestKg: 950, BulkiestM3: 1}, 1, []int{0, 1, 0}, []int{0, 1, 0}, true},
		{"one bulky thing", Cargo{MassKg: 100, VolumeM3: 10, BulkiestM3: 10}, 1, []int{0, 0, 1}, []int{0, 0, 1}, true},
		{"a machine comes by itself", Cargo{MassKg: 9800, VolumeM3: 36, HeaviestKg: 9800, BulkiestM3: 36}, 3, nil, nil, false},
	} {
		t.Run(test.name, func(t *testing.T) {
			h, ok := Transport(test.cargo, fleet, test.trips, 0)
			if ok != test.ok || !slices.Equal(h.Vehicles, test.vehicles) || !slices.Equal(h.Trips, test.made) {
				t.Errorf("%+v, %v; want %v in %v trips, %v", h, ok, test.vehicles, test.made, test.ok)
			}
		})
	}
	// Of equal price, the fewest vehicles; of equal vehicles, the fewest trips.
	even := []Vehicle{{PayloadKg: 500, LoadM3: 10, PriceMinor: 50, Owned: 9}, {PayloadKg: 1000, LoadM3: 10, PriceMinor: 100, Owned: 9}}
	if h, _ := Transport(Cargo{MassKg: 1000}, even, 1, 0); !slices.Equal(h.Vehicles, []int{0, 1}) {
		t.Errorf("%+v", h)
	}
	same := []Vehicle{{PayloadKg: 500, LoadM3: 10, PriceMinor: 50, Owned: 1}, {PayloadKg: 1000, LoadM3: 10, PriceMinor: 50, Owned: 1}}
	if h, _ := Transport(Cargo{MassKg: 1000}, same, 2, 0); !slices.Equal(h.Trips, []int{0, 1}) {
		t.Errorf("%+v", h)
	}
	// Vans that the crew drives: two people take two, and a lorry with its driver where that is not enough.
	own := []Vehicle{{PayloadKg: 900, LoadM3: 6, PriceMinor: 7000, Owned: 3, CrewDrives: true}, lorry}
	for _, test := range []struct {
		kg      float64
		drivers int
		want    []int
	}{{1800, 2, []int{2, 0}}, {1801, 2, []int{0, 1}}, {1801, 3, []int{3, 0}}, {1800, 1, []int{0, 1}}, {1, 0, []int{0, 1}}, {1, -1, []int{0, 1}}} {
		if h, ok := Transport(Cargo{MassKg: test.kg}, own, 1, test.drivers); !ok || !slices.Equal(h.Vehicles, test.want) {
			t.Errorf("%v kg with %d drivers: %+v, %v, want %v", test.kg, test.drivers, h, ok, test.want)
		}
	}
	// A van of 900 kg with three seats takes 820 kg beside its driver, 740 with another of the crew, and no less than 660.
	seated := []Vehicle{{PayloadKg: 900, LoadM3: 6, PriceMinor: 7000, Owned: 3, CrewDrives: true, Seats: 3}, {PayloadKg: 6000, LoadM3: 40, PriceMinor: 28000, Owned: 1, Seats: 3}}
	for _, test := range []struct {
		kg   float64
		crew int
		want []int
	}{
		{820, 1, []int{1, 0}}, {821, 1, []int{0, 1}}, {740, 2, []int{1, 0}}, {741, 2, []int{2, 0}}, {660, 3, []int{1, 0}}, {661, 3, []int{2, 0}}, {660, 9, []int{1, 0}},
		{5920, 0, []int{0, 1}}, {5921, 0, nil},
	} {
		if h, ok := Transport(Cargo{MassKg: test.kg}, seated, 1, test.crew); ok != (test.want != nil) || !slices.Equal(h.Vehicles, test.want) {
			t.Errorf("%v kg with a crew of %d: %+v, %v, want %v", test.kg, test.crew, h, ok, test.want)
		}
	}
	for _, none := range [][]Vehicle{nil, {{PayloadKg: 0, LoadM3: 5, Owned: 4}}, {{PayloadKg: 500, LoadM3: 5}}} {
		if h, ok := Transport(Cargo{MassKg: 1}, none, 1, 0); ok {
			t.Errorf("%+v carry it: %+v", none, h)
		}
	}
}

// TestTransportAgainstEverything tries every haul of small random fleets.
func TestTransportAgainstEverything(t *testing.T) {
	const seed = 8
	r := rand.New(rand.NewPCG(seed, 1))
	carried := 0
	for trial := range 1500 {
		fleet := make([]Vehicle, 1+r.IntN(4))
		for i := range fleet {
			fleet[i] = Vehicle{float64(100 * (1 + r.IntN(14))), float64(1 + r.IntN(29)), int64(10 * r.IntN(30)), r.IntN(4), r.IntN(2) == 0, r.IntN(4)}
		}
		each, drivers := 1+r.IntN(3), r.IntN(6)
		cargo := Cargo{MassKg: 4000 * r.Float64(), VolumeM3: 40 * r.Float64()}
		if r.IntN(2) == 0 {
			cargo.HeaviestKg, cargo.BulkiestM3 = cargo.MassKg*r.Float64(), cargo.VolumeM3*r.Float64()
		}
		best, found := [3]int64{math.MaxInt64}, false
		trips := make([]int, len(fleet))
		var all func(i int)
		all = func(i int) {
			if i < len(fleet) {
				for trips[i] = 0; trips[i] <= fleet[i].Owned*each; trips[i]++ {
					all(i + 1)
				}
				return
			}
			if value, ok := valueOf(cargo, fleet, trips, each, drivers); ok && (!found || slices.Compare(value[:], best[:]) < 0) {
				best, found = value, true
			}
		}
		all(0)
		h, ok := Transport(cargo, fleet, each, drivers)
		if ok != found {
			t.Fatalf("seed %d, trial %d: %+v by %+v: %+v, %v", seed, trial, cargo, fleet, h, ok)
		}
		if !ok {
			continue
		}
		carried++
		if value, ok := valueOf(cargo, fleet, h.Trips, each, drivers); !ok || value != best || h.PriceMinor != best[0] {
			t.Fatalf("seed %d, trial %d: %+v by %+v in %d: %+v is %v, the best %v", seed, trial, cargo, fleet, each, h, value, best)
		}
	}
	if carried < 300 {
		t.Errorf("only %d could be carried", carried)
	}
}

// valueOf is price, vehicles and trips of a haul, where it carries the cargo.
func valueOf(c Cargo, fleet []Vehicle, trips []int, each, drivers int) (value [3]int64, ok bool) {
	seats := 0
	kg, m3, big := 0.0, 0.0, c.HeaviestKg <= 0 && c.BulkiestM3 <= 0
	for i, v := range fleet {
		n := int64(math.Ceil(float64(trips[i]) / float64(each)))
		value[0] += n * v.PriceMinor
		value[1] += n
		value[2] += int64(trips[i])
		if v.CrewDrives {
			drivers -= int(n)
		}
		each := v.PayloadKg
		if v.Seats > 0 {
			each -= 80 // its driver
			seats += int(n) * (v.Seats - 1)
		}
		if trips[i] > 0 && each <= 0 {
			return value, false // the driver alone is more than it bears
		}
		kg += float64(trips[i]) * each
		m3 += float64(trips[i]) * v.LoadM3 * 0.75
		big = big || trips[i] > 0 && each >= c.HeaviestKg && v.LoadM3*0.75 >= c.BulkiestM3
	}
	if drivers > 0 {
		kg -= 80 * float64(min(drivers, seats))
	}
	return value, drivers >= 0 && big && kg >= c.MassKg && m3 >= c.VolumeM3
}
