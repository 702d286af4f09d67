package oracle

import (
	"fmt"
	"math"
	"math/big"

	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/price"
	"kitspan/internal/sizing"
)

const (
	fillShare = 0.75 // of a load space (common practice, no source)
	mostTrips = 4    // of one vehicle
	// riderKg is whoever rides in a vehicle, with what they bring (common practice, no source).
	riderKg = 80
)

// freight is what has to be carried: everything hired but the machines, which come on carriers of their own.
func freight(o sizing.Option, stock *catalog.Snapshot) (massKg, volumeM3 float64) {
	for _, l := range o.Kit.Lines {
		item := stock.Item(l.SKU)
		if item == nil {
			continue
		}
		if sp, is := item.Spec.(*catalog.Support); is && sp.Class == catalog.ClassMachine {
			continue
		}
		massKg += float64(l.Quantity) * item.MassKg
		volumeM3 += float64(l.Quantity) * item.PackedM3
	}
	return massKg, volumeM3
}

// cart is a kind of vehicle; minor is what one costs per day with its driver, where one is hired, in minor units.
type cart struct {
	item  *catalog.Item
	spec  *catalog.Vehicle
	minor int64
}

// besideDriverKg is what it carries on each trip beside its driver.
func (c *cart) besideDriverKg() float64 { return c.spec.PayloadKg - riderKg }

// riding is what those of the crew weigh who drive none of the vehicles and find a seat in one.
func riding(crew, seats int) float64 {
	return riderKg * math.Max(0, math.Min(float64(crew), float64(seats)))
}

// hired reports whether its driver is: one of the crew drives it else.
func (c *cart) hired() bool { return c.spec.Driver != "crew" }

// fleet is the house's vehicles, and how many drivers it has to hire out.
func fleet(stock *catalog.Snapshot, on catalog.Date) (list []cart, drivers int) {
	var wage int64
	for i := range stock.Items() {
		item := &stock.Items()[i]
		if l, is := item.Spec.(*catalog.Labour); is && l.Role == catalog.RoleDriver {
			drivers += item.Owned
			wage = rateMinor(item, on)
		}
	}
	for i := range stock.Items() {
		item := &stock.Items()[i]
		if v, is := item.Spec.(*catalog.Vehicle); is {
			c := cart{item, v, rateMinor(item, on)}
			if c.hired() {
				c.minor += wage
			}
			list = append(list, c)
		}
	}
	return list, drivers
}

// rateMinor is an item's rate on a date in minor units; more than anything where it has none.
func rateMinor(item *catalog.Item, on catalog.Date) int64 {
	if rate, ok := item.RateOn(on); ok {
		if n, ok := minorUnits(rate); ok {
			return n.Int64()
		}
	}
	return math.MaxInt32
}

// leastFleet is the cheapest set of vehicles, by trying all, that carries a load in so many trips each; ok is false where
// none does. Who drives is one of so many drivers for hire, or of so many of the crew, of whom more ride where there are seats.
func leastFleet(list []cart, drivers, crew, trips int, massKg, volumeM3 float64) (minor int64, ok bool) {
	minor = math.MaxInt64
	vehicles := 0
	var try func(i, hired, own, seats int, cost int64, kg, m3 float64)
	try = func(i, hired, own, seats int, cost int64, kg, m3 float64) {
		count := hired + own
		if kg >= massKg+riding(crew-own, seats)-1e-9 && m3 >= volumeM3-1e-9 {
			if cost < minor || cost == minor && count < vehicles {
				minor, vehicles, ok = cost, count, true
			}
			return
		}
		if i == len(list) {
			return
		}
		v := list[i]
		for n := 0; n <= v.item.Owned; n++ {
			h, o := hired, own+n
			if v.hired() {
				h, o = hired+n, own
			}
			if h > drivers || o > crew {
				break
			}
			k := float64(n * trips)
			try(i+1, h, o, seats+n*(v.spec.Seats-1), cost+int64(n)*v.minor, kg+k*v.besideDriverKg(), m3+k*fillShare*v.spec.LoadM3)
		}
	}
	try(0, 0, 0, 0, 0, 0, 0)
	return minor, ok
}

