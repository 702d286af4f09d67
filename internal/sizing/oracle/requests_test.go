package oracle_test

import (
	"context"
	"encoding/json"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"
	"time"

	"kitspan/internal/catalog"
	"kitspan/internal/rest"
	"kitspan/internal/sizing/oracle"
)

// demoStock is the built-in catalogue as the JSON face reads one.
type demoStock struct{}

func (demoStock) Houses(context.Context) ([]catalog.House, error) { return catalog.DemoHouses(), nil }

func (demoStock) Snapshot(_ context.Context, house string) (*catalog.Snapshot, error) {
	stock, ok := catalog.DemoSnapshot(house)
	if !ok {
		return nil, catalog.ErrNoHouse
	}
	return stock, nil
}

// desk answers requests as clients send them, from the built-in catalogue.
func desk() rest.Desk {
	return rest.NewDesk(demoStock{}, func() time.Time { return time.Date(2027, 1, 1, 12, 0, 0, 0, time.UTC) })
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
		if none := f.WidestZoneM == 0 || f.WidestShotM == 0; none != (f.Because != "") {
			t.Errorf("%s reaches %.3f m of zone and %.3f m of shot, because %q", f.SKU, f.WidestZoneM, f.WidestShotM, f.Because)
		}
	}
	if res.Shot.Camera.BearingDeg != 0.5 || len(res.Frames) != len(frames) {
		t.Errorf("%d frames answered, %d asked", len(res.Frames), len(frames))
	}
}
