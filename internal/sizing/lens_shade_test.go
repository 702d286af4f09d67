//go:build !race

// Arithmetic in one goroutine, where the race detector finds nothing and takes eight times as long: deploy/tests.sh runs this without it.

package sizing_test

import (
	"testing"

	"github.com/bojanz/currency"

	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
)

// TestALensShadeBreaksNoLimit sets limits that the plan keeps but for its lens shade: it is left out, with a note, and all else
// stays.
func TestALensShadeBreaksNoLimit(t *testing.T) {
	_, d := exampleDraft(t, "../../docs/examples/01-two-anglers.json")
	d.Limits = shot.DraftLimits{}
	stock := house(t)
	free := option(t, plan(t, d), sizing.LabelOverhead)
	if !free.Has(finding.RoleCameraShade) || !free.Workable {
		t.Fatalf("no lens shade, or not workable: %v", free.Notes)
	}
	shade := free.Pieces[len(free.Pieces)-1]
	flagKg := stock.Item(shade.Items[0].SKU).MassKg
	euro, err := currency.NewAmount("1.00", "EUR")
	if err != nil {
		t.Fatal(err)
	}
	less, err := free.Kit.PerDay.Sub(euro) // the shade's stand is dearer
	if err != nil {
		t.Fatal(err)
	}
	for what, limits := range map[string]shot.DraftLimits{"mass": {MassKg: some(free.Load.MassKg - flagKg/2)}, "price": {PricePerDay: &less}} {
		d.Limits = limits
		o := option(t, plan(t, d), sizing.LabelOverhead)
		note, told := noted[finding.LensUnshaded](o)
		if o.Has(finding.RoleCameraShade) || !o.Workable || !told || note.Source != "sun" {
			t.Errorf("%s: workable %v, shade %v, notes %v", what, o.Workable, o.Has(finding.RoleCameraShade), o.Notes)
		}
		if len(o.Pieces) != len(free.Pieces)-1 || o.Pieces[0].Items[0] != free.Pieces[0].Items[0] {
			t.Errorf("%s: %d pieces, with the shade %d", what, len(o.Pieces), len(free.Pieces))
		}
	}
}

// TestASmallFrameOnOneStand holds a framed reflector by its middle where the catalogue gives it to one stand, by two where not.
func TestASmallFrameOnOneStand(t *testing.T) {
	t.Parallel()
	_, d := exampleDraft(t, "../../docs/examples/03-tiles-table-top.json")
	whole := house(t)
	stands := func(stock *catalog.Snapshot) (n int, found bool) {
		for _, o := range planOf(t, d, stock).Options {
			for _, p := range o.Pieces {
				if _, framed := stock.Item(p.Items[0].SKU).Spec.(*catalog.Frame); framed && p.Role == finding.RoleFill {
					return len(p.Supports), true
				}
			}
		}
		return 0, false
	}
	if n, found := stands(whole); !found || n != 1 {
		t.Errorf("a framed fill on %d stands, found %v", n, found)
	}
	var items []catalog.Item
	for _, item := range whole.Items() {
		if f, ok := item.Spec.(*catalog.Frame); ok && f.SupportsMin == 1 {
			two := *f
			two.SupportsMin = 2
			item.Spec = &two
		}
		items = append(items, item)
	}
	if n, found := stands(catalog.NewSnapshot(whole.House, items)); found && n != 2 {
		t.Errorf("a framed fill that takes two, on %d stands", n)
	}
}
