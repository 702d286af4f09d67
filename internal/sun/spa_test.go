package sun

import (
	"math"
	"testing"
	"time"
)

// near fails unless got is within tol of want; NaN fails.
func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: got %.9f, want %.9f ± %g (off by %.3g)", what, got, want, tol, got-want)
	}
}

// nearAngle is near on the circle, degrees.
func nearAngle(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(math.Remainder(got-want, 360)) <= tol) {
		t.Errorf("%s: got %.9f°, want %.9f° ± %g", what, got, want, tol)
	}
}

func utc(t testing.TB, s string) time.Time {
	t.Helper()
	at, err := time.Parse(time.RFC3339, s)
	if err != nil {
		t.Fatal(err)
	}
	return at
}

// The worked example of the SPA report (NREL/TP-560-34302, appendix A.5), and
// the output block printed by NREL's own program for it.
var (
	nrelSite = Site{LatitudeDeg: 39.742476, LongitudeDeg: -105.1786, ElevationM: 1830.14, PressureHPa: 820, TemperatureC: 11}
	nrelTime = "2003-10-17T19:30:30Z"
)

const nrelDeltaT = 67

func TestSPAReportExampleStepByStep(t *testing.T) {
	days := daysUT(utc(t, nrelTime))
	jme := ephemerisMillennia(days, nrelDeltaT)
	near(t, "JD", days+2451545, 2452930.312847, 5e-7)
	// The printed centuries come from the Julian day rounded to 1e-6 d.
	const rounding = 0.5e-6 / 36525
	near(t, "JC", days/36525, 0.0379277986858, rounding)
	near(t, "JCE", jme*10, 0.037927819916852, rounding)
	near(t, "JDE", days+nrelDeltaT/86400.+2451545, 2452930.313623, 5e-7)
	near(t, "JME", jme, 0.003792781991685, rounding/10)

	l, b, r := heliocentric(jme)
	nearAngle(t, "heliocentric longitude L", l/degree, 24.0182616917, 1e-9)
	near(t, "heliocentric latitude B", b/degree, -0.0001011219, 1e-9)
	near(t, "radius R", r, 0.9965422974, 1e-9)
	nearAngle(t, "geocentric longitude", l/degree+180, 204.0182616917, 1e-9)

	for i, want := range [5]float64{17185.861179, 1722.893218, 18234.075703, 18420.071012, 51.686951} {
		near(t, "nutation argument", fundamentalArguments(jme * 10)[i], want, 1e-6)
	}
	inLongitude, inObliquity := nutation(jme * 10)
	near(t, "nutation in longitude", inLongitude/degree, -0.00399840, 5e-9)
	near(t, "nutation in obliquity", inObliquity/degree, 0.00166657, 5e-9)
	near(t, "mean obliquity", meanObliquityArcsec(jme), 84379.672625, 1e-6)

	g := geocentricAt(days, nrelDeltaT)
	near(t, "true obliquity", g.obliquity/degree, 23.440465, 5e-7)
	near(t, "geocentric latitude", g.latitude/degree, 0.0001011219, 1e-9)
	near(t, "aberration", -aberrationAt1AU/3600/g.distanceAU, -0.005711, 5e-7)
	nearAngle(t, "apparent longitude", g.longitude/degree, 204.0085519281, 1e-9)
	nearAngle(t, "mean sidereal time", meanSiderealTime(days)/degree, 318.515579, 1e-6)
	nearAngle(t, "apparent sidereal time", (meanSiderealTime(days)+g.equationOfEquinoxes)/degree, 318.511910, 1e-6)
	nearAngle(t, "right ascension", g.rightAscension/degree, 202.227408, 1e-6)
	near(t, "declination", g.declination/degree, -9.31434, 5e-6)

	o := newObserver(nrelSite)
	hourAngle := meanSiderealTime(days) + g.equationOfEquinoxes - g.rightAscension + o.longitude
	nearAngle(t, "hour angle H", hourAngle/degree, 11.105902, 1e-6)
	near(t, "parallax", parallaxAt1AU/3600/g.distanceAU, 0.002451, 5e-7)
	e := o.topocentric(hourAngle, g.declination, g.distanceAU)
	topoHourAngle := math.Atan2(e.west, e.meridian)
	parallaxInRA := math.Remainder(hourAngle-topoHourAngle, 2*math.Pi)
	near(t, "parallax in right ascension", parallaxInRA/degree, -0.000369, 5e-7)
	nearAngle(t, "topocentric right ascension", (g.rightAscension+parallaxInRA)/degree, 202.22704, 5e-6)
	near(t, "topocentric declination", math.Atan2(e.pole, math.Hypot(e.meridian, e.west))/degree, -9.316179, 1e-6)
	nearAngle(t, "topocentric hour angle", topoHourAngle/degree, 11.10627, 5e-6)

	p := positionAt(days, nrelDeltaT, nrelSite)
	near(t, "true elevation", p.TrueElevationDeg, 39.872046, 1e-6)
	near(t, "refraction", p.ElevationDeg-p.TrueElevationDeg, 0.016332, 1e-6)
	near(t, "apparent elevation", p.ElevationDeg, 39.888378, 1e-6)
	near(t, "apparent zenith", 90-p.ElevationDeg, 50.1116220240297, 1e-7)
	near(t, "azimuth", p.AzimuthDeg, 194.340240510192, 1e-7)

	// Incidence on a surface tilted 30°, facing 10° east of south (SPA 3.16).
	cosI := math.Cos((90-p.ElevationDeg)*degree)*math.Cos(30*degree) +
		math.Sin(30*degree)*math.Sin((90-p.ElevationDeg)*degree)*math.Cos((p.AzimuthDeg-170)*degree)
	near(t, "incidence", math.Acos(cosI)/degree, 25.1870002003532, 1e-6)
}

