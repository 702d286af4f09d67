package text

import (
	"fmt"
	"strings"

	"kitspan/internal/finding"
)

// Summary returns an option in one sentence that a person can act on, and a second with the light and the price.
func Summary(u Reader, s *finding.Summary) string {
	var parts []string
	times := map[string]int{}
	for i := range s.Overheads {
		o := &s.Overheads[i]
		on := make([]string, len(o.On))
		for k := range o.On {
			on[k] = goods(&o.On[k])
		}
		held := "on " + strings.Join(on, " and ")
		if o.Hands > 0 {
			held = fmt.Sprintf("held by %d people", o.Hands)
		}
		part := fmt.Sprintf("%s with %s %s, middle %s up", o.Frame.Name, o.Cloth.Name, held, u.length(o.MiddleM, 1))
		if times[part]++; times[part] == 1 {
			parts = append(parts, part)
		}
	}
	for i, part := range parts {
		if n := times[part]; n > 1 {
			parts[i] = fmt.Sprintf("%d times %s", n, part)
		}
	}
	if len(parts) == 0 {
		parts = append(parts, "No overhead")
	}
	if s.Key != nil {
		parts = append(parts, "key by "+array(s.Key, false))
	}
	if s.Fill != nil {
		role := "fill"
		if s.Darkens {
			role = "black"
		}
		parts = append(parts, role+" by "+array(s.Fill, false))
	}
	if s.Moves > 0 {
		parts = append(parts, "moved "+timesOf(s.Moves)+" in the course of the window")
	}
	all := strings.Join(parts, "; ")
	if s.Other != nil {
		all = fmt.Sprintf("Shoot at another hour, %s to %s: %s", s.Other.Start, s.Other.End, all)
	}
	if s.Dark {
		return all + ". No light is planned: there is none on the background to set the camera by."
	}
	return fmt.Sprintf("%s. Key %+.1f stops, contrast %.1f; %s a day.", all, toTenth(s.KeyStops), toTenth(s.ContrastStops), money(s.PerDay))
}

// timesOf is how often: once, twice, 3 times.
func timesOf(n int) string {
	switch n {
	case 1:
		return "once"
	case 2:
		return "twice"
	}
	return fmt.Sprintf("%d times", n)
}

func goods(g *finding.Goods) string { return fmt.Sprintf("%d × %s", g.Quantity, g.Name) }
