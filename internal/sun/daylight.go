package sun

import "math"

// Condition names a sky of the daylight model.
type Condition string

// The skies of the model. The empty Condition counts as Clear.
const (
	Clear        Condition = "clear"
	PartlyCloudy Condition = "partly_cloudy"
	Overcast     Condition = "overcast"
)

// Conditions lists the skies from the brightest sun to none.
func Conditions() []Condition { return []Condition{Clear, PartlyCloudy, Overcast} }

// Daylight is what the sun and the sky give on open ground, in lux.
type Daylight struct {
	BeamNormalLx    float64 // from the sun alone, on a face square to it
	SkyHorizontalLx float64 // from the sky alone, on the level, the sun blocked
}

// Extraterrestrial normal illuminance at 1 AU: the value with which the
// model's extinctions were fitted (IES, "Recommended practice for the
// calculation of daylight availability", 1984). Others in print reach 133.8
// klx; with the fitted extinction they would only raise everything by 5 %.
const extraterrestrialLx = 127500

// skyModel holds the constants of one sky of the IES daylight availability
// model (1984): beam = E·exp(−extinction·m), m the air mass, and
// sky = base + rise·sin^power(h), h the sun's altitude.
type skyModel struct {
	beam         bool
	extinction   float64
	baseLx, rise float64
	power        float64
}

// Clear and overcast are quoted alike by several independent implementations
// of the model, and overcast is the CIE overcast sky of the usual zenith
// luminance; the partly cloudy row is from memory.
var skyModels = map[Condition]skyModel{
	"":           {beam: true, extinction: 0.21, baseLx: 800, rise: 15500, power: 0.5},
	Clear:        {beam: true, extinction: 0.21, baseLx: 800, rise: 15500, power: 0.5},
	PartlyCloudy: {beam: true, extinction: 0.80, baseLx: 300, rise: 45000, power: 1},
	Overcast:     {baseLx: 300, rise: 21000, power: 1},
}

// Twilight. The model ends with the sun on the horizon. From sunset to −6° a
// clear sky falls from the model's 800 lx to 3.4 lx (the civil-twilight value
// of the illuminance tables, from memory), which in decibels is close to a
// straight line; the same line is used for every sky and brought to exactly 0
// at −12°, where the tables have 0.008 lx.
const (
	twilightEndDeg          = -12
	civilTwilightDeg        = -6
	clearCivilTwilightShare = 3.4 / 800
)

// DaylightAt gives the illuminances of an average sky of the condition (IES
// daylight availability model, 1984; air mass by Kasten & Young; beam scaled
// by 1/R² for the sun's distance). They are averages: a real clear day differs
// by tens of per cent, and under a low sun the model's clear sky is brighter
// than that of USNO Circular 171: by a third of a stop (total) at 10°, by 0.7 at 5°.
//
// The beam is 0 when the centre of the disc is on or below the apparent
// horizon; just above it is 44 lx under a clear sky. The sky is continuous: it
// keeps its horizon value to the true elevation of sunset, −0.8333°, then falls
// exponentially to 0 at −12°. (Below about −50 °C the refraction is so strong that the apparent
// elevation is still positive when [At] stops applying it; the sky then steps
// there with the elevation.) An unknown condition gives no light at all.
func DaylightAt(p Position, c Condition) Daylight {
	model, ok := skyModels[c]
	if !ok {
		return Daylight{}
	}
	if p.ElevationDeg <= 0 {
		return Daylight{SkyHorizontalLx: model.baseLx * twilightShare(min(p.ElevationDeg, p.TrueElevationDeg))}
	}
	var d Daylight
	d.SkyHorizontalLx = model.baseLx + model.rise*math.Pow(math.Sin(min(p.ElevationDeg, 90)*degree), model.power)
	if model.beam {
		r := p.distanceOr1AU()
		d.BeamNormalLx = extraterrestrialLx / (r * r) * math.Exp(-model.extinction*AirMass(90-p.ElevationDeg))
	}
	return d
}

// twilightShare is the sky's light as a share of its value at sunset: 1 down
// to sunset, 0 from the end of nautical twilight.
func twilightShare(trueElevationDeg float64) float64 {
	rate := -math.Log(clearCivilTwilightShare) / (sunriseElevationDeg - civilTwilightDeg)
	depth := sunriseElevationDeg - trueElevationDeg
	switch {
	case depth <= 0:
		return 1
	case trueElevationDeg <= twilightEndDeg:
		return 0
	}
	floor := math.Exp(-rate * (sunriseElevationDeg - twilightEndDeg))
	return (math.Exp(-rate*depth) - floor) / (1 - floor)
}

// AirMass returns the relative optical air mass for an apparent zenith angle in
// degrees: Kasten & Young, "Revised optical air mass tables and approximation
// formula", Applied Optics 28 (1989) 4735. Angles past the horizon are taken
// at the horizon (37.92).
func AirMass(apparentZenithDeg float64) float64 {
	z := min(math.Abs(apparentZenithDeg), 90)
	return 1 / (math.Cos(z*degree) + 0.50572*math.Pow(96.07995-z, -1.6364))
}
