//go:build !race

// Arithmetic in one goroutine, where the race detector finds nothing and takes eight times as long: deploy/tests.sh runs this without it.

package sizing_test

import (
	"math"
	"slices"
	"testing"
	"time"

	"github.com/bojanz/currency"
	"github.com/google/go-cmp/cmp"

	"kitspan/internal/catalog"
	"kitspan/internal/lighting"
	"kitspan/internal/price"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
)

// sameSun allows what an arc over a day may differ from one over ten minutes: each is within 1e-6° of the sun's place.
var sameSun = cmp.Comparer(func(a, b float64) bool { return math.Abs(a-b) <= 1e-5*math.Max(1, math.Abs(a)) })

// TestSweepChoosesWhatPlanDoes sizes single steps by themselves: of the day of the anglers, and of one with a limit that
// some rigs break and another preference.
func TestSweepChoosesWhatPlanDoes(t *testing.T) {
	t.Parallel()
	limited := jetty()
	limit := euros(t, "200.00")
	limited.Prefer, limited.Limits.PricePerDay = some(shot.PreferCheapest), &limit
	wide := jetty() // no frame covers while the sun is low
	wide.Zone.WidthM, wide.Framing.WidthM, wide.Framing.DistanceM = some(5.0), some(5.4), some(10.0)
	tall := jetty() // only lifting machines reach
	tall.Allowance.HeadM = some(7.0)
	house := overheadsOnly(demoHouse(t, "quayside"), func(string) bool { return true })
	for name, d := range map[string]shot.Draft{"smallest": wide, "cheapest within a limit": limited, "over a high head room": tall} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			step := 10
			res := swept(t, d, shot.DraftSteps{StepMin: &step})
			if len(res.Rows) < 80 {
				t.Fatalf("%d steps in a June day", len(res.Rows))
			}
			kinds := map[string]int{}
			for i := 0; i < len(res.Rows); i += 6 {
				row := res.Rows[i]
				d := d
				d.Look.KeySide = &res.Shot.Look.KeySide // said once for the whole day
				d.Window.Start, d.Window.End = some(row.Sun.At.Format("15:04")), some(row.Sun.At.Add(10*time.Minute).Format("15:04"))
				shot, faults := d.Resolve()
				if len(faults) > 0 {
					t.Fatal(faults)
				}
				alone, err := sizing.Plan(t.Context(), shot, house, price.NewDesk(house, shot.Window.Date))
				if err != nil {
					t.Fatal(err)
				}
				if got, want := row.Sun, alone.Sources[0].Track[0]; !cmp.Equal(got, want, sameSun) {
					t.Errorf("%s: the sun (-alone +swept)\n%s", *d.Window.Start, cmp.Diff(want, got, sameSun))
				}
				if key := row.KeyUnliftedStops; key == nil || math.IsNaN(*key) || math.IsInf(*key, 0) {
					t.Fatalf("%s: key %v by day", *d.Window.Start, key)
				}
				want := overheadsOf(alone)
				at := slices.IndexFunc(want, func(p planned) bool { return row.Overhead != nil && p.by == *row.Overhead })
				switch {
				case (len(want) > 0) != (row.Overhead != nil):
					t.Errorf("%s: alone %v, swept %v %+v", *d.Window.Start, want, row.Overhead, row.Without)
				case len(want) == 0:
					kinds["none"]++
					if row.Without == nil {
						t.Errorf("%s: no overhead and no reason", *d.Window.Start)
					}
				case at < 0 && row.Without == nil && d.Prefer != nil && *d.Prefer == "cheapest":
					// The cheapest rig need not be in the cheapest plan, which may not be dearer.
					least := slices.MinFunc(want, func(a, b planned) int { c, _ := a.perDay.Cmp(b.perDay); return c })
					if c, err := least.perDay.Cmp(row.Whole.TotalPerDay); err != nil || c > 0 {
						t.Errorf("%s: alone %v a day, swept %v", *d.Window.Start, least.perDay, row.Whole.TotalPerDay)
					}
					kinds[map[bool]string{true: "over", false: "within"}[row.Overhead.OverLimit]]++
				case at < 0 || row.Without != nil:
					t.Errorf("%s: alone %v, swept %v %+v", *d.Window.Start, want, *row.Overhead, row.Without)
				case !(math.Abs(*row.KeyUnliftedStops-want[at].light.KeyStops) < 1e-4):
					t.Errorf("%s: key alone %+v, swept %.4f", *d.Window.Start, want[at].light, *row.KeyUnliftedStops)
				default:
					kinds[map[bool]string{true: "lift", false: "stands"}[want[at].by.OnLift]]++
					kinds[map[bool]string{true: "over", false: "within"}[want[at].by.OverLimit]]++
				}
			}
			t.Log(kinds)
			for _, must := range map[string][]string{
				"smallest": {"none", "stands"}, "cheapest within a limit": {"over", "within"}, "over a high head room": {"lift"},
			}[name] {
				if kinds[must] == 0 {
					t.Errorf("no step of kind %s: %v", must, kinds)
				}
			}
		})
	}
}

