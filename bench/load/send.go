package main

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync/atomic"
	"time"

	vegeta "github.com/tsenart/vegeta/v12/lib"
)

// shot is one request: the name of its file and its body.
type shot struct {
	name string
	body []byte
}

// oneHour is the file of the example with a window of one hour, the shot that a speed is stated for.
const oneHour = "01-two-anglers"

// leavesOut reports whether a request is not wanted.
func (s settings) leavesOut(name string) bool {
	return s.without != "" && slices.ContainsFunc(strings.Split(s.without, ","), func(start string) bool { return strings.HasPrefix(name, start) })
}

func (s settings) readShots() ([]shot, error) {
	dir := s.examples
	files, err := filepath.Glob(filepath.Join(dir, "*.json"))
	if err != nil {
		return nil, err
	}
	var shots []shot
	for _, file := range files {
		name := strings.TrimSuffix(filepath.Base(file), ".json")
		if s.leavesOut(name) {
			continue
		}
		body, err := os.ReadFile(file)
		if err != nil {
			return nil, err
		}
		shots = append(shots, shot{name, body})
	}
	if !slices.ContainsFunc(shots, func(s shot) bool { return s.name == oneHour }) {
		return nil, fmt.Errorf("%s.json is missing in %s or left out", oneHour, dir)
	}
	return shots, nil
}

func oneHourOf(shots []shot) shot {
	return shots[slices.IndexFunc(shots, func(s shot) bool { return s.name == oneHour })]
}

// sendAll measures the one-hour shot alone, then a mixture: each second request is the one-hour shot, between them every example in turn.
func sendAll(ctx context.Context, s settings, address string, shots []shot) error {
	alone, mixed := []shot{oneHourOf(shots)}, []shot(nil)
	for _, each := range shots {
		mixed = append(mixed, alone[0], each)
	}
	fmt.Printf("%-10s %-34s %9s %8s %8s %8s %8s\n", "shots", "sent", "answers/s", "median", "p95", "p99", "longest")
	var failed []error
	for _, set := range []struct {
		name  string
		shots []shot
	}{{"one-hour", alone}, {"mixed", mixed}} {
		most, err := s.send(ctx, address, set.name, set.shots, 0)
		failed = append(failed, err)
		if ctx.Err() != nil || most == 0 {
			break
		}
		rate := s.rate
		if most < float64(rate) {
			rate = max(1, int(0.8*most)) // beyond what it can do, time only says how long the queue is
			fmt.Printf("%-10s takes under %d per second: its times are measured at 80 %% of the most\n", set.name, s.rate)
		}
		_, err = s.send(ctx, address, set.name, set.shots, rate)
		failed = append(failed, err)
	}
	return errors.Join(append(failed, ctx.Err())...)
}

const (
	answerWithin = 15 * time.Second
	warmUp       = time.Second
)

// send runs one measurement, after a warm-up that is not counted. Rate 0 is as many as the workers can, each sending the next request
// when it has the answer to the last; any other rate is kept whether answers come or not.
func (s settings) send(ctx context.Context, address, name string, shots []shot, rate int) (perSecond float64, err error) {
	pace, workers, sent := vegeta.Rate{Freq: rate, Per: time.Second}, uint64(greatestWorkers), fmt.Sprintf("%d per second", rate)
	if rate == 0 {
		workers, sent = uint64(s.workers), fmt.Sprintf("by %d connections without a pause", s.workers)
	}
	var metrics vegeta.Metrics
	byShot := map[string][]time.Duration{}
	for _, phase := range []struct {
		lasts   time.Duration
		counted bool
	}{{warmUp, false}, {s.duration, true}} {
		attacker := vegeta.NewAttacker(vegeta.Workers(min(workers, uint64(s.workers))), vegeta.MaxWorkers(workers),
			vegeta.Timeout(answerWithin), vegeta.KeepAlive(true), vegeta.Connections(greatestWorkers))
		stop := context.AfterFunc(ctx, func() { attacker.Stop() })
		for res := range attacker.Attack(inTurn(address, shots), pace, phase.lasts, name) {
			if !phase.counted {
				continue
			}
			metrics.Add(res)
			if u, err := url.Parse(res.URL); err == nil {
				byShot[u.Fragment] = append(byShot[u.Fragment], res.Latency)
			}
		}
		stop()
	}
	metrics.Close()
	ms := func(d time.Duration) string { return fmt.Sprintf("%.1fms", float64(d.Microseconds())/1000) }
	l := metrics.Latencies
	fmt.Printf("%-10s %-34s %9.1f %8s %8s %8s %8s\n", name, sent, metrics.Throughput, ms(l.P50), ms(l.P95), ms(l.P99), ms(l.Max))
	if rate != 0 && len(byShot) > 1 {
		for _, each := range slices.Sorted(maps.Keys(byShot)) {
			took := byShot[each]
			slices.Sort(took)
			fmt.Printf("%-10s   %-32s %9d %8s %8s %8s %8s\n", "", each, len(took), ms(took[len(took)/2]), ms(took[len(took)*95/100]), ms(took[len(took)*99/100]), ms(took[len(took)-1]))
		}
	}
	if metrics.Success < 1 {
		return metrics.Throughput, fmt.Errorf("%s, %s: %.2f %% of the answers were not 200: %v %v",
			name, sent, 100*(1-metrics.Success), metrics.StatusCodes, metrics.Errors)
	}
	return metrics.Throughput, nil
}

// inTurn sends each shot after the other. The name goes into the address's fragment, which is not sent but comes back with the result.
func inTurn(address string, shots []shot) vegeta.Targeter {
	var next atomic.Uint64
	base := strings.TrimSuffix(address, "/") + "/v1/sizings#"
	header := http.Header{"Content-Type": {"application/json"}}
	return func(t *vegeta.Target) error {
		each := shots[(next.Add(1)-1)%uint64(len(shots))]
		t.Method, t.URL, t.Body, t.Header = http.MethodPost, base+each.name, each.body, header
		return nil
	}
}
