package oracle_test

import (
	"encoding/json"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/rest"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
	"kitspan/internal/sizing/oracle"
)

// desk answers requests as clients send them, from the built-in catalogue.
func desk() rest.Desk {
	return rest.NewDesk(catalog.Demo{}, func() time.Time { return time.Date(2027, 1, 1, 12, 0, 0, 0, time.UTC) })
}

// houseOf is the house that a request names.
func houseOf(t *testing.T, body []byte) *catalog.Snapshot {
	t.Helper()
	var asked struct {
		House string `json:"house"`
	}
	if err := json.Unmarshal(body, &asked); err != nil {
		t.Fatal(err)
	}
	return demo(t, asked.House)
}

// requests are the bodies of the requests in testdata/requests, by file name: each once got no answer, or a wrong one.
func requests(t *testing.T) map[string][]byte {
	t.Helper()
	files, err := filepath.Glob("testdata/requests/*.json")
	if err != nil || len(files) == 0 {
		t.Fatalf("%d requests (%v)", len(files), err)
	}
	bodies := map[string][]byte{}
	for _, file := range files {
		if bodies[filepath.Base(file)], err = os.ReadFile(file); err != nil {
			t.Fatal(err)
		}
	}
	return bodies
}

// TestRequestsOnceAnsweredWrong holds the answers to every rule.
func TestRequestsOnceAnsweredWrong(t *testing.T) {
	t.Parallel()
	for name, body := range requests(t) {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			res, err := desk().SizeJSON(t.Context(), body)
			if err != nil {
				t.Fatal(err)
			}
			for _, v := range oracle.CheckResult(res, houseOf(t, body), res.Shot.Window.Date, rand.New(rand.NewPCG(1, 1))) {
				t.Error(v)
			}
		})
	}
}

// TestReachOnceWithoutAnAnswer asks how far every frame of the house goes: the search for standing room used to end in
// some of them with a rig that has no stands.
func TestReachOnceWithoutAnAnswer(t *testing.T) {
	t.Parallel()
	body := requests(t)["lens-north-reach.json"]
	stock := houseOf(t, body)
	var frames []string
	for _, item := range stock.Items() {
		if item.Kind() == catalog.KindFrame {
			frames = append(frames, item.SKU)
		}
	}
	res, err := desk().ReachJSON(t.Context(), body, func(req *rest.ReachRequest) { req.Frames = &frames })
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range res.Frames {
		if none := f.WidestZoneM == 0 || f.WidestShotM == 0; none != (f.Because != nil) {
			t.Errorf("%s reaches %.3f m of zone and %.3f m of shot, because %+v", f.SKU, f.WidestZoneM, f.WidestShotM, f.Because)
		}
	}
	if res.Shot.Camera.BearingDeg != 0.5 || len(res.Frames) != len(frames) {
		t.Errorf("%d frames answered, %d asked", len(res.Frames), len(frames))
	}
}

// TestALimitOnHeightIsWhatRulesFramesOut asks for the same rig under a limit and without one, in still air: what only the
// limit stops is ruled out by it, by as much as it would have to be raised.
func TestALimitOnHeightIsWhatRulesFramesOut(t *testing.T) {
	t.Parallel()
	body := requests(t)["rig-height.json"]
	stock := houseOf(t, body)
	sized := func(limitM *float64) sizing.Result {
		request, err := said(body)
		if err != nil {
			t.Fatal(err)
		}
		under(request, "shot")["gust_ms"] = 0
		if delete(under(request, "limits"), "rig_height_m"); limitM != nil {
			under(request, "limits")["rig_height_m"] = *limitM
		}
		changed, err := json.Marshal(request)
		if err != nil {
			t.Fatal(err)
		}
		res, err := desk().SizeJSON(t.Context(), changed)
		if err != nil {
			t.Fatal(err)
		}
		return res
	}
	free, _, ok := oracle.Overhead(sized(nil), stock)
	if !ok {
		t.Fatal("no overhead without the limit")
	}
	limitM := 2.8
	limited := sized(&limitM)
	i := slices.IndexFunc(limited.RuledOut, func(r finding.RuledOut) bool { return r.SKU == free })
	if i < 0 {
		t.Fatalf("%s does without the limit and is not ruled out under it", free)
	}
	r := limited.RuledOut[i]
	if over, ok := r.Obstacle.(finding.OverHeightLimit); !ok || r.Because != finding.TooHigh || over.LimitM != 2.8 {
		t.Errorf("%s is ruled out because %s: %+v", free, r.Because, r.Obstacle)
	}
	limitM += r.ShortByM + 0.15 // what the frame needs, and room for its stands
	if sku, _, ok := oracle.Overhead(sized(&limitM), stock); !ok || sku != free {
		t.Errorf("under a limit of %.2f m, raised as told, the overhead is %q (%v), not %s", limitM, sku, ok, free)
	}
	limitM = 2.8 + r.ShortByM - 0.05
	if sku, _, ok := oracle.Overhead(sized(&limitM), stock); ok {
		t.Errorf("under a limit of %.2f m, raised by less than told, %s does", limitM, sku)
	}
}

// TestTheReasonIsThePreference asks for the fewest hands: a smaller frame that would do is ruled out by what it takes more of,
// not by a support that is missing.
func TestTheReasonIsThePreference(t *testing.T) {
	t.Parallel()
	told := map[finding.Because]int{}
	for _, body := range exampleRequests(t) {
		request, err := said(body)
		if err != nil {
			t.Fatal(err)
		}
		request["prefer"] = shot.PreferFewestHands
		changed, err := json.Marshal(request)
		if err != nil {
			t.Fatal(err)
		}
		res, err := desk().SizeJSON(t.Context(), changed)
		if err != nil {
			t.Fatal(err)
		}
		for _, r := range res.RuledOut {
			switch o := r.Obstacle.(type) {
			case finding.MoreSupports:
				told[r.Because]++
				if r.Because != finding.CrewOver || o.Supports <= o.LargerSupports {
					t.Errorf("%s would do, and is ruled out because %s: %+v", r.SKU, r.Because, o)
				}
			case finding.Heavier:
				told[r.Because]++
				if r.Because != finding.TooHeavy || o.MassKg <= o.LargerKg {
					t.Errorf("%s would do, and is ruled out because %s: %+v", r.SKU, r.Because, o)
				}
			case finding.OverPriceLimit, finding.Dearer:
				t.Errorf("%s would do, and is ruled out because %s: %+v", r.SKU, r.Because, o)
			default: // it would not do
			}
		}
	}
	if told[finding.CrewOver]+told[finding.TooHeavy] == 0 {
		t.Errorf("reasons %v: nothing to look at", told)
	}
}
