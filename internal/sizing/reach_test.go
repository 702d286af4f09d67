package sizing_test

import (
	"reflect"
	"runtime"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/price"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
	"kitspan/internal/text"
)

func framesOf(stock *catalog.Snapshot) []string {
	var out []string
	for _, item := range stock.Items() {
		if item.Kind() == catalog.KindFrame {
			out = append(out, item.SKU)
		}
	}
	return out
}

// exampleShot is the resolved shot of an example without its limits.
func exampleShot(t *testing.T, name string) (shot.Shot, *catalog.Snapshot) {
	t.Helper()
	house, d := exampleDraft(t, "../../docs/examples/"+name+".json")
	d.Limits = shot.DraftLimits{}
	shot, faults := d.Resolve()
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	return shot, demoHouse(t, house)
}

func reached(t *testing.T, shot shot.Shot, stock *catalog.Snapshot, skus ...string) sizing.ReachResult {
	t.Helper()
	r, err := sizing.Reach(t.Context(), shot, skus, stock, price.NewDesk(stock, shot.Window.Date), 2)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func TestReachIsTheSameOnOneCoreAndOnMany(t *testing.T) {
	shot, stock := exampleShot(t, "08-ferry-captain-upright")
	skus := framesOf(stock)
	if raceOn { // which sees two goroutines at one place in any few frames that both take
		skus = skus[:4]
	}
	serial := func() sizing.ReachResult {
		defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
		return reached(t, shot, stock, skus...)
	}()
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(4))
	if parallel := reached(t, shot, stock, skus...); !reflect.DeepEqual(serial, parallel) {
		t.Errorf("(-one core +four)\n%s", cmp.Diff(serial.Frames, parallel.Frames))
	}
	for i, f := range serial.Frames {
		if f.SKU != skus[i] {
			t.Errorf("frame %d is %s, asked was %s", i, f.SKU, skus[i])
		}
	}
}

func TestReachWithoutHardLightIsAllThatARequestMayAsk(t *testing.T) {
	t.Parallel()
	d := jetty()
	d.Sky.Condition = some("overcast")
	shot, faults := d.Resolve()
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	r := reached(t, shot, demoHouse(t, "quayside"), "QG-FRAME-03X03")
	// 200 m of picture hold 2.6/3.0 of that of zone, both within 200 m.
	if want := (sizing.FrameReach{SKU: "QG-FRAME-03X03", WidestZoneM: 200, WidestShotM: 200}); r.Frames[0] != want {
		t.Errorf("%+v", r.Frames[0])
	}
	if len(r.Notes) != 1 || r.Notes[0] != (finding.EveryFrameDoes{Because: finding.SoftNoBeam}) {
		t.Errorf("notes %q", r.Notes)
	}
	shot.Zone.WidthM = 6 // twice the picture: 200 m of zone go with 100 m of picture
	if got := reached(t, shot, demoHouse(t, "quayside"), "QG-FRAME-03X03").Frames[0].WidestShotM; got != 100 {
		t.Errorf("shot %g m", got)
	}
}

func TestReachOfAFrameThatNothingHoldsSaysSo(t *testing.T) {
	t.Parallel()
	shot, stock := exampleShot(t, "01-two-anglers")
	var items []catalog.Item
	for _, item := range stock.Items() {
		if item.Kind() != catalog.KindSupport && item.SKU != "QG-FRAME-20X40" {
			items = append(items, item)
		}
		if item.SKU == "QG-FRAME-20X40" {
			item.Owned = 0
			items = append(items, item)
		}
	}
	bare := catalog.NewSnapshot(stock.House, items)
	for sku, want := range map[string]finding.Obstacle{"QG-FRAME-12X12": finding.NoSupports{}, "QG-FRAME-20X40": finding.NotOwned{}} {
		f := reached(t, shot, bare, sku).Frames[0]
		if f.WidestZoneM != 0 || f.WidestShotM != 0 || f.Because == nil || f.Because.Frame.SKU != sku || f.Because.Frame.Obstacle != want {
			t.Errorf("%+v", f)
		}
	}
	small := reached(t, shot, stock, "QG-FRAME-03X03").Frames[0]
	if small.Because == nil || small.Because.Frame.ShortByM <= 0 {
		t.Fatalf("%+v", small)
	}
	if _, misses := small.Because.Frame.Obstacle.(finding.Misses); !misses {
		t.Errorf("%+v", small.Because)
	}
}

func TestFrameFaults(t *testing.T) {
	t.Parallel()
	stock := demoHouse(t, "quayside")
	many := make([]string, 51)
	for name, tc := range map[string]struct {
		skus  []string
		stock *catalog.Snapshot
		want  map[string]string
	}{
		"none":     {nil, stock, map[string]string{"/frames": "frames is missing or empty; give the SKUs of 1 to 50 frames of the house"}},
		"too many": {many, stock, map[string]string{"/frames": "frames has 51; give at most 50"}},
		"each of its own": {[]string{"QG-FRAME-03X03", "QG-FRAME-99X99", "QG-STAND-LOW", "QG-FRAME-03X03"}, stock, map[string]string{
			"/frames/1": `frames[1] is "QG-FRAME-99X99", which house quayside does not have; give the SKUs of its frames`,
			"/frames/2": `frames[2] is "QG-STAND-LOW", an item of kind support; give the SKU of a frame`,
			"/frames/3": `frames[3] is "QG-FRAME-03X03", as frames[0] is; give each frame once`,
		}},
		"without a house": {[]string{"A", "A"}, nil, map[string]string{"/frames/1": `frames[1] is "A", as frames[0] is; give each frame once`}},
	} {
		got := map[string]string{}
		for _, f := range shot.FrameFaults(tc.skus, tc.stock) {
			got[f.Pointer] = text.Fault(text.Metres, f)
		}
		if diff := cmp.Diff(tc.want, got); diff != "" {
			t.Errorf("%s (-want +got)\n%s", name, diff)
		}
	}
	shot, _ := jetty().Resolve()
	if _, err := sizing.Reach(t.Context(), shot, []string{"QG-STAND-LOW"}, stock, price.NewDesk(stock, shot.Window.Date), 2); err == nil ||
		!strings.Contains(err.Error(), "/frames/0: wrong_kind") {
		t.Errorf("a stand for a frame: %v", err)
	}
}
