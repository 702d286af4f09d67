package job_test

import (
	"testing"

	"kitspan/internal/finding"
)

// A shot for which nothing is hired is neither rigged nor struck: it makes no day long.
func TestAShotWithoutKitMakesNoDayLong(t *testing.T) {
	plan := made(t, "quayside", `{"name": "Night and day", "places": {"quay": {"latitude_deg": 38.6935, "longitude_deg": -9.2057, "time_zone": "Europe/Lisbon"}}, "shots": [
		{"number": "1", "place": "quay", "window": {"date": "2027-06-15", "start": "02:30", "end": "03:00"}, "look": {"soften": "off"}, "camera": {"bearing_deg": 250}, "framing": {"width_m": 1.4, "distance_m": 3}},
		{"number": "2", "place": "quay", "window": {"date": "2027-06-15", "start": "15:00", "end": "16:00"}, "camera": {"bearing_deg": 200}, "framing": {"width_m": 1.4, "distance_m": 3}}]}`)
	if s := &plan.Shots[0]; len(s.Pool) == 0 || len(s.Pool[s.Index].Kit) > 0 || len(plan.Kit) == 0 {
		t.Fatal("the night takes kit, or the day none: the job no longer shows what it is for")
	}
	for _, n := range plan.Notes {
		if long, is := n.(finding.LongDay); is {
			t.Errorf("%.1f hours of %s", long.Hours, long.Labour.Name)
		}
	}
}
