package sizing_test

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/bojanz/currency"

	"kitspan/internal/catalog"
	"kitspan/internal/price"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
	"kitspan/internal/sizing/oracle"
)

// anglers is the contract's example of a request: an hour of a June afternoon.
func anglers() shot.Draft {
	return shot.Draft{
		Name: "Two anglers on the jetty",
		Site: shot.DraftSite{
			LatitudeDeg: is(38.6935), LongitudeDeg: is(-9.2057), ElevationM: is(4.0), TimeZone: is("Europe/Lisbon"), Ground: is("concrete"),
		},
		Window:     shot.DraftWindow{Date: is("2027-06-18"), Start: is("16:30"), End: is("17:30")},
		Camera:     shot.DraftCamera{BearingDeg: is(262.0), HeightM: is(1.5), AimHeightM: is(1.25)},
		Framing:    shot.DraftFraming{WidthM: is(3.0), DistanceM: is(5.0), AspectRatio: is(1.7778)},
		Zone:       shot.DraftZone{WidthM: is(2.6), DepthM: is(0.8), BaseM: is(0.6), TopM: is(1.85)},
		Background: shot.DraftBackground{Faces: is("level")}, // sunlit ground: there is a key to lift
		Allowance:  shot.DraftAllowance{CoverM: is(0.15), ViewM: is(0.10), HeadM: is(2.1)},
	}
}

func is[T any](v T) *T { return &v }

// window is the anglers' day from a start on.
func window(start, end string) shot.Draft {
	d := anglers()
	d.Window.Start, d.Window.End = is(start), is(end)
	return d
}

// exampleDraft reads the shot of a file under docs/examples.
func exampleDraft(tb testing.TB, path string) (house string, d shot.Draft) {
	tb.Helper()
	house, s, err := oracle.Example(path)
	if err != nil {
		tb.Fatal(err)
	}
	return house, s.Draft
}

func demoHouse(tb testing.TB, slug string) *catalog.Snapshot {
	tb.Helper()
	stock, ok := catalog.DemoSnapshot(slug)
	if !ok {
		tb.Fatalf("no demo house %q", slug)
	}
	return stock
}

// benchPlan measures from the draft to the priced result; wants says what the result has to be for the figure to mean anything.
func benchPlan(b *testing.B, d shot.Draft, stock *catalog.Snapshot, wants func(sizing.Result) error) {
	b.Helper()
	plan := func() sizing.Result {
		shot, faults := d.Resolve()
		if len(faults) > 0 {
			b.Fatal(faults)
		}
		res, err := sizing.Plan(b.Context(), shot, stock, price.NewDesk(stock, shot.Window.Date))
		if err != nil {
			b.Fatal(err)
		}
		return res
	}
	if err := wants(plan()); err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	before := cpuTime(b)
	for b.Loop() {
		plan()
	}
	// What the work takes by itself, also on a machine that others use at the same time.
	b.ReportMetric(float64((cpuTime(b)-before).Microseconds())/1000/float64(b.N), "cpu-ms/op")
}

// cpuTime is the processor time that this process has taken so far, collecting garbage included.
func cpuTime(b *testing.B) time.Duration {
	b.Helper()
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		b.Fatal(err)
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

func overheadFound(res sizing.Result) error {
	if !slices.ContainsFunc(res.Options, func(o sizing.Option) bool { return o.Label == sizing.LabelOverhead || o.Label == sizing.LabelOnLift }) {
		return fmt.Errorf("no overhead was found")
	}
	return nil
}

func noneFits(res sizing.Result) error {
	for _, opt := range res.Options {
		if opt.Label == sizing.LabelOverhead || opt.Label == sizing.LabelOnLift {
			return fmt.Errorf("%s fits", opt.Label)
		}
	}
	if len(res.RuledOut) == 0 {
		return fmt.Errorf("no frame was ruled out")
	}
	return nil
}

func anything(sizing.Result) error { return nil }

// BenchmarkPlan sizes the contract's example and shots that differ from it in one thing, on the demo catalogue where no other is named.
func BenchmarkPlan(b *testing.B) {
	quayside := demoHouse(b, "quayside")
	b.Run("one-hour", func(b *testing.B) { benchPlan(b, anglers(), quayside, overheadFound) })

	// All within the afternoon, around the same hour; eight hours take in the noon.
	for _, w := range []struct{ name, start, end string }{
		{"1-minute", "16:59", "17:00"}, {"1-hour", "16:30", "17:30"}, {"2-hours", "16:00", "18:00"},
		{"4-hours", "15:00", "19:00"}, {"8-hours", "11:00", "19:00"},
	} {
		b.Run("window/"+w.name, func(b *testing.B) { benchPlan(b, window(w.start, w.end), quayside, anything) })
	}
	for _, n := range []int{25, 100, 250, 500} {
		house := largeHouse(b, n)
		b.Run(fmt.Sprintf("frames/%d", n), func(b *testing.B) { benchPlan(b, anglers(), house, overheadFound) })
		b.Run(fmt.Sprintf("frames-none-fits/%d", n), func(b *testing.B) { benchPlan(b, tooWide(), house, noneFits) })
	}
	b.Run("none-fits", func(b *testing.B) { benchPlan(b, tooWide(), quayside, noneFits) })
	b.Run("none-pays", func(b *testing.B) {
		limit, err := currency.NewAmount("0.01", "EUR")
		if err != nil {
			b.Fatal(err)
		}
		d := anglers()
		d.Limits.PricePerDay = &limit
		benchPlan(b, d, quayside, overheadFound)
	})
}

// tooWide has a zone that no frame covers, so that each gets a reason and none is chosen.
func tooWide() shot.Draft {
	d := anglers()
	d.Framing.WidthM, d.Framing.DistanceM, d.Zone.WidthM = is(40.0), is(60.0), is(38.0)
	return d
}

// BenchmarkExamples sizes every shot of docs/examples from its own house; the ninth is the hall with lamps.
func BenchmarkExamples(b *testing.B) {
	files, err := filepath.Glob("../../docs/examples/*.json")
	if err != nil || len(files) == 0 {
		b.Fatalf("%d examples: %v", len(files), err)
	}
	for _, file := range files {
		house, d := exampleDraft(b, file)
		stock := demoHouse(b, house)
		b.Run(strings.TrimSuffix(filepath.Base(file), ".json"), func(b *testing.B) { benchPlan(b, d, stock, anything) })
	}
}
