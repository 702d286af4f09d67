package sun

// julianYear in days.
const julianYear = 365.25

// deltaT returns TT − UT1 in seconds for an instant in days from J2000.0.
//
// Source: Espenak & Meeus, "Five Millennium Canon of Solar Eclipses",
// NASA/TP-2006-214141, polynomial expressions. Against the observed values it
// is within 0.3 s from 1950 to 2005 and runs 6 s high by 2026; a second of ΔT
// moves the sun by 0.04″ (1e-5°), so that this is far below 0.001° throughout
// 1950–2050. Before 1900 and after 2150 the long-term parabola of the same
// source is used, shifted before 1900 to meet the polynomial there.
func deltaT(days float64) float64 {
	y := 2000 + (days+0.5)/julianYear
	switch {
	case y < 1900:
		return longTermDeltaT(y) - longTermDeltaT(1900) - 2.79
	case y < 1920:
		return polynomial(y-1900, -2.79, 1.494119, -0.0598939, 0.0061966, -0.000197)
	case y < 1941:
		return polynomial(y-1920, 21.20, 0.84493, -0.076100, 0.0020936)
	case y < 1961:
		return polynomial(y-1950, 29.07, 0.407, -1./233, 1./2547)
	case y < 1986:
		return polynomial(y-1975, 45.45, 1.067, -1./260, -1./718)
	case y < 2005:
		return polynomial(y-2000, 63.86, 0.3345, -0.060374, 0.0017275, 0.000651814, 0.00002373599)
	case y < 2050:
		return polynomial(y-2000, 62.92, 0.32217, 0.005589)
	case y < 2150:
		return longTermDeltaT(y) - 0.5628*(2150-y)
	default:
		return longTermDeltaT(y)
	}
}

func longTermDeltaT(year float64) float64 {
	century := (year - 1820) / 100
	return -20 + 32*century*century
}

// polynomial evaluates c[0] + c[1]·x + c[2]·x² + …
func polynomial(x float64, c ...float64) float64 {
	sum := 0.0
	for i := len(c) - 1; i >= 0; i-- {
		sum = sum*x + c[i]
	}
	return sum
}