// Sources: V1 the SPA report; V2-V8 a table made with NREL's program of
// 2014-09-08 (test data of klausbrunner/solarpositioning); V15-V22 the tests of
// pvlib/solposx and solarpositioning. An independent computation with ERFA
// (IAU SOFA) lies within 0.25″ in elevation and 0.7″ in azimuth of them all.
func TestPublishedPositions(t *testing.T) {
	const tol = 1e-5
	auckland := Site{LatitudeDeg: -36.840556, LongitudeDeg: 174.74, PressureHPa: 1000, TemperatureC: 10}
	longyearbyen := Site{LatitudeDeg: 78.22, LongitudeDeg: 15.65, PressureHPa: 1000, TemperatureC: 10}
	at10E := func(lat float64) Site {
		return Site{LatitudeDeg: lat, LongitudeDeg: 10, PressureHPa: 1013.25, TemperatureC: 12}
	}
	for _, c := range []struct {
		name, at                           string
		site                               Site
		deltaT                             float64
		trueElevation, zenith, azimuthNorm float64
	}{
		{"V1 SPA report", nrelTime, nrelSite, 67, 39.872046, 50.111622, 194.340241},
		{"V2 sun in the north", "2010-03-15T00:30:00Z", auckland, 0, 55.416033, 34.572436, 0.047502},
		{"V3 near the zenith", "2010-12-15T00:30:00Z", auckland, 0, 76.071815, 13.924050, 346.427128},
		{"V4 winter morning", "2010-06-15T21:30:00Z", auckland, 0, 17.508522, 72.439564, 40.949751},
		{"V5 near sunset", "2010-03-15T06:30:00Z", auckland, 0, 1.299683, 88.368814, 268.277401},
		{"V6 midnight sun", "2010-06-15T00:30:00Z", longyearbyen, 0, 12.389835, 77.537134, 21.613694},
		{"V7 arctic noon", "2010-03-15T12:30:00Z", longyearbyen, 0, 8.936370, 80.964845, 201.172973},
		{"V8 polar night", "2010-12-15T12:30:00Z", longyearbyen, 0, -12.475749, 102.475749, 202.847721},
		{"V15", "2020-10-17T12:30:00Z", at10E(45), 67, 32.217087, 57.756323, 204.918816},
		{"V16", "2020-10-17T10:30:00Z", at10E(45), 67, 34.922499, 55.053477, 169.376721},
		{"V17 leap day", "2020-02-29T12:30:00Z", at10E(45), 67, 35.756621, 54.220078, 197.670100},
		{"V18 equator", "2020-10-17T12:30:00Z", at10E(0), 67, 66.856829, 23.135982, 245.090653},
		{"V19 south pole", "2020-10-17T12:30:00Z", at10E(-90), 67, 9.525695, 80.380461, 338.811294},
		{"V20 southern", "2020-10-17T12:30:00Z", at10E(-45), 67, 50.106536, 39.879401, 326.234467},
		{"V21 near sunrise", "2020-10-17T05:50:00Z", at10E(45), 67, 1.107732, 88.541525, 104.539898},
		{"V22 night", "2020-10-17T03:30:00Z", at10E(45), 67, -23.408090, 113.408090, 79.548681},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := positionAt(daysUT(utc(t, c.at)), c.deltaT, c.site)
			near(t, "true elevation", p.TrueElevationDeg, c.trueElevation, tol)
			near(t, "apparent zenith", 90-p.ElevationDeg, c.zenith, tol)
			near(t, "azimuth", p.AzimuthDeg, c.azimuthNorm, tol)
		})
	}
}

