package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"maps"
	"net/http"
	"os"
	"slices"
	"strings"
	"sync"
	"time"
)

const (
	// impatience is when every second client of a flood leaves without its answer.
	impatience = 300 * time.Millisecond
	// healthEvery is how often /healthz is asked meanwhile, each time on a connection of its own, as a probe does.
	healthEvery = 20 * time.Millisecond
	// healthWithin is what it must keep.
	healthWithin = 50 * time.Millisecond
	// idleWithin is how long the server may take to be idle once everybody has left.
	idleWithin = time.Minute
)

// heavy are requests that cost as much as their kind can within the contract, made of a shot.
func heavy(of shot) (map[string][]byte, error) {
	var lamps, zones []any
	for i := range 12 {
		lamps = append(lamps, map[string]any{
			"label": fmt.Sprint("lamp ", i), "azimuth_deg": 7 + 30*i, "elevation_deg": 22, "illuminance_lx": 90000,
		})
		zones = append(zones, map[string]any{
			"label": fmt.Sprint("zone ", i), "center_m": []float64{6 + 2.2*float64(i), 1.5 + float64(i)}, "width_m": 2, "key_stops": -1.25,
		})
	}
	with := func(change func(body, shot map[string]any)) ([]byte, error) {
		var body map[string]any
		if err := json.Unmarshal(of.body, &body); err != nil {
			return nil, fmt.Errorf("%s: %w", of.name, err)
		}
		inner, ok := body["shot"].(map[string]any)
		if !ok {
			return nil, fmt.Errorf("%s: there is no shot in it", of.name)
		}
		change(body, inner)
		return json.Marshal(body)
	}
	lit, err1 := with(func(_, shot map[string]any) { shot["lamps"] = lamps })
	crowded, err2 := with(func(_, shot map[string]any) { shot["other_zones"] = zones })
	day, err3 := with(func(body, shot map[string]any) {
		shot["lamps"] = lamps[:4]
		body["step_min"], body["from"], body["to"] = 1, "00:00", "24:00"
	})
	const mostBytes = 1 << 20
	empty := `{"shot": {"lamps": [{}` + strings.Repeat(",{}", (mostBytes-40)/3) + `]}}`
	return map[string][]byte{
		"/v1/sizings#lamps": lit, "/v1/sizings#zones": crowded, "/v1/sweeps#day": day, "/v1/sizings#empty": []byte(empty),
	}, errors.Join(err1, err2, err3)
}

// flood sends heavy requests by many clients, of which every second leaves early, and prints how soon /healthz answers
// meanwhile and how long the server works on when all have left. busy is the time that the server's process has computed
// so far; nil where it is not known.
func flood(ctx context.Context, s settings, address string, of shot, busy func() (time.Duration, error)) error {
	bodies, err := heavy(of)
	if err != nil {
		return err
	}
	maps.DeleteFunc(bodies, func(name string, _ []byte) bool { return s.leavesOut(name[strings.Index(name, "#")+1:]) })
	names := slices.Sorted(maps.Keys(bodies))
	if len(names) == 0 {
		return errors.New("-without leaves no request to flood with")
	}
	client := &http.Client{Transport: &http.Transport{MaxIdleConnsPerHost: greatestWorkers}}
	defer client.CloseIdleConnections()
	within, leave := context.WithTimeout(ctx, s.duration)
	defer leave()

	var mu sync.Mutex
	outcomes := map[string]int{}
	var clients sync.WaitGroup
	for i := range s.workers {
		clients.Go(func() {
			for n := i; within.Err() == nil; n++ {
				name := names[n%len(names)]
				outcome := post(within, client, address, name, bodies[name], i%2 == 1)
				mu.Lock()
				outcomes[outcome]++
				mu.Unlock()
			}
		})
	}
	health, failures := probe(within, address)
	clients.Wait()
	left := time.Now()
	fmt.Printf("flood of %d clients for %s, every second leaves after %s: ", s.workers, s.duration, impatience)
	for i, outcome := range slices.Sorted(maps.Keys(outcomes)) {
		fmt.Printf("%s%d %s", strings.Repeat(", ", min(i, 1)), outcomes[outcome], outcome)
	}
	fmt.Println()
	if len(health) == 0 {
		return errors.Join(fmt.Errorf("/healthz did not answer once: %d failures", failures), ctx.Err())
	}
	slices.Sort(health)
	at := func(share float64) time.Duration {
		return health[int(share*float64(len(health)-1))].Round(100 * time.Microsecond)
	}
	fmt.Printf("/healthz meanwhile, %d times: median %s, p95 %s, p99 %s, longest %s; %d later than %s, %d failed\n", len(health),
		at(0.5), at(0.95), at(0.99), at(1), len(health)-sortedUpTo(health, healthWithin), healthWithin, failures)
	if busy != nil {
		if err := untilIdle(ctx, left, busy); err != nil {
			return err
		}
	}
	return ctx.Err()
}

