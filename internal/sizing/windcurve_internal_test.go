//go:build !race

// Arithmetic in one goroutine, where the race detector finds nothing and takes eight times as long: deploy/tests.sh runs this without it.

package sizing

import (
	"testing"

	"kitspan/internal/anchorage"
	"kitspan/internal/catalog"
	"kitspan/internal/lighting"
	"kitspan/internal/overhead"
	"kitspan/internal/price"
	"kitspan/internal/scene"
	"kitspan/internal/shot/shottest"
)

// TestRopesOfMoreWindKeepOffTheBoards: ropes that an overhead gets for more wind than was asked run clear of all that stands by then,
// and no anchor lies among the feet of a board.
func TestRopesOfMoreWindKeepOffTheBoards(t *testing.T) {
	stock, ok := catalog.DemoSnapshot("quayside")
	if !ok {
		t.Fatal("no demo house")
	}
	s := shottest.Resolve(t, shottest.Bare())
	pl, err := newPlanner(&s, stock, price.NewDesk(stock, s.Window.Date))
	if err != nil {
		t.Fatal(err)
	}
	sc := scene.LightOf(&s)
	rigs := pl.frames.Single(t.Context(), overhead.NewGroup(t.Context(), sc.Stage, sc.ToSoften), pl.frames.Stands)
	opt, err := pl.arranged(t.Context(), scheme{label: LabelOverhead, light: sc, rigs: rigs, by: lighting.ByReflectors})
	a := opt.arranged[0]
	if err != nil || len(rigs) != 1 || len(a.Pieces) == 0 {
		t.Fatalf("%d overheads, %d pieces beside them: %v", len(rigs), len(a.Pieces), err)
	}
	around := (&curve{pl: pl, parts: opt.arranged, starts: []int{0, len(opt.Pieces)}}).around(0)
	free := 0
	for _, p := range a.Pieces {
		corner := rigs[0].Placed.Outer.Corners()[0]
		through := corner.Add(p.Outer.Center.Sub(corner).Scale(1.05))
		if !rigs[0].Around(nil).Cut(corner, through) {
			free++
		}
		if !around.Cut(corner, through) {
			t.Errorf("a rope runs through the %s", p.Role)
		}
		if foot := p.Masts[0].Base; !anchorage.AmongFeet(foot, p.Masts) || !around.Cut(corner, foot) {
			t.Errorf("an anchor lies among the feet of the %s", p.Role)
		}
	}
	if free == 0 {
		t.Errorf("every rope to a board is stopped by the overhead's own frame")
	}
}
