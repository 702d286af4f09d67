package draw_test

import (
	"strings"
	"testing"

	"kitspan/internal/geom"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
	"kitspan/internal/web/draw"
)

// TestFixedPointsAreMarkedAndNamed reads back the fixed points of a site: those among what stands, tied to or not, and none that is far
// off.
func TestFixedPointsAreMarkedAndNamed(t *testing.T) {
	a := examples()[0]
	res := a.res
	stand := res.Options[0].Pieces[0].Supports[0].Base
	res.Shot.Site.Anchors = []shot.Anchor{
		{Label: "railing", Position: stand.Add(geom.Vec{X: 2.5, Y: 1, Z: 1}), SafePullN: 2000},
		{Label: "a ring in the wall that nobody ties to", Position: stand.Add(geom.Vec{X: -2, Y: -2, Z: 1.2}), SafePullN: 1000},
		{Label: "far", Position: geom.Vec{X: 500}, SafePullN: 1000},
	}
	o := res.Options[0]
	o.Pieces = append([]sizing.Piece(nil), o.Pieces...)
	o.Pieces[0].Lines = []sizing.GuyLine{{SKU: "ROPE", From: o.Pieces[0].Corners[0], To: res.Shot.Site.Anchors[0].Position, Point: "railing"}}
	for _, d := range kinds[:3] {
		svg := d.draw(&res, &o, metric)
		s := sheetOf(t, d.name, svg, &res)
		s.piece(t, d.name, 0, &o.Pieces[0])
		marked := map[string]bool{}
		for i := range s.list {
			e := &s.list[i]
			label := e.attr["data-point"]
			if label == "" {
				continue
			}
			marked[label] = true
			for _, p := range res.Shot.Site.Anchors {
				if p.Label != label {
					continue
				}
				ends := e.points(t)
				want, _ := s.at(p.Position)
				if mid := (point{(ends[0].x + ends[1].x) / 2, (ends[0].y + ends[1].y) / 2}); !near(mid, want) {
					t.Errorf("%s: %s is marked at %v, not %v", d.name, label, mid, want)
				}
			}
		}
		if len(marked) != 2 || marked["far"] {
			t.Errorf("%s marks %v", d.name, marked)
		}
		if !strings.Contains(svg, ">railing<") {
			t.Errorf("%s does not name the railing", d.name)
		}
	}
	if svg := draw.Plan(&res, &o, metric); !strings.Contains(svg, ">a ring in the wall that…<") || !strings.Contains(svg, "fixed point of the site") {
		t.Error("the plan does not name what is tied to nothing, or its mark")
	}
}

func TestLegendSaysWhereRopesGo(t *testing.T) {
	a := examples()[0]
	o := a.res.Options[0]
	o.Pieces = append([]sizing.Piece(nil), o.Pieces[0])
	p := &o.Pieces[0]
	p.Lines = []sizing.GuyLine{{SKU: "ROPE", Point: "railing"}, {SKU: "ROPE", Point: "railing"}, {SKU: "ROPE"}, {SKU: "ROPE"}}
	for k := 2; k < 4; k++ {
		p.Lines[k].Anchor.SKU, p.Lines[k].Anchor.Quantity = "BAG", k
	}
	got := draw.Legend(&o, func(string) string { return "" }, metric)[0].Detail
	if !strings.HasSuffix(got, "; 4 ropes to 5 × BAG and railing") {
		t.Error(got)
	}
}
