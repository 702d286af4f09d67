package sun_test

import (
	"fmt"
	"time"

	"kitspan/internal/sun"
)

// The worked example of the algorithm's report (NREL/TP-560-34302, appendix A.5) prints azimuth 194.34024° and zenith
// 50.11162°, an elevation of 39.88838°.
func ExampleAt() {
	golden := sun.Site{LatitudeDeg: 39.742476, LongitudeDeg: -105.1786, ElevationM: 1830.14, PressureHPa: 820, TemperatureC: 11}
	p := sun.At(time.Date(2003, 10, 17, 19, 30, 30, 0, time.UTC), golden)
	fmt.Printf("azimuth %.3f°, elevation %.3f°\n", p.AzimuthDeg, p.ElevationDeg)
	// Output: azimuth 194.340°, elevation 39.888°
}

// At 78° north the sun does not set in June.
func ExampleDayOf() {
	longyearbyen := sun.Site{LatitudeDeg: 78.22, LongitudeDeg: 15.65, PressureHPa: 1010, TemperatureC: 5}
	day := sun.DayOf(2027, time.June, 18, time.UTC, longyearbyen)
	fmt.Println("rises:", !day.Rise.IsZero(), "sets:", !day.Set.IsZero())
	// Output: rises: false sets: false
}

// The brightest that a clear sky gives on the ground is about 100 000 lx of the sun, and a tenth to a fifth of that of the
// sky (common practice, no source): under an overcast one no sun is left.
func ExampleDaylightAt() {
	high := sun.Position{ElevationDeg: 60, TrueElevationDeg: 60, DistanceAU: 1}
	clear, overcast := sun.DaylightAt(high, sun.Clear), sun.DaylightAt(high, sun.Overcast)
	fmt.Println(clear.BeamNormalLx > 5*clear.SkyHorizontalLx, overcast.BeamNormalLx)
	// Output: true 0
}
