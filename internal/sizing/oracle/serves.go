package oracle

import (
	"math"
	"slices"

	"kitspan/internal/finding"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
)

// miss is one thing that the look asks and by how many stops an option misses it.
type miss struct {
	what string
	// by is over 0 where it is missed for certain, under 0 where it is kept for certain, 0 where it is too near to say.
	by float64
	// told reports whether a note tells of it.
	told bool
}

// missed is a level against what is asked: beyond a third of a stop for certain, within, or too near to say.
func missed(what string, own estimate, reference, asked float64, told bool) miss {
	stops, tol := own.stops(reference)
	off := math.Abs(stops - asked)
	m := miss{what: what, told: told}
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
	o := &l.o
	key := has[finding.KeyTooBright](o) || has[finding.KeyTooDark](o) || has[finding.KeyMissed](o)
	list := []miss{missed("key", l.key, reference, look.KeyStops, key)}
	contrast := l.key
	contrast.err = l.key.lx * math.Hypot(l.key.err/math.Max(l.key.lx, noLightLx), l.fill.err/math.Max(l.fill.lx, noLightLx))
	list = append(list, missed("contrast", contrast, math.Max(l.fill.lx, noLightLx), look.ContrastStops, has[finding.ContrastMissed](o)))
	if look.BackStops != nil && look.Back == shot.BackRequired {
		list = append(list, missed("back", l.back, reference, *look.BackStops, has[finding.BackMissed](o)))
	}
	for i, e := range l.others {
		label := l.s.Others[i].label
		told := noted(o, func(n finding.ZoneMissed) bool { return n.Zone == label })
		list = append(list, missed("zone "+label, e, reference, l.s.Shot.OtherZones[i].KeyStops, told))
	}
	net := miss{what: "net", by: -1}
	net.told = has[finding.NetNotOwned](o) || has[finding.NetUnseen](o) || has[finding.NetNoRoom](o) || has[finding.NetTooSmall](o)
	if look.NetStops > thirdStop+stopsTol && !slices.ContainsFunc(l.o.Pieces, func(p sizing.Piece) bool { return p.Role == finding.RoleNet }) {
		net.by = 1
	}
	soft := miss{what: "softening", by: -1, told: has[finding.SofteningLeftOut](o)}
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
	dark := has[finding.DarkBackground](&l.o)
	for _, m := range l.misses() {
		all = all && m.by < 0
		if !(m.by > 0) {
			continue
		}
		if l.o.Serves {
			bad = append(bad, broken(RuleServes, m.by, "%s is said to serve; by rays it misses the %s by %.3f stops more than a third", l.o.Label, m.what, m.by))
		}
		if !dark && !m.told {
			bad = append(bad, broken(RuleServes, m.by, "%s misses the %s and no note says so", l.o.Label, m.what))
		}
	}
	if all && !l.o.Serves {
		bad = append(bad, broken(RuleServes, 1, "%s does all that the look asks and is said not to: %q", l.o.Label, l.o.Notes))
	}
	return bad
}
