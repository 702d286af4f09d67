package job_test

import (
	"context"
	"encoding/json"
	"fmt"
	"os"
	"runtime"
	"testing"

	"kitspan/internal/catalog"
	"kitspan/internal/job"
	"kitspan/internal/price"
)

// request reads a job under docs/jobs, to be planned from its house by so many workers.
func request(tb testing.TB, name string, workers int) job.Request {
	tb.Helper()
	body, err := os.ReadFile("../../docs/jobs/" + name + ".json")
	if err != nil {
		tb.Fatal(err)
	}
	var in struct {
		House string    `json:"house"`
		Job   job.Draft `json:"job"`
	}
	if err := json.Unmarshal(body, &in); err != nil {
		tb.Fatal(err)
	}
	return planned(tb, in.House, in.Job, workers)
}

func planned(tb testing.TB, house string, draft job.Draft, workers int) job.Request {
	tb.Helper()
	resolved, faults := draft.Resolve()
	if len(faults) > 0 {
		tb.Fatal(faults)
	}
	stock, ok := catalog.DemoSnapshot(house)
	if !ok {
		tb.Fatalf("no demo house %q", house)
	}
	return job.Request{Job: resolved, Stock: stock, Workers: workers, Prices: func(d catalog.Date) *price.Desk { return price.NewDesk(stock, d) }}
}

// many is a job of so many shots, four a day, made of those of the Estuary job with other hours and widths.
func many(tb testing.TB, shots int) job.Draft {
	tb.Helper()
	body, err := os.ReadFile("../../docs/jobs/estuary.json")
	if err != nil {
		tb.Fatal(err)
	}
	var in struct {
		Job job.Draft `json:"job"`
	}
	if err := json.Unmarshal(body, &in); err != nil {
		tb.Fatal(err)
	}
	kinds := in.Job.Shots
	in.Job.Shots = nil
	for i := 0; len(in.Job.Shots) < shots; i++ {
		s := kinds[i%len(kinds)]
		if s.When != nil {
			continue
		}
		n := len(in.Job.Shots)
		number, date := fmt.Sprint(n+1), fmt.Sprintf("2027-06-%02d", 1+n/4)
		width := *s.Framing.WidthM * (0.8 + 0.05*float64(n%9))
		s.Number, s.Framing.WidthM, s.Window.Date = &number, &width, &date
		in.Job.Shots = append(in.Job.Shots, s)
	}
	return in.Job
}

func BenchmarkEstuary(b *testing.B) {
	r := request(b, "estuary", runtime.GOMAXPROCS(0))
	for b.Loop() {
		plan, err := job.Make(context.Background(), context.Background(), r)
		if err != nil || !plan.Proven {
			b.Fatalf("proven %t, %v", plan != nil && plan.Proven, err)
		}
	}
}

func BenchmarkFortyShots(b *testing.B) {
	r := planned(b, "quayside", many(b, 40), runtime.GOMAXPROCS(0))
	for b.Loop() {
		plan, err := job.Make(context.Background(), context.Background(), r)
		if err != nil || !plan.Proven {
			b.Fatalf("proven %t, %v", plan != nil && plan.Proven, err)
		}
		b.ReportMetric(float64(plan.Considered), "options")
	}
}
