package main

import (
	"fmt"
	"runtime"
	"time"

	"github.com/prometheus/client_golang/prometheus"

	"kitspan/internal/office"
)

// workFlags bound what 'serve' solves at once.
type workFlags struct {
	Solving     int           `env:"KITSPAN_SOLVING" placeholder:"N" help:"How many processor cores solve at once. Default: all that the program may use."`
	Waiting     int           `env:"KITSPAN_WAITING" default:"64" help:"How many requests may wait for their turn; one more is answered 503 at once."`
	WaitLimit   time.Duration `name:"wait-limit" env:"KITSPAN_WAIT_LIMIT" default:"5s" help:"How long a request waits for its turn before it is answered 503."`
	Connections int           `env:"KITSPAN_CONNECTIONS" default:"4096" help:"How many connections may be open at once; further ones wait until one is closed."`
	PlanWorkers int           `name:"plan-workers" env:"KITSPAN_PLAN_WORKERS" default:"1" help:"How many jobs are planned in the background at once, each on one core; 0 leaves them to other servers on the same database."`
	SolveLimit  time.Duration `name:"solve-limit" env:"KITSPAN_SOLVE_LIMIT" default:"20s" help:"How long solving one request may take before it is given up and answered 503."`
}

// greatestLimit keeps a request from outliving whatever stands in front of the server; common practice, no source.
const greatestLimit = 10 * time.Minute

// mostPlanWorkers is more than there are cores in one machine; common practice, no source.
const mostPlanWorkers = 1000

// places is how many goroutines solve at once.
func (f workFlags) places() int {
	if f.Solving == 0 {
		return runtime.GOMAXPROCS(0)
	}
	return f.Solving
}

// leaveRoom has the Go scheduler run as many goroutines beside those that solve as there are cores. They compute without a
// pause, and a handler that became ready would otherwise wait for one of them to be preempted, 10 ms at each step of its
// way: with 2 cores and as many processors of the scheduler /healthz took up to 70 ms under a flood, with twice as many up
// to 40 ms. The cores are then shared by the kernel, which lets first whoever has slept.
func (f workFlags) leaveRoom() { runtime.GOMAXPROCS(runtime.GOMAXPROCS(0) + f.places()) }

func (f workFlags) capacity() (*office.Capacity, error) {
	switch {
	case f.Solving < 0:
		return nil, fmt.Errorf("--solving is %d: give at least 1, or 0 for all cores", f.Solving)
	case f.Connections < 0:
		return nil, fmt.Errorf("--connections is %d: give at least 1, or 0 for as many as come", f.Connections)
	case f.Waiting < 0:
		return nil, fmt.Errorf("--waiting is %d: give at least 0", f.Waiting)
	case f.PlanWorkers < 0 || f.PlanWorkers > mostPlanWorkers:
		return nil, fmt.Errorf("--plan-workers is %d: give 0 to %d", f.PlanWorkers, mostPlanWorkers)
	case f.WaitLimit <= 0 || f.WaitLimit > greatestLimit:
		return nil, fmt.Errorf("--wait-limit is %s: give over 0 and at most %s", f.WaitLimit, greatestLimit)
	case f.SolveLimit <= 0 || f.SolveLimit > greatestLimit:
		return nil, fmt.Errorf("--solve-limit is %s: give over 0 and at most %s", f.SolveLimit, greatestLimit)
	}
	return office.NewCapacity(office.Limits{Solving: f.places(), Waiting: f.Waiting, Wait: f.WaitLimit, Solve: f.SolveLimit})
}

// gauges show how full a capacity is.
func gauges(capacity *office.Capacity) []prometheus.Collector {
	return []prometheus.Collector{
		prometheus.NewGaugeFunc(prometheus.GaugeOpts{Name: "kitspan_solving_places", Help: "Places for solving that are taken."},
			func() float64 { return float64(capacity.Taken()) }),
		prometheus.NewGaugeFunc(prometheus.GaugeOpts{Name: "kitspan_solving_waiting", Help: "Requests that wait for a place."},
			func() float64 { return float64(capacity.Waiting()) }),
	}
}
