package rigging_test

import (
	"fmt"
	"math"

	"kitspan/internal/geom"
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

// A frame of 2.4 × 2.4 m, tilted by 30° on two stands with 30 kg on each, is to be down in gusts over 4 m/s.
func ExampleSolver() {
	frame := geom.Rect{Center: geom.Vec{Z: 3}, U: geom.Vec{X: 1}, V: geom.Vec{Y: math.Sqrt(3) / 2, Z: 0.5}, HalfU: 1.2, HalfV: 1.2}
	s := rigging.Structure{Frame: frame, Solidity: 1, MassKg: 12, Friction: 0.3, SafetyFactor: 1.5}
	for _, x := range []float64{-1.2, 1.2} {
		s.Stands = append(s.Stands, rigging.Stand{
			Foot: geom.Vec{X: x}, Held: geom.Vec{X: x, Z: 3}, FootprintM: 0.8, Legs: 3, MassKg: 26, SafeLoadKg: 85,
		})
	}
	hold := rigging.HoldOf(s.Solver().Stability([]float64{30, 30}), 0, -1)
	fmt.Printf("lower it at %.0f m/s\n", hold.LowerAtMS)
	// Output: lower it at 4 m/s
}