// planned is the one frame of an option, and the light under it.
type planned struct {
	by     sizing.SweepOverhead
	light  lighting.Levels
	perDay currency.Amount // of the whole plan
}

// overheadsOf are the frames of a plan's options, on stands or, failing that, on lifting machines.
func overheadsOf(r sizing.Result) (out []planned) {
	for _, label := range []sizing.Label{sizing.LabelOverhead, sizing.LabelOnLift} {
		for _, o := range r.Options {
			if o.Label != label || len(o.Pieces) != 1 { // a house without reflectors lifts nothing
				continue
			}
			stock, _ := catalog.DemoSnapshot("quayside")
			sku := o.Pieces[0].Items[0].SKU
			frame := stock.Item(sku).Spec.(*catalog.Frame)
			var rig []catalog.Count
			rig = append(rig, o.Pieces[0].Items...)
			for _, s := range o.Pieces[0].Supports {
				rig = append(rig, catalog.Count{SKU: s.SKU, Quantity: 1})
				if s.Ballast.Quantity > 0 {
					rig = append(rig, s.Ballast)
				}
			}
			for _, l := range o.Pieces[0].Lines {
				rig = append(rig, catalog.Count{SKU: l.SKU, Quantity: 1}, l.Anchor)
			}
			kit, err := price.NewDesk(stock, r.Shot.Window.Date).Price(rig)
			if err != nil {
				panic(err)
			}
			one := sizing.SweepOverhead{
				SKU: sku, AreaM2: frame.OpeningWidthM * frame.OpeningHeightM, OnLift: label == sizing.LabelOnLift, PerDay: kit.PerDay,
			}
			if l := r.Shot.Limits.PricePerDay; l != nil {
				c, _ := kit.PerDay.Cmp(*l)
				one.OverLimit = c > 0
			}
			out = append(out, planned{one, o.Levels, o.TotalPerDay})
		}
		if len(out) > 0 {
			break
		}
	}
	return out
}

func TestSweepOfASmallerZoneNeverTakesALargerFrame(t *testing.T) {
	t.Parallel()
	small := jetty()
	small.Zone.WidthM = some(1.3)
	steps := shot.DraftSteps{StepMin: some(30)}
	wide, narrow := swept(t, jetty(), steps), swept(t, small, steps)
	compared := 0
	for i, row := range wide.Rows {
		if row.Overhead == nil || row.Overhead.OnLift {
			continue
		}
		compared++
		if n := narrow.Rows[i].Overhead; n == nil || n.AreaM2 > row.Overhead.AreaM2 {
			t.Errorf("%s: %v for half the width, %v for all", row.Sun.At, n, row.Overhead)
		}
	}
	if compared < 5 {
		t.Errorf("only %d steps compared", compared)
	}
	if !slices.ContainsFunc(narrow.Rows, func(r sizing.SweepRow) bool { return r.Overhead != nil }) {
		t.Error("nothing found for half the width")
	}
}

// TestSweepKeepsAReadingToItsHour: the reading is of the shot's own window, so that at other hours the sun is as much
// under it as the model has it.
func TestSweepKeepsAReadingToItsHour(t *testing.T) {
	t.Parallel()
	plain := swept(t, jetty(), shot.DraftSteps{StepMin: some(60), From: some("10:00"), To: some("20:00")})
	d := jetty()
	d.Sky.SunLx = some(40000.0)
	read := swept(t, d, shot.DraftSteps{StepMin: some(60), From: some("10:00"), To: some("20:00")})
	ratio := read.Rows[0].Sun.IlluminanceLx / plain.Rows[0].Sun.IlluminanceLx
	if ratio > 0.6 || ratio < 0.3 { // 40,000 lx of some 90,000
		t.Errorf("the reading makes the sun %.2f of the model's", ratio)
	}
	for i := range plain.Rows {
		if got := read.Rows[i].Sun.IlluminanceLx / plain.Rows[i].Sun.IlluminanceLx; got < ratio*0.999999 || got > ratio*1.000001 {
			t.Errorf("%s: %.6f of the model's, at first %.6f", plain.Rows[i].Sun.At, got, ratio)
		}
	}
}
