package rigging

import "math"

// AirDensity is the density of air in kg/m³ that EN 1991-1-4, 4.5 recommends; thinner air higher up is not counted on.
const AirDensity = 1.25

// GravityMS2 is the standard acceleration of free fall (3rd General Conference on Weights and Measures, 1901).
const GravityMS2 = 9.80665

// VelocityPressure returns q = ½·ρ·v² in pascals.
func VelocityPressure(gustMS float64) float64 { return AirDensity / 2 * gustMS * gustMS }

// GustOfPressure returns the gust in m/s whose velocity pressure is q pascals; 0 where q is negative.
func GustOfPressure(q float64) float64 { return math.Sqrt(2 / AirDensity * math.Max(0, q)) }

// Terrain is a terrain category of EN 1991-1-4, Table 4.1: the roughness length and the height under which the wind is
// taken as constant.
type Terrain struct{ RoughnessM, LeastM float64 }

// The terrain categories: sea, flat open country, country with single obstacles, suburbs, cities.
var (
	Terrain0 = Terrain{0.003, 1}
	Terrain1 = Terrain{0.01, 1}
	Terrain2 = Terrain{0.05, 2}
	Terrain3 = Terrain{0.3, 5}
	Terrain4 = Terrain{1, 10}
)

// profileTopM is how high the profile of EN 1991-1-4, 4.3.2 goes.
const profileTopM = 200

func (t Terrain) at(heightM float64) float64 {
	return math.Min(math.Max(heightM, t.LeastM), profileTopM)
}

// Roughness returns c_r = k_r·ln(z/z0), the 10-minute mean at a height over the basic wind, with
// k_r = 0.19·(z0/0.05 m)^0.07 (EN 1991-1-4, 4.3.2).
func (t Terrain) Roughness(heightM float64) float64 {
	return 0.19 * math.Pow(t.RoughnessM/Terrain2.RoughnessM, 0.07) * math.Log(t.at(heightM)/t.RoughnessM)
}

// Turbulence returns I_v = 1/ln(z/z0) (EN 1991-1-4, 4.4, turbulence factor 1 on level ground).
func (t Terrain) Turbulence(heightM float64) float64 {
	return 1 / math.Log(t.at(heightM)/t.RoughnessM)
}

// GustPerMean returns the gust over the 10-minute mean at the same height, √(1 + 7·I_v) (EN 1991-1-4, 4.5, peak factor 3.5).
func (t Terrain) GustPerMean(heightM float64) float64 { return math.Sqrt(1 + 7*t.Turbulence(heightM)) }

// ExposureFactor returns c_e, the peak velocity pressure at a height over that of the basic wind (EN 1991-1-4, 4.5).
func (t Terrain) ExposureFactor(heightM float64) float64 {
	r := t.Roughness(heightM)
	return r * r * (1 + 7*t.Turbulence(heightM))
}

// forecastM is the height of the mean wind in forecasts (WMO).
const forecastM = 10

// GustOfMean turns a forecast's 10-minute mean at 10 m into the gust at a height, by terrain II. It does not count on the
// wind being weaker lower down: under 10 m it is the gust at 10 m, 1.5235 times the mean, which is up to a third more
// than the profile's own. Forecasts speak for open country; between buildings gusts are larger against a smaller mean,
// and funnels and corners make their own.
func GustOfMean(meanMS, heightM float64) float64 {
	z := math.Max(heightM, forecastM)
	return meanMS * Terrain2.GustPerMean(z) * Terrain2.Roughness(z) / Terrain2.Roughness(forecastM)
}

// Beaufort returns the force of a 10-minute mean at 10 m and its name (WMO). It says nothing of gusts, which run half again
// as high (trap T15 of the collected checks: a mean of force 5 carries gusts of force 6 to 8).
func Beaufort(meanMS float64) (force int, name string) {
	tenths := math.Round(meanMS * 10) // the scale is printed in tenths
	for force < len(beaufortTenths) && tenths >= beaufortTenths[force] {
		force++
	}
	return force, beaufortNames[force]
}

// beaufortTenths is where the next force begins, in tenths of a metre per second.
var beaufortTenths = [...]float64{3, 16, 34, 55, 80, 108, 139, 172, 208, 245, 285, 327}

var beaufortNames = [...]string{
	"calm", "light air", "light breeze", "gentle breeze", "moderate breeze", "fresh breeze", "strong breeze", "near gale",
	"gale", "strong gale", "storm", "violent storm", "hurricane",
}
