package rigging_test

import (
	"fmt"

	"kitspan/internal/rigging"
)

// q = ½ρv² with the density of EN 1991-1-4, 1.25 kg/m³: at 8 m/s 40 Pa, on a sheet of 9 m² square to the wind some 360 N
// before its own coefficient.
func ExampleVelocityPressure() {
	fmt.Printf("%.0f Pa\n", rigging.VelocityPressure(8))
	// Output: 40 Pa
}

// By the profile of EN 1991-1-4 for open country a gust at 10 m is 1.5235 times the ten-minute mean that a forecast gives.
func ExampleGustOfMean() {
	fmt.Printf("%.2f m/s\n", rigging.GustOfMean(6, 10))
	// Output: 9.14 m/s
}

// A line at 45° from a head 3 m up is 3·√2 m long and meets the ground 3 m from the mast.
func ExampleLineLengthM() {
	fmt.Printf("%.2f m, %.2f m\n", rigging.LineLengthM(3, 45), rigging.GroundRadiusM(3, 45))
	// Output: 4.24 m, 3.00 m
}
