package draw

import (
	"fmt"
	"math"
	"strings"

	"kitspan/internal/geom"
	"kitspan/internal/sizing"
)

// Plan is the rig from above, the lens looking up the page.
func Plan(r *sizing.Result, o *sizing.Option, u Units) string {
	st := newStage(r, o)
	e := st.reach(fromAbove)
	half := st.shot.Framing.WidthM / 2
	e.add(half, 0)
	e.add(-half, 0)
	entries := st.planKey()
	s := newSheet(st, u, "plan", fromAbove, e, 76, 76, 50, 640, 62+20*float64((len(entries)+2)/3))
	s.patterns()
	s.wedge()
	s.shadows()
	s.groundZones()
	s.beams()
	s.standsFromAbove()
	for i := range o.Pieces {
		s.opening(i, &o.Pieces[i])
	}
	s.lens(s.at(st.view.Eye), pt{0, -1})
	s.planFoot(entries)
	s.planSizes()
	s.tags()
	s.planWords()
	s.sunArrows()
	s.counts()
	s.distances()
	return s.finish("From above: "+st.shot.Name, s.planDesc(), s.data())
}

// planDesc says in words what the plan shows.
func (s *sheet) planDesc() string {
	var b strings.Builder
	fmt.Fprintf(&b, "Plan to scale, the lens looking up the page from %s in front of the subject; the picture is %s wide there.",
		s.u.Length(s.shot.Framing.DistanceM), s.u.Length(s.shot.Framing.WidthM))
	s.describe(&b)
	return b.String()
}

// describe lists the pieces by number with where they stand.
func (st *stage) describe(b *strings.Builder) {
	for i := range st.option.Pieces {
		p := &st.option.Pieces[i]
		fmt.Fprintf(b, " %d: %s.", i+1, roleName(p))
	}
}

// wedge is what the camera sees, as far as the drawing goes.
func (s *sheet) wedge() {
	eye := s.at(s.view.Eye)
	far := 2 * (s.area.w + s.area.h) / s.scale
	left, right := s.view.Ray(-1, 0), s.view.Ray(1, 0)
	l, r := s.at(s.view.Eye.Add(left.Scale(far))), s.at(s.view.Eye.Add(right.Scale(far)))
	s.shape(clipShape([]pt{eye, l, r}, s.area), false, pen{fill: "#f4f3ec"}, "")
	edge := pen{stroke: ink, width: 1}
	s.clipped(eye, l, edge, attr("data-part", "view-left"))
	s.clipped(eye, r, edge, attr("data-part", "view-right"))
}

// shadowDashes tell the start, middle and end of the window apart.
var shadowDashes = [3]string{"2 3", "6 3", "12 4"}