func sortedUpTo(sorted []time.Duration, limit time.Duration) int {
	n, _ := slices.BinarySearch(sorted, limit)
	return n
}

// post sends one request and says in a word what came of it.
func post(ctx context.Context, client *http.Client, address, name string, body []byte, impatient bool) string {
	if impatient {
		var leave context.CancelFunc
		ctx, leave = context.WithTimeout(ctx, impatience)
		defer leave()
	}
	req, err := http.NewRequestWithContext(ctx, http.MethodPost, strings.TrimSuffix(address, "/")+name, bytes.NewReader(body))
	if err != nil {
		return "not sent"
	}
	req.Header.Set("Content-Type", "application/json")
	res, err := client.Do(req)
	if ctx.Err() != nil {
		if res != nil {
			res.Body.Close()
		}
		return "left"
	}
	if err != nil {
		return "broken off"
	}
	_, _ = io.Copy(io.Discard, res.Body) // the status says it all
	res.Body.Close()
	return "answers of " + fmt.Sprint(res.StatusCode)
}

// probe asks for /healthz at a steady pace until ctx ends, whether answers come or not.
func probe(ctx context.Context, address string) (took []time.Duration, failures int) {
	client := &http.Client{Timeout: answerWithin, Transport: &http.Transport{DisableKeepAlives: true}}
	var mu sync.Mutex
	var asking sync.WaitGroup
	pace := time.NewTicker(healthEvery)
	defer pace.Stop()
	for ctx.Err() == nil {
		asking.Go(func() {
			begin := time.Now()
			res, err := client.Get(strings.TrimSuffix(address, "/") + "/healthz")
			lasted := time.Since(begin)
			mu.Lock()
			defer mu.Unlock()
			if err != nil {
				failures++
				return
			}
			res.Body.Close()
			if res.StatusCode != http.StatusOK {
				failures++
				return
			}
			took = append(took, lasted)
		})
		select {
		case <-pace.C:
		case <-ctx.Done():
		}
	}
	asking.Wait()
	return took, failures
}

// untilIdle waits until the server has computed next to nothing for a while, and prints when that while began.
func untilIdle(ctx context.Context, left time.Time, busy func() (time.Duration, error)) error {
	const while, next = 200 * time.Millisecond, 20 * time.Millisecond // the kernel counts in steps of 10 ms
	for ctx.Err() == nil {
		begin := time.Now()
		before, err := busy()
		if err != nil {
			return err
		}
		time.Sleep(while)
		after, err := busy()
		if err != nil {
			return err
		}
		if after-before <= next {
			fmt.Printf("idle %s after all have left\n", begin.Sub(left).Round(10*time.Millisecond))
			return nil
		}
		if time.Since(left) > idleWithin {
			return fmt.Errorf("the server still computes %s after all have left", idleWithin)
		}
	}
	return ctx.Err()
}

// computed is the time that the program has computed so far, as Linux counts it (proc(5): utime and stime, in hundredths
// of a second on every architecture of Go).
func (c *child) computed() (time.Duration, error) {
	text, err := os.ReadFile(fmt.Sprintf("/proc/%d/stat", c.process.Process.Pid))
	if err != nil {
		return 0, fmt.Errorf("processor time is read on Linux alone: %w", err)
	}
	_, rest, _ := bytes.Cut(text, []byte(") ")) // the name may hold anything
	fields := strings.Fields(string(rest))
	var user, system int64
	if len(fields) < 13 {
		return 0, fmt.Errorf("/proc/stat has %d fields", len(fields))
	}
	if _, err := fmt.Sscan(fields[11]+" "+fields[12], &user, &system); err != nil {
		return 0, fmt.Errorf("/proc/stat: %w", err)
	}
	return time.Duration(user+system) * 10 * time.Millisecond, nil
}
