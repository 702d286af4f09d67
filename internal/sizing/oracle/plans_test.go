package oracle_test

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"runtime"
	"runtime/debug"
	"strconv"
	"strings"
	"sync"
	"sync/atomic"
	"testing"

	"kitspan/internal/catalog"
	"kitspan/internal/rest"
	"kitspan/internal/sizing/oracle"
)

// exampleRequests are the documented requests, in the order of their names.
func exampleRequests(tb testing.TB) [][]byte {
	tb.Helper()
	files, err := filepath.Glob("../../../docs/examples/*.json")
	if err != nil || len(files) < 9 {
		tb.Fatalf("%d examples (%v)", len(files), err)
	}
	var bodies [][]byte
	for _, file := range files {
		body, err := os.ReadFile(file)
		if err != nil {
			tb.Fatal(err)
		}
		bodies = append(bodies, body)
	}
	return bodies
}

// said is a request as a value that can be changed, its numbers to the digit.
func said(body []byte) (request map[string]any, err error) {
	dec := json.NewDecoder(bytes.NewReader(body))
	dec.UseNumber()
	err = dec.Decode(&request)
	return request, err
}

// mutant is the request that some choices make of one of the examples.
func mutant(m *mutants, examples [][]byte) ([]byte, error) {
	request, err := said(examples[m.rng.IntN(len(examples))])
	if err != nil {
		return nil, err
	}
	m.of(request)
	return json.Marshal(request)
}

// planHolds holds the answer to a request to what every answer keeps: the request is refused with a place for each
// fault, or planned by all rules of the oracle; asked again it is answered the same, and so is the shot that the answer
// echoes. With aside, what a sweep and a reach make of the same shot is worked out, too. It reports whether the request was
// planned.
func planHolds(ctx context.Context, body []byte, aside bool) (planned bool, err error) {
	defer func() {
		if p := recover(); p != nil {
			err = fmt.Errorf("panic: %v\n%s", p, debug.Stack())
		}
	}()
	res, err := desk().SizeJSON(ctx, body)
	if err != nil {
		return false, refusedWell(err)
	}
	answer, err := rest.SizingJSON(res)
	if err != nil {
		return false, err
	}
	house, again, err := echoed(body, answer)
	if err != nil {
		return false, err
	}
	for what, request := range map[string][]byte{"asked again": body, "the echo": again} {
		second, err := desk().SizeJSON(ctx, request)
		if err != nil {
			return false, fmt.Errorf("%s: %w", what, err)
		}
		other, err := rest.SizingJSON(second)
		if err != nil {
			return false, fmt.Errorf("%s: %w", what, err)
		}
		if !bytes.Equal(answer, other) {
			return false, fmt.Errorf("%s is answered otherwise: %s", what, firstDifference(answer, other))
		}
	}
	stock, ok := catalog.DemoSnapshot(house)
	if !ok {
		return false, fmt.Errorf("no house %s", house)
	}
	var broken []string
	for _, v := range oracle.CheckResult(res, stock, res.Shot.Window.Date, rand.New(rand.NewPCG(1, 1))) {
		broken = append(broken, v.String())
	}
	if len(broken) > 0 {
		return true, errors.New(strings.Join(broken, "\n\t"))
	}
	if !aside {
		return true, nil
	}
	return true, asideHolds(ctx, again, stock)
}

// refusedWell is nil for a refusal that names the place of every fault, and the error otherwise.
func refusedWell(err error) error {
	var refusal *rest.Refusal
	if !errors.As(err, &refusal) || refusal.Reason != rest.ReasonInvalid || len(refusal.Faults) == 0 {
		return err
	}
	for _, f := range refusal.Faults {
		if !strings.HasPrefix(f.Pointer, "/") || f.Kind == nil {
			return fmt.Errorf("a fault without a place: %w", err)
		}
	}
	return nil
}

// echoed is the request with the shot of its answer in place of its own.
func echoed(body, answer []byte) (house string, again []byte, err error) {
	request, err := said(body)
	if err != nil {
		return "", nil, err
	}
	told, err := said(answer)
	if err != nil {
		return "", nil, err
	}
	request["shot"] = told["shot"]
	house, _ = request["house"].(string)
	again, err = json.Marshal(request)
	return house, again, err
}

