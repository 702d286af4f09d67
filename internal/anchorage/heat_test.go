package anchorage

import (
	"testing"

	"kitspan/internal/geom"
)

// TestRopesKeepOffHeat runs ropes past a lamp whose head is 3 m up.
func TestRopesKeepOffHeat(t *testing.T) {
	t.Parallel()
	head := geom.Vec{X: 2, Y: -1, Z: 3}
	for _, c := range []struct {
		what     string
		from, to geom.Vec
		hot      bool
	}{
		{"0.9 m beside it", geom.Vec{X: 2.9, Y: -5, Z: 3}, geom.Vec{X: 2.9, Y: 5, Z: 3}, true},
		{"1.1 m beside it", geom.Vec{X: 3.1, Y: -5, Z: 3}, geom.Vec{X: 3.1, Y: 5, Z: 3}, false},
		{"1.4 m over it", geom.Vec{X: -3, Y: -1, Z: 4.4}, geom.Vec{X: 7, Y: -1, Z: 4.4}, true},
		{"1.6 m over it", geom.Vec{X: -3, Y: -1, Z: 4.6}, geom.Vec{X: 7, Y: -1, Z: 4.6}, false},
		{"under the head", geom.Vec{X: -3, Y: -1, Z: 2.5}, geom.Vec{X: 7, Y: -1, Z: 2.5}, false},
		{"steep past it", geom.Vec{X: 2.5, Y: -1, Z: 6}, geom.Vec{X: 2.5, Y: 3, Z: 0}, true},
		{"ends before it", geom.Vec{X: 8, Y: -1, Z: 3}, geom.Vec{X: 3.2, Y: -1, Z: 3}, false},
	} {
		rig := Anchorage{Ropes: []Rope{{From: geom.Vec{X: -20, Z: 4}, To: geom.Vec{X: -24}}, {From: c.from, To: c.to}}}
		if got := rig.HeatedBy(head); got != c.hot {
			t.Errorf("%s: %v", c.what, got)
		}
	}
	if new(Anchorage).HeatedBy(head) {
		t.Error("no rope is heated")
	}
}
