package scene

import (
	"slices"
	"testing"
	"time"

	"kitspan/internal/finding"
	"kitspan/internal/geom"
	"kitspan/internal/shot/shottest"
)

// An opening over the zone that is carried off to one side leaves the corners of the other side in the light. Sides are laid
// out in the world: a lens toward the south has west on its right, and north is nearer to it than the zone's middle.
func TestTheWorstRayIsThatOfACornerLeftOut(t *testing.T) {
	left := [2]finding.Corner{finding.NearLeft, finding.FarLeft}
	right := [2]finding.Corner{finding.NearRight, finding.FarRight}
	near := [2]finding.Corner{finding.NearLeft, finding.NearRight}
	far := [2]finding.Corner{finding.FarLeft, finding.FarRight}
	north, south, east, west := geom.Vec{Y: 1}, geom.Vec{Y: -1}, geom.Vec{X: 1}, geom.Vec{X: -1}
	for _, tc := range []struct {
		bearing float64
		carried geom.Vec
		want    [2]finding.Corner
	}{
		{0, north, near}, {0, south, far}, {0, east, left}, {0, west, right},
		{180, north, far}, {180, south, near}, {180, east, right}, {180, west, left},
		{90, north, right}, {90, south, left}, {90, east, near}, {90, west, far},
	} {
		d := shottest.Bare()
		d.Camera.BearingDeg = new(tc.bearing)
		s := shottest.Resolve(t, d)
		st := NewStage(&s)
		mid := st.FromWorld(tc.carried)
		mid.Z = 4
		opening := geom.Rect{Center: mid, U: geom.Vec{X: 1}, V: geom.Vec{Y: 1}, HalfU: st.Half.X, HalfV: st.Half.Y}
		at := time.Date(2027, 6, 18, 17, 0, 0, 0, time.UTC)
		worst := st.Measure(&opening, []*Source{{Label: "sun", Samples: []Sample{{at, geom.Vec{Z: 1}}}}})
		if got := worst.Misses(time.UTC); !slices.Contains(tc.want[:], got.Corner) || got.Source != finding.Sun || !got.At.Equal(at) {
			t.Errorf("lens at %g°, opening carried by %v: %+v, want one of %v", tc.bearing, tc.carried, got, tc.want)
		}
	}
}
