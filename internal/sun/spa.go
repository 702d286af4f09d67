package sun

import (
	"math"
	"time"
)

// The steps of Reda & Andreas, "Solar position algorithm for solar radiation
// applications", NREL/TP-560-34302 (2004, revised January 2008). Section
// numbers in comments are those of the report.

const (
	degree    = math.Pi / 180
	arcsecond = degree / 3600

	// j2000Unix is J2000.0 (JD 2451545.0, 2000-01-01 12:00) as Unix time.
	j2000Unix     = 946728000
	secondsPerDay = 86400

	// validMillennia is how far from J2000.0 the ephemeris is evaluated: years
	// -2000 to 6000, the report's range.
	validMillennia = 4

	// Semidiameter of the sun at 1 AU in arc-seconds, Auwers's value, as the
	// almanacs use it.
	semidiameterAt1AU = 959.63
	// parallaxAt1AU is the sun's equatorial horizontal parallax in arc-seconds (3.12.1).
	parallaxAt1AU = 8.794
	// aberrationAt1AU is the constant of aberration in arc-seconds (3.6).
	aberrationAt1AU = 20.4898
	// Figure of the Earth (3.12.2): polar over equatorial radius, the latter in metres.
	polarFlattening   = 0.99664719
	equatorialRadiusM = 6378140
	// Bounds that the Earth's distance keeps well within (0.983 to 1.017 today).
	nearestSunAU, farthestSunAU = 0.9, 1.1
	// Heights outside these bounds are taken at the bound; no set is there.
	minElevationM = -1e4
	maxElevationM = 1e5
)

// Site is a place on the ground. Longitude counts east of Greenwich. Pressure
// and temperature of the air feed the refraction; PressureHPa 0 means no air
// and so no refraction: fill it from [StandardPressureHPa] where nothing
// better is known. Latitudes beyond ±90 are taken as the pole.
type Site struct {
	LatitudeDeg, LongitudeDeg float64
	ElevationM                float64
	PressureHPa, TemperatureC float64
}

// Position is the sun as seen from a site at one instant.
type Position struct {
	AzimuthDeg       float64 // clockwise from true north, [0, 360)
	ElevationDeg     float64 // apparent: topocentric, with refraction
	TrueElevationDeg float64 // topocentric, without refraction
	DistanceAU       float64 // centre of the Earth to the sun
}

// SemidiameterDeg returns the angular radius of the sun's disc (959.63″ at 1 AU). A
// DistanceAU that the Earth never has, such as the zero of a Position made by
// hand, counts as 1 AU.
func (p Position) SemidiameterDeg() float64 {
	return semidiameterAt1AU / 3600 / p.distanceOr1AU()
}

func (p Position) distanceOr1AU() float64 {
	if p.DistanceAU < nearestSunAU || p.DistanceAU > farthestSunAU {
		return 1
	}
	return p.DistanceAU
}

// At returns the sun's position by the full algorithm, ΔT by Espenak & Meeus
// (see the package comment for the error). About 5 µs; for many instants of
// one window use [Arc].
func At(t time.Time, site Site) Position {
	days := daysUT(t)
	return positionAt(days, deltaT(days), site)
}

// positionAt is At for a given ΔT in seconds, days being UT1 from J2000.0.
func positionAt(days, deltaTSeconds float64, site Site) Position {
	g := geocentricAt(days, deltaTSeconds)
	o := newObserver(site)
	return o.position(meanSiderealTime(days)+g.equationOfEquinoxes-g.rightAscension, g.declination, g.distanceAU)
}

// daysUT returns the days from J2000.0, with the resolution of a microsecond
// for this century (a Julian day in one float64 resolves only 40 µs).
func daysUT(t time.Time) float64 {
	return float64(t.Unix()-j2000Unix)/secondsPerDay + float64(t.Nanosecond())/(secondsPerDay*1e9)
}

// geocentric is the apparent sun seen from the centre of the Earth, in radians.
type geocentric struct {
	longitude, latitude         float64 // λ, β: apparent ecliptic
	obliquity                   float64 // ε: true obliquity of the ecliptic
	rightAscension, declination float64 // α, δ
	equationOfEquinoxes         float64 // Δψ·cos ε
	distanceAU                  float64
}

// geocentricAt does steps 3.2 to 3.10.
func geocentricAt(days, deltaTSeconds float64) geocentric {
	jme := ephemerisMillennia(days, deltaTSeconds)
	l, b, r := heliocentric(jme)
	inLongitude, inObliquity := nutation(jme * 10)

	g := geocentric{distanceAU: r, latitude: -b}
	g.obliquity = meanObliquityArcsec(jme)*arcsecond + inObliquity
	g.longitude = l + math.Pi + inLongitude - aberrationAt1AU*arcsecond/r
	g.equationOfEquinoxes = inLongitude * math.Cos(g.obliquity)

	sinL, cosL := math.Sincos(g.longitude)
	sinE, cosE := math.Sincos(g.obliquity)
	sinB, cosB := math.Sincos(g.latitude)
	g.rightAscension = math.Atan2(sinL*cosE-sinB/cosB*sinE, cosL)
	g.declination = math.Asin(sinB*cosE + cosB*sinE*sinL)
	return g
}

// ephemerisMillennia is JME (3.1.4), held within the range of the theory.
func ephemerisMillennia(days, deltaTSeconds float64) float64 {
	jme := (days + deltaTSeconds/secondsPerDay) / (1000 * julianYear)
	return min(max(jme, -validMillennia), validMillennia)
}

