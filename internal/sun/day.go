package sun

import (
	"math"
	"time"
)

const (
	// sunriseElevationDeg is the true elevation of the disc's centre at sunrise
	// and sunset: 34′ of refraction and 16′ of semidiameter, the almanacs'
	// convention (SPA appendix A.2 uses the same −0.8333°).
	sunriseElevationDeg = -0.8333

	// dayStep is the spacing at which a day is searched for events. The
	// elevation turns at most about twice a day, so that three neighbours ten
	// minutes apart frame every turn.
	dayStep = 10 * time.Minute
	// eventResolution is how finely roots and turning points are located.
	eventResolution = time.Millisecond
	// hourAngleDegPerDay is how fast the sun's hour angle grows, within 0.04 %
	// (the equation of time changes by at most 30 s a day).
	hourAngleDegPerDay = 360.
	transitIterations  = 4
)

// Day holds the sun's events within one local calendar day of a site, from
// the day's first instant up to that of the next day. Times are in the
// location asked for; a zero time means that there is no such event that day.
//
// Set may come before Rise: near the poles, or where the location's clock is
// far from the site's own time. Where a day holds two events of a kind, the
// first is given. Transit is the upper passage of the meridian (hour angle 0),
// whether the sun is up then or not.
type Day struct {
	Start, End         time.Time // [Start, End): 23, 24, 25 h … or nothing for a date that the zone skips
	Rise, Transit, Set time.Time
	AlwaysUp           bool // neither rise nor set, and the sun is up
	AlwaysDown         bool // neither rise nor set, and the sun is down
}

// DayOf returns the events of a date on the clock of loc (nil: UTC). Rise and
// Set are roots of the true elevation = −0.8333° within that day itself, to a
// millisecond: not, as some almanac programs print, those of the UTC day
// relabelled. Dates outside a month's range are normalised as by [time.Date].
func DayOf(year int, month time.Month, day int, loc *time.Location, site Site) Day {
	if loc == nil {
		loc = time.UTC
	}
	var d Day
	d.Start, d.End = Bounds(year, month, day, loc)
	if !d.Start.Before(d.End) {
		return d
	}
	arc := NewArc(d.Start.Add(-dayStep), d.End.Add(2*dayStep), site)
	d.Transit = transit(arc, d.Start, d.End)
	d.Rise, d.Set = crossings(arc, d.Start, d.End, sunriseElevationDeg)
	if d.Rise.IsZero() && d.Set.IsZero() {
		d.AlwaysUp = arc.At(d.Start).TrueElevationDeg >= sunriseElevationDeg
		d.AlwaysDown = !d.AlwaysUp
	}
	return d
}

// Bounds returns the first instant of a date on the clock of loc and that of the
// next date. They are the same where the zone skips the whole date.
func Bounds(year int, month time.Month, day int, loc *time.Location) (start, end time.Time) {
	return dayStart(year, month, day, loc), dayStart(year, month, day+1, loc)
}

// dayStart is the first instant at which the clock of loc shows the date or a
// later one. It differs from time.Date at midnight where the clocks change at
// midnight and 00:00 does not exist, and where the zone skips the whole date.
func dayStart(year int, month time.Month, day int, loc *time.Location) time.Time {
	midnight := time.Date(year, month, day, 0, 0, 0, 0, time.UTC)
	// Offsets stay within ±26 h, so the date cannot have come 48 h before.
	t := midnight.Add(-48 * time.Hour).In(loc)
	for {
		from, until := t.ZoneBounds()
		_, offset := t.Zone()
		start := midnight.Add(-time.Duration(offset) * time.Second).In(loc)
		if !from.IsZero() && start.Before(from) {
			start = from
		}
		if until.IsZero() || start.Before(until) {
			return start
		}
		t = until
	}
}

// transit finds the first instant in [start, end) with hour angle 0.
func transit(arc *Arc, start, end time.Time) time.Time {
	t := start.Add(daysDuration(math.Mod(360-arc.hourAngleDeg(start), 360) / hourAngleDegPerDay))
	for range transitIterations {
		t = t.Add(-daysDuration(math.Remainder(arc.hourAngleDeg(t), 360) / hourAngleDegPerDay))
	}
	if t.Before(start) || !t.Before(end) {
		return time.Time{}
	}
	return t
}

func daysDuration(days float64) time.Duration {
	return time.Duration(days * float64(24*time.Hour))
}

// crossings finds the first upward and the first downward passage of the true
// elevation through a level, within [start, end).
func crossings(arc *Arc, start, end time.Time, levelDeg float64) (up, down time.Time) {
	height := func(t time.Time) float64 { return arc.At(t).TrueElevationDeg - levelDeg }
	record := func(low, high time.Time, hLow, hHigh float64) {
		if (hLow < 0) == (hHigh < 0) {
			return
		}
		rising := hLow < 0
		if rising && !up.IsZero() || !rising && !down.IsZero() {
			return
		}
		t := root(height, low, high, rising)
		switch {
		case t.Before(start) || !t.Before(end):
		case rising:
			up = t
		default:
			down = t
		}
	}

	// From one step before the day to two after it, so that a turn in its first
	// or last interval is framed too.
	t0, t1 := start.Add(-dayStep), start
	h0, h1 := height(t0), height(t1)
	for t0.Before(end) {
		t2 := t1.Add(dayStep)
		h2 := height(t2)
		// A peak that just clears the level, or a dip just below it, between samples.
		peak, dip := h1 < 0 && h1 >= h0 && h1 >= h2, h1 >= 0 && h1 <= h0 && h1 <= h2
		if peak || dip {
			t := turningPoint(height, t0, t2, peak)
			h := height(t)
			if (h < 0) != (h1 < 0) {
				record(t0, t, h0, h)
				record(t, t2, h, h2)
			}
		}
		record(t0, t1, h0, h1)
		t0, t1, h0, h1 = t1, t2, h1, h2
	}
	return up, down
}

// root bisects a bracketed passage through 0.
func root(f func(time.Time) float64, low, high time.Time, rising bool) time.Time {
	for high.Sub(low) > eventResolution {
		middle := low.Add(high.Sub(low) / 2)
		if (f(middle) < 0) == rising {
			low = middle
		} else {
			high = middle
		}
	}
	return low.Add(high.Sub(low) / 2)
}

// turningPoint finds the highest (or lowest) point of f in a bracket by ternary search.
func turningPoint(f func(time.Time) float64, low, high time.Time, highest bool) time.Time {
	for high.Sub(low) > eventResolution {
		third := high.Sub(low) / 3
		a, b := low.Add(third), high.Add(-third)
		if (f(a) < f(b)) == highest {
			low = a
		} else {
			high = b
		}
	}
	return low.Add(high.Sub(low) / 2)
}
