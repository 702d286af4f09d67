package text

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"kitspan/internal/finding"
	"kitspan/internal/sizing"
)

// aboutForecast words what a forecast gives rise to.
func aboutForecast(note finding.Note) string {
	switch n := note.(type) {
	case finding.MustBeDown:
		names := make([]string, len(n.Roles))
		for i, r := range n.Roles {
			names[i] = roleWords[r].the
		}
		lowered := "to be lowered"
		if len(names) > 1 {
			lowered = "the first to be lowered"
		}
		return fmt.Sprintf("By the forecast %s must be down %s: gusts up to %.1f m/s, %s at %.1f.", listed(names, " and "),
			spans(n.Times, n.Times[0].From, true), n.GustMS, lowered, DownToTenth(n.LowerAtMS))
	case finding.ForecastShort:
		return fmt.Sprintf("The forecast reaches from %s to %s, not over all of the window: nothing is said of the rest.",
			n.From.Format(dayAndClock), n.To.Format(dayAndClock))
	default:
		return ""
	}
}

const dayAndClock = "2 January 15:04"

// spans lists times by the clock, each with its day where that is not the day given. Outward they are widened to whole minutes, else
// narrowed; one of which nothing is left is left out.
func spans(list []finding.Span, day time.Time, outward bool) string {
	up := func(t time.Time) time.Time {
		if whole := wholeMinute(t); whole.Before(t) {
			return whole.Add(time.Minute)
		}
		return t
	}
	var says []string
	for _, s := range list {
		from, to := up(s.From), wholeMinute(s.To)
		if outward {
			from, to = wholeMinute(s.From), up(s.To)
		}
		if from.Before(to) {
			says = append(says, "from "+onDay(from, day, false)+" to "+onDay(to, day, true))
		}
	}
	return listed(says, " and ")
}

// wholeMinute is the last full minute of the clock on the wall up to a time.
func wholeMinute(t time.Time) time.Time {
	return t.Add(-time.Duration(t.Second())*time.Second - time.Duration(t.Nanosecond()))
}

// onDay is a time by the clock, with its day where that is another. The midnight that ends a day is 24:00.
func onDay(t, day time.Time, end bool) string {
	if end && t.Format("15:04") == "00:00" {
		if before := t.Add(-time.Minute); sameDay(before, day) {
			return "24:00"
		}
	}
	if sameDay(t, day) {
		return clock(t)
	}
	return t.Format(dayAndClock)
}

func sameDay(a, b time.Time) bool {
	y, m, d := a.Date()
	y2, m2, d2 := b.Date()
	return y == y2 && m == m2 && d == d2
}

// ForecastStands says from when to when the pieces of an option may stand by the forecast, those alike in one sentence; none where the
// forecast says nothing of the day. Pieces are numbered as in the drawings where numbers is set.
func ForecastStands(r *sizing.Result, o *sizing.Option, numbers bool) []string {
	if r.Forecast == nil {
		return nil
	}
	var out []string
	for i := 0; i < len(o.Pieces); {
		v, n := &o.Pieces[i], 1
		for i+n < len(o.Pieces) && standAlike(v, &o.Pieces[i+n]) {
			n++
		}
		name := roleName(v, n > 1)
		if n > 1 {
			name = fmt.Sprintf("%d %s", n, strings.ToLower(name[:1])+name[1:])
		}
		if numbers {
			name += pieceNumbers(i+1, i+n)
		}
		out = append(out, name+": "+stands(r, v)+".")
		i += n
	}
	return out
}

func pieceNumbers(first, last int) string {
	if first == last {
		return fmt.Sprintf(" (%d)", first)
	}
	return fmt.Sprintf(" (%d to %d)", first, last)
}

func standAlike(a, b *sizing.Piece) bool {
	same := func(a, b finding.Span) bool { return a.From.Equal(b.From) && a.To.Equal(b.To) }
	return a.Role == b.Role && a.Serves == b.Serves && slices.EqualFunc(a.Stands, b.Stands, same) && slices.EqualFunc(a.OnWatch, b.OnWatch, same)
}

// stands is when a piece may stand, on watch or not.
func stands(r *sizing.Result, v *sizing.Piece) string {
	day := r.Shot.Window.From
	when := spans(v.Stands, day, false)
	if when == "" {
		return "down all of that time"
	}
	watch := spans(v.OnWatch, day, true)
	switch {
	case watch == "":
		return "may stand " + when
	case watch == spans(v.Stands, day, true):
		return "may stand " + when + ", all of it on watch"
	}
	return "may stand " + when + ", on watch " + watch
}

// ForecastSays says of what time the forecast speaks, and what it is not; empty where it says nothing of the day.
func ForecastSays(r *sizing.Result) string {
	if r.Forecast == nil {
		return ""
	}
	return "By the forecast, " + spans([]finding.Span{*r.Forecast}, r.Shot.Window.From, false) + ", which is not the wind on the spot: measure at each piece, and lower by what you measure."
}

// forecast prints from when to when each piece may stand.
func (p *printer) forecast(number int, r *sizing.Result, o *sizing.Option) {
	list := ForecastStands(r, o, false)
	if len(list) == 0 {
		return
	}
	if at := p.once(number, func() {
		p.line("   ", "%s", ForecastSays(r))
		for _, s := range list {
			p.line("     ", "%s", s)
		}
	}); at > 0 {
		p.line("   ", "By the forecast as in %d.", at)
	}
}
