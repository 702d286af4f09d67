package job_test

import (
	"encoding/json"
	"testing"

	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/job"
	"kitspan/internal/price"
)

// made plans a job of a house, written as JSON.
func made(tb testing.TB, house, draft string, change ...func(*job.Request)) *job.Plan {
	tb.Helper()
	var d job.Draft
	if err := json.Unmarshal([]byte(draft), &d); err != nil {
		tb.Fatal(err)
	}
	resolved, faults := d.Resolve()
	if len(faults) > 0 {
		tb.Fatal(faults)
	}
	stock, ok := catalog.DemoSnapshot(house)
	if !ok {
		tb.Fatalf("no demo house %q", house)
	}
	req := job.Request{Job: resolved, Stock: stock, Workers: 1, Prices: func(d catalog.Date) *price.Desk { return price.NewDesk(stock, d) }}
	for _, c := range change {
		c(&req)
	}
	plan, err := job.Make(tb.Context(), tb.Context(), req)
	if err != nil {
		tb.Fatal(err)
	}
	return plan
}

// A shot's day is one of the job's zone: where that ends before the place's, a movable shot starts before it does.
func TestAMovableShotStaysOnItsDay(t *testing.T) {
	plan := made(t, "quayside", `{"name": "Two coasts", "time_zone": "Europe/Lisbon", "places": {"pier": {"latitude_deg": 40.7, "longitude_deg": -74, "time_zone": "America/New_York"}},
		"shots": [{"number": "1", "place": "pier", "when": {"date": "2027-06-15", "earliest": "18:30", "latest": "19:45", "duration_min": 30},
		"camera": {"bearing_deg": 200}, "framing": {"width_m": 1.4, "distance_m": 3}}]}`)
	s := &plan.Shots[0]
	if len(s.Pool) == 0 {
		t.Fatal("no option")
	}
	for _, o := range s.Pool {
		if on := o.Window.From.In(plan.Job.Zone).Format("2006-01-02"); on != "2027-06-15" {
			t.Errorf("an option from %s on, which is on %s of the job", o.Window.Start, on)
		}
	}
}

func TestAMovableShotWithoutAnOptionHasNoWindow(t *testing.T) {
	plan := made(t, "quayside", `{"name": "Pinned", "places": {"pier": {"latitude_deg": 38.7, "longitude_deg": -9.2, "time_zone": "Europe/Lisbon"}},
		"shots": [{"number": "1", "place": "pier", "pin": "overhead-on-lift", "when": {"date": "2027-06-15", "earliest": "18:30", "latest": "19:00", "duration_min": 30},
		"camera": {"bearing_deg": 200}, "framing": {"width_m": 30, "distance_m": 40}}]}`)
	s := &plan.Shots[0]
	if s.Option != nil || !s.Shot.Window.From.IsZero() {
		t.Errorf("option %v, window %+v", s.Option, s.Shot.Window)
	}
	if len(s.Notes) != 1 || s.Notes[0] != (finding.PinMissed{Pin: "overhead-on-lift"}) {
		t.Errorf("notes %v", s.Notes)
	}
}
