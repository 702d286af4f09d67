package sun

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// Source: pvlib/solposx, tests/test_refraction.py, SPA at 101325 Pa and 12 °C.
func TestRefractionPublished(t *testing.T) {
	scale := refractionScale(1013.25, 12)
	for _, c := range []struct{ trueElevation, want float64 }{
		{-1, 0}, {-0.6, 0.5760885771}, {0, 0.481185828}, {1, 0.361012918}, {4, 0.188614492},
		{6, 0.139390797}, {10, 0.0897835168}, {90, -0.000032010},
	} {
		near(t, "refraction", refractionDeg(c.trueElevation, scale), c.want, 1e-9)
	}
	// Meeus, Astronomical Algorithms, example 16.a: true altitude 33.246′ of the
	// upper limb, refraction 24.618′.
	near(t, "Meeus 16.a", 60*refractionDeg(33.246/60, 1), 24.618, 5e-4)
}

func TestRefractionIsSmoothAboveTheHorizonAndBoundedEverywhere(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		scale := refractionScale(rapid.Float64().Draw(t, "hPa"), rapid.Float64().Draw(t, "C"))
		el := rapid.Float64Range(-90, 90).Draw(t, "el")
		r := refractionDeg(el, scale)
		// The coldest, densest air allowed gives 1.06° at −0.8333°; from the formula.
		if !(r >= -1e-4 && r < 1.2) {
			t.Fatalf("refraction %g at %g°", r, el)
		}
		if el > -0.8 && el < 89.9 {
			// The formula's steepest slope is 0.19° per degree at standard air, at −0.83°.
			if d := math.Abs(refractionDeg(el+1e-3, scale) - r); d > 1e-3*0.4 {
				t.Fatalf("refraction jumps by %g at %g°", d, el)
			}
		}
	})
}

// Source: pvlib-python, alt2pres tests, whose constants differ from ISO 2533 in
// the sixth digit: 0.01 hPa. Tropopause and 20 km: ISO 2533 tables (from memory).
func TestStandardPressure(t *testing.T) {
	near(t, "1000 m", StandardPressureHPa(1000), 898.74750, 0.01)
	near(t, "-100 m", StandardPressureHPa(-100), 1025.32073, 0.01)
	near(t, "sea level", StandardPressureHPa(0), 1013.25, 1e-9)
	near(t, "11 km", StandardPressureHPa(11000), 226.32, 0.01)
	near(t, "20 km", StandardPressureHPa(20000), 54.75, 0.01)
	for _, h := range []float64{-math.MaxFloat64, math.MaxFloat64} {
		if p := StandardPressureHPa(h); !(p >= 0 && p < 2000) {
			t.Errorf("pressure at %g m: %g", h, p)
		}
	}
}
