package sizing_test

import (
	"runtime"
	"testing"

	"kitspan/internal/price"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
)

// BenchmarkSweep14h is a June day of 14 hours in ten-minute steps, from the draft on, on the demo catalogue.
func BenchmarkSweep14h(b *testing.B) {
	stock := demoHouse(b, "quayside")
	sweep := func() sizing.SweepResult {
		asked, faults := anglers().Resolve()
		if len(faults) > 0 {
			b.Fatal(faults)
		}
		day, faults := shot.DraftSteps{From: is("06:30"), To: is("20:30")}.Resolve(asked)
		if len(faults) > 0 {
			b.Fatal(faults)
		}
		res, err := sizing.Sweep(b.Context(), asked, day, stock, price.NewDesk(stock, asked.Window.Date), runtime.GOMAXPROCS(0))
		if err != nil {
			b.Fatal(err)
		}
		return res
	}
	found := 0
	for _, row := range sweep().Rows {
		if row.Overhead != nil {
			found++
		}
	}
	if n := len(sweep().Rows); n != 84 || found < n/4 {
		b.Fatalf("%d steps, %d of them with an overhead", n, found)
	}
	b.ReportAllocs()
	before := cpuTime(b)
	for b.Loop() {
		sweep()
	}
	b.ReportMetric(float64((cpuTime(b)-before).Microseconds())/1000/float64(b.N), "cpu-ms/op")
}

// BenchmarkReach asks for every frame of the demo catalogue, seventeen of them.
func BenchmarkReach(b *testing.B) {
	stock := demoHouse(b, "quayside")
	shot, faults := anglers().Resolve()
	if len(faults) > 0 {
		b.Fatal(faults)
	}
	frames := framesOf(stock)
	b.ReportAllocs()
	before := cpuTime(b)
	for b.Loop() {
		if _, err := sizing.Reach(b.Context(), shot, frames, stock, price.NewDesk(stock, shot.Window.Date), runtime.GOMAXPROCS(0)); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64((cpuTime(b)-before).Microseconds())/1000/float64(b.N), "cpu-ms/op")
	b.ReportMetric(float64(len(frames)), "frames")
}