// asideHolds asks for two steps of a sweep within the window and for the reach of two frames.
func asideHolds(ctx context.Context, body []byte, stock *catalog.Snapshot) error {
	request, err := said(body)
	if err != nil {
		return err
	}
	window := under(request, "shot", "window")
	request["step_min"], request["from"], request["to"] = 120, window["start"], window["end"]
	delete(request, "crew_ladder") // of a sizing alone
	if window["end_date"] != window["date"] {
		request["to"] = "24:00"
	}
	if err := sweepHolds(ctx, request); err != nil {
		return fmt.Errorf("sweep: %w", err)
	}
	delete(request, "step_min")
	delete(request, "from")
	delete(request, "to")
	var frames []string
	for _, item := range stock.Items() {
		if item.Kind() == catalog.KindFrame {
			frames = append(frames, item.SKU)
		}
	}
	request["frames"] = []string{frames[len(frames)/3], frames[len(frames)*2/3]}
	body, err = json.Marshal(request)
	if err != nil {
		return err
	}
	reach, err := desk().ReachJSON(ctx, body, nil)
	if err == nil {
		_, err = rest.ReachResultJSON(reach)
	}
	if err != nil {
		return fmt.Errorf("reach: %w", err)
	}
	for _, f := range reach.Frames {
		if none := f.WidestZoneM == 0 || f.WidestShotM == 0; none != (f.Because != nil) {
			return fmt.Errorf("reach: %s covers %.3f m of zone and %.3f m of shot, because %+v", f.SKU, f.WidestZoneM, f.WidestShotM, f.Because)
		}
	}
	return nil
}

func sweepHolds(ctx context.Context, request map[string]any) error {
	body, err := json.Marshal(request)
	if err != nil {
		return err
	}
	sweep, err := desk().SweepJSON(ctx, body, nil)
	if err != nil {
		return refusedWell(err)
	}
	if _, err = rest.SweepResultJSON(sweep); err != nil {
		return err
	}
	for _, row := range sweep.Rows {
		if (row.Overhead == nil) != (row.Without != nil) {
			return fmt.Errorf("at %s an overhead %v with the reason %+v", row.Sun.At, row.Overhead, row.Without)
		}
	}
	return nil
}

// firstDifference shows where two answers part.
func firstDifference(a, b []byte) string {
	i := 0
	for i < min(len(a), len(b)) && a[i] == b[i] {
		i++
	}
	show := func(s []byte) []byte { return s[max(0, i-60):min(len(s), i+60)] }
	return fmt.Sprintf("…%s… and …%s…", show(a), show(b))
}

// PlansEnv is the environment variable that sets how many mutants [TestPlansOfMutatedExamplesHold] tries, and PlansFromEnv
// the seed of the first.
const (
	PlansEnv     = "KITSPAN_PLANS"
	PlansFromEnv = "KITSPAN_PLANS_FROM"
)

// TestPlansOfMutatedExamplesHold tries the mutants of a run of seeds. A failure prints its seed and the whole request.
func TestPlansOfMutatedExamplesHold(t *testing.T) {
	t.Parallel()
	n, first := setting(t, PlansEnv, 28), setting(t, PlansFromEnv, 0)
	root, leaves := contract(t)
	examples := exampleRequests(t)
	var planned, next atomic.Int64
	var workers sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		workers.Go(func() {
			for i := next.Add(1) - 1; i < int64(n); i = next.Add(1) - 1 {
				seed := uint64(first) + uint64(i)
				m := &mutants{rng: rand.New(rand.NewPCG(seed, 0x5eed)), schema: root, leaves: leaves}
				body, err := mutant(m, examples)
				if err != nil {
					t.Error(err)
					return
				}
				did, err := planHolds(t.Context(), body, i%4 == 0)
				if err != nil {
					t.Errorf("seed %d: %v\n\trequest %s", seed, err, body)
				}
				if did {
					planned.Add(1)
				}
			}
		})
	}
	workers.Wait()
	if planned.Load() < int64(n/2) {
		t.Errorf("%d of %d mutants are planned: too few to check the rules on", planned.Load(), n)
	}
	t.Logf("%d of %d mutants planned, seeds from %d", planned.Load(), n, first)
}

func setting(t *testing.T, name string, def int) int {
	t.Helper()
	v := os.Getenv(name)
	if v == "" {
		return def
	}
	n, err := strconv.Atoi(v)
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	return n
}

// FuzzPlan makes mutants of choices that the fuzzer changes one by one.
func FuzzPlan(f *testing.F) {
	root, leaves := contract(f)
	examples := exampleRequests(f)
	for seed := range uint64(8) {
		data := make([]byte, 0, 256)
		rng := rand.NewPCG(seed, 0x5eed)
		for range cap(data) / 8 {
			v := rng.Uint64()
			for k := range 8 {
				data = append(data, byte(v>>(8*k)))
			}
		}
		f.Add(data)
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		m := &mutants{rng: rand.New(&entropy{data, rand.NewPCG(0, 0)}), schema: root, leaves: leaves}
		body, err := mutant(m, examples)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := planHolds(t.Context(), body, false); err != nil {
			t.Errorf("%v\n\trequest %s", err, body)
		}
	})
}
