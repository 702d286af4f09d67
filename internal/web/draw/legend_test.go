package draw_test

import (
	"strings"
	"testing"

	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/geom"
	"kitspan/internal/sizing"
	"kitspan/internal/web/draw"
)

func TestLegendNumbersEveryPiece(t *testing.T) {
	for _, a := range answers() {
		for k := range a.res.Options {
			o := &a.res.Options[k]
			marks := draw.Legend(o, func(sku string) string { return a.stock.Item(sku).Name }, metric)
			next := 1
			for _, m := range marks {
				if m.First != next || m.Last < m.First || m.Last > len(o.Pieces) || m.Name == "" || m.Detail == "" {
					t.Fatalf("%s: mark %+v after %d", a.name, m, next-1)
				}
				next = m.Last + 1
				for _, p := range o.Pieces[m.First-1 : m.Last] {
					for _, c := range p.Items {
						if !strings.Contains(m.Detail, a.stock.Item(c.SKU).Name) {
							t.Errorf("%s: %q leaves out %s", a.name, m.Detail, c.SKU)
						}
					}
					for _, s := range p.Supports {
						if n := s.Ballast.Quantity; n > 0 && !strings.Contains(m.Detail, a.stock.Item(s.Ballast.SKU).Name) {
							t.Errorf("%s: %q leaves out what lies on %s", a.name, m.Detail, s.SKU)
						}
					}
				}
			}
			if next != len(o.Pieces)+1 {
				t.Errorf("%s: %d pieces of %d", a.name, next-1, len(o.Pieces))
			}
		}
	}
}

func TestLegendSaysForWhomAndOnWhat(t *testing.T) {
	a := examples()[4]
	o := &a.res.Options[0]
	none := draw.Legend(o, func(string) string { return "" }, metric)
	for _, m := range none {
		p := &o.Pieces[m.First-1]
		if p.Serves != "main" && !strings.HasSuffix(m.Name, " for "+p.Serves) {
			t.Errorf("%q does not say that it serves %s", m.Name, p.Serves)
		}
		if !strings.HasPrefix(strings.TrimPrefix(m.Detail, "each "), p.Items[0].SKU) || !strings.Contains(m.Detail, "on ") {
			t.Errorf("detail %q", m.Detail)
		}
	}
}

// Boards alike share a line, with the heights of all; one with other bags, or with ropes, has its own.
func TestLegendTakesWhatIsAlikeTogether(t *testing.T) {
	at := func(low float64, bags int) sizing.Piece {
		return sizing.Piece{
			Role: finding.RoleReflector, Face: "silver", Items: []catalog.Count{{SKU: "BOARD", Quantity: 1}},
			Corners:  [4]geom.Vec{{Z: low}, {X: 1, Z: low}, {X: 1, Z: low + 1}, {Z: low + 1}},
			Supports: []sizing.Support{{SKU: "STAND", Ballast: catalog.Count{SKU: "BAG", Quantity: bags}, AtMast: bags}},
		}
	}
	o := sizing.Option{Pieces: []sizing.Piece{at(0.6, 2), at(0.5, 2), at(0.7, 2), at(0.6, 3), at(0.6, 3)}}
	o.Pieces[4].Lines = []sizing.GuyLine{{SKU: "ROPE", Point: "railing"}}
	list := draw.Legend(&o, func(string) string { return "" }, metric)
	if len(list) != 3 {
		t.Fatalf("%d lines: %+v", len(list), list)
	}
	for i, want := range []string{
		"1 to 3 3 reflectors: each BOARD, silver side; 1.00 m × 1.00 m; edges 0.50 m to 1.70 m up; on STAND; held down by 2 × BAG",
		"4 Reflector: BOARD, silver side; 1.00 m × 1.00 m; edges 0.60 m to 1.60 m up; on STAND; held down by 3 × BAG",
		"5 Reflector: BOARD, silver side; 1.00 m × 1.00 m; edges 0.60 m to 1.60 m up; on STAND; held down by 3 × BAG; 1 rope to railing",
	} {
		if got := list[i].Numbers + " " + list[i].Name + ": " + list[i].Detail; got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}
