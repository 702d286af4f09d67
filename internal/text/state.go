package text

import (
	"math"
	"strconv"
	"strings"

	"kitspan/internal/finding"
	"kitspan/internal/phrase"
	"kitspan/internal/sizing"
)

// State says in a few words whether an option does what is asked, and what it is over or does less.
func State(to Reader, o *sizing.Option) string {
	less := to.say("does less: %s", strings.Join(shortfalls(to, o.GivesUp), ", "))
	switch o.State {
	case finding.DoesIt:
		return to.say("does it")
	case finding.DoesLess:
		return less
	case finding.OverLimit:
	}
	over := to.say("over the limit: %s", strings.Join(limitsOver(to, o.Broken), ", "))
	if len(o.GivesUp) > 0 {
		over += "; " + less
	}
	return over
}

// shortfalls names what a plan does not do of the look.
func shortfalls(to Reader, list []finding.Shortfall) (out []string) {
	for _, s := range list {
		out = append(out, shortfall(to, s))
	}
	return out
}

// lacks names what is not done at all, levels what is measured.
var (
	lacks = map[finding.Aspect]phrase.Key{
		finding.Softening: "not softened", finding.Net: "no net", finding.Colour: "key not warm", finding.Key: "no key", finding.Contrast: "no contrast",
		finding.Zone: "no zone", finding.Back: "no back",
	}
	levelsOf = map[finding.Aspect]phrase.Key{
		finding.Softening: "level|softening", finding.Key: "level|key", finding.Contrast: "level|contrast", finding.Zone: "level|zone", finding.Back: "level|back",
		finding.Net: "level|net", finding.Colour: "level|colour",
	}
)

func shortfall(to Reader, s finding.Shortfall) string {
	if s.ByStops == nil {
		return to.say(lacks[s.What])
	}
	what, by := to.say(levelsOf[s.What]), math.Max(0.1, math.Abs(*s.ByStops)) // a third of a stop and more
	if s.Zone != "" {
		what += " " + s.Zone
	}
	switch less, contrast := *s.ByStops < 0, s.What == finding.Contrast; {
	case contrast && less:
		return to.say("%s too weak by %.1f stops", what, by)
	case contrast:
		return to.say("%s too strong by %.1f stops", what, by)
	case less:
		return to.say("%s %.1f stops under", what, by)
	}
	return to.say("%s %.1f stops over", what, by)
}

// limitsOver names the limits that a plan is over, each once.
func limitsOver(to Reader, list []finding.Note) (out []string) {
	var held []string
	for _, note := range list {
		switch n := note.(type) {
		case finding.NotHeld:
			if role := to.theRole(n.Role); len(held) == 0 || held[len(held)-1] != role {
				held = append(held, role)
			}
		case finding.OverCrew:
			out = append(out, to.say("%d people for %d", n.People, n.Limit))
		case finding.OverPrice:
			out = append(out, to.say("hire by %s", to.money(n.Over)))
		case finding.OverTotal:
			out = append(out, to.say("the day by %s", to.money(n.Over)))
		case finding.OverMass:
			out = append(out, to.say("mass by %.0f kg", math.Ceil(n.MassKg-n.LimitKg)))
		case finding.OverHeight:
			out = append(out, to.say("height of %s", to.theRole(n.Role)))
		case finding.OverVehicle:
			out = append(out, to.say("more than one load of the %s", n.Vehicle.Name))
		default:
		}
	}
	if len(held) > 0 {
		out = append([]string{to.say("wind on %s", strings.Join(held, ", "))}, out...)
	}
	return out
}

// ladder prints the best that so many people can light, for each number that is asked about.
func (p *printer) ladder(r *sizing.Result) {
	if len(r.Ladder) == 0 {
		return
	}
	p.line("", "")
	p.say("", "The best that so many people can light:")
	for i := range r.Ladder {
		g := &r.Ladder[i]
		o := &g.Option
		p.line("  ", strconv.Itoa(g.Crew)+": "+p.to.say("%s (%s), %s the day%s.", Title(p.to, o, &r.Shot.Window), State(p.to, o), p.to.money(o.TotalPerDay), TotalWithout(p.to, o))+
			" "+Summary(p.to, &o.Summary))
	}
}
