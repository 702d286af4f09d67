package draw

import (
	"math"

	"kitspan/internal/finding"
	"kitspan/internal/geom"
)

// entry is a line of the key: how something is drawn, and what it is.
type entry struct {
	pen    pen
	closed bool
	cross  bool
	round  bool // a circle
	person bool
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
		if p.Role != finding.RoleOverhead && p.Role != finding.RoleSide {
			continue
		}
		corners := st.corners(p)
		for k := range st.lights {
			l := &st.lights[k]
			for m := range l.moments {
				if _, ok := l.shadow(corners, &l.moments[m]); ok && covers(p, l.label) {
					words := st.u.say("shadow %s", l.moments[m].clock)
					if !l.sun {
						words = st.u.say("shadow from a lamp")
					}
					add(entry{pen: shadowPen(l, m), closed: true, words: words})
				}
			}
		}
	}
	for i := range st.option.Pieces {
		p := &st.option.Pieces[i]
		if p.Lamp != nil || p.Role == finding.RoleReflector || p.Role == finding.RoleFill {
			add(entry{pen: lit, words: st.u.say("light thrown")})
		}
		if len(p.Supports) > 0 {
			add(entry{pen: feetPen, round: true, words: st.u.say("reach of a stand's feet")})
		}
		if len(p.HeldBy) > 0 {
			add(entry{person: true, words: st.u.say("a person who holds it")})
		}
		if len(p.Lines) > 0 {
			add(entry{pen: ropePen, words: st.u.say("rope to its anchor")})
		}
	}
	if len(st.people()) > 0 {
		add(entry{person: true, words: st.u.say("people, to scale")})
	}
	if len(pointsOf(st)) > 0 {
		add(entry{cross: true, words: st.u.say("fixed point of the site")})
	}
	for i := range st.option.Pieces {
		for k := range st.option.Pieces[i].Supports {
			if st.option.Pieces[i].Supports[k].Ballast.Quantity > 0 {
				add(entry{sample: "×3", words: st.u.say("number of weights or stakes")})
			}
		}
	}
	return list
}

// keyWidth is the width of all columns of the key, and keyIndent of what is drawn before the words of each.
const keyWidth, keyIndent = 675.0, 38

// keyColumns are three, fewer where words run wider. The longest English words leave no gap before the next column's sample.
func keyColumns(entries []entry) int {
	columns := 3
	for _, e := range entries {
		for columns > 1 && keyIndent+textWidth(e.words, smallSize)/widest > keyWidth/float64(columns)+1 {
			columns--
		}
	}
	return columns
}

// planFoot is the strip under the plan: scale, north, and the key.
func planFoot(s *sheet, entries []entry) {
	top := s.area.h
	s.line(pt{0, top}, pt{s.width, top}, pen{stroke: paleGrey, width: 1}, "")
	s.scaleBar(pt{16, top + 16}, 150)
	north(s, pt{s.width - 40, top + 30})
	columns := keyColumns(entries)
	for i, e := range entries {
		p := pt{16 + float64(i%columns)*keyWidth/float64(columns), top + 62 + 20*float64(i/columns)}
		switch {
		case e.sample != "":
			s.say(p.add(pt{15, 5}), "middle", smallSize, grey, e.sample)
		case e.cross:
			cross(s.canvas, p.add(pt{15, 0}), "")
		case e.round:
			const r = 7
			s.circle(p.add(pt{15, 0}), r, e.pen, "")
			s.circle(p.add(pt{15, 0}), 1.6, pen{fill: ink}, "")
		case e.person:
			const units = 48 // a metre, so that it is seen
			small := *s
			small.scale = units
			small.fromAbove(p.add(pt{15, 0}), pt{1, 0}, personPen, "", "")
		case e.closed:
			s.rect(box{p.x, p.y - 5, 30, 10}, e.pen, "")
		default:
			s.line(p, p.add(pt{30, 0}), e.pen, "")
		}
		s.say(p.add(pt{keyIndent, 5}), "start", smallSize, ink, e.words)
	}
}

// north is an arrow toward true north.
func north(s *sheet, at pt) {
	up := s.seen(geom.Vec{Y: 1})
	d := pt{up.X, -up.Y}
	s.arrow(at.sub(d.scale(20)), at.add(d.scale(20)), pen{stroke: ink, width: 1.6}, attr("data-part", "north"))
	side := -46.0
	if math.Abs(d.x) > 0.9 {
		side = -60
	}
	s.say(at.add(pt{side, 5}), "middle", smallSize, ink, s.u.say("north"))
}
