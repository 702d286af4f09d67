package light_test

import (
	"fmt"

	"kitspan/internal/geom"
	"kitspan/internal/light"
)

// E = 2.5 · 2^EV lx for C = 250, as the exposure tables print it: 81 920 lx, full sun, is EV 15.
func ExampleEV100() {
	fmt.Printf("EV %.0f, %.0f lx\n", light.EV100(81920), light.LuxOfEV100(12))
	// Output: EV 15, 10240 lx
}

// The rule of sunny 16: under EV 14.64 a camera at ISO 100, 1/100 s and f/16 is set right. At T2.8 it is five stops too
// open, log2(16²/2.8²) = 5.03, and takes so much neutral density.
func ExampleExposure_NDStops() {
	camera := light.Exposure{ISO: 100, FrameRateFPS: 50, ShutterAngleDeg: 180, TStop: 2.8}
	stops := camera.NDStops(64000, 0)
	fmt.Printf("%.2f stops, density %.2f\n", stops, light.NDDensity(stops))
	// Output: 5.03 stops, density 1.51
}

// On open ground a level face has all of the sky. A face that stands upright has half of it, and half of what the ground
// gives back: 10 000 lx / 2 · (1 + 0.2). A sun 30° high gives half its level on the ground.
func ExampleLit_Face() {
	scene := light.Scene{SkyLx: 10000, GroundReflectance: 0.2}
	lit := light.Light(&scene)
	for _, n := range []geom.Vec{{Z: 1}, {Y: -1}} {
		l := lit.Face(geom.Vec{Z: 1.5}, n)
		fmt.Printf("%.0f lx\n", l.Total())
	}
	// Output:
	// 10000 lx
	// 6000 lx
}
