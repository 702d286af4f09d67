package light

import "math"

const (
	// incidentC is the calibration constant of an incident meter with a flat receptor, lx·s (ISO 2720:1974): the
	// illuminance is C/100 · 2^EV100. Dome receptors are calibrated with 320 to 340 and read up to half a stop lower.
	incidentC = 250.0

	// MidGrey is the reflectance that the reference level puts in the middle of the scale: common practice, no source.
	MidGrey = 0.18
)

// EV100 returns the exposure value at ISO 100 for an illuminance in lux on a flat receptor: log2(E · 100/C). No light at
// all is minus infinity.
func EV100(lux float64) float64 { return math.Log2(lux * 100 / incidentC) }

// LuxOfEV100 returns the illuminance in lux on a flat receptor for an exposure value at ISO 100, the inverse of [EV100].
func LuxOfEV100(ev float64) float64 { return incidentC / 100 * math.Exp2(ev) }

// ReferenceLx returns the exposure reference of a background: the illuminance in lux under which mid grey has the luminance
// that a matt background of this reflectance has under illuminanceLx.
func ReferenceLx(illuminanceLx, reflectance float64) float64 {
	return illuminanceLx * reflectance / MidGrey
}

// UprightLx returns the light in lux on an upright face from half of an isotropic sky and half of an endless level ground: the sky gives
// skyLx on the level, all sources together levelLx [Liu & Jordan, "The long-term average performance of flat-plate solar-energy
// collectors", Solar Energy 7 (1963) 53, at a tilt of 90°, from memory]. Hard sources that the face itself sees are not in it.
func UprightLx(skyLx, levelLx, groundReflectance float64) float64 {
	return skyLx/2 + groundReflectance*levelLx/2
}

// SkyReferenceLx returns the exposure reference of the sky itself, which gives skyLx on the level: of its mean luminance, skyLx/π.
func SkyReferenceLx(skyLx float64) float64 { return skyLx / MidGrey }

// Stops returns how many stops lux is over reference: negative for less light.
func Stops(lux, reference float64) float64 { return math.Log2(lux / reference) }

// NDDensity returns the optical density of so many stops of neutral density, stops · log10 2 exactly (the trade engraves
// 0.3 for a stop, which is 0.9966). What would have to add light has no density: 0.
func NDDensity(stops float64) float64 { return math.Max(0, stops) * math.Log10(2) }

// TradeND returns what to put before a lens for so many stops of neutral density, to a third of a stop: the density that is engraved on
// a filter of the whole stops, 0.3 for each (common practice, no source), and the thirds of a stop that remain, 0 to 2. Where light is
// missing both are 0.
func TradeND(stops float64) (engraved float64, thirds int) {
	n := int(math.Round(math.Max(0, stops) * 3))
	return float64(n/3*3) / 10, n % 3
}

// Exposure is a cine camera's setting. TStop is the photometric stop: the f-number over the root of the lens's
// transmittance.
type Exposure struct{ ISO, FrameRateFPS, ShutterAngleDeg, TStop float64 }

// ShutterS returns the time in seconds for which a frame is exposed: the open part of one turn of the shutter.
func (e Exposure) ShutterS() float64 { return e.ShutterAngleDeg / 360 / e.FrameRateFPS }

// EV100 returns the exposure value at ISO 100 that the setting renders as mid grey without a filter:
// log2(T²/t · 100/ISO).
func (e Exposure) EV100() float64 {
	return math.Log2(e.TStop * e.TStop / e.ShutterS() * 100 / e.ISO)
}

// NDStops returns how many stops of neutral density put a background with this reference level at placementStops against
// mid grey (positive: brighter than it). Positive: so much light must be taken; negative: so much is missing, which no
// filter mends.
func (e Exposure) NDStops(referenceLx, placementStops float64) float64 {
	return EV100(referenceLx) - e.EV100() - placementStops
}
