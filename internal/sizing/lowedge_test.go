//go:build !race

// Arithmetic in one goroutine, where the race detector finds nothing and takes eight times as long: deploy/tests.sh runs this without it.

package sizing

import (
	"testing"

	"kitspan/internal/finding"
	"kitspan/internal/geom"
	"kitspan/internal/scene"
	"kitspan/internal/shot/shottest"
)

// TestLowEdges: the lowest edge under 2 m of a frame that leans on several stands is noted with its height and place; one that stands
// upright is a wall, and a board on one stand is none of that (common practice, no source).
func TestLowEdges(t *testing.T) {
	s := shottest.Resolve(t, shottest.Bare())
	st := scene.NewStage(&s)
	// The side away from the lens is lower, 2 m wide.
	frame := func(lowM, highM, deepM float64, stands int) Piece {
		p := Piece{Role: finding.RoleOverhead, Supports: make([]Support, stands)}
		for i, c := range [4]geom.Vec{{X: -1, Z: highM}, {X: 1, Z: highM}, {X: 1, Y: deepM, Z: lowM}, {X: -1, Y: deepM, Z: lowM}} {
			p.Corners[i] = st.ToWorld(c.Add(geom.Vec{X: 3}))
		}
		return p
	}
	for _, test := range []struct {
		name  string
		piece Piece
		lowM  float64 // 0 for no note
	}{
		{"leans down to the chest", frame(1.2, 2.8, 2, 2), 1.2},
		{"over heads", frame(2.1, 2.8, 2, 2), 0},
		{"upright", frame(0.5, 2.8, 0.2, 2), 0},
		{"a board on one stand", frame(1.2, 2.8, 2, 1), 0},
	} {
		opt := Option{Pieces: []Piece{frame(1.7, 2.8, 2, 2), test.piece}}
		if test.lowM == 0 {
			opt.Pieces = opt.Pieces[1:]
		}
		noteLowEdge(&opt, st)
		if test.lowM == 0 {
			if len(opt.Notes) > 0 {
				t.Errorf("%s: %v", test.name, opt.Notes)
			}
			continue
		}
		if len(opt.Notes) != 1 {
			t.Fatalf("%s: %v", test.name, opt.Notes)
		}
		n := opt.Notes[0].(finding.LowEdge)
		if off := (geom.Vec{X: n.RightM - 3, Y: n.BehindM - 2, Z: n.LowM - test.lowM}); off.Len() > 1e-9 {
			t.Errorf("%s: %+v", test.name, n)
		}
	}
}
