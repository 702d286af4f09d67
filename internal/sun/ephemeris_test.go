package sun

import (
	"math"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// equationOfTimeMin is sundial minus clock in minutes (SPA appendix A.1), from
// the geocentric sun of a TT instant in days.
func equationOfTimeMin(g geocentric, ttDays float64) float64 {
	jme := ttDays / 365250
	meanLongitude := polynomial(jme, 280.4664567, 360007.6982779, 0.03032028, 1./49931, -1./15300, -1./2000000)
	return 4 * math.Remainder(meanLongitude-0.0057183+(g.equationOfEquinoxes-g.rightAscension)/degree, 360)
}

func TestGeocentricSunPublished(t *testing.T) {
	hms := func(h, m, s float64) float64 { return 15 * (h + m/60 + s/3600) }

	// Meeus, Astronomical Algorithms, examples 25.a (0.01° method), 25.b (full
	// VSOP87; ours is truncated: 1″), 28.a; 1992-10-13 0h TD.
	at := daysUT(utc(t, "1992-10-13T00:00:00Z"))
	g := geocentricAt(at, 0)
	nearAngle(t, "25.a λ", g.longitude/degree, 199+54./60+32./3600, 0.01)
	near(t, "25.a R", g.distanceAU, 0.99766, 1e-4)
	near(t, "25.b R (from memory)", g.distanceAU, 0.99760775, 1e-7)
	nearAngle(t, "25.b α", g.rightAscension/degree, hms(13, 13, 30.749), 0.0003)
	near(t, "25.b δ", g.declination/degree, -(7 + 47./60 + 1.74/3600), 0.0003)
	near(t, "28.a equation of time", equationOfTimeMin(g, at), 13+42.6/60, 0.05/60+0.001)

	// Meeus, example 12.a: sidereal time, 1987-04-10 0h UT.
	at = daysUT(utc(t, "1987-04-10T00:00:00Z"))
	nearAngle(t, "12.a mean", meanSiderealTime(at)/degree, hms(13, 10, 46.3668), 1e-6)
	apparent := meanSiderealTime(at) + geocentricAt(at, deltaT(at)).equationOfEquinoxes
	nearAngle(t, "12.a apparent", apparent/degree, hms(13, 10, 46.1351), 1e-6)

	// Equation of time by SPA: tests of pvlib/solposx; the third as printed by
	// pvlib-python for the SPA report's example.
	for _, c := range []struct {
		at        string
		want, tol float64
	}{
		{"2020-10-17T12:30:00Z", 14.75816027, 1e-5},
		{"2020-02-29T12:30:00Z", -12.4319873, 1e-5},
		{nrelTime, 14.64151, 2e-5},
	} {
		at := daysUT(utc(t, c.at))
		near(t, "equation of time "+c.at, equationOfTimeMin(geocentricAt(at, 67), at+67./86400), c.want, c.tol)
	}

	// Distance: pvlib-python, tests/test_spa.py.
	for at, want := range map[string]float64{
		"2015-01-02T07:00:00Z": 0.983289204601, "2015-08-02T07:00:00Z": 1.01486146446,
	} {
		near(t, "distance "+at, geocentricAt(daysUT(utc(t, at)), 64).distanceAU, want, 1e-10)
		near(t, "distance by At "+at, At(utc(t, at), Site{}).DistanceAU, want, 1e-8)
	}
}

// lowPrecision is an independent, much shorter formula: Meeus, Astronomical
// Algorithms, chapter 25 (geometric longitude from the equation of centre, good
// to 0.01°), chapter 12 sidereal time and chapter 13 co-ordinates, less the
// sun's parallax in altitude. It shares no code with the algorithm.
func lowPrecision(t time.Time, latDeg, lonDeg float64) (trueElevationDeg, azimuthDeg float64) {
	rad := func(d float64) float64 { return d * math.Pi / 180 }
	jd := float64(t.UnixNano())/86400e9 + 2440587.5
	tc := (jd + 60./86400 - 2451545) / 36525 // ΔT of a minute is near enough
	l0 := 280.46646 + 36000.76983*tc + 0.0003032*tc*tc
	m := rad(357.52911 + 35999.05029*tc - 0.0001537*tc*tc)
	c := (1.914602-0.004817*tc-0.000014*tc*tc)*math.Sin(m) +
		(0.019993-0.000101*tc)*math.Sin(2*m) + 0.000289*math.Sin(3*m)
	node := rad(125.04 - 1934.136*tc)
	lambda := rad(l0 + c - 0.00569 - 0.00478*math.Sin(node))
	eps := rad(23.439291 - 0.0130042*tc + 0.00256*math.Cos(node))
	ra := math.Atan2(math.Cos(eps)*math.Sin(lambda), math.Cos(lambda))
	dec := math.Asin(math.Sin(eps) * math.Sin(lambda))
	sidereal := 280.46061837 + 360.98564736629*(jd-2451545) - 0.00478*math.Sin(node)*math.Cos(eps)
	h := rad(sidereal+lonDeg) - ra
	lat := rad(latDeg)
	alt := math.Asin(math.Sin(lat)*math.Sin(dec) + math.Cos(lat)*math.Cos(dec)*math.Cos(h))
	az := math.Atan2(math.Sin(h), math.Cos(h)*math.Sin(lat)-math.Tan(dec)*math.Cos(lat))
	return alt*180/math.Pi - 8.794/3600*math.Cos(alt), math.Mod(az*180/math.Pi+540, 360)
}

func TestAgreesWithLowPrecisionFormula(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		at := drawTime(t, 1950, 2050)
		site := drawSite(t)
		p := At(at, site)
		el, az := lowPrecision(at, site.LatitudeDeg, site.LongitudeDeg)
		if d := math.Abs(p.TrueElevationDeg - el); d > 0.01 {
			t.Fatalf("elevation %.5f°, low precision %.5f°", p.TrueElevationDeg, el)
		}
		// Azimuth as an arc on the sky: it has no meaning at the zenith.
		if d := math.Abs(math.Remainder(p.AzimuthDeg-az, 360)) * math.Cos(el*degree); d > 0.02 {
			t.Fatalf("azimuth %.5f°, low precision %.5f° (elevation %.3f°)", p.AzimuthDeg, az, el)
		}
	})
}

