package job_test

import (
	"slices"
	"testing"

	"kitspan/internal/finding"
	"kitspan/internal/job"
)

// Two shots at once, the first of which takes more people than may be there: the second takes what fewer of them can do, for more money.
func TestAPlanThatCostsMoreThanItsShotsSaysWhy(t *testing.T) {
	plan := made(t, "northpier", `{"name": "Two at once", "places": {"quay": {"latitude_deg": 38.6935, "longitude_deg": -9.2057, "time_zone": "Europe/Lisbon"}}, "shots": [
		{"number": "A", "place": "quay", "window": {"date": "2027-06-15", "start": "15:00", "end": "16:00"}, "camera": {"bearing_deg": 250}, "framing": {"width_m": 5, "distance_m": 8}},
		{"number": "B", "place": "quay", "window": {"date": "2027-06-15", "start": "15:00", "end": "16:00"}, "camera": {"bearing_deg": 52}, "framing": {"width_m": 2.6, "distance_m": 4}}]}`,
		func(r *job.Request) { r.Limits.Crew = 3 })
	if plan.Separately == nil {
		t.Fatal("a shot has no option")
	}
	if dearer, err := plan.Total.Cmp(*plan.Separately); err != nil || dearer <= 0 {
		t.Fatalf("%s, separately %s: the job no longer shows what it is for", plan.Total, plan.Separately)
	}
	if !slices.Contains(plan.Notes, finding.Note(finding.CannotTogether{})) {
		t.Errorf("%s, separately %s: notes %v", plan.Total, plan.Separately, plan.Notes)
	}
}
