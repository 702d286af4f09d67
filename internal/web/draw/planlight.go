package draw

import (
	"kitspan/internal/finding"
	"kitspan/internal/geom"
	"kitspan/internal/sizing"
)

// shadowDashes tell the start, middle and end of the window apart.
var shadowDashes = [3]string{"2 3", "6 3", "12 4"}

func (s *sheet) shadows() {
	for i := range s.option.Pieces {
		p := &s.option.Pieces[i]
		if p.Role != finding.RoleOverhead && p.Role != finding.RoleSide {
			continue
		}
		corners := s.corners(p)
		for k := range s.lights {
			l := &s.lights[k]
			if !covers(p, l.label) {
				continue
			}
			for m := range l.moments {
				ground, ok := l.shadow(corners, &l.moments[m])
				if !ok {
					continue
				}
				s.cut(s.points(ground), s.area, shadowPen(l, m), part(i, "shadow")+attr("data-source", l.label)+attr("data-at", l.moments[m].clock))
			}
		}
	}
}

func shadowPen(l *light, m int) pen {
	p := pen{stroke: grey, width: 1.2, dash: shadowDashes[1]}
	if len(l.moments) > 1 {
		p.dash = shadowDashes[min(m, 2)]
	}
	if m == len(l.moments)/2 {
		p.fill, p.opacity = paleGrey, 0.18
	}
	return p
}

func covers(p *sizing.Piece, label string) bool {
	for _, c := range p.Covers {
		if c == label {
			return true
		}
	}
	return false
}

// sunArrows point from the edge of the drawing along the light of each hard source over the window.
func (s *sheet) sunArrows() {
	const long = 60.0
	zone := s.at(geom.Vec{})
	inner := s.area.grow(-22) // room for the words outside
	for k := range s.lights {
		l := &s.lights[k]
		starts := make([]*pt, len(l.moments))
		for m := range l.moments {
			at := &l.moments[m]
			out := s.at(geom.Vec{X: at.toward.X, Y: at.toward.Y}).sub(zone).unit()
			if at.elevationDeg <= 0 || out == (pt{}) {
				continue
			}
			if _, start, ok := clipLine(zone, zone.add(out.scale(4*s.width)), inner); ok {
				starts[m] = &start
			}
		}
		words := thinned(starts)
		for m, start := range starts {
			if start == nil {
				continue
			}
			at := &l.moments[m]
			s.arrow(*start, start.toward(zone, long), pen{stroke: sunInk, width: 2}, attr("data-part", "sun")+attr("data-source", l.label)+attr("data-at", at.clock))
			text := s.sourceWords(l, at)
			if words {
				first, last := &l.moments[0], &l.moments[len(l.moments)-1]
				text = s.windowWords(l, first, last)
			}
			s.note(wish{at: *start, in: s.area.grow(-2), first: aside(starts, m, start.sub(zone).unit())}, smallSize, sunInk, text)
		}
	}
}

// aside is where the words of an arrow go: of the first and the last away from each other, else outward.
func aside(starts []*pt, m int, out pt) pt {
	first, last := m, m
	for k, p := range starts {
		if p != nil {
			first, last = min(first, k), max(last, k)
		}
	}
	switch d := starts[last].sub(*starts[first]).unit(); {
	case first == last:
		return out
	case m == first:
		return d.scale(-1)
	case m == last:
		return d
	}
	return out
}

// thinned leaves out of three arrows the middle one where it would stand in the way of its neighbours, and all but it where
// the sun hardly moves; whole means that it then stands for the whole window.
func thinned(starts []*pt) (whole bool) {
	const apart = 14
	if len(starts) != 3 || starts[0] == nil || starts[1] == nil || starts[2] == nil {
		return false
	}
	switch d := starts[2].sub(*starts[0]).len(); {
	case d < apart:
		starts[0], starts[2] = nil, nil
		return true
	case d < 2*apart:
		starts[1] = nil
	}
	return false
}

// windowWords name the sun over a window in which it hardly moves across the drawing.
func (s *sheet) windowWords(l *light, first, last *moment) string {
	if first.clock == last.clock {
		return s.sourceWords(l, first)
	}
	clock, up := s.u.say("times|%s to %s", first.clock, last.clock), s.u.Number(first.elevationDeg, 0)+"°"
	if b := s.u.Number(last.elevationDeg, 0) + "°"; up != b {
		up = s.u.say("angles|%s to %s", up, b)
	}
	return s.named(l, first, clock, up)
}

// sourceWords name a source at an instant, with how high it stands.
func (s *sheet) sourceWords(l *light, m *moment) string {
	return s.named(l, m, m.clock, s.u.Number(m.elevationDeg, 0)+"°")
}

func (s *sheet) named(l *light, m *moment, clock, up string) string {
	switch {
	case !l.sun:
		return s.u.say("%s, %s up", clip(l.label, smallSize, nameWidth), up)
	case m.lx <= 0:
		return s.u.say("clouded sun %s, %s up", clock, up)
	}
	return s.u.say("sun %s, %s up", clock, up)
}
