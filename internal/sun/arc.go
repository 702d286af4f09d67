package sun

import (
	"math"
	"time"
)

const (
	// maxArcDays is the longest span that one polynomial carries, in days.
	maxArcDays = 3
	// arcMarginDays widens the fitted span a little, so that an instant a
	// rounding error outside it is still inside.
	arcMarginDays = 1e-4
	// shortArcDays is the span up to which three nodes do.
	//
	// The interpolation error over a span T with n Chebyshev nodes is at most
	// (T/2)^n/(2^(n-1)·n!)·max|f⁽ⁿ⁾|. The year's term (amplitude 23.4° in
	// declination), the Moon's pull (0.0018° in 29.5 d) and the fortnightly
	// nutation (0.00006°) bound the third derivative by 1.5e-4 °/d³ and the
	// fifth by 2.2e-6 °/d⁵, which gives 1e-7° for three nodes over half a
	// day and 1e-8° for five over three days. The tests hold 1e-6°.
	shortArcDays = 0.5
	maxArcNodes  = 5
)

// Arc is the sun's path over one site during a span, for answering many
// instants quickly. The slowly changing geocentric values are computed by the
// full algorithm at three to five nodes and interpolated; the Earth's
// rotation, parallax and refraction are exact at each instant. It agrees with
// [At] within 1e-6°. The zero Arc is not usable: make one with [NewArc].
type Arc struct {
	site               Site
	observer           observer
	centreDays         float64
	firstDays, endDays float64 // the span that the nodes carry
	nodes              int
	at                 [maxArcNodes]float64 // nodes, in days from the centre
	// Newton's divided differences of: apparent sidereal less mean sidereal
	// time less right ascension (radians), declination (radians), distance (AU).
	turn, declination, distance [maxArcNodes]float64
}

// NewArc prepares the span from one instant to another, in either order. Three
// days at most are interpolated; instants past that, or outside the span, are
// answered by the full algorithm: as exact, only slower.
func NewArc(from, to time.Time, site Site) *Arc {
	if to.Before(from) {
		from, to = to, from
	}
	first := daysUT(from)
	span := min(daysUT(to)-first, maxArcDays) + 2*arcMarginDays
	first -= arcMarginDays

	a := &Arc{
		site: site, observer: newObserver(site),
		centreDays: first + span/2, firstDays: first, endDays: first + span,
		nodes: maxArcNodes,
	}
	if span <= shortArcDays+2*arcMarginDays {
		a.nodes = 3
	}
	for i := range a.nodes {
		a.at[i] = span / 2 * math.Cos(math.Pi*(float64(i)+0.5)/float64(a.nodes))
		days := a.centreDays + a.at[i]
		g := geocentricAt(days, deltaT(days))
		a.turn[i] = g.equationOfEquinoxes - g.rightAscension
		if i > 0 { // right ascension wraps once a year
			a.turn[i] = a.turn[0] + math.Remainder(a.turn[i]-a.turn[0], 2*math.Pi)
		}
		a.declination[i], a.distance[i] = g.declination, g.distanceAU
	}
	a.divideDifferences(&a.turn)
	a.divideDifferences(&a.declination)
	a.divideDifferences(&a.distance)
	return a
}

// divideDifferences turns values at the nodes into Newton coefficients.
func (a *Arc) divideDifferences(v *[maxArcNodes]float64) {
	for order := 1; order < a.nodes; order++ {
		for i := a.nodes - 1; i >= order; i-- {
			v[i] = (v[i] - v[i-1]) / (a.at[i] - a.at[i-order])
		}
	}
}

// At returns the sun's position at an instant.
func (a *Arc) At(t time.Time) Position {
	days := daysUT(t)
	if days < a.firstDays || days > a.endDays {
		return At(t, a.site)
	}
	turn, declination, distance := a.interpolate(days)
	return a.observer.position(meanSiderealTime(days)+turn, declination, distance)
}

func (a *Arc) interpolate(days float64) (turn, declination, distance float64) {
	x := days - a.centreDays
	last := a.nodes - 1
	turn, declination, distance = a.turn[last], a.declination[last], a.distance[last]
	for i := last - 1; i >= 0; i-- {
		d := x - a.at[i]
		turn = turn*d + a.turn[i]
		declination = declination*d + a.declination[i]
		distance = distance*d + a.distance[i]
	}
	return turn, declination, distance
}

// hourAngleDeg is the sun's local hour angle in [0, 360), 0 on the meridian,
// for an instant of the span or near it.
func (a *Arc) hourAngleDeg(t time.Time) float64 {
	days := daysUT(t)
	turn, _, _ := a.interpolate(days)
	h := math.Mod((meanSiderealTime(days)+turn+a.observer.longitude)/degree, 360)
	if h < 0 {
		h += 360
	}
	return h
}
