package shot

import (
	"time"

	"kitspan/internal/fault"
	"kitspan/internal/finding"
	"kitspan/internal/sun"
)

// DraftSteps is which steps of the day a sweep is asked for: minutes, and local times HH:MM on the window's date.
type DraftSteps struct {
	StepMin  *int
	From, To *string
}

// Steps are the steps of a sweep: every StepMin minutes from From on, the last before To.
type Steps struct {
	StepMin    int
	Start, End string // HH:MM as said; End up to 24:00
	From, To   time.Time
	// Notes are remarks from resolving, such as a time that occurs twice.
	Notes []finding.Note
}

const (
	defaultStepMin = 10
	// maxSteps is a day in minutes; common practice, no source.
	maxSteps = 1440
	// endOfDay is how the end of a day is said.
	endOfDay = "24:00"
)

var stepBound = bound{lo: 1, hi: 120, unit: "minutes"}

// Resolve fills in what was left out for a shot: ten minutes, from sunrise to sunset of the window's date; the whole day
// where the sun neither rises nor sets, or a roof keeps it off. Of the zero Shot, one that is at fault itself, the texts
// are checked alone.
func (d DraftSteps) Resolve(s Shot) (Steps, []fault.Fault) {
	r := resolver{}
	out := Steps{StepMin: defaultStepMin}
	okStep := true
	if d.StepMin != nil {
		out.StepMin = *d.StepMin
		_, okStep = r.check("/step_min", float64(*d.StepMin), stepBound)
	}
	from, okFrom := resolveStepTime(&r, "/from", d.From, false)
	to, okTo := resolveStepTime(&r, "/to", d.To, true)
	if !s.Window.To.After(s.Window.From) {
		return Steps{}, r.faults
	}
	day := dayOf(&s)
	out.From, out.Start = day.first()
	out.To, out.End = day.last()
	if d.From != nil && okFrom {
		out.From, okFrom = resolveInstant(&r, "/from", s.Window.Date, from, s.Site.TimeZone, day.loc)
		out.Start = *d.From
	}
	switch {
	case d.To == nil || !okTo:
	case *d.To == endOfDay:
		out.To, out.End = day.End, endOfDay
	default:
		out.To, okTo = resolveInstant(&r, "/to", s.Window.Date, to, s.Site.TimeZone, day.loc)
		out.End = *d.To
	}
	if okFrom && okTo {
		checkStepOrder(&r, d, &out, day, okStep)
	}
	if len(r.faults) > 0 {
		return Steps{}, r.faults
	}
	out.Notes = r.notes
	return out, nil
}

// resolveStepTime reads HH:MM, where it is given, and 24:00 where that may be said.
func resolveStepTime(r *resolver, pointer string, v *string, end bool) (clock, bool) {
	if v == nil || end && *v == endOfDay {
		return clock{}, true
	}
	c, ok := readClock(*v)
	if !ok {
		last := lastClock
		if end {
			last = endOfDay
		}
		r.fault(pointer, fault.NotATime{Got: cut(*v), Last: last})
	}
	return c, ok
}

// checkStepOrder refuses a day that ends before it begins, and more steps than are taken.
func checkStepOrder(r *resolver, d DraftSteps, s *Steps, day daytime, okStep bool) {
	if !s.From.Before(s.To) {
		wrong, at := fault.FromNotBeforeTo{From: s.Start, To: s.End}, "/to"
		if d.To == nil {
			at = "/from"
			wrong.ToDefault = day.lastIs()
		}
		if d.From == nil {
			wrong.FromDefault = day.firstIs()
		}
		r.fault(at, wrong)
		return
	}
	if !okStep {
		return
	}
	if n := s.Count(); n > maxSteps {
		r.fault("/step_min", fault.TooManySteps{StepMin: s.StepMin, Steps: n, From: s.Start, To: s.End, Most: maxSteps})
	}
}

// Step is the time from one step to the next.
func (s *Steps) Step() time.Duration { return time.Duration(s.StepMin) * time.Minute }

// Count is how many steps there are.
func (s *Steps) Count() int {
	return int((s.To.Sub(s.From) + s.Step() - 1) / s.Step())
}

// daytime is a date with the sun's hours, where they count.
type daytime struct {
	sun.Day
	loc    *time.Location
	roofed bool
}

func dayOf(s *Shot) daytime {
	d, loc := s.Window.Date, s.Window.From.Location()
	return daytime{sun.DayOf(d.Year, d.Month, d.Day, loc, s.Site.UnderSun()), loc, s.Site.Roofed}
}

// first is sunrise or, where there is none, the day's first instant, and last sunset or its end; both to whole minutes,
// as instants and in words. A sun that sets after midnight and rises again sets on the day after.
func (d daytime) first() (time.Time, string) {
	if d.roofed || d.Rise.IsZero() {
		return d.Start, d.Start.Format("15:04")
	}
	t := wholeMinute(d.Rise)
	return t, t.Format("15:04")
}

func (d daytime) last() (time.Time, string) {
	if d.roofed || d.Set.IsZero() || d.Set.Before(d.Rise) {
		return d.End, endOfDay
	}
	t := wholeMinute(d.Set)
	if first, _ := d.first(); !t.After(first) { // a sun that only looks over the horizon
		t = first.Add(time.Minute)
	}
	if !t.Before(d.End) {
		return d.End, endOfDay
	}
	return t, t.Format("15:04")
}

// firstIs and lastIs are what first and last stand for.
func (d daytime) firstIs() fault.TimeDefault {
	if d.roofed || d.Rise.IsZero() {
		return fault.DayStart
	}
	return fault.Sunrise
}

func (d daytime) lastIs() fault.TimeDefault {
	if d.roofed || d.Set.IsZero() || d.Set.Before(d.Rise) {
		return fault.DayEnd
	}
	return fault.Sunset
}

// wholeMinute rounds to the minute of the clock on the wall, which in a zone of old differs from that of UTC by seconds.
func wholeMinute(t time.Time) time.Time {
	_, offset := t.Zone()
	wall := time.Duration(offset) * time.Second
	return t.Add(wall).Round(time.Minute).Add(-wall)
}
