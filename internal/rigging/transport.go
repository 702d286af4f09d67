package rigging

import "math"

// Vehicle is one kind of vehicle: what it carries, what one costs per day in the currency's minor units, and how many there
// are. CrewDrives means that it takes one of the crew to drive it; a hired driver's pay is part of the price. Whoever rides is part
// of the payload: the driver on each trip, and on one trip each of the crew for whom Seats are left; with no seats nobody is counted.
type Vehicle struct {
	PayloadKg, LoadM3 float64
	PriceMinor        int64
	Owned             int
	CrewDrives        bool
	Seats             int
}

// RiderKg is what each who rides weighs with what they bring (common practice, no source).
const RiderKg = 80

// freightKg is what a vehicle carries beside its driver.
func (v *Vehicle) freightKg() float64 { return v.PayloadKg - RiderKg*float64(min(1, v.Seats)) }

func (v *Vehicle) carries() bool { return v.freightKg() > 0 && v.LoadM3 > 0 && v.Owned > 0 }

// Cargo is what has to be brought. HeaviestKg and BulkiestM3 are of single items that cannot be taken apart; they are taken
// as one item.
type Cargo struct {
	MassKg, VolumeM3       float64
	HeaviestKg, BulkiestM3 float64
}

// Haul is how many vehicles of each kind, in the order of the fleet, and how many trips they make together.
type Haul struct {
	Vehicles, Trips []int
	PriceMinor      int64
}

// maxHauls bounds the search; a fleet of a few kinds takes hundreds of steps. Beyond it the best haul so far is the answer.
const maxHauls = 1_000_000

// Transport returns the haul that carries a cargo for the least price, then with the fewest vehicles, then with the fewest trips,
// each vehicle making at most tripsEach (less than 1 counts as 1). No more vehicles that the crew drives go than there are people in
// it, and as many more of it ride as there are seats; the others come by themselves. ok is false where the fleet cannot carry it.
//
// Packed gear fills [UsableVolume] of a load space; mass is taken to be shareable to the kilogram, which bags and stands
// nearly are.
func Transport(cargo Cargo, fleet []Vehicle, tripsEach, crew int) (h Haul, ok bool) {
	s := haulSearch{fleet: fleet, each: max(1, tripsEach), trips: make([]int, len(fleet)), best: make([]int, len(fleet))}
	if cargo.MassKg <= 0 && cargo.VolumeM3 <= 0 {
		ok = true
	} else {
		s.need(&cargo)
		s.from(0, cargo.MassKg, cargo.VolumeM3, !s.fits(&cargo, nil), haulSoFar{left: max(0, crew)})
		ok = s.found
	}
	if !ok {
		return Haul{}, false
	}
	h = Haul{Vehicles: make([]int, len(fleet)), Trips: s.best, PriceMinor: s.price}
	for i, trips := range s.best {
		h.Vehicles[i] = s.vehicles(trips)
	}
	return h, true
}

// haulSearch goes through the numbers of trips by each kind of vehicle, depth first.
type haulSearch struct {
	fleet      []Vehicle
	each       int
	big        []bool    // kinds that take the largest item
	perKg      []float64 // least price of a kilogram among the kinds from here on
	perM3      []float64
	trips      []int
	best       []int
	price      int64
	count, sum int // vehicles and trips of the best
	found      bool
	steps      int
}

func (s *haulSearch) vehicles(trips int) int { return (trips + s.each - 1) / s.each }

// fits reports whether the largest item goes into one of the kinds, or into a given one.
func (s *haulSearch) fits(c *Cargo, v *Vehicle) bool {
	if c.HeaviestKg <= 0 && c.BulkiestM3 <= 0 {
		return true
	}
	return v != nil && v.freightKg() >= c.HeaviestKg && v.LoadM3*UsableVolume >= c.BulkiestM3
}

// need works out bounds on what the kinds from each on cost for what they carry.
func (s *haulSearch) need(c *Cargo) {
	n := len(s.fleet)
	s.big, s.perKg, s.perM3 = make([]bool, n), make([]float64, n+1), make([]float64, n+1)
	s.perKg[n], s.perM3[n] = math.Inf(1), math.Inf(1)
	for i := n - 1; i >= 0; i-- {
		v := &s.fleet[i]
		s.big[i] = s.fits(c, v)
		s.perKg[i], s.perM3[i] = s.perKg[i+1], s.perM3[i+1]
		if v.carries() {
			trip := float64(v.PriceMinor) / float64(s.each)
			s.perKg[i] = math.Min(s.perKg[i], trip/v.freightKg())
			s.perM3[i] = math.Min(s.perM3[i], trip/(v.LoadM3*UsableVolume))
		}
	}
}

// haulSoFar is what the kinds before one come to: left is how many of the crew drive none of them, seats how many of those find one.
type haulSoFar struct {
	price       int64
	count, sum  int
	left, seats int
}

// from tries every number of trips of kind i on; big means that the largest item still has to find its vehicle.
func (s *haulSearch) from(i int, kg, m3 float64, big bool, h haulSoFar) {
	if s.steps++; s.steps > maxHauls {
		return
	}
	if kg+RiderKg*float64(min(h.left, h.seats)) <= cargoSlack && m3 <= cargoSlack && !big {
		if !s.found || h.price < s.price || h.price == s.price && (h.count < s.count || h.count == s.count && h.sum < s.sum) {
			s.found, s.price, s.count, s.sum = true, h.price, h.count, h.sum
			copy(s.best, s.trips)
		}
		return
	}
	if i == len(s.fleet) {
		return
	}
	if s.found {
		least := float64(h.price)
		if kg > cargoSlack {
			least = math.Max(least, float64(h.price)+kg*s.perKg[i])
		}
		if m3 > cargoSlack {
			least = math.Max(least, float64(h.price)+m3*s.perM3[i])
		}
		if least > float64(s.price)*(1+1e-12) || least >= float64(s.price) && h.count > s.count {
			return
		}
	}
	v := &s.fleet[i]
	space := v.LoadM3 * UsableVolume
	most := 0.0
	if v.carries() {
		most = math.Max(math.Ceil(math.Max((kg+RiderKg*float64(h.left))/v.freightKg(), m3/space)), 1)
		owned := v.Owned
		if v.CrewDrives {
			owned = min(owned, h.left)
		}
		most = math.Min(most, float64(owned)*float64(s.each))
	}
	for t := int(math.Min(most, maxCount)); t >= 0; t-- { // most first: a haul to compare with is soon there
		s.trips[i] = t
		n, with := s.vehicles(t), h
		with.price, with.count, with.sum = h.price+int64(n)*v.PriceMinor, h.count+n, h.sum+t
		with.seats += n * max(0, v.Seats-1)
		if v.CrewDrives {
			with.left -= n
		}
		s.from(i+1, kg-float64(t)*v.freightKg(), m3-float64(t)*space, big && (t == 0 || !s.big[i]), with)
	}
	s.trips[i] = 0
}

// cargoSlack is the remainder, in kg or m³, that counts as loaded: rounding of sums.
const cargoSlack = 1e-9