// heliocentric returns the Earth's longitude and latitude (radians) and
// distance (AU) as seen from the sun (3.2).
func heliocentric(jme float64) (longitude, latitude, radiusAU float64) {
	return series(heliocentricLongitude, jme), series(heliocentricLatitude, jme), series(heliocentricRadius, jme)
}

func series(powers [][]periodicTerm, jme float64) float64 {
	sum := 0.0
	for k := len(powers) - 1; k >= 0; k-- {
		coefficient := 0.0
		for _, t := range powers[k] {
			coefficient += t.amplitude * math.Cos(t.phase+t.rate*jme)
		}
		sum = sum*jme + coefficient
	}
	return sum * 1e-8
}

// fundamentalArguments returns X0 to X4 in degrees (3.4.1 to 3.4.5).
func fundamentalArguments(jce float64) [5]float64 {
	return [5]float64{
		polynomial(jce, 297.85036, 445267.111480, -0.0019142, 1./189474),
		polynomial(jce, 357.52772, 35999.050340, -0.0001603, -1./300000),
		polynomial(jce, 134.96298, 477198.867398, 0.0086972, 1./56250),
		polynomial(jce, 93.27191, 483202.017538, -0.0036825, 1./327270),
		polynomial(jce, 125.04452, -1934.136261, 0.0020708, 1./450000),
	}
}

// nutation returns Δψ and Δε in radians (3.4).
func nutation(jce float64) (inLongitude, inObliquity float64) {
	x := fundamentalArguments(jce)
	for i := range x {
		x[i] = math.Mod(x[i], 360) * degree
	}
	for i := range nutationTerms {
		t := &nutationTerms[i]
		m := &t.multiple
		sin, cos := math.Sincos(m[0]*x[0] + m[1]*x[1] + m[2]*x[2] + m[3]*x[3] + m[4]*x[4])
		inLongitude += (t.a + t.b*jce) * sin
		inObliquity += (t.c + t.d*jce) * cos
	}
	return inLongitude * 1e-4 * arcsecond, inObliquity * 1e-4 * arcsecond
}

// meanObliquityArcsec is ε0 (3.5.1).
func meanObliquityArcsec(jme float64) float64 {
	return polynomial(jme/10, 84381.448, -4680.93, -1.55, 1999.25, -51.38, -249.67, -39.05, 7.12, 27.87, 5.79, 2.45)
}

// meanSiderealTime is ν0, Greenwich, in radians within ±2π (3.8).
func meanSiderealTime(days float64) float64 {
	jc := min(max(days/(100*julianYear), -10*validMillennia), 10*validMillennia)
	return math.Mod(280.46061837+360.98564736629*days+jc*jc*(0.000387933-jc/38710000), 360) * degree
}

// observer is what the topocentric steps need of a site, worked out once.
type observer struct {
	sinLat, cosLat float64
	// Distance from the Earth's axis and from the plane of its equator, in
	// equatorial radii (3.12.3, 3.12.4).
	axisDistance, equatorDistance float64
	longitude                     float64 // radians
	refractionScale               float64
}

func newObserver(site Site) observer {
	o := observer{
		longitude:       math.Mod(site.LongitudeDeg, 360) * degree,
		refractionScale: refractionScale(site.PressureHPa, site.TemperatureC),
	}
	o.sinLat, o.cosLat = math.Sincos(min(max(site.LatitudeDeg, -90), 90) * degree)
	u := math.Atan2(polarFlattening*o.sinLat, o.cosLat)
	sinU, cosU := math.Sincos(u)
	height := min(max(site.ElevationM, minElevationM), maxElevationM) / equatorialRadiusM
	o.axisDistance = cosU + height*o.cosLat
	o.equatorDistance = polarFlattening*sinU + height*o.sinLat
	return o
}

// equatorial is the direction from the observer to the sun, lengths in units
// of the sun's distance: toward the meridian on the equator, westward from
// it, toward the celestial pole.
type equatorial struct{ meridian, west, pole float64 }

// topocentric does steps 3.11 and 3.12 for a geocentric local hour angle and
// declination in radians. Subtracting the observer's place as a vector gives
// the report's Δα, δ′ and H′ exactly and has no singular points.
func (o *observer) topocentric(hourAngle, declination, distanceAU float64) equatorial {
	sinH, cosH := math.Sincos(hourAngle)
	sinD, cosD := math.Sincos(declination)
	parallax := math.Sin(parallaxAt1AU * arcsecond / distanceAU)
	return equatorial{
		meridian: cosD*cosH - o.axisDistance*parallax,
		west:     cosD * sinH,
		pole:     sinD - o.equatorDistance*parallax,
	}
}

// position does steps 3.11 to 3.15 for the sun's Greenwich hour angle (apparent
// sidereal time less right ascension) and declination in radians.
func (o *observer) position(greenwichHourAngle, declination, distanceAU float64) Position {
	s := o.topocentric(greenwichHourAngle+o.longitude, declination, distanceAU)
	up := s.meridian*o.cosLat + s.pole*o.sinLat
	north := s.pole*o.cosLat - s.meridian*o.sinLat
	trueElevation := math.Atan2(up, math.Sqrt(north*north+s.west*s.west)) / degree

	azimuth := math.Atan2(-s.west, north) / degree
	if azimuth < 0 {
		azimuth += 360
		if azimuth >= 360 { // a tiny negative angle rounds up
			azimuth = 0
		}
	}
	return Position{
		AzimuthDeg:       azimuth,
		ElevationDeg:     trueElevation + refractionDeg(trueElevation, o.refractionScale),
		TrueElevationDeg: trueElevation,
		DistanceAU:       distanceAU,
	}
}
