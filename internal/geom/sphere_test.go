package geom

import (
	"math"
	"testing"
)

// A degree of latitude is 111.2 km on the mean sphere (2π · 6371.0088 / 360); Lisbon to Porto is some 274 km in a straight line (from memory).
func TestDistanceOnTheSphere(t *testing.T) {
	for _, tc := range []struct{ lat1, lon1, lat2, lon2, want, within float64 }{
		{38, -9, 39, -9, 2 * math.Pi * 6371.0088 / 360, 1e-6},
		{0, 0, 0, 180, math.Pi * 6371.0088, 1e-6},
		{38.7, -9.2, 38.7, -9.2, 0, 0},
		{38.722, -9.139, 41.150, -8.611, 274, 2},
		{-10, 179.5, -10, -179.5, 2 * math.Pi * 6371.0088 / 360 * math.Cos(10*math.Pi/180), 0.01},
	} {
		if got := GreatCircleKm(tc.lat1, tc.lon1, tc.lat2, tc.lon2); math.Abs(got-tc.want) > tc.within {
			t.Errorf("%v: %.4f km, want %.4f", tc, got, tc.want)
		}
	}
}
