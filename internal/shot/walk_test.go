package shot

import (
	"math"
	"testing"

	"kitspan/internal/geom"
)

// TestTheBoxAroundAWay: a zone of 2 × 1 m before a lens that looks east, so that its right is south; 3 m to the east is away from the lens, 4 m
// to the north to its left.
func TestTheBoxAroundAWay(t *testing.T) {
	s := Shot{Camera: Camera{BearingDeg: 90}, Zone: Zone{WidthM: 2, DepthM: 1, BaseM: 0.5, TopM: 1.5}, Walk: geom.Vec{X: 3, Y: 4}}
	got := s.Swept()
	for what, is := range map[string][2]float64{
		"half its width": {got.Half.X, 3}, "half its depth": {got.Half.Y, 2}, "half its height": {got.Half.Z, 0.5},
		"its middle to the right": {got.Mid.X, -2}, "its middle away": {got.Mid.Y, 1.5}, "its middle up": {got.Mid.Z, 1},
	} {
		if math.Abs(is[0]-is[1]) > 1e-12 {
			t.Errorf("%s is %v m, want %v m", what, is[0], is[1])
		}
	}
	if s.Walk = (geom.Vec{}); s.Walks() || s.Swept() != s.Zone.Box() {
		t.Errorf("where nobody walks the box is %+v", s.Swept())
	}
}
