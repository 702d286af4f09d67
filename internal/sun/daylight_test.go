package sun

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func high(elevationDeg float64) Position {
	return Position{ElevationDeg: elevationDeg, TrueElevationDeg: elevationDeg, DistanceAU: 1}
}

func stops(a, b float64) float64 { return math.Log2(a / b) }

// Sources: pvlib-python, tests/test_atmosphere.py (three digits after the point
// at 80° and 89.9°), and the formula as published worked with a calculator.
func TestAirMass(t *testing.T) {
	near(t, "0°", AirMass(0), 1.000, 5e-4)
	near(t, "80°", AirMass(80), 5.586, 5e-4)
	near(t, "89.9°", AirMass(89.9), 36.467, 5e-4)
	for _, c := range [][2]float64{
		{0, 0.999712}, {30, 1.153992}, {45, 1.412595}, {60, 1.994293}, {70, 2.903147}, {75, 3.812912},
		{80, 5.586036}, {85, 10.305791}, {87, 15.147735}, {88, 19.433245}, {89, 26.310555}, {90, 37.919608},
	} {
		near(t, "formula", AirMass(c[0]), c[1], 1e-6)
	}
	for _, z := range []float64{96.07995, 100, 180, 1e300} {
		near(t, "past the horizon", AirMass(z), AirMass(90), 0)
	}
	// Other published models (as in pvlib's tests): Gueymard 1993, Pickering
	// 2002, Gueymard 2003 at 89.9° and 80°: within 2 %.
	for _, m := range [][2]float64{{36.431, 5.581}, {37.064, 5.581}, {36.676, 5.590}} {
		near(t, "other model at 89.9°", AirMass(89.9)/m[0], 1, 0.02)
		near(t, "other model at 80°", AirMass(80)/m[1], 1, 0.002)
	}
}

// The IES model worked by hand from its formulas, klx: beam with Kasten & Young
// air mass and no orbit factor, sky clear; partly cloudy; overcast.
func TestDaylightModelTable(t *testing.T) {
	for _, c := range []struct{ el, clearBeam, clearSky, partlyBeam, partlySky, overcast float64 }{
		{5, 14.6421, 5.3759, 0.0335, 4.2220, 2.1303},
		{10, 39.4506, 7.2590, 1.4612, 8.1142, 3.9466},
		{20, 69.3007, 9.8648, 12.4984, 15.6909, 7.4824},
		{30, 83.8739, 11.7602, 25.8596, 22.8000, 10.8000},
		{45, 94.7717, 13.8339, 41.1836, 32.1198, 15.1492},
		{60, 100.0608, 15.2244, 50.6492, 39.2711, 18.4865},
		{90, 103.3557, 16.3000, 57.3026, 45.3000, 21.3000},
	} {
		const tol = 0.051
		clear := DaylightAt(high(c.el), Clear)
		near(t, "clear beam", clear.BeamNormalLx, 1000*c.clearBeam, tol)
		near(t, "clear sky", clear.SkyHorizontalLx, 1000*c.clearSky, tol)
		partly := DaylightAt(high(c.el), PartlyCloudy)
		near(t, "partly cloudy beam", partly.BeamNormalLx, 1000*c.partlyBeam, tol)
		near(t, "partly cloudy sky", partly.SkyHorizontalLx, 1000*c.partlySky, tol)
		overcast := DaylightAt(high(c.el), Overcast)
		near(t, "overcast beam", overcast.BeamNormalLx, 0, 0)
		near(t, "overcast sky", overcast.SkyHorizontalLx, 1000*c.overcast, tol)
	}
}

// Independent of the IES model, and of each other.
func TestDaylightAgainstOtherSources(t *testing.T) {
	total := func(el float64) float64 {
		d := DaylightAt(high(el), Clear)
		return d.SkyHorizontalLx + d.BeamNormalLx*math.Sin(el*degree)
	}
	// Horizontal sun and sky, USNO Circular 171 (Janiczek & DeYoung 1987). The
	// two models part at a low sun, the IES sky being the brighter one.
	for _, c := range []struct{ el, lx, tolStops float64 }{
		{10, 11080.26, 0.4}, {20, 30504.54, 0.2}, {30, 51262.98, 0.1}, {45, 80015.11, 0.05}, {60, 102944.99, 0.05}, {90, 123789.14, 0.08},
	} {
		near(t, "stops from USNO", stops(total(c.el), c.lx), 0, c.tolStops)
	}
	// Jones & Condit's daylight study as quoted: 7,680 foot-candles on the
	// level with the sun at 40 to 45°.
	const footCandle = 10.7639
	near(t, "stops from Jones & Condit", stops(total(45), 7680*footCandle), 0, 0.1)
	// Perez et al. 1990, clear bin, altitude 45°, 900 W/m² beam, 90 W/m² sky.
	clear := DaylightAt(high(45), Clear)
	near(t, "beam over Perez", clear.BeamNormalLx/92420.5, 1, 0.03)
	near(t, "sky over Perez", clear.SkyHorizontalLx/12580.7, 1, 0.11)
	// Perez, overcast bin, altitude 45°, 200 W/m²: real cloud varies more than this.
	near(t, "stops from Perez, overcast", stops(DaylightAt(high(45), Overcast).SkyHorizontalLx, 23773.6), 0, 0.7)
	// CIE overcast sky (Radiance's gensky): zenith 8.6·sin h + 0.123 kcd/m²,
	// on the level 7π/9 of it.
	for _, el := range []float64{5, 20, 45, 70} {
		cie := 7 * math.Pi / 9 * (8600*math.Sin(el*degree) + 123)
		near(t, "overcast over CIE", DaylightAt(high(el), Overcast).SkyHorizontalLx/cie, 1, 0.002)
	}
}

