package sizing_test

import (
	"fmt"
	"math"
	"slices"
	"testing"
	"time"

	"github.com/bojanz/currency"

	"kitspan/internal/catalog"
)

// Sizes of generated frames and what their tubes take; common practice, no source. Every fifth frame is square, others are up to twice
// as wide as high, as frames of the trade are.
const (
	smallestM   = 1.0
	largestM    = 12.0
	tubeM       = 0.05 // on every side of the opening
	tubeKgM     = 1.1
	fabricKgM2  = 0.14
	tallestWide = 2.0
)

// largeHouse is a house with so many frames, each with full-strength diffusion sewn for it, and the demo house's supports, operators
// and the rest. Sizes follow the additive sequence of the plastic number (M. Roberts, "The unreasonable effectiveness of quasirandom
// sequences", 2018), which fills the square evenly from its start: houses of every size hold the same mixture, and the same house comes out each time.
func largeHouse(tb testing.TB, frames int) *catalog.Snapshot {
	tb.Helper()
	demo, ok := catalog.DemoSnapshot("quayside")
	if !ok {
		tb.Fatal("no demo house")
	}
	house := demo.House
	house.Slug, house.Name = "large", "Large"
	var items []catalog.Item
	for i := range demo.Items() {
		if kind := demo.Items()[i].Kind(); kind != catalog.KindFrame && kind != catalog.KindFabric {
			items = append(items, demo.Items()[i])
		}
	}
	euros := func(v float64) currency.Amount {
		a, err := currency.NewAmount(fmt.Sprintf("%.2f", v), house.Currency)
		if err != nil {
			tb.Fatal(err)
		}
		return a
	}
	add := func(sku, name string, massKg, perDay float64, spec catalog.Spec) {
		item := catalog.Item{
			SKU: sku, Name: name, MassKg: massKg, PackedM3: massKg / 500, Owned: 6, Replacement: euros(20 * perDay), Spec: spec,
			Rates: []catalog.Rate{{From: catalog.Date{Year: 2026, Month: time.January, Day: 1}, PerDay: euros(perDay)}},
		}
		if bad := item.ValidateIn(house); bad != nil {
			tb.Fatalf("%s: %v", sku, bad)
		}
		items = append(items, item)
	}
	const p = 1.32471795724474602596 // the real root of p³ = p + 1
	cm := func(m float64) float64 { return math.Round(100*m) / 100 }
	for i := range frames {
		_, u := math.Modf(float64(i+1) / p)
		_, v := math.Modf(float64(i+1) / (p * p))
		w := cm(smallestM + (largestM-smallestM)*u)
		h := w
		if i%5 != 0 {
			h = cm(math.Max(smallestM, w/(1+(tallestWide-1)*v)))
		}
		size := fmt.Sprintf("%03d", i)
		add("FRAME-"+size, "Frame "+size, tubeKgM*2*(w+h), 5+0.5*w*h, &catalog.Frame{
			OpeningWidthM: w, OpeningHeightM: h, OuterWidthM: w + 2*tubeM, OuterHeightM: h + 2*tubeM, SupportsMin: 2, SupportsMax: 4,
		})
		add("FABRIC-"+size, "Full-strength diffusion "+size, fabricKgM2*w*h, 3+0.4*w*h, &catalog.Fabric{
			FitsWidthM: w, FitsHeightM: h, Use: catalog.UseDiffusion, Transmittance: 0.38, Reflectance: 0.48, BeamShare: 0.01,
			ArealMassKgM2: fabricKgM2, Solidity: 1, FaceA: "white", FaceB: "white",
		})
	}
	return catalog.NewSnapshot(house, items)
}

func TestLargeHouseHoldsDistinctFrames(t *testing.T) {
	for _, n := range []int{25, 500} {
		sizes := map[[2]float64]bool{}
		smallest, largest := math.Inf(1), 0.0
		stock := largeHouse(t, n)
		for i := range stock.Items() {
			if f, ok := stock.Items()[i].Spec.(*catalog.Frame); ok {
				sizes[[2]float64{f.OpeningWidthM, f.OpeningHeightM}] = true
				smallest, largest = math.Min(smallest, f.OpeningHeightM), math.Max(largest, f.OpeningWidthM)
			}
		}
		if len(sizes) < n*9/10 {
			t.Errorf("%d frames have %d sizes", n, len(sizes))
		}
		if smallest > 1.5 || largest < 10 {
			t.Errorf("%d frames go from %g to %g m, want 1 to about 12", n, smallest, largest)
		}
	}
}

// withVehicle returns a house with one vehicle more.
func withVehicle(t *testing.T, stock *catalog.Snapshot, sku string, payloadKg, loadM3 float64) *catalog.Snapshot {
	t.Helper()
	items := slices.Clone(stock.Items())
	for _, item := range items {
		if v, ok := item.Spec.(*catalog.Vehicle); ok {
			small := *v
			small.PayloadKg, small.LoadM3 = payloadKg, loadM3
			item.SKU, item.Spec = sku, &small
			return catalog.NewSnapshot(stock.House, append(items, item))
		}
	}
	t.Fatal("no vehicle")
	return nil
}
