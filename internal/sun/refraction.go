package sun

import "math"

const (
	// horizonRefractionDeg and discRadiusDeg: refraction at the horizon and the
	// sun's mean radius as the SPA report uses them (step 3.11.3, 3.14).
	horizonRefractionDeg = 0.5667
	discRadiusDeg        = 0.26667

	// Weather outside these bounds (rounded outwards from the records of the
	// Earth's surface, from memory) is taken at the bound, so that a typing
	// error cannot divide by zero or throw the sun across the sky.
	maxPressureHPa  = 1100
	minTemperatureC = -90
	maxTemperatureC = 60
)

// StandardPressureHPa returns the pressure of the standard atmosphere
// (ISO 2533) at a geopotential altitude in metres: the troposphere's power
// law up to 11 km, the isothermal layer above, the value at −5 km below that.
func StandardPressureHPa(elevationM float64) float64 {
	const (
		seaLevelHPa    = 1013.25
		seaLevelK      = 288.15
		lapseKPerM     = 0.0065
		exponent       = 5.25588 // g0·M/(R·lapse)
		lowestM        = -5000
		tropopauseM    = 11000
		tropopauseHPa  = 226.32
		isothermScaleM = 6341.62 // R·216.65 K/(g0·M)
	)
	if elevationM > tropopauseM {
		return tropopauseHPa * math.Exp((tropopauseM-elevationM)/isothermScaleM)
	}
	return seaLevelHPa * math.Pow(1-lapseKPerM*max(elevationM, lowestM)/seaLevelK, exponent)
}

// refractionScale is the factor that pressure and temperature put on the
// refraction (SPA equation 42): 1 at 1010 hPa and 10 °C.
func refractionScale(pressureHPa, temperatureC float64) float64 {
	pressureHPa = min(max(pressureHPa, 0), maxPressureHPa)
	temperatureC = min(max(temperatureC, minTemperatureC), maxTemperatureC)
	return pressureHPa / 1010 * (283 / (273 + temperatureC))
}

// refractionDeg returns by how much the air lifts the sun (SPA equation 42),
// in degrees, for a true elevation in degrees. Below −0.8333°, where the
// whole disc is under the horizon, it is 0, and so the apparent elevation
// jumps there by the 0.6° that it drops.
func refractionDeg(trueElevationDeg, scale float64) float64 {
	if trueElevationDeg < -(discRadiusDeg + horizonRefractionDeg) {
		return 0
	}
	return scale * 1.02 / (60 * math.Tan((trueElevationDeg+10.3/(trueElevationDeg+5.11))*degree))
}
