package text

import (
	"fmt"
	"math"
	"strings"

	"kitspan/internal/finding"
	"kitspan/internal/sizing"
)

// State says in a few words whether an option does what is asked, and what it is over or does less.
func State(o *sizing.Option) string {
	switch o.State {
	case finding.DoesIt:
		return "does it"
	case finding.DoesLess:
		return "does less: " + strings.Join(shortfalls(o.GivesUp), ", ")
	case finding.OverLimit:
	}
	over := "over the limit: " + strings.Join(limitsOver(o.Broken), ", ")
	if len(o.GivesUp) > 0 {
		over += "; does less: " + strings.Join(shortfalls(o.GivesUp), ", ")
	}
	return over
}

// shortfalls names what a plan does not do of the look.
func shortfalls(list []finding.Shortfall) (out []string) {
	for _, s := range list {
		out = append(out, shortfall(s))
	}
	return out
}

func shortfall(s finding.Shortfall) string {
	if s.ByStops == nil {
		switch s.What {
		case finding.Softening:
			return "not softened"
		case finding.Net:
			return "no net"
		case finding.Colour:
			return "key not warm"
		default:
			return "no " + string(s.What)
		}
	}
	by := fmt.Sprintf("%.1f stops", math.Max(0.1, math.Abs(*s.ByStops))) // a third of a stop and more
	high, low := "over", "under"
	if s.What == finding.Contrast {
		high, low = "too strong", "too weak"
	}
	word := high
	if *s.ByStops < 0 {
		word = low
	}
	what := string(s.What)
	if s.Zone != "" {
		what += " " + s.Zone
	}
	if s.What == finding.Contrast {
		return fmt.Sprintf("%s %s by %s", what, word, by)
	}
	return fmt.Sprintf("%s %s %s", what, by, word)
}

// limitsOver names the limits that a plan is over, each once.
func limitsOver(list []finding.Note) (out []string) {
	var held []string
	for _, note := range list {
		switch n := note.(type) {
		case finding.NotHeld:
			if role := roleWords[n.Role].the; len(held) == 0 || held[len(held)-1] != role {
				held = append(held, role)
			}
		case finding.OverCrew:
			out = append(out, fmt.Sprintf("%d people for %d", n.People, n.Limit))
		case finding.OverPrice:
			out = append(out, "hire by "+money(n.Over))
		case finding.OverTotal:
			out = append(out, "the day by "+money(n.Over))
		case finding.OverMass:
			out = append(out, fmt.Sprintf("mass by %.0f kg", math.Ceil(n.MassKg-n.LimitKg)))
		case finding.OverHeight:
			out = append(out, "height of "+roleWords[n.Role].the)
		case finding.OverVehicle:
			out = append(out, "more than one load of the "+n.Vehicle.Name)
		default:
		}
	}
	if len(held) > 0 {
		out = append([]string{"wind on " + strings.Join(held, ", ")}, out...)
	}
	return out
}

// ladder prints the best that so many people can light, for each number that is asked about.
func (p *printer) ladder(r *sizing.Result) {
	if len(r.Ladder) == 0 {
		return
	}
	p.line("", "")
	p.line("", "The best that so many people can light:")
	for i := range r.Ladder {
		g := &r.Ladder[i]
		o := &g.Option
		p.line("  ", "%d: %s (%s), %s the day%s. %s", g.Crew, Title(o, &r.Shot.Window), State(o), money(o.TotalPerDay), TotalWithout(o), Summary(Metres, &o.Summary))
	}
}