// Source: pvlib-python, tests/test_solarposition.py and test_spa.py.
func TestPositionVariations(t *testing.T) {
	days := daysUT(utc(t, nrelTime))
	// Printed for pvlib's own ΔT of that month, about 64.5 s.
	p := At(utc(t, nrelTime).Add(24*time.Hour), nrelSite)
	near(t, "next day, true elevation", p.TrueElevationDeg, 39.505196, 1e-5)
	near(t, "next day, apparent zenith", 90-p.ElevationDeg, 50.478260, 1e-5)
	near(t, "next day, azimuth", p.AzimuthDeg, 194.311132, 1e-5)

	dense := nrelSite
	dense.PressureHPa = 900
	near(t, "900 mbar", positionAt(days, nrelDeltaT, dense).ElevationDeg, 39.88997, 1e-5)
	high := nrelSite
	high.ElevationM, high.PressureHPa = 2000, StandardPressureHPa(2000)
	near(t, "2000 m", positionAt(days, nrelDeltaT, high).ElevationDeg, 39.88788, 1e-5)

	newYear := daysUT(utc(t, "2019-01-01T00:00:00Z"))
	site := Site{LatitudeDeg: 40, LongitudeDeg: -80, PressureHPa: 1013.25, TemperatureC: 12}
	near(t, "azimuth, ΔT 67", positionAt(newYear, 67, site).AzimuthDeg, 257.26969492, 1e-7)
	near(t, "azimuth, ΔT 0", positionAt(newYear, 0, site).AzimuthDeg, 257.2701359, 1e-7)
}

// The same instant by unrelated algorithms (tests of pvlib/solposx): an
// ephemeris-based one that applies real UT1, and two low-precision ones with the
// accuracy that their authors state.
func TestAgreesWithOtherAlgorithms(t *testing.T) {
	p := At(utc(t, "2020-10-17T12:30:00Z"), Site{LatitudeDeg: 45, LongitudeDeg: 10})
	for _, c := range []struct {
		name                    string
		elevation, azimuth, tol float64
	}{
		{"JPL ephemeris with UT1", 32.21731177, 204.91794786, 0.004}, // no ΔUT1 here
		{"NOAA spreadsheet", 32.21715174, 204.92232395, 0.01},
		{"SG2", 32.21696737, 204.91857639, 0.003},
	} {
		near(t, c.name+", elevation", p.TrueElevationDeg, c.elevation, c.tol)
		near(t, c.name+", azimuth", p.AzimuthDeg, c.azimuth, c.tol)
	}
}
