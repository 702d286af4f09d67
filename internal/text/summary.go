package text

import (
	"strconv"
	"strings"

	"kitspan/internal/finding"
)

// Summary returns an option in one sentence that a person can act on, and a second with the light and the price.
func Summary(to Reader, s *finding.Summary) string {
	var parts []string
	times := map[string]int{}
	for i := range s.Overheads {
		part := overhead(to, &s.Overheads[i])
		if times[part]++; times[part] == 1 {
			parts = append(parts, part)
		}
	}
	for i, part := range parts {
		if n := times[part]; n > 1 {
			parts[i] = to.say("%d times %s", n, part)
		}
	}
	if len(parts) == 0 {
		parts = append(parts, to.say("No overhead"))
	}
	if s.Key != nil {
		parts = append(parts, to.say("key by %s", array(to, s.Key, false)))
	}
	switch {
	case s.Fill == nil:
	case s.Darkens:
		parts = append(parts, to.say("black by %s", array(to, s.Fill, false)))
	default:
		parts = append(parts, to.say("fill by %s", array(to, s.Fill, false)))
	}
	if s.Moves > 0 {
		parts = append(parts, to.say("moved %s in the course of the window", timesOf(to, s.Moves)))
	}
	all := strings.Join(parts, "; ")
	if s.Other != nil {
		all = to.say("Shoot at another hour, %s to %s: %s", s.Other.Start, s.Other.End, all)
	}
	if s.Dark {
		return all + ". " + to.say("No light is planned: there is none on the background to set the camera by.")
	}
	return all + ". " + to.say("Key %+.1f stops, contrast %.1f; hire %s a day.", toTenth(s.KeyStops), toTenth(s.ContrastStops), to.money(s.PerDay))
}

func overhead(to Reader, o *finding.Overhead) string {
	if o.Hands > 0 {
		return to.say("%s with %s held by %d people, middle %s up", o.Frame.Name, o.Cloth.Name, o.Hands, to.length(o.MiddleM, 1))
	}
	on := make([]string, len(o.On))
	for k := range o.On {
		on[k] = goods(&o.On[k])
	}
	return to.say("%s with %s on %s, middle %s up", o.Frame.Name, o.Cloth.Name, to.and(on), to.length(o.MiddleM, 1))
}

// timesOf is how often: once, twice, 3 times.
func timesOf(to Reader, n int) string {
	switch n {
	case 1:
		return to.say("once")
	case 2:
		return to.say("twice")
	}
	return to.say("%d times", n)
}

func goods(g *finding.Goods) string { return strconv.Itoa(g.Quantity) + " × " + g.Name }
