package oracle

import (
	"strings"
	"time"

	"kitspan/internal/catalog"
	"kitspan/internal/rigging"
)

// Asked is what a plan was asked for beside the job, and from what.
type Asked struct {
	Stock *catalog.Snapshot
	// Today is the house's date: a day before it is priced at its rates.
	Today catalog.Date
	Aim   string // price, mass or people
	// The limits of the job; 0 is none.
	Crew       int
	TotalMinor int64
	MassKg     float64
}

// dates are the days of a hire.
func dates(from, to string) (out []catalog.Date) {
	for t := day(from); !t.After(day(to)); t = t.AddDate(0, 0, 1) {
		out = append(out, catalog.Date{Year: t.Year(), Month: t.Month(), Day: t.Day()})
	}
	return out
}

func day(s string) time.Time {
	t, err := time.Parse(time.DateOnly, s)
	if err != nil {
		panic(err)
	}
	return t
}

// nobody comes before the role of people whom the house does not send, in place of a SKU.
const nobody = "nobody's "

// rate is what one of an item costs a day, in minor units; -1 where nobody says.
func (q *Asked) rate(sku string, on catalog.Date) int64 {
	if strings.HasPrefix(sku, nobody) {
		return 0
	}
	if q.Today.After(on) {
		on = q.Today
	}
	amount, ok := q.Stock.Item(sku).RateOn(on)
	if !ok {
		return -1
	}
	n, err := amount.Int64()
	if err != nil {
		panic(err)
	}
	return n
}

// role is what somebody is hired as.
func (q *Asked) role(sku string) string {
	if role, unsent := strings.CutPrefix(sku, nobody); unsent {
		return role
	}
	return q.Stock.Item(sku).Spec.(*catalog.Labour).Role
}

// machine reports whether an item drives by itself.
func (q *Asked) machine(sku string) bool {
	s, ok := q.Stock.Item(sku).Spec.(*catalog.Support)
	return ok && s.Class == catalog.ClassMachine
}

// bring returns what the cheapest vehicles for a load cost, on as few trips each as it takes and on four at most. Who drives for pay is the
// house's cheapest driver.
func (q *Asked) bring(load map[string]int, hands int, on catalog.Date) (minor int64, ok bool) {
	var cargo rigging.Cargo
	for sku, n := range load {
		if item := q.Stock.Item(sku); n > 0 && !q.machine(sku) {
			cargo.MassKg += float64(n) * item.MassKg
			cargo.VolumeM3 += float64(n) * item.PackedM3
			cargo.HeaviestKg, cargo.BulkiestM3 = max(cargo.HeaviestKg, item.MassKg), max(cargo.BulkiestM3, item.PackedM3)
		}
	}
	driver := int64(0)
	for _, item := range q.Stock.Items() {
		if l, is := item.Spec.(*catalog.Labour); is && l.Role == catalog.RoleDriver && item.Owned > 0 {
			if r := q.rate(item.SKU, on); r >= 0 && (driver == 0 || r < driver) {
				driver = r
			}
		}
	}
	var fleet []rigging.Vehicle
	for _, item := range q.Stock.Items() {
		v, is := item.Spec.(*catalog.Vehicle)
		r := q.rate(item.SKU, on)
		if !is || item.Owned == 0 || r < 0 {
			continue
		}
		one := rigging.Vehicle{PayloadKg: v.PayloadKg, LoadM3: v.LoadM3, PriceMinor: r, Owned: item.Owned, CrewDrives: v.Driver == catalog.DriverCrew, Seats: v.Seats}
		if !one.CrewDrives {
			one.PriceMinor += driver
		}
		fleet = append(fleet, one)
	}
	for trips := 1; trips <= 4; trips++ {
		if haul, ok := rigging.Transport(cargo, fleet, trips, hands); ok {
			return haul.PriceMinor, true
		}
	}
	return 0, false
}
