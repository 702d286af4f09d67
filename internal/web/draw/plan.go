package draw

import (
	"fmt"
	"strconv"
	"strings"

	"kitspan/internal/finding"
	"kitspan/internal/geom"
	"kitspan/internal/sizing"
	"kitspan/internal/text"
)

// Plan draws the rig from above, the lens looking up the page.
func Plan(r *sizing.Result, o *sizing.Option, u Units) string {
	st := newStage(r, o, u)
	e := st.reach(fromAbove)
	half := st.shot.Framing.WidthM / 2
	e.add(half, 0)
	e.add(-half, 0)
	e.points(st, fromAbove)
	entries := st.planKey()
	tallest := 640.0
	if u.Sheet {
		tallest = tallestOnSheetOf(o)
	}
	s := newSheet(st, u, "plan", fromAbove, e, paperWidth, 76, 76, 50, tallest, 62+20*float64((len(entries)+keyColumns(entries)-1)/keyColumns(entries)))
	s.patterns()
	s.wedge()
	s.shadows()
	s.groundZones()
	s.peopleFromAbove()
	s.walk()
	s.sizeLines()
	s.beams()
	s.standsFromAbove()
	fixedPoints(s)
	for i := range o.Pieces {
		s.opening(i, &o.Pieces[i])
	}
	s.lens(s.at(st.view.Eye), pt{0, -1})
	names := s.zoneNames()
	planFoot(s, entries)
	for _, l := range names {
		s.put(l)
	}
	if u.Sheet {
		s.stakes()
	}
	s.sizes()
	s.tags()
	s.note(wish{at: s.at(st.view.Eye).add(pt{0, 20}), in: s.area, first: pt{0, 1}}, textSize, ink, u.say("lens"))
	s.sunArrows()
	nameFixedPoints(s)
	s.counts()
	s.distances()
	return s.finish(u.say("From above: %s", st.shot.Name), s.planDesc(), s.data())
}

// tallestOnSheetOf is how tall what is to scale may be on the first page of the printed sheet, over the table of what is staked out. Where
// that is long the plan has 120 mm of the page, and its letters are 7 pt there at 119 mm of width.
func tallestOnSheetOf(o *sizing.Option) float64 {
	const short, tall, low = 12, 520, 430 // up to so many rows of 7 mm, letter paper leaves 132 mm
	rows := 0
	for i := range o.Pieces {
		rows += 1 + o.Pieces[i].Spots() + len(o.Pieces[i].Lines)
	}
	if rows <= short {
		return tall
	}
	return low
}

// planDesc says in words what the plan shows.
func (s *sheet) planDesc() string {
	var b strings.Builder
	b.WriteString(s.u.say("Plan to scale, the lens looking up the page from %s in front of the subject; the picture is %s wide there.",
		s.u.Length(s.shot.Framing.DistanceM), s.u.Length(s.shot.Framing.WidthM)))
	s.describe(&b)
	return b.String()
}

// describe lists the pieces by number with where they stand.
func (st *stage) describe(b *strings.Builder) {
	for i := range st.option.Pieces {
		p := &st.option.Pieces[i]
		fmt.Fprintf(b, " %d: %s.", i+1, roleName(p, st.u))
	}
}

// wedge is what the camera sees, as far as the drawing goes.
func (s *sheet) wedge() {
	eye := s.at(s.view.Eye)
	far := 2 * (s.area.w + s.area.h) / s.scale
	left, right := s.view.Ray(-1, 0), s.view.Ray(1, 0)
	l, r := s.at(s.view.Eye.Add(left.Scale(far))), s.at(s.view.Eye.Add(right.Scale(far)))
	s.shape(clipShape([]pt{eye, l, r}, s.area), false, pen{fill: taken}, "")
	edge := pen{stroke: ink, width: 1}
	s.clipped(eye, l, edge, attr("data-part", "view-left"))
	s.clipped(eye, r, edge, attr("data-part", "view-right"))
}

// groundZones are the zones' plans.
func (s *sheet) groundZones() {
	for i, b := range s.blocks() {
		c := []geom.Vec{{X: -b.Half.X, Y: -b.Half.Y}, {X: b.Half.X, Y: -b.Half.Y}, {X: b.Half.X, Y: b.Half.Y}, {X: -b.Half.X, Y: b.Half.Y}}
		for k := range c {
			c[k] = c[k].Add(onGround(b.base()))
		}
		s.shape(s.points(c), false, pen{stroke: ink, width: 1.4, fill: "url(#" + s.id + "-zone)"}, attr("data-zone", strconv.Itoa(i)))
	}
}

// zoneNames have their places before all other words.
func (s *sheet) zoneNames() (names []kept) {
	for _, b := range s.blocks() {
		// In its box where that has room, off the middle, where the lines of light end.
		left := onGround(b.base()).Add(geom.Vec{X: -b.Half.X / 2})
		l, ok := s.keep(wish{at: s.at(left), in: s.area, first: pt{-1, -1}, on: b.Half.X*s.scale > textWidth(b.name(), textSize)}, textSize, ink, b.name())
		if ok {
			names = append(names, l)
		}
	}
	return names
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
		s.holdersFromAbove(i, p)
		ropes(s, i, 0)
	}
}

// holdersFromAbove are the people who hold a piece, their shoulders across the way that they reach.
func (s *sheet) holdersFromAbove(i int, p *sizing.Piece) {
	for k := range p.HeldBy {
		h := &p.HeldBy[k]
		at, to := s.at(onGround(s.seen(h.Stands))), s.at(onGround(s.seen(h.Holds)))
		d := to.sub(at).unit()
		s.line(at, to, armPen, part(i, "reach"))
		s.fromAbove(at, pt{-d.y, d.x}, personPen, part(i, "holder"), part(i, "head"))
	}
}

