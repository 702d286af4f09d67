package job_test

import (
	"testing"

	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/job"
	"kitspan/internal/price"
)

// Where the house sends nobody to be in charge, somebody is all the same, and one for both of two shots that are up at once at one place.
func TestWhomTheHouseDoesNotSendIsInThePool(t *testing.T) {
	plan := made(t, "quayside", `{"name": "Without a lead", "places": {"quay": {"latitude_deg": 38.6935, "longitude_deg": -9.2057, "time_zone": "Europe/Lisbon"}}, "shots": [
		{"number": "A", "place": "quay", "window": {"date": "2027-06-15", "start": "15:00", "end": "16:00"}, "camera": {"bearing_deg": 250}, "framing": {"width_m": 1.4, "distance_m": 3}},
		{"number": "B", "place": "quay", "window": {"date": "2027-06-15", "start": "15:00", "end": "16:00"}, "camera": {"bearing_deg": 200}, "framing": {"width_m": 1.4, "distance_m": 3}}]}`,
		func(r *job.Request) {
			r.Stock = r.Stock.Without([]string{"QG-CREW-LEAD"})
			r.Prices = func(d catalog.Date) *price.Desk { return price.NewDesk(r.Stock, d) }
		})
	people := 1 // in charge
	for i := range plan.Shots {
		s := &plan.Shots[i]
		for k := range s.Pool {
			if o := &s.Pool[k]; len(o.Kit) > 0 && (len(o.Unsent) != 1 || o.Unsent[0] != finding.NoLabour{Labour: catalog.RoleLead, Quantity: 1}) {
				t.Errorf("shot %s, option %d: %v are not sent, want one lead", s.Number, k, o.Unsent)
			}
		}
		for _, n := range s.Pool[s.Index].People {
			people += n.Quantity
		}
	}
	if plan.People != people {
		t.Errorf("%d people, want %d", plan.People, people)
	}
}
