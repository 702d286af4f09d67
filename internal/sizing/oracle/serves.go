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
	what finding.Aspect
	zone string
	// signed is by how many stops the level is over what is asked, give or take tol; neither for what is not a level.
	signed, tol float64
	// by is over 0 where it is missed for certain, under 0 where it is kept for certain, 0 where it is too near to say.
	by float64
	// told reports whether a note tells of it.
	told bool
}

// missed is a level against what is asked: beyond a third of a stop for certain, within, or too near to say.
func missed(what finding.Aspect, zone string, own estimate, reference, asked float64, told bool) miss {
	stops, tol := own.stops(reference)
	off := math.Abs(stops - asked)
	m := miss{what: what, zone: zone, signed: stops - asked, tol: tol, told: told}
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
	list := []miss{missed(finding.Key, "", l.key, reference, look.KeyStops, key)}
	contrast := l.key
	contrast.err = l.key.lx * math.Hypot(l.key.err/math.Max(l.key.lx, noLightLx), l.fill.err/math.Max(l.fill.lx, noLightLx))
	list = append(list, missed(finding.Contrast, "", contrast, math.Max(l.fill.lx, noLightLx), look.ContrastStops, has[finding.ContrastMissed](o)))
	if look.BackStops != nil && look.Back == shot.BackRequired {
		list = append(list, missed(finding.Back, "", l.back, reference, *look.BackStops, has[finding.BackMissed](o)))
	}
	for i, e := range l.others {
		label := l.s.Others[i].label
		told := noted(o, func(n finding.ZoneMissed) bool { return n.Zone == label })
		list = append(list, missed(finding.Zone, label, e, reference, l.s.Shot.OtherZones[i].KeyStops, told))
	}
	net := miss{what: finding.Net, by: -1}
	net.told = has[finding.NetNotOwned](o) || has[finding.NetUnseen](o) || has[finding.NetNoRoom](o) || has[finding.NetTooSmall](o)
	net.told = net.told || noted(o, func(n finding.HandHeld) bool { return n.Carried })
	if look.NetStops > thirdStop+stopsTol && !slices.ContainsFunc(l.o.Pieces, func(p sizing.Piece) bool { return p.Role == finding.RoleNet }) {
		net.by = 1
	}
	soft := miss{what: finding.Softening, by: -1, told: has[finding.SofteningLeftOut](o)}
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
	if look.Colour == shot.ColourWarm {
		list = append(list, l.notWarm())
	}
	return append(list, net, soft)
}

// givenUp is what an option says that it does not do of one thing.
func givenUp(o *sizing.Option, m *miss) *finding.Shortfall {
	i := slices.IndexFunc(o.GivesUp, func(s finding.Shortfall) bool { return s.What == m.what && s.Zone == m.zone })
	if i < 0 {
		return nil
	}
	return &o.GivesUp[i]
}

// checkServes holds an option to what it says it does: all that the look asks, or not, with what it misses by how much, and a note of
// each or one that there is nothing to match.
func (l *lights) checkServes() []Violation {
	var bad []Violation
	dark := has[finding.DarkBackground](&l.o)
	list := l.misses()
	for i := range list {
		m := &list[i]
		said := givenUp(&l.o, m)
		switch {
		case m.by > 0 && said == nil && !dark:
			bad = append(bad, broken(RuleServes, m.by, "%s does not say that it gives up the %s %s; by rays it misses it by %.3f stops more than a third (a colour by mired)",
				l.o.Label, m.what, m.zone, m.by))
		case m.by < 0 && said != nil && !dark:
			bad = append(bad, broken(RuleServes, 1, "%s says that it gives up the %s %s, which it does", l.o.Label, m.what, m.zone))
		case said != nil && said.ByStops != nil && math.Abs(*said.ByStops-m.signed) > m.tol:
			bad = append(bad, broken(RuleServes, 1, "%s says that it misses the %s %s by %.3f stops; by rays by %.3f, give or take %.3f",
				l.o.Label, m.what, m.zone, *said.ByStops, m.signed, m.tol))
		}
		if m.by > 0 && !dark && !m.told {
			bad = append(bad, broken(RuleServes, m.by, "%s misses the %s and no note says so", l.o.Label, m.what))
		}
	}
	for i := range l.o.GivesUp {
		said := &l.o.GivesUp[i]
		if !slices.ContainsFunc(list, func(m miss) bool { return m.what == said.What && m.zone == said.Zone }) {
			bad = append(bad, broken(RuleServes, 1, "%s gives up the %s %s, which is not asked", l.o.Label, said.What, said.Zone))
		}
	}
	if dark && l.o.Serves() {
		bad = append(bad, broken(RuleServes, 1, "%s does all in the dark", l.o.Label))
	}
	return bad
}