// walk is an arrow along the way of people who walk, where the zone is first and where it ends in dashes.
func (s *sheet) walk() {
	if !s.shot.Walks() {
		return
	}
	by := s.seen(s.shot.Walk)
	for i, at := range [2]geom.Vec{{}, by} {
		b := s.shot.Zone.Box()
		c := []geom.Vec{{X: -b.Half.X, Y: -b.Half.Y}, {X: b.Half.X, Y: -b.Half.Y}, {X: b.Half.X, Y: b.Half.Y}, {X: -b.Half.X, Y: b.Half.Y}}
		for k := range c {
			c[k] = c[k].Add(at)
		}
		s.shape(s.points(c), false, zonePen, attr("data-part", [2]string{"walk-from", "walk-to"}[i]))
	}
	s.arrow(s.at(geom.Vec{}), s.at(by), pen{stroke: ink, width: 1.6}, attr("data-part", "walk"))
}

// lens is the camera: a box with its mouth toward where it looks.
func (s *sheet) lens(at, toward pt) {
	side := pt{-toward.y, toward.x}
	back := at.sub(toward.scale(12))
	s.shape([]pt{back.add(side.scale(8)), back.sub(side.scale(8)), back.sub(side.scale(8)).sub(toward.scale(16)), back.add(side.scale(8)).sub(toward.scale(16))},
		false, pen{stroke: ink, width: 1.6, fill: paper}, "")
	s.shape([]pt{back, at.add(side.scale(7)), at.sub(side.scale(7))}, false, pen{stroke: ink, width: 1.6, fill: paper}, attr("data-part", "lens"))
}

// sizeLines are the axis of the lens and the width of the picture as a dimension.
func (s *sheet) sizeLines() {
	thin := pen{stroke: grey, width: 0.9}
	axis := thin
	axis.dash = "14 3 3 3"
	s.line(s.at(s.view.Eye), s.at(geom.Vec{}), axis, attr("data-part", "axis"))
	half := geom.Vec{X: s.shot.Framing.WidthM / 2}
	mid, left, right := s.widthAt(), s.at(half.Scale(-1)), s.at(half)
	for _, p := range [2]pt{left, right} {
		s.line(p, pt{p.x, mid.y + 4}, thin, "")
		s.arrow(mid, pt{p.x, mid.y}, thin, "")
	}
}

// widthAt is the middle of the dimension of the picture's width: just in front of the subject.
func (s *sheet) widthAt() pt {
	return s.at(geom.Vec{Y: -s.shot.Zone.DepthM / 2}).add(pt{0, 16})
}

// sizes are the figures of sizeLines.
func (s *sheet) sizes() {
	s.note(wish{at: s.widthAt(), in: s.area, first: pt{0, 1}}, smallSize, ink, s.u.say("picture %s wide", s.u.Length(s.shot.Framing.WidthM)))
	half := s.at(s.view.Eye).add(s.at(geom.Vec{})).scale(0.5)
	s.note(wish{at: half, in: s.area, on: true}, smallSize, ink, s.u.say("%s to the lens", s.u.Length(s.shot.Framing.DistanceM)))
}

// counts are the bags on the stands and anchors; what finds no place close by is left to the list beside.
func (s *sheet) counts() {
	const nearby = 34
	for i := range s.option.Pieces {
		p := &s.option.Pieces[i]
		for k := range p.Supports {
			if n := ballast(&p.Supports[k]); n != "" && (!s.u.Sheet || p.Spots() <= 1) {
				s.note(wish{at: s.at(s.seen(p.Supports[k].Base)), in: s.area, reach: nearby}, smallSize, grey, n)
			}
		}
		for k := range p.Lines {
			if n := times(p.Lines[k].Anchor.Quantity); n != "" {
				s.note(wish{at: s.at(s.seen(p.Lines[k].To)), in: s.area, reach: nearby}, smallSize, grey, n)
			}
		}
	}
}

// stakes are the letters of the stands, and of the people who hold, of pieces with several, each with the bags there.
func (s *sheet) stakes() {
	for i := range s.option.Pieces {
		p := &s.option.Pieces[i]
		if p.Spots() < 2 {
			continue
		}
		for k := range p.Supports {
			h := &p.Supports[k]
			s.note(wish{at: s.at(s.seen(h.Base)), in: s.area}, smallSize, ink, strings.TrimSpace(text.StakeMark(i, k, p.Spots())+" "+ballast(h)))
		}
		for k := range p.HeldBy {
			s.note(wish{at: s.at(s.seen(p.HeldBy[k].Stands)), in: s.area}, smallSize, ink, text.StakeMark(i, len(p.Supports)+k, p.Spots()))
		}
	}
}

// distances are how far the pieces stand from what they serve, over the ground; once for a row that stands on a circle.
func (s *sheet) distances() {
	said := ""
	for i := range s.option.Pieces {
		p := &s.option.Pieces[i]
		if !measured(p.Role) {
			continue
		}
		from, to := onGround(s.middleOf(p)), onGround(s.served(p))
		far := s.u.Length(from.Sub(to).Len())
		if word(s.stage, i) == "" && far == said {
			continue
		}
		said = far
		// Near the board, where the lines of a row are well apart.
		at := s.at(from.Scale(0.7).Add(to.Scale(0.3)))
		s.note(wish{at: at, in: s.area, reach: 70}, smallSize, beamInk, far)
	}
}

// measured reports whether the distance of a role's pieces matters: it sets how strong they are, or what a net must fill.
func measured(r finding.Role) bool {
	return r == finding.RoleReflector || r == finding.RoleFill || r == finding.RoleBlack || r == finding.RoleLamp || r == finding.RoleNet
}
