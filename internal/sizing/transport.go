package sizing

import (
	"fmt"
	"math"
	"slices"

	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/price"
	"kitspan/internal/rigging"
)

// mostTrips is how often a vehicle drives at most.
const mostTrips = 4

// Fleet is the vehicles of a house with what they and their drivers cost on a day. It is safe for concurrent use.
type Fleet struct {
	kinds  []rigging.Vehicle
	loose  []rigging.Vehicle // the same without anybody who rides, so that no crew makes them dearer
	vans   []*catalog.Item   // of each kind
	driver *catalog.Item     // who is paid to drive; nil where the house sends nobody
}

// NewFleet returns the vehicles that a desk can price. Of the drivers who are paid the house's cheapest drives.
func NewFleet(prices *price.Desk) *Fleet {
	f := &Fleet{driver: workerOf(prices, catalog.RoleDriver)}
	driverMinor := int64(0)
	if f.driver != nil {
		driverMinor, _ = prices.Minor([]catalog.Count{{SKU: f.driver.SKU, Quantity: 1}})
	}
	for _, o := range prices.Offers() {
		spec, ok := o.Item.Spec.(*catalog.Vehicle)
		if !ok {
			continue
		}
		v := rigging.Vehicle{PayloadKg: spec.PayloadKg, LoadM3: spec.LoadM3, PriceMinor: o.Minor, Owned: o.Item.Owned, CrewDrives: spec.Driver == catalog.DriverCrew, Seats: spec.Seats}
		if !v.CrewDrives {
			v.PriceMinor += driverMinor
		}
		f.kinds = append(f.kinds, v)
		v.Seats, v.CrewDrives = 0, false
		f.loose = append(f.loose, v)
		f.vans = append(f.vans, o.Item)
	}
	return f
}

// Haulage is the vehicles that bring a load.
type Haulage struct {
	Vehicles []Trips
	// Counts are the vehicles and their drivers, as they are priced.
	Counts []catalog.Count
	// TripsEach is how often the one drives that drives most.
	TripsEach  int
	PriceMinor int64
}

// Bring returns the cheapest vehicles for a cargo on as few trips each as carry it, at most [mostTrips]; ok is false where none do. The
// crew, so many hands, drives what takes no hired driver, a vehicle each.
func (f *Fleet) Bring(cargo rigging.Cargo, hands int) (h Haulage, ok bool) {
	for trips := 1; trips <= mostTrips; trips++ {
		if haul, ok := rigging.Transport(cargo, f.kinds, trips, hands); ok {
			return f.haulage(&haul), true
		}
	}
	return Haulage{}, false
}

// AtLeast returns what bringing a cargo costs at least, by whatever crew and on any number of trips that [Fleet.Bring] may take. Unlike the
// price of Bring, which falls where a heavier cargo takes a second trip of fewer vehicles, it never falls as the cargo grows. It is 0 where
// nothing brings it.
func (f *Fleet) AtLeast(cargo rigging.Cargo) (minor int64) {
	minor = math.MaxInt64
	for trips := 1; trips <= mostTrips; trips++ {
		if haul, ok := rigging.Transport(cargo, f.loose, trips, 0); ok {
			minor = min(minor, haul.PriceMinor)
		}
	}
	if minor == math.MaxInt64 {
		return 0
	}
	return minor
}

// haulage names the vehicles and the drivers of a haul.
func (f *Fleet) haulage(haul *rigging.Haul) Haulage {
	h, drivers := Haulage{PriceMinor: haul.PriceMinor}, 0
	for i, n := range haul.Vehicles {
		if n == 0 {
			continue
		}
		one := Trips{Count: catalog.Count{SKU: f.vans[i].SKU, Quantity: n}, Trips: haul.Trips[i]}
		h.Vehicles = append(h.Vehicles, one)
		h.Counts = append(h.Counts, one.Count)
		if !f.kinds[i].CrewDrives {
			drivers += n
		}
		h.TripsEach = max(h.TripsEach, (one.Trips+n-1)/n)
	}
	if f.driver != nil && drivers > 0 {
		h.Counts = append(h.Counts, catalog.Count{SKU: f.driver.SKU, Quantity: drivers})
	}
	return h
}

// onceIn returns a cargo in one vehicle of a kind, on one trip; ok is false where the house has none of the kind, or it takes more.
func (f *Fleet) onceIn(sku string, cargo rigging.Cargo, hands int) (Haulage, bool) {
	i := slices.IndexFunc(f.vans, func(v *catalog.Item) bool { return v.SKU == sku })
	if i < 0 {
		return Haulage{}, false
	}
	one := slices.Clone(f.kinds)
	for k := range one {
		one[k].Owned = 0
	}
	one[i].Owned = min(1, f.kinds[i].Owned)
	haul, ok := rigging.Transport(cargo, one, 1, hands)
	if !ok {
		return Haulage{}, false
	}
	return f.haulage(&haul), true
}

// transportOf chooses vehicles for all but machines, which come by themselves. The crew drives what takes no hired driver, a vehicle
// each, but not the operators, who come with their machines.
func transportOf(pl *planner, opt *Option) (price.Kit, error) {
	cargo, machines := cargoOf(opt.Kit.Lines, pl.stock)
	if machines > 0 {
		opt.Notes = append(opt.Notes, finding.MachinesApart{})
	}
	fleet, hands := NewFleet(pl.prices), opt.Crew.Total-opt.Crew.Operators
	haul, ok := fleet.onceIn(pl.shot.Limits.VehicleSKU, cargo, hands)
	if !ok {
		haul, ok = fleet.Bring(cargo, hands)
	}
	if !ok {
		opt.Notes = append(opt.Notes, finding.NoTransport{MassKg: cargo.MassKg, VolumeM3: cargo.VolumeM3, Trips: mostTrips})
	}
	opt.Haul = haul.Vehicles
	if haul.TripsEach > 1 {
		opt.Notes = append(opt.Notes, finding.ManyTrips{MassKg: cargo.MassKg, Trips: haul.TripsEach})
	}
	kit, err := pl.prices.Price(haul.Counts)
	if err != nil {
		return kit, fmt.Errorf("sizing: transport of %s: %w", opt.Label, err)
	}
	tooFew(pl, opt, &kit)
	return kit, nil
}

// cargoOf is what vehicles bring of a kit: all but its machines, which come by themselves, and how many those are.
func cargoOf(kit []price.KitLine, stock *catalog.Snapshot) (cargo rigging.Cargo, machines int) {
	for _, l := range kit {
		item := stock.Item(l.SKU)
		if ComesByItself(item) {
			machines += l.Quantity
			continue
		}
		cargo.MassKg += float64(l.Quantity) * item.MassKg
		cargo.VolumeM3 += float64(l.Quantity) * item.PackedM3
		cargo.HeaviestKg, cargo.BulkiestM3 = math.Max(cargo.HeaviestKg, item.MassKg), math.Max(cargo.BulkiestM3, item.PackedM3)
	}
	return cargo, machines
}

// ComesByItself reports whether an item is no load of a vehicle: a machine.
func ComesByItself(item *catalog.Item) bool {
	s, ok := item.Spec.(*catalog.Support)
	return ok && s.Class == catalog.ClassMachine
}