// 1/R² from the distances that pvlib's tests print for these dates.
func TestBeamFollowsTheSunsDistance(t *testing.T) {
	for at, want := range map[string]float64{"2015-01-02T07:00:00Z": 1.034278, "2015-08-02T07:00:00Z": 0.970927} {
		p := high(45)
		p.DistanceAU = At(utc(t, at), Site{}).DistanceAU
		near(t, at, DaylightAt(p, Clear).BeamNormalLx/DaylightAt(high(45), Clear).BeamNormalLx, want, 1e-6)
	}
	byHand := high(45)
	byHand.DistanceAU = 0
	if DaylightAt(byHand, Clear) != DaylightAt(high(45), Clear) {
		t.Error("a position without a distance is not at 1 AU")
	}
	// 31.46′ to 32.53′ across from perihelion to aphelion (959.63″ at 1 AU).
	near(t, "semidiameter", 120*Position{DistanceAU: 1.0167}.SemidiameterDeg(), 31.46, 0.005)
	near(t, "semidiameter", 120*Position{DistanceAU: 0.9833}.SemidiameterDeg(), 32.53, 0.005)
}

func TestDaylightIsBoundedContinuousAndFallsWithTheSun(t *testing.T) {
	site := Site{PressureHPa: 1013.25, TemperatureC: 15}
	scale := refractionScale(site.PressureHPa, site.TemperatureC)
	at := func(trueElevation float64) Position {
		return Position{ElevationDeg: trueElevation + refractionDeg(trueElevation, scale), TrueElevationDeg: trueElevation, DistanceAU: 1}
	}
	for _, c := range Conditions() {
		previous := DaylightAt(at(-90), c)
		// Through every joint: −12°, −0.8333°, the apparent horizon.
		for el := -90.0; el < 89; el += 0.001 {
			d := DaylightAt(at(el), c)
			step := d.SkyHorizontalLx - previous.SkyHorizontalLx
			// Steepest: 0.8 + 15.5·√sin h at h = 0, 65 lx in the first 0.001°.
			if !(step >= -1e-9 && step < 66) {
				t.Fatalf("%s: sky steps by %g lx at %.3f°", c, step, el)
			}
			if !(d.BeamNormalLx >= previous.BeamNormalLx) {
				t.Fatalf("%s: beam falls as the sun climbs, at %.3f°", c, el)
			}
			if at(el).ElevationDeg <= 0 && d.BeamNormalLx != 0 {
				t.Fatalf("%s: beam %g lx from under the horizon", c, d.BeamNormalLx)
			}
			previous = d
		}
		near(t, "sky at -12°", DaylightAt(high(-12), c).SkyHorizontalLx, 0, 0)
	}
	// Civil twilight ends at about 3.4 lx under a clear sky (from memory).
	near(t, "-6°", DaylightAt(high(-6), Clear).SkyHorizontalLx, 3.4, 0.1)
	if d := DaylightAt(high(45), "hazy"); d != (Daylight{}) {
		t.Errorf("an unknown sky gives %+v", d)
	}
	if DaylightAt(high(45), "") != DaylightAt(high(45), Clear) {
		t.Error("the empty condition is not clear")
	}
	rapid.Check(t, func(t *rapid.T) {
		p := Position{
			ElevationDeg: rapid.Float64().Draw(t, "el"), TrueElevationDeg: rapid.Float64().Draw(t, "true"),
			DistanceAU: rapid.Float64().Draw(t, "R"),
		}
		d := DaylightAt(p, rapid.SampledFrom(Conditions()).Draw(t, "sky"))
		if !(d.BeamNormalLx >= 0 && d.BeamNormalLx < 135e3 && d.SkyHorizontalLx >= 0 && d.SkyHorizontalLx < 50e3) {
			t.Fatalf("%+v gives %+v", p, d)
		}
	})
}
