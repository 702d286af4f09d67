package light

import (
	"math"

	"kitspan/internal/geom"
)

// Candela returns the lamp's intensity at an angle from its axis: I₀·cosᵐ, m such that it is half at half the beam angle;
// nothing from 90° on. A beam of 180° or more shines alike over the half-space before it, one of 0° on its axis alone.
func (l Lamp) Candela(angleDeg float64) float64 {
	return l.IntensityCd * fall(math.Cos(angleDeg*math.Pi/180), lampExponent(l.BeamDeg))
}

// lampExponent is m = ln ½ / ln cos(β/2).
func lampExponent(beamDeg float64) float64 {
	switch {
	case beamDeg >= 180:
		return 0
	case beamDeg <= 0:
		return math.Inf(1)
	}
	// ln cos x = ½ ln(1 − sin² x), which keeps its digits for narrow beams.
	s := math.Sin(beamDeg * math.Pi / 360)
	return math.Ln2 / (-0.5 * math.Log1p(-s*s))
}

func fall(cos, exponent float64) float64 {
	if cos <= 1e-15 { // the cosine of 90° is not quite 0
		return 0
	}
	if cos >= 1 {
		return 1
	}
	return math.Exp(exponent * math.Log(cos)) // a third of the time of Pow
}

// lamp is a placed lamp with what a point need not work out again.
type lamp struct {
	at, axis geom.Vec
	cd, m    float64
}

// lux is what a face gets at d from the lamp, facing it. A lamp that aims at its own place gives nothing.
func (l *lamp) lux(p geom.Vec) (dir geom.Vec, lx float64) {
	d := l.at.Sub(p)
	d2 := d.Dot(d)
	if !(d2 > 0) {
		return geom.Vec{}, 0
	}
	dir = d.Scale(1 / math.Sqrt(d2))
	return dir, l.cd * fall(-dir.Dot(l.axis), l.m) / d2
}

// gauss4 and gauss8 are Gauss-Legendre points on (0, 1) and their weights (Abramowitz and Stegun, table 25.4).
var (
	gauss4 = [4][2]float64{
		{0.0694318442029737, 0.1739274225687269}, {0.3300094782075719, 0.3260725774312731},
		{0.6699905217924281, 0.3260725774312731}, {0.9305681557970263, 0.1739274225687269},
	}
	gauss8 = [8][2]float64{
		{0.0198550717512319, 0.0506142681451882}, {0.1016667612931866, 0.1111905172266873},
		{0.2372337950418355, 0.1568533229389437}, {0.4082826787521751, 0.1813418916891810},
		{0.5917173212478249, 0.1813418916891810}, {0.7627662049581645, 0.1568533229389437},
		{0.8983332387068134, 0.1111905172266873}, {0.9801449282487682, 0.0506142681451882},
	}
)
