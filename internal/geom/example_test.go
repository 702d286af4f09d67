package geom_test

import (
	"fmt"

	"kitspan/internal/geom"
)

// A picture 3.6 m wide at 5 m, as a 50 mm lens gives on 36 mm: who stands 2 m to the right of the axis is out of it by
// 20 cm, and comes into it 3 m further back, where it is 3.6 · 8/5 = 5.76 m wide.
func ExampleLook() {
	lens := geom.Look(geom.Vec{Y: -5, Z: 1.5}, geom.Vec{Z: 1.5}, 36.0/50/2, 24.0/50/2)
	fmt.Printf("%.2f m\n", lens.Clearance(geom.Vec{X: 2, Z: 1.5}))
	fmt.Printf("%.2f m\n", lens.Clearance(geom.Vec{X: 2, Y: 3, Z: 1.5}))
	// Output:
	// 0.20 m
	// 0.00 m
}

// A frame of 4 m × 4 m lies level 3 m over the ground. From a head at 1.8 m the sun at 45° is seen through it, 1.2 m toward
// the sun, and so 0.8 m inside its edge; at 30° the ray passes 1.2/tan 30° = 2.08 m off, outside.
func ExampleRect_Inset() {
	frame := geom.Rect{Center: geom.Vec{Z: 3}, U: geom.Vec{X: 1}, V: geom.Vec{Y: 1}, HalfU: 2, HalfV: 2}
	for _, elevation := range []float64{45, 30} {
		inset, _ := frame.Inset(geom.Vec{Z: 1.8}, geom.Toward(180, elevation))
		fmt.Printf("%.0f°: %.2f m\n", elevation, inset)
	}
	// Output:
	// 45°: 0.80 m
	// 30°: -0.08 m
}

// Who looks east has the north on the left.
func ExampleAxes() {
	camera := geom.AxesAlong(90)
	p := camera.FromWorld(geom.Vec{X: 4, Y: 3})
	fmt.Printf("%.0f m to the right, %.0f m away\n", p.X, p.Y)
	// Output: -3 m to the right, 4 m away
}
