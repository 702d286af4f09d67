package text

import (
	"slices"
	"strconv"
	"time"

	"kitspan/internal/finding"
	"kitspan/internal/phrase"
	"kitspan/internal/sizing"
)

// aboutForecast words what a forecast gives rise to.
func aboutForecast(to Reader, note finding.Note) string {
	switch n := note.(type) {
	case finding.MustBeDown:
		return to.count("By the forecast %s must be down %s: gusts up to %.1f m/s, to be lowered at %.1f.",
			"By the forecast %s must be down %s: gusts up to %.1f m/s, the first to be lowered at %.1f.", len(n.Roles),
			to.and(to.theRoles(n.Roles)), spans(to, n.Times, n.Times[0].From, true), n.GustMS, DownToTenth(n.LowerAtMS))
	case finding.ForecastShort:
		return to.say("The forecast reaches from %s to %s, not over all of the window: nothing is said of the rest.", dayAndClock(to, n.From), dayAndClock(to, n.To))
	default:
		return ""
	}
}

// months are those of the year.
var months = [...]phrase.Key{"January", "February", "March", "April", "month|May", "June", "July", "August", "September", "October", "November", "December"}

func dayAndClock(to Reader, t time.Time) string {
	return to.say("date|%d %s %s", t.Day(), to.say(months[t.Month()-1]), clock(t))
}

// spans lists times by the clock, each with its day where that is not the day given. Outward they are widened to whole minutes, else
// narrowed; one of which nothing is left is left out.
func spans(to Reader, list []finding.Span, day time.Time, outward bool) string {
	up := func(t time.Time) time.Time {
		if whole := wholeMinute(t); whole.Before(t) {
			return whole.Add(time.Minute)
		}
		return t
	}
	var says []string
	for _, s := range list {
		from, until := up(s.From), wholeMinute(s.To)
		if outward {
			from, until = wholeMinute(s.From), up(s.To)
		}
		if from.Before(until) {
			says = append(says, to.say("hours|from %s to %s", onDay(to, from, day, false), onDay(to, until, day, true)))
		}
	}
	return to.and(says)
}

// wholeMinute is the last full minute of the clock on the wall up to a time.
func wholeMinute(t time.Time) time.Time {
	return t.Add(-time.Duration(t.Second())*time.Second - time.Duration(t.Nanosecond()))
}

// onDay is a time by the clock, with its day where that is another. The midnight that ends a day is 24:00.
func onDay(to Reader, t, day time.Time, end bool) string {
	if end && t.Format("15:04") == "00:00" {
		if before := t.Add(-time.Minute); sameDay(before, day) {
			return "24:00"
		}
	}
	if sameDay(t, day) {
		return clock(t)
	}
	return dayAndClock(to, t)
}

func sameDay(a, b time.Time) bool {
	y, m, d := a.Date()
	y2, m2, d2 := b.Date()
	return y == y2 && m == m2 && d == d2
}

// ForecastStands says from when to when the pieces of an option may stand by the forecast, those alike in one sentence; none where the
// forecast says nothing of the day. Pieces are numbered as in the drawings where numbers is set.
func ForecastStands(to Reader, r *sizing.Result, o *sizing.Option, numbers bool) []string {
	if r.Forecast == nil {
		return nil
	}
	var out []string
	for i := 0; i < len(o.Pieces); {
		v, n := &o.Pieces[i], 1
		for i+n < len(o.Pieces) && standAlike(v, &o.Pieces[i+n]) {
			n++
		}
		name := upper(roleName(to, v, false))
		if n > 1 {
			name = strconv.Itoa(n) + " " + roleName(to, v, true)
		}
		if numbers {
			name += pieceNumbers(to, i+1, i+n)
		}
		out = append(out, to.say("%s: %s", name, stands(to, r, v))+".")
		i += n
	}
	return out
}

func pieceNumbers(to Reader, first, last int) string {
	if first == last {
		return " (" + strconv.Itoa(first) + ")"
	}
	return " (" + to.say("numbers|%d to %d", first, last) + ")"
}

func standAlike(a, b *sizing.Piece) bool {
	same := func(a, b finding.Span) bool { return a.From.Equal(b.From) && a.To.Equal(b.To) }
	return a.Role == b.Role && a.Serves == b.Serves && slices.EqualFunc(a.Stands, b.Stands, same) && slices.EqualFunc(a.OnWatch, b.OnWatch, same)
}

// stands is when a piece may stand, on watch or not.
func stands(to Reader, r *sizing.Result, v *sizing.Piece) string {
	day := r.Shot.Window.From
	when := spans(to, v.Stands, day, false)
	if when == "" {
		return to.say("down all of that time")
	}
	watch := spans(to, v.OnWatch, day, true)
	switch {
	case watch == "":
		return to.say("may stand %s", when)
	case watch == spans(to, v.Stands, day, true):
		return to.say("may stand %s, all of it on watch", when)
	}
	return to.say("may stand %s, on watch %s", when, watch)
}

// ForecastSays says of what time the forecast speaks, and what it is not; empty where it says nothing of the day.
func ForecastSays(to Reader, r *sizing.Result) string {
	if r.Forecast == nil {
		return ""
	}
	return to.say("By the forecast, %s, which is not the wind on the spot: measure at each piece, and lower by what you measure.",
		spans(to, []finding.Span{*r.Forecast}, r.Shot.Window.From, false))
}

// forecast prints from when to when each piece may stand.
func (p *printer) forecast(number int, r *sizing.Result, o *sizing.Option) {
	list := ForecastStands(p.to, r, o, false)
	if len(list) == 0 {
		return
	}
	if at := p.once(number, func() {
		p.line("   ", ForecastSays(p.to, r))
		for _, s := range list {
			p.line("     ", s)
		}
	}); at > 0 {
		p.say("   ", "By the forecast as in %d.", at)
	}
}
