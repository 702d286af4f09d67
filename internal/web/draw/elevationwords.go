package draw

import (
	"math"

	"kitspan/internal/finding"
	"kitspan/internal/geom"
)

// heights are dimensioned for what hangs over or stands beside people: the highest and the lowest edge.
func (s *elevation) heights() {
	done := map[string]bool{}
	for i := range s.option.Pieces {
		p := &s.option.Pieces[i]
		if p.Role != finding.RoleOverhead && p.Role != finding.RoleSide && p.Role != finding.RoleNet {
			continue
		}
		c := s.corners(p)
		mid := s.at(s.middleOf(p)).x
		// Of corners equally high one at either side, so that the two dimensions stand apart.
		low, high := c[0], c[0]
		const same = 1e-6
		for _, v := range c[1:] {
			if v.Z < low.Z-same || v.Z < low.Z+same && s.at(v).x > s.at(low).x {
				low = v
			}
			if v.Z > high.Z+same || v.Z > high.Z-same && s.at(v).x < s.at(high).x {
				high = v
			}
		}
		for _, v := range [2]geom.Vec{high, low} {
			text := s.u.Length(v.Z)
			if !done[text] { // equal heights once
				done[text] = true
				s.height(s.at(v), mid, text)
			}
		}
	}
}

// height dimensions a point over the ground, a little to the side of what it belongs to.
func (s *elevation) height(at pt, mid float64, text string) {
	const least = 14
	ground := s.at(geom.Vec{}).y
	if ground-at.y < least {
		return
	}
	thin := pen{stroke: grey, width: 0.9}
	out := sign(at.x - mid)
	x, clear := at.x, math.MaxInt
	for _, aside := range [...]float64{12, 18, 24, 32, 40} {
		strip := box{at.x + out*aside - 3, at.y, 6, ground - at.y}
		if under := s.space.under(strip); under < clear && s.space.free(strip) && strip.within(s.area) {
			x, clear = at.x+out*aside, under
		}
	}
	s.line(at, pt{x, at.y}, thin, "")
	half := (at.y + ground) / 2
	s.arrow(pt{x, half}, pt{x, at.y}, thin, "")
	s.arrow(pt{x, half}, pt{x, ground}, thin, "")
	s.note(wish{at: pt{x, at.y + (ground-at.y)*0.4}, in: s.area}, smallSize, ink, text)
}

// caption says how tall the person is, and what the dotted line is.
func (s *elevation) caption() {
	eye := s.at(s.view.Eye)
	s.note(wish{at: pt{s.width - 50, eye.y}, in: s.area, first: pt{0, -1}, reach: 22}, smallSize, grey, s.u.say("horizon"))
	people := s.people()
	if !s.standing() || len(people) == 0 {
		return
	}
	last := people[0]
	for _, f := range people[1:] {
		if f.topM == personM && s.at(f.foot).x > s.at(last.foot).x && f.foot.Y == last.foot.Y {
			last = f
		}
	}
	head := last.foot
	head.Z = personM
	side := s.at(head).add(pt{headRadiusM * s.scale, 0})
	s.note(wish{at: side, in: s.area, first: pt{1, -0.5}}, smallSize, ink, s.u.Length(personM))
}

// standing reports whether the zone is tall enough for someone who stands.
func (s *elevation) standing() bool {
	const same = 0.005 // metres, at two decimals
	return s.shot.Zone.TopM >= personM-same
}

// names are those of the zones.
func (s *elevation) names() {
	for _, b := range s.blocks() {
		top := b.base()
		top.Z += 2 * b.Half.Z
		s.note(wish{at: s.at(top), in: s.area, first: pt{-1, -1}}, textSize, ink, b.name())
	}
}
