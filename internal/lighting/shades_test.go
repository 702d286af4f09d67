package lighting

import (
	"testing"

	"kitspan/internal/geom"
)

// TestShadesFromALamp: what stands in the way of a lamp near by is seen from the lamp, from which the board fills a cone
// that parallel light would take for a beam as wide as the board all along.
func TestShadesFromALamp(t *testing.T) {
	upright := func(x, y float64) geom.Rect {
		return geom.Rect{Center: geom.Vec{X: x, Y: y, Z: 2}, U: geom.Vec{X: 1}, V: geom.Vec{Z: 1}, HalfU: 0.5, HalfV: 0.5}
	}
	lamp := geom.Vec{Z: 2}
	board := upright(3, 6)
	way := lamp.Sub(board.Center).Unit()
	for _, c := range []struct {
		what           string
		Size           geom.Rect
		lamp, parallel bool
	}{
		{"half-way", upright(1.5, 3), true, true},
		{"near the lamp, over the cone's edge", upright(1.05, 1), true, true},
		{"near the lamp, beside its narrow cone", upright(1.12, 1), false, true},
		{"near the lamp, on the other side of the cone", upright(-0.12, 1), false, true},
		{"behind the lamp", upright(-1, -2), false, true},
		{"behind the board", upright(4, 8), false, false},
		{"beside all", upright(-3, 3), false, false},
	} {
		if got := shadesFrom(&c.Size, &board, lamp); got != c.lamp {
			t.Errorf("%s: %v by the lamp", c.what, got)
		}
		if got := shades(&c.Size, &board, way); got != c.parallel {
			t.Errorf("%s: %v in parallel light", c.what, got)
		}
	}
}
