//go:build !race

// Arithmetic in one goroutine, where the race detector finds nothing and takes eight times as long: deploy/tests.sh runs this without it.

package sizing_test

import (
	"runtime"
	"testing"

	"kitspan/internal/price"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
)

// TestManySourcesTakeLittleMemory bounds all that a plan with as many sources as a request may have allocates, whether
// collected or not, most of it load cases of rigs that were asked about and not taken. Every way
// of sharing thirteen sources in memory took 3.9 GB.
func TestManySourcesTakeLittleMemory(t *testing.T) {
	const mostMB = 600
	stock := demoHouse(t, "quayside")
	for name, d := range map[string]shot.Draft{"sun and lamps": sunAndLamps(mostLamps), "hall": hallOfLamps(mostLamps)} {
		shot, faults := d.Resolve()
		if len(faults) > 0 {
			t.Fatal(name, faults)
		}
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		if _, err := sizing.Plan(t.Context(), shot, stock, price.NewDesk(stock, shot.Window.Date)); err != nil {
			t.Fatal(name, err)
		}
		runtime.ReadMemStats(&after)
		if got := (after.TotalAlloc - before.TotalAlloc) >> 20; got > mostMB {
			t.Errorf("%s: %d MB allocated, want up to %d", name, got, mostMB)
		} else {
			t.Logf("%s: %d MB", name, got)
		}
	}
}