func TestPositionIsFiniteForAnyInput(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		site := Site{
			LatitudeDeg: rapid.Float64().Draw(t, "lat"), LongitudeDeg: rapid.Float64().Draw(t, "lon"),
			ElevationM: rapid.Float64().Draw(t, "elevation"), PressureHPa: rapid.Float64().Draw(t, "hPa"),
			TemperatureC: rapid.Float64().Draw(t, "C"),
		}
		at := time.Unix(rapid.Int64().Draw(t, "unix"), rapid.Int64Range(0, 999999999).Draw(t, "ns"))
		for _, p := range []Position{At(at, site), NewArc(at, at.Add(time.Hour), site).At(at)} {
			if !(p.AzimuthDeg >= 0 && p.AzimuthDeg < 360 && math.Abs(p.TrueElevationDeg) <= 90 &&
				math.Abs(p.ElevationDeg) <= 90.001 && p.DistanceAU > 0.9 && p.DistanceAU < 1.1) {
				t.Fatalf("%+v at %v: %+v", site, at, p)
			}
		}
	})
}

func TestPositionAtTheEdgesOfTheMap(t *testing.T) {
	at := utc(t, "2027-06-18T15:30:00Z")
	air := Site{PressureHPa: 1013.25, TemperatureC: 15}

	west, east := air, air
	west.LatitudeDeg, west.LongitudeDeg = 51.5, -180
	east.LatitudeDeg, east.LongitudeDeg = 51.5, 180
	near(t, "±180°: elevation", At(at, west).TrueElevationDeg, At(at, east).TrueElevationDeg, 1e-9)
	nearAngle(t, "±180°: azimuth", At(at, west).AzimuthDeg, At(at, east).AzimuthDeg, 1e-9)

	// At a pole the elevation is the declination, all day, less parallax.
	g := geocentricAt(daysUT(at), deltaT(daysUT(at)))
	for _, sign := range []float64{1, -1} {
		pole := air
		pole.LatitudeDeg = sign * 90
		el := At(at, pole).TrueElevationDeg
		near(t, "pole", el, sign*g.declination/degree-parallaxAt1AU/3600*math.Cos(g.declination), 1e-4)
	}

	// A hair west of due north is 0, not 360.
	south := newObserver(Site{LatitudeDeg: -30})
	near(t, "due north", south.position(1e-20, 0, 1).AzimuthDeg, 0, 0)

	// A small step in time is a small step on the sky, through north too.
	site := air
	site.LatitudeDeg = 70
	previous := At(at, site)
	for i := 1; i <= 24*60; i++ {
		p := At(at.Add(time.Duration(i)*time.Minute), site)
		if d := separationDeg(p, previous); d > 0.2517 { // 15.04°/h, and some
			t.Fatalf("jump of %g° at minute %d", d, i)
		}
		previous = p
	}
}

func drawSite(t *rapid.T) Site {
	elevation := rapid.Float64Range(-400, 5000).Draw(t, "elevation")
	return Site{
		LatitudeDeg:  rapid.Float64Range(-90, 90).Draw(t, "lat"),
		LongitudeDeg: rapid.Float64Range(-180, 180).Draw(t, "lon"),
		ElevationM:   elevation,
		PressureHPa:  StandardPressureHPa(elevation),
		TemperatureC: rapid.Float64Range(-30, 45).Draw(t, "C"),
	}
}

func drawTime(t *rapid.T, firstYear, endYear int) time.Time {
	first := time.Date(firstYear, 1, 1, 0, 0, 0, 0, time.UTC).Unix()
	end := time.Date(endYear, 1, 1, 0, 0, 0, 0, time.UTC).Unix()
	return time.Unix(rapid.Int64Range(first, end).Draw(t, "unix"), 0).UTC()
}

// separationDeg is the angle on the sky between two positions, airless.
func separationDeg(a, b Position) float64 {
	dEl := (a.TrueElevationDeg - b.TrueElevationDeg) * degree / 2
	dAz := (a.AzimuthDeg - b.AzimuthDeg) * degree / 2
	s := math.Hypot(math.Sin(dEl), math.Sin(dAz)*math.Sqrt(math.Cos(a.TrueElevationDeg*degree)*math.Cos(b.TrueElevationDeg*degree)))
	return 2 * math.Asin(min(s, 1)) / degree
}
