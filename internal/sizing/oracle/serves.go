package oracle

import (
	"math"
	"slices"
	"strings"

	"kitspan/internal/shot"
	"kitspan/internal/sizing"
)

// miss is one thing that the look asks and by how many stops an option misses it.
type miss struct {
	what string
	// by is over 0 where it is missed for certain, under 0 where it is kept for certain, 0 where it is too near to say.
	by float64
	// words, one of which a note must have that tells of it.
	words []string
}

// missed is a level against what is asked: beyond a third of a stop for certain, within, or too near to say.
func missed(what string, own estimate, reference, asked float64, words ...string) miss {
	stops, tol := own.stops(reference)
	off := math.Abs(stops - asked)
	m := miss{what: what, words: words}
	if off > thirdStop+tol {
		m.by = off - thirdStop
	} else if off < thirdStop-tol {
		m.by = off - thirdStop
	}
	return m
}

// misses holds an option to all that the look asks.
func (l *lights) misses() []miss {
	look, reference := l.s.Shot.Look, l.o.Background.ReferenceLx
	list := []miss{missed("key", l.key, reference, look.KeyStops, "asked")}
	contrast := l.key
	contrast.err = l.key.lx * math.Hypot(l.key.err/math.Max(l.key.lx, noLightLx), l.fill.err/math.Max(l.fill.lx, noLightLx))
	list = append(list, missed("contrast", contrast, math.Max(l.fill.lx, noLightLx), look.ContrastStops, "ontrast"))
	if look.BackStops != nil {
		list = append(list, missed("back", l.back, reference, *look.BackStops, "air and shoulders"))
	}
	for i, e := range l.others {
		list = append(list, missed("zone "+l.s.Others[i].label, e, reference, l.s.Shot.OtherZones[i].KeyStops, l.s.Others[i].label))
	}
	net := miss{what: "net", by: -1, words: []string{"net "}}
	if look.NetStops > thirdStop+stopsTol && !slices.ContainsFunc(l.o.Pieces, func(p sizing.Piece) bool { return p.Role == sizing.RoleNet }) {
		net.by = 1
	}
	soft := miss{what: "softening", by: -1, words: []string{"oftening"}}
	if look.Soften != shot.SoftenOff {
		for _, src := range l.s.softened() {
			stopped := slices.ContainsFunc(softeners(l.o), func(p sizing.Piece) bool { return slices.Contains(p.Covers, src.Label) })
			switch {
			case stopped:
			case src.Doubtful:
				soft.by = math.Max(soft.by, 0)
			default:
				soft.by = 1
			}
		}
	}
	return append(list, net, soft)
}

// checkServes holds an option to what it says it does: all that the look asks, or not, with a note of what it misses or
// one that there is nothing to match.
func (l *lights) checkServes() []Violation {
	var bad []Violation
	all := true
	notes := strings.ToLower(strings.Join(l.o.Notes, "\n"))
	dark := strings.Contains(notes, "no light on the background")
	for _, m := range l.misses() {
		all = all && m.by < 0
		if !(m.by > 0) {
			continue
		}
		if l.o.Serves {
			bad = append(bad, broken(RuleServes, m.by, "%s is said to serve; by rays it misses the %s by %.3f stops more than a third", l.o.Label, m.what, m.by))
		}
		if !dark && !slices.ContainsFunc(m.words, func(w string) bool { return strings.Contains(notes, strings.ToLower(w)) }) {
			bad = append(bad, broken(RuleServes, m.by, "%s misses the %s and no note says so", l.o.Label, m.what))
		}
	}
	if all && !l.o.Serves {
		bad = append(bad, broken(RuleServes, 1, "%s does all that the look asks and is said not to: %q", l.o.Label, l.o.Notes))
	}
	return bad
}