func (s *sheet) shadows() {
	for i := range s.option.Pieces {
		p := &s.option.Pieces[i]
		if p.Role != sizing.RoleOverhead && p.Role != sizing.RoleSide {
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

func (s *sheet) groundZones() {
	for i, b := range s.blocks() {
		c := []geom.Vec{{X: -b.half.X, Y: -b.half.Y}, {X: b.half.X, Y: -b.half.Y}, {X: b.half.X, Y: b.half.Y}, {X: -b.half.X, Y: b.half.Y}}
		for k := range c {
			c[k] = c[k].Add(onGround(b.at))
		}
		s.shape(s.points(c), false, pen{stroke: ink, width: 1.4, fill: "url(#plan-zone)"}, attr("data-zone", fmt.Sprint(i)))
	}
}

func (s *sheet) standsFromAbove() {
	for i := range s.option.Pieces {
		p := &s.option.Pieces[i]
		for k := range p.Supports {
			h := &p.Supports[k]
			base := s.at(s.seen(h.Base))
			s.circle(base, h.FootprintM*s.scale, feetPen, part(i, "feet"))
			s.circle(base, 2.6, pen{fill: ink}, part(i, "mast"))
			if h.Arm != nil {
				s.line(s.at(s.seen(h.Arm[0])), s.at(s.seen(h.Arm[1])), armPen, part(i, "arm"))
			}
		}
		for k := range p.Lines {
			to := s.at(s.seen(p.Lines[k].To))
			s.line(s.at(s.seen(p.Lines[k].From)), to, guyPen, part(i, "line"))
			s.rect(box{to.x - 4, to.y - 4, 8, 8}, anchorPen, part(i, "anchor"))
		}
	}
}

// lens is the camera: a box with its mouth toward where it looks.
func (s *sheet) lens(at, toward pt) {
	side := pt{-toward.y, toward.x}
	back := at.sub(toward.scale(12))
	s.shape([]pt{back.add(side.scale(8)), back.sub(side.scale(8)), back.sub(side.scale(8)).sub(toward.scale(16)), back.add(side.scale(8)).sub(toward.scale(16))},
		false, pen{stroke: ink, width: 1.6, fill: paper}, "")
	s.shape([]pt{back, at.add(side.scale(7)), at.sub(side.scale(7))}, false, pen{stroke: ink, width: 1.6, fill: paper}, attr("data-part", "lens"))
}

// planSizes are the distance of the lens and the width of the picture, dimensioned.
func (s *sheet) planSizes() {
	thin := pen{stroke: grey, width: 0.9}
	eye, origin := s.at(s.view.Eye), s.at(geom.Vec{})
	axis := thin
	axis.dash = "14 3 3 3"
	s.line(eye, origin, axis, attr("data-part", "axis"))
	half := s.shot.Framing.WidthM / 2
	y := origin.y + s.shot.Zone.DepthM/2*s.scale + 16
	left, right := s.at(geom.Vec{X: -half}), s.at(geom.Vec{X: half})
	for _, p := range [2]pt{left, right} {
		s.line(p, pt{p.x, y + 4}, thin, "")
	}
	s.arrow(pt{origin.x, y}, pt{left.x, y}, thin, "")
	s.arrow(pt{origin.x, y}, pt{right.x, y}, thin, "")
	s.note(wish{at: pt{origin.x, y}, in: s.area, first: pt{0, 1}}, smallSize, ink, "picture "+s.u.Length(s.shot.Framing.WidthM)+" wide")
	s.note(wish{at: eye.add(origin).scale(0.5), in: s.area, on: true}, smallSize, ink, s.u.Length(s.shot.Framing.DistanceM)+" to the lens")
}

// planWords name what is not a piece.
func (s *sheet) planWords() {
	s.note(wish{at: s.at(s.view.Eye).add(pt{0, 20}), in: s.area, first: pt{0, 1}}, textSize, ink, "lens")
	for _, b := range s.blocks() {
		edge := onGround(b.at).Add(geom.Vec{Y: -b.half.Y})
		s.note(wish{at: s.at(edge), in: s.area, first: pt{0, -1}}, textSize, ink, b.label)
	}
}

// counts are the bags on the stands and anchors; what finds no place close by is left to the list beside.
func (s *sheet) counts() {
	const close = 34
	for i := range s.option.Pieces {
		p := &s.option.Pieces[i]
		for k := range p.Supports {
			if n := ballast(&p.Supports[k]); n != "" {
				s.note(wish{at: s.at(s.seen(p.Supports[k].Base)), in: s.area, reach: close}, smallSize, grey, n)
			}
		}
		for k := range p.Lines {
			if n := times(p.Lines[k].Anchor.Quantity); n != "" {
				s.note(wish{at: s.at(s.seen(p.Lines[k].To)), in: s.area, reach: close}, smallSize, grey, n)
			}
		}
	}
}

// distances are how far the pieces stand from what they serve, over the ground; once for a row that stands on a circle.
func (s *sheet) distances() {
	said := ""
	for i := range s.option.Pieces {
		p := &s.option.Pieces[i]
		switch p.Role {
		case sizing.RoleCameraShade, sizing.RoleOverhead, sizing.RoleSide, sizing.RoleReflectorDiffuser, sizing.RoleLampDiffuser:
			continue
		}
		from, to := onGround(s.middleOf(p)), onGround(s.served(p))
		text := s.u.Length(from.Sub(to).Len())
		if s.word(i) == "" && text == said {
			continue
		}
		said = text
		// Near the board, where the lines of a row are well apart.
		at := s.at(from.Scale(0.7).Add(to.Scale(0.3)))
		s.note(wish{at: at, in: s.area, reach: 70}, smallSize, beamInk, text)
	}
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
			if _, start, ok := clipLine(zone, zone.add(out.scale(4*paperWidth)), inner); ok {
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
// the sun hardly moves; whole says that it then stands for the whole window.
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
	text := s.sourceWords(l, first)
	if first.clock == last.clock {
		return text
	}
	text = strings.Replace(text, first.clock, first.clock+" to "+last.clock, 1)
	if a, b := s.u.Number(first.elevationDeg, 0), s.u.Number(last.elevationDeg, 0); a != b {
		text = strings.Replace(text, a+"° up", a+"° to "+b+"° up", 1)
	}
	return text
}

// sourceWords name a source at an instant, with how high it stands.
func (s *sheet) sourceWords(l *light, m *moment) string {
	up := ", " + s.u.Number(m.elevationDeg, 0) + "° up"
	switch {
	case !l.sun:
		return l.label + up
	case m.lx <= 0:
		return "clouded sun " + m.clock + up
	}
	return "sun " + m.clock + up
}

// entry is a line of the key: how something is drawn, and what it is.
type entry struct {
	pen    pen
	closed bool
	words  string
	sample string // text in place of a line
}

func (st *stage) planKey() []entry {
	var list []entry
	seen := map[string]bool{}
	add := func(e entry) {
		if !seen[e.words] {
			seen[e.words] = true
			list = append(list, e)
		}
	}
	for i := range st.option.Pieces {
		p := &st.option.Pieces[i]
		if p.Role != sizing.RoleOverhead && p.Role != sizing.RoleSide {
			continue
		}
		corners := st.corners(p)
		for k := range st.lights {
			l := &st.lights[k]
			for m := range l.moments {
				if _, ok := l.shadow(corners, &l.moments[m]); ok && covers(p, l.label) {
					words := "shadow " + l.moments[m].clock
					if !l.sun {
						words = "shadow from a lamp"
					}
					add(entry{pen: shadowPen(l, m), closed: true, words: words})
				}
			}
		}
	}
	for i := range st.option.Pieces {
		p := &st.option.Pieces[i]
		if p.Lamp != nil || p.Role == sizing.RoleReflector || p.Role == sizing.RoleFill {
			add(entry{pen: lit, words: "light thrown"})
		}
		if len(p.Supports) > 0 {
			add(entry{pen: feetPen, closed: true, words: "reach of a stand's feet"})
		}
		if len(p.Lines) > 0 {
			add(entry{pen: guyPen, words: "line to its anchor"})
		}
	}
	for i := range st.option.Pieces {
		for k := range st.option.Pieces[i].Supports {
			if st.option.Pieces[i].Supports[k].Ballast.Quantity > 0 {
				add(entry{sample: "×3", words: "weights on a stand"})
			}
		}
	}
	return list
}

// planFoot is the strip under the plan: scale, north, and the key.
func (s *sheet) planFoot(entries []entry) {
	top := s.area.h
	s.line(pt{0, top}, pt{paperWidth, top}, pen{stroke: paleGrey, width: 1}, "")
	s.scaleBar(pt{16, top + 16}, 150)
	s.north(pt{paperWidth - 40, top + 30})
	for i, e := range entries {
		p := pt{16 + float64(i%3)*225, top + 62 + 20*float64(i/3)}
		switch {
		case e.sample != "":
			s.say(p.add(pt{15, 5}), "middle", smallSize, grey, e.sample)
		case e.closed:
			s.rect(box{p.x, p.y - 5, 30, 10}, e.pen, "")
		default:
			s.line(p, p.add(pt{30, 0}), e.pen, "")
		}
		s.say(p.add(pt{38, 5}), "start", smallSize, ink, e.words)
	}
}

// north is an arrow toward true north.
func (s *sheet) north(at pt) {
	up := s.seen(geom.Vec{Y: 1})
	d := pt{up.X, -up.Y}
	s.arrow(at.sub(d.scale(20)), at.add(d.scale(20)), pen{stroke: ink, width: 1.6}, attr("data-part", "north"))
	side := -46.0
	if math.Abs(d.x) > 0.9 {
		side = -60
	}
	s.say(at.add(pt{side, 5}), "middle", smallSize, ink, "north")
}
