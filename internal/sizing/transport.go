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

// transportOf chooses vehicles for all but machines, which come by themselves. The crew drives what takes no hired driver, a vehicle
// each, but not the operators, who come with their machines.
func transportOf(pl *planner, opt *Option) (price.Kit, error) {
	cargo, machines := cargoOf(opt, pl.stock)
	if machines > 0 {
		opt.Notes = append(opt.Notes, finding.MachinesApart{})
	}
	driver, driverMinor := workerOf(pl, catalog.RoleDriver), int64(0)
	if driver != nil {
		driverMinor, _ = pl.prices.Minor([]catalog.Count{{SKU: driver.SKU, Quantity: 1}})
	}
	var fleet []rigging.Vehicle
	var vans []*catalog.Item
	for _, o := range pl.prices.Offers() {
		if spec, ok := o.Item.Spec.(*catalog.Vehicle); ok {
			v := rigging.Vehicle{PayloadKg: spec.PayloadKg, LoadM3: spec.LoadM3, PriceMinor: o.Minor, Owned: o.Item.Owned, CrewDrives: spec.Driver == catalog.DriverCrew, Seats: spec.Seats}
			if !v.CrewDrives {
				v.PriceMinor += driverMinor
			}
			fleet = append(fleet, v)
			vans = append(vans, o.Item)
		}
	}
	var counts []catalog.Count
	hands := opt.Crew.Total - opt.Crew.Operators
	haul, ok := onceIn(pl, cargo, fleet, vans, hands)
	for trips := 1; trips <= mostTrips && !ok; trips++ {
		haul, ok = rigging.Transport(cargo, fleet, trips, hands)
	}
	if !ok {
		opt.Notes = append(opt.Notes, finding.NoTransport{MassKg: cargo.MassKg, VolumeM3: cargo.VolumeM3, Trips: mostTrips})
	} else {
		drivers, trips := 0, 0
		for i, n := range haul.Vehicles {
			if n == 0 {
				continue
			}
			one := Trips{Count: catalog.Count{SKU: vans[i].SKU, Quantity: n}, Trips: haul.Trips[i]}
			opt.Haul = append(opt.Haul, one)
			counts = append(counts, one.Count)
			if !fleet[i].CrewDrives {
				drivers += n
			}
			trips = max(trips, (one.Trips+n-1)/n)
		}
		if trips > 1 {
			opt.Notes = append(opt.Notes, finding.ManyTrips{MassKg: cargo.MassKg, Trips: trips})
		}
		if driver != nil && drivers > 0 {
			counts = append(counts, catalog.Count{SKU: driver.SKU, Quantity: drivers})
		}
	}
	kit, err := pl.prices.Price(counts)
	if err != nil {
		return kit, fmt.Errorf("sizing: transport of %s: %w", opt.Label, err)
	}
	tooFew(pl, opt, &kit)
	return kit, nil
}

// cargoOf is the kit of an option but for its machines, which come by themselves, and how many those are.
func cargoOf(o *Option, stock *catalog.Snapshot) (cargo rigging.Cargo, machines int) {
	for _, l := range o.Kit.Lines {
		item := stock.Item(l.SKU)
		if s, ok := item.Spec.(*catalog.Support); ok && s.Class == catalog.ClassMachine {
			machines += l.Quantity
			continue
		}
		cargo.MassKg += float64(l.Quantity) * item.MassKg
		cargo.VolumeM3 += float64(l.Quantity) * item.PackedM3
		cargo.HeaviestKg, cargo.BulkiestM3 = math.Max(cargo.HeaviestKg, item.MassKg), math.Max(cargo.BulkiestM3, item.PackedM3)
	}
	return cargo, machines
}

// onceIn returns the cargo in one vehicle of the kind that the user limits the plan to, on one trip; ok is false where there is no
// such limit, or it takes more.
func onceIn(pl *planner, cargo rigging.Cargo, fleet []rigging.Vehicle, vans []*catalog.Item, hands int) (rigging.Haul, bool) {
	i := slices.IndexFunc(vans, func(v *catalog.Item) bool { return v.SKU == pl.shot.Limits.VehicleSKU })
	if i < 0 {
		return rigging.Haul{}, false
	}
	one := slices.Clone(fleet)
	for k := range one {
		one[k].Owned = 0
	}
	one[i].Owned = min(1, fleet[i].Owned)
	return rigging.Transport(cargo, one, 1, hands)
}
