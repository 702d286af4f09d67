package scene

import (
	"testing"

	"kitspan/internal/geom"
)

// TestBeamsPassTheCamera: a lens at 4.5 m, so that its operator stands from 4.5 to 6 m, 0.3 m to either side.
func TestBeamsPassTheCamera(t *testing.T) {
	t.Parallel()
	at := func(x, y float64) geom.Vec { return geom.Vec{X: x, Y: y} }
	st := &Stage{View: geom.View{Eye: geom.Vec{Y: -4.5, Z: 1.5}}}
	near := &Stage{View: geom.View{Eye: geom.Vec{Y: -0.8, Z: 1.2}}}
	touch := &Stage{View: geom.View{Eye: geom.Vec{Y: -0.01, Z: 1.5}}}
	for _, c := range []struct {
		what  string
		st    *Stage
		b     Beam
		clear bool
	}{
		{"from behind the lens", st, Beam{at(-0.2, -7.3), at(0, 0), 0.5, 0.5}, false},
		{"across the lens to people beside", st, Beam{at(-2, -6.4), at(3.4, -1), 0.5, 0.5}, false},
		{"square to the lens axis", st, Beam{at(-4, 0), at(0, 0), 1, 1}, true},
		{"0.75 m off the lens", st, Beam{at(-1.25, -8), at(-1.25, 0), 0.5, 0.5}, false},
		{"0.85 m off the lens", st, Beam{at(-1.35, -8), at(-1.35, 0), 0.5, 0.5}, true},
		{"through the operator, clear of the lens", st, Beam{at(-4, -5.9), at(4, -5.9), 0.3, 0.3}, false},
		{"a corner of the operator's strip", st, Beam{at(-3, -4.5), at(3, -8.2), 0.2, 0.2}, false},
		{"behind the operator", st, Beam{at(-4, -7), at(4, -7), 0.5, 0.5}, true},
		{"toward the lens, short of it", st, Beam{at(0, 3), at(0, 0), 0.5, 0.5}, true},
		{"as wide as the zone where it ends", st, Beam{at(-1.6, -9), at(-1.3, 0), 0.7, 0.1}, true},
		{"as wide all the way", st, Beam{at(-1.6, -9), at(-1.3, 0), 0.7, 0.7}, false},
		{"half of the way to a goal near by", near, Beam{at(-1.3, 0), at(0, 0), 0.35, 0.35}, true},
		{"over the operator's front edge, to people at the lens", touch, Beam{at(-2.7, 5.7), at(0, 0), 0.15, 0.15}, false},
		{"less than half of it", near, Beam{at(-1.3, 0), at(0, 0), 0.45, 0.45}, false},
	} {
		if got := c.st.OffBeam(&c.b); got != c.clear {
			t.Errorf("%s: %v", c.what, got)
		}
		c.b.From.X, c.b.Goal.X = -c.b.From.X, -c.b.Goal.X
		if got := c.st.OffBeam(&c.b); got != c.clear {
			t.Errorf("%s, in a mirror: %v", c.what, got)
		}
	}
}

func BenchmarkOffBeam(b *testing.B) {
	st := &Stage{View: geom.View{Eye: geom.Vec{Y: -4.5, Z: 1.5}}}
	beam := Beam{geom.Vec{X: -1.35, Y: -8}, geom.Vec{X: -1.35}, 0.5, 0.5}
	for b.Loop() {
		if !st.OffBeam(&beam) {
			b.Fatal("in the way")
		}
	}
}
