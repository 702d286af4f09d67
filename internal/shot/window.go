package shot

import (
	"time"

	"kitspan/internal/catalog"
	"kitspan/internal/fault"
	"kitspan/internal/finding"
)

// maxWindow is the longest window: a plan is for one working day.
const maxWindow = 24 * time.Hour

// Dates that are taken: the sun's position is checked for 1950 to 2050, and a year far outside is a typing error.
const (
	firstYear = 1950
	lastYear  = 2100
)

// resolveWindow reads when the shot is made. Without a location the texts are still checked, the instants stay zero.
func resolveWindow(r *resolver, d DraftWindow, zone string, loc *time.Location) Window {
	var w Window
	var okDate, okStart, okEnd, okEndDate bool
	w.Date, okDate = resolveDate(r, "/shot/window/date", d.Date)
	var start, end clock
	start, okStart = resolveClock(r, "/shot/window/start", d.Start)
	end, okEnd = resolveClock(r, "/shot/window/end", d.End)
	w.EndDate, okEndDate = w.Date, okDate
	if d.EndDate != nil {
		w.EndDate, okEndDate = resolveDate(r, "/shot/window/end_date", d.EndDate)
	}
	if loc == nil {
		return w
	}
	if okDate && okStart {
		w.Start = *d.Start
		w.From, okStart = resolveInstant(r, "/shot/window/start", w.Date, start, zone, loc)
	}
	if okEndDate && okEnd {
		w.End = *d.End
		w.To, okEnd = resolveInstant(r, "/shot/window/end", w.EndDate, end, zone, loc)
	}
	if !okDate || !okStart || !okEnd || !okEndDate {
		return w
	}
	at := "/shot/window/end"
	if d.EndDate != nil && w.EndDate != w.Date {
		at = "/shot/window/end_date"
	}
	switch long := w.To.Sub(w.From); {
	case long <= 0 && d.EndDate == nil:
		r.fault(at, fault.EndNotAfterStart{Date: w.Date.String(), Start: w.Start, End: w.End, NextDate: dayAfter(w.Date).String()})
	case long <= 0:
		r.fault(at, fault.EndNotAfterStart{Date: w.Date.String(), Start: w.Start, EndDate: w.EndDate.String(), End: w.End})
	case long > maxWindow:
		r.fault(at, fault.WindowTooLong{
			Date: w.Date.String(), Start: w.Start, EndDate: w.EndDate.String(), End: w.End,
			LongSeconds: int(long.Seconds()), MostSeconds: int(maxWindow.Seconds()),
		})
	}
	return w
}

func resolveDate(r *resolver, pointer string, v *string) (catalog.Date, bool) {
	if v == nil {
		r.fault(pointer, fault.Missing{Want: fault.WantDate})
		return catalog.Date{}, false
	}
	d, err := catalog.ParseDate(*v)
	if err != nil {
		r.fault(pointer, fault.NotADate{Got: cut(*v)})
		return catalog.Date{}, false
	}
	if d.Year < firstYear || d.Year > lastYear {
		r.fault(pointer, fault.YearOutOfRange{Got: cut(*v), LeastYear: firstYear, MostYear: lastYear})
		return catalog.Date{}, false
	}
	return d, true
}

func dayAfter(d catalog.Date) catalog.Date {
	t := time.Date(d.Year, d.Month, d.Day+1, 0, 0, 0, 0, time.UTC)
	return catalog.Date{Year: t.Year(), Month: t.Month(), Day: t.Day()}
}

// lastClock is the last time of a day.
const lastClock = "23:59"

// clock is a time of day on the wall.
type clock struct{ hour, minute int }

// readClock reads HH:MM exactly: two digits each, 00:00 to 23:59.
func readClock(s string) (clock, bool) {
	if len(s) != 5 || s[2] != ':' {
		return clock{}, false
	}
	for _, i := range [4]int{0, 1, 3, 4} {
		if s[i] < '0' || s[i] > '9' {
			return clock{}, false
		}
	}
	digit := func(i int) int { return int(s[i]) - '0' }
	c := clock{10*digit(0) + digit(1), 10*digit(3) + digit(4)}
	return c, c.hour <= 23 && c.minute <= 59
}

func resolveClock(r *resolver, pointer string, v *string) (clock, bool) {
	if v == nil {
		r.fault(pointer, fault.Missing{Want: fault.WantTime})
		return clock{}, false
	}
	c, ok := readClock(*v)
	if !ok {
		r.fault(pointer, fault.NotATime{Got: cut(*v), Last: lastClock})
		return clock{}, false
	}
	return c, true
}

// resolveInstant is the moment at which the clocks of a zone show a date and time: a fault where they never do, the first
// with a note where they do twice.
func resolveInstant(r *resolver, pointer string, d catalog.Date, c clock, zone string, loc *time.Location) (time.Time, bool) {
	wall := time.Date(d.Year, d.Month, d.Day, c.hour, c.minute, 0, 0, time.UTC)
	found, gap := wallInstants(wall, loc)
	switch {
	case len(found) == 0:
		r.fault(pointer, skipped(wall, zone, gap))
		return time.Time{}, false
	case len(found) > 1:
		r.note(finding.TimeTwice{Field: field(pointer), Clock: wall.Format(wallShown), TimeZone: zone, Taken: found[0]})
	}
	return found[0], true
}

// wallShown is how faults and notes show a date and time of the clocks.
const wallShown = "2006-01-02 15:04"

func skipped(wall time.Time, zone string, gap wallGap) fault.SkippedTime {
	return fault.SkippedTime{At: wall.Format(wallShown), Zone: zone, Before: gap.before.Format(wallShown), After: gap.after.Format(wallShown)}
}

// wallGap is a stretch of clock readings that a zone skips, written as if in UTC.
type wallGap struct{ before, after time.Time }

// widestOffset is more than any zone was ever off UTC (15 h 13 min, Alaska's local mean time before 1867).
const widestOffset = 16 * time.Hour

// wallInstants lists, in order, the instants at which a zone's clocks show a wall reading (written as if in UTC);
// where there are none, the gap that swallows it. It walks the zone's periods, so that changes of any size, of half
// an hour or a whole day, come out right.
func wallInstants(wall time.Time, loc *time.Location) (found []time.Time, gap wallGap) {
	at := wall.Add(-widestOffset).In(loc)
	last := wall.Add(widestOffset)
	for {
		_, seconds := at.Zone()
		offset := time.Duration(seconds) * time.Second
		from, until := at.ZoneBounds()
		candidate := wall.Add(-offset)
		if (from.IsZero() || !candidate.Before(from)) && (until.IsZero() || candidate.Before(until)) {
			found = append(found, candidate.In(loc))
		}
		if until.IsZero() || until.After(last) {
			return found, gap
		}
		_, next := until.Zone()
		before, after := until.UTC().Add(offset), until.UTC().Add(time.Duration(next)*time.Second)
		if !wall.Before(before) && wall.Before(after) {
			gap = wallGap{before, after}
		}
		at = until
	}
}

// WindowBetween returns the window between two instants in their zone.
func WindowBetween(from, to time.Time) Window {
	date := func(t time.Time) catalog.Date {
		y, m, d := t.Date()
		return catalog.Date{Year: y, Month: m, Day: d}
	}
	return Window{
		Date: date(from), EndDate: date(to), Start: from.Format("15:04"), End: to.Format("15:04"), From: from, To: to,
	}
}
