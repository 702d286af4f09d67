package draw_test

import (
	"strings"
	"testing"

	"kitspan/internal/web/draw"
)

func TestLegendNumbersEveryPiece(t *testing.T) {
	for _, a := range answers() {
		for k := range a.res.Options {
			o := &a.res.Options[k]
			marks := draw.Legend(o, func(sku string) string { return a.stock.Item(sku).Name }, metric)
			if len(marks) != len(o.Pieces) {
				t.Fatalf("%s: %d marks for %d pieces", a.name, len(marks), len(o.Pieces))
			}
			for i, m := range marks {
				if m.Number != i+1 || m.Name == "" || m.Detail == "" {
					t.Errorf("%s: mark %+v", a.name, m)
				}
				for _, c := range o.Pieces[i].Items {
					if !strings.Contains(m.Detail, a.stock.Item(c.SKU).Name) {
						t.Errorf("%s: %q leaves out %s", a.name, m.Detail, c.SKU)
					}
				}
			}
		}
	}
}

func TestLegendSaysForWhomAndOnWhat(t *testing.T) {
	a := examples()[4]
	o := &a.res.Options[0]
	none := draw.Legend(o, func(string) string { return "" }, metric)
	for i, m := range none {
		p := &o.Pieces[i]
		if p.Serves != "main" && !strings.HasSuffix(m.Name, " for "+p.Serves) {
			t.Errorf("%q does not say that it serves %s", m.Name, p.Serves)
		}
		if !strings.HasPrefix(m.Detail, p.Items[0].SKU) || !strings.Contains(m.Detail, "on ") {
			t.Errorf("detail %q", m.Detail)
		}
	}
}
