package text

import (
	"slices"

	"kitspan/internal/sizing"
)

// WindSpan is steps of a wind curve that take the same, and their gusts in words: "3 to 6 m/s".
type WindSpan struct {
	Gusts string
	sizing.WindStep
}

// WindSpans returns a wind curve with the steps that take the same as one.
func WindSpans(to Reader, list []sizing.WindStep) []WindSpan {
	var out []WindSpan
	for i := 0; i < len(list); {
		from := i
		for i < len(list) && sameStep(&list[i], &list[from]) {
			i++
		}
		gusts := to.say("%.0f m/s", list[from].GustMS)
		if i-1 > from {
			gusts = to.say("%.0f to %.0f m/s", list[from].GustMS, list[i-1].GustMS)
		}
		out = append(out, WindSpan{gusts, list[from]})
	}
	return out
}

// sameStep reports whether two gusts take the same.
func sameStep(a, b *sizing.WindStep) bool {
	return a.BallastKg == b.BallastKg && a.People == b.People && a.TotalPerDay.Equal(b.TotalPerDay) && slices.Equal(a.Down, b.Down)
}

// gusts prints the wind curve.
func (p *printer) gusts(number int, o *sizing.Option) {
	if len(o.Pieces) == 0 || len(o.Wind) == 0 {
		return
	}
	if at := p.once(number, func() {
		p.say("   ", "In other gusts, with every piece where it stands (an estimate for planning: measure on the day, and lower early):")
		for _, w := range WindSpans(p.to, o.Wind) {
			says := p.to.say("%s: %.0f kg of ballast, %s, %s per day", w.Gusts, UpToWhole(w.BallastKg), people(p.to, w.People), p.to.money(w.TotalPerDay))
			if len(w.Down) > 0 {
				says += "; " + p.to.say("down: %s", p.to.and(p.to.theRoles(w.Down)))
			}
			p.line("     ", says+".")
		}
	}); at > 0 {
		p.say("   ", "In other gusts as in %d.", at)
	}
}