// CheckTransport holds the vehicles to the load: they carry it, with a driver each, hired or of the crew, and no cheaper ones do.
func CheckTransport(o sizing.Option, stock *catalog.Snapshot, on catalog.Date) []Violation {
	what := fmt.Sprintf("%s: transport", o.Label)
	bad := priced(RuleTransport, what, o.Transport, stock, on)
	wrong := func(by float64, format string, args ...any) {
		bad = append(bad, broken(RuleTransport, by, "%s: "+format, append([]any{what}, args...)...))
	}
	massKg, volumeM3 := freight(o, stock)
	got := map[string]int{}
	for _, l := range o.Transport.Lines {
		got[l.SKU] += l.Quantity
	}
	lorries, own, seats, vehicles, trips, kg, m3 := 0, 0, 0, 0, 0, 0.0, 0.0
	more := false
	for _, t := range o.Haul {
		item := stock.Item(t.SKU)
		if item == nil {
			wrong(1, "the house has no %s", t.SKU)
			continue
		}
		v, is := item.Spec.(*catalog.Vehicle)
		switch {
		case !is:
			wrong(1, "%s is no vehicle", t.SKU)
			continue
		case t.Quantity < 1 || t.Quantity > item.Owned:
			wrong(float64(t.Quantity-item.Owned), "%d of %s, the house owns %d", t.Quantity, t.SKU, item.Owned)
		case t.Trips < t.Quantity || t.Trips > mostTrips*t.Quantity:
			wrong(float64(t.Trips), "%d trips of %d of %s", t.Trips, t.Quantity, t.SKU)
		}
		if got[t.SKU] != t.Quantity {
			wrong(math.Abs(float64(got[t.SKU]-t.Quantity)), "%d of %s priced, %d drive", got[t.SKU], t.SKU, t.Quantity)
		}
		delete(got, t.SKU)
		vehicles += t.Quantity
		c := cart{spec: v}
		seats += t.Quantity * (v.Seats - 1)
		if c.hired() {
			lorries += t.Quantity
		} else {
			own += t.Quantity
		}
		trips += t.Trips
		more = more || t.Trips > t.Quantity
		kg += float64(t.Trips) * c.besideDriverKg()
		m3 += float64(t.Trips) * fillShare * v.LoadM3
	}
	drivers := 0
	for sku, n := range got {
		item := stock.Item(sku)
		if item == nil {
			continue // told above
		}
		if l, is := item.Spec.(*catalog.Labour); is && l.Role == catalog.RoleDriver {
			drivers += n
			if n > item.Owned && !noted(&o, func(n finding.TooFew) bool { return n.SKU == item.SKU && n.Owned == item.Owned }) {
				bad = append(bad, broken(RuleStock, float64(n-item.Owned), "%s: %d of %s, the house has %d and no note says so", what, n, sku, item.Owned))
			}
		} else {
			wrong(float64(n), "%d of %s priced, none drives", n, sku)
		}
	}
	if drivers != lorries {
		wrong(math.Abs(float64(drivers-lorries)), "%d drivers for %d vehicles that want one", drivers, lorries)
	}
	crew := o.Crew.Total - o.Crew.Operators
	if own > crew {
		wrong(float64(own-crew), "%d vehicles for a crew of %d to drive", own, crew)
	}
	list, owned := fleet(stock, on)
	once, enough := leastFleet(list, owned, crew, 1, massKg, volumeM3)
	// No more rounds than it takes.
	least, able := once, enough
	for rounds := 2; rounds <= mostTrips && !able; rounds++ {
		least, able = leastFleet(list, owned, crew, rounds, massKg, volumeM3)
	}
	if len(o.Haul) == 0 {
		if able && massKg > 0 {
			wrong(1, "nothing carries %.1f kg and %.2f m³, and the house's vehicles can", massKg, volumeM3)
		}
		return bad
	}
	ridingKg := riding(crew-own, seats)
	if kg < massKg+ridingKg-1e-6 || m3 < volumeM3-1e-6 {
		wrong(math.Max(massKg+ridingKg-kg, volumeM3-m3), "%v carry %.1f kg beside their drivers and %.2f m³, the load is %.1f kg and %.2f m³, who rides %.1f kg",
			o.Haul, kg, m3, massKg, volumeM3, ridingKg)
	}
	if more && enough {
		wrong(1, "%d trips of %d vehicles, one trip each would do", trips, vehicles)
	}
	if cost, ok := minorUnits(o.Transport.PerDay); able && ok && cost.Cmp(big.NewInt(least)) > 0 {
		wrong(1, "%v at %s a day for %.1f kg and %.2f m³; others do it for %d minor units", o.Haul, o.Transport.PerDay, massKg, volumeM3, least)
	}
	return bad
}

// CheckTotal holds the day's total to hire, labour and transport.
func CheckTotal(o sizing.Option) []Violation {
	sum := new(big.Int)
	for _, k := range []price.Kit{o.Kit, o.Labour, o.Transport} {
		n, ok := minorUnits(k.PerDay)
		if !ok {
			return nil // told with its lines
		}
		sum.Add(sum, n)
	}
	if got, ok := minorUnits(o.TotalPerDay); !ok || got.Cmp(sum) != 0 || o.TotalPerDay.CurrencyCode() != o.Kit.PerDay.CurrencyCode() {
		return []Violation{broken(RuleKit, 1, "%s: %s in all, hire, labour and transport come to %s minor units", o.Label, o.TotalPerDay, sum)}
	}
	return nil
}
