package sizing

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"kitspan/internal/geom"
)

// TestNoWayInABoxCrossesAZoneBeyondIt holds the quick look at a box around all ways against each of them.
func TestNoWayInABoxCrossesAZoneBeyondIt(t *testing.T) {
	beyond := 0
	rapid.Check(t, func(rt *rapid.T) {
		at := func(label string) geom.Vec {
			in := rapid.Float64Range(-10, 10)
			return geom.Vec{X: in.Draw(rt, label), Y: in.Draw(rt, label), Z: in.Draw(rt, label)}
		}
		half := rapid.Float64Range(0.1, 2)
		z := zoneAt{at("middle"), geom.Vec{X: half.Draw(rt, "half"), Y: half.Draw(rt, "half"), Z: half.Draw(rt, "half")}}
		a, b := at("from"), at("to")
		low := geom.Vec{X: math.Min(a.X, b.X), Y: math.Min(a.Y, b.Y), Z: math.Min(a.Z, b.Z)}
		high := geom.Vec{X: math.Max(a.X, b.X), Y: math.Max(a.Y, b.Y), Z: math.Max(a.Z, b.Z)}
		if !z.outside(low, high) {
			return
		}
		beyond++
		if z.crosses(a, b) {
			rt.Fatalf("the way from %v to %v crosses a zone beyond its box", a, b)
		}
	})
	if beyond == 0 {
		t.Error("no zone lay beyond the box")
	}
}
