package draw

import (
	"slices"
	"strconv"

	"kitspan/internal/finding"
	"kitspan/internal/geom"
	"kitspan/internal/sizing"
)

// openingPen is how a role's opening is drawn: what softens is outlined heavily, what reflects more so, what diffuses in
// dashes, what is black is black.
func openingPen(id string, r finding.Role) pen {
	switch r {
	case finding.RoleOverhead, finding.RoleSide:
		return pen{stroke: ink, width: 2.4, fill: cloth, opacity: 0.55}
	case finding.RoleReflector:
		return pen{stroke: beamInk, width: 3, fill: paper}
	case finding.RoleFill:
		return pen{stroke: beamInk, width: 2, fill: paper}
	case finding.RoleReflectorDiffuser, finding.RoleLampDiffuser:
		return pen{stroke: ink, width: 2, dash: "7 3", fill: cloth, opacity: 0.55}
	case finding.RoleNet:
		return pen{stroke: ink, width: 1.6, fill: "url(#" + id + "-net)"}
	case finding.RoleBlack:
		return pen{stroke: ink, width: 2.4, fill: ink, opacity: 0.75}
	case finding.RoleCameraShade, finding.RoleLamp: // a lamp has no opening
	}
	return pen{stroke: ink, width: 1.8, fill: ink, opacity: 0.45}
}

// patterns are the hatchings that a drawing uses: the zone's, and the net's.
func (c *canvas) patterns() {
	c.raw(`<defs><pattern id="` + c.id + `-zone" width="8" height="8" patternUnits="userSpaceOnUse"><path d="M-2 2L2 -2M0 8L8 0M6 10L10 6" stroke="` +
		grey + `" stroke-width="1"/></pattern><pattern id="` + c.id + `-net" width="6" height="6" patternUnits="userSpaceOnUse"><path d="M0 0H6M0 0V6" stroke="` +
		grey + `" stroke-width="0.8"/></pattern></defs>` + "\n")
}

// The pens of what holds a piece.
var (
	mastPen   = pen{stroke: ink, width: 1.6}
	armPen    = pen{stroke: ink, width: 1.2}
	ropePen   = pen{stroke: ink, width: 1.3, dash: "4 2"}
	feetPen   = pen{stroke: grey, width: 1}
	anchorPen = pen{stroke: ink, width: 1.2, fill: paper}
	zonePen   = pen{stroke: ink, width: 1.2, dash: "5 3"}
)

// opening draws a piece's opening, or the lamp that it is.
func (s *sheet) opening(i int, p *sizing.Piece) {
	if p.Lamp == nil {
		s.shape(s.points(s.corners(p)), false, openingPen(s.id, p.Role), part(i, "opening"))
		return
	}
	at, aim := s.at(s.seen(p.Lamp.Position)), s.at(s.seen(p.Lamp.Aim))
	s.lampSymbol(at, aim, part(i, "lamp"))
}

// lampSymbol is a disc with an open mouth toward the aim.
func (s *canvas) lampSymbol(at, aim pt, data string) {
	const r = 6.0
	d := aim.sub(at).unit()
	if d == (pt{}) {
		d = pt{0, 1}
	}
	side := pt{-d.y, d.x}
	mouth := at.add(d.scale(r + 5))
	s.shape([]pt{at.add(side.scale(4)), mouth.add(side.scale(8)), mouth.sub(side.scale(8)), at.sub(side.scale(4))}, false, pen{stroke: beamInk, width: 1.4, fill: paper}, "")
	s.circle(at, r, pen{stroke: beamInk, width: 1.6, fill: paper}, data)
}

// ballast is how many bags or blocks lie on a support.
func ballast(s *sizing.Support) string { return times(s.Ballast.Quantity) }

func times(n int) string {
	if n == 0 {
		return ""
	}
	return "×" + strconv.Itoa(n)
}

// alike reports whether two pieces are of one row: equal boards or lamps side by side.
func alike(a, b *sizing.Piece) bool {
	return hangs(a) == hangs(b) && a.Serves == b.Serves && a.Lights == b.Lights && a.Face == b.Face && slices.Equal(a.Items, b.Items)
}

// word is the role of piece i where it is alone or the first of its row; the others go without.
func word(st *stage, i int) string {
	list := st.option.Pieces
	if i > 0 && alike(&list[i-1], &list[i]) {
		return ""
	}
	return shortRole(&list[i], i+1 < len(list) && alike(&list[i], &list[i+1]), st.u)
}

// tags numbers all pieces: where they are, or beside that.
func (s *sheet) tags() {
	for i := range s.option.Pieces {
		if s.omits(&s.option.Pieces[i]) {
			continue
		}
		s.tag(i, wish{at: s.at(s.middleOf(&s.option.Pieces[i])), on: s.option.Pieces[i].Lamp == nil && s.roomy(&s.option.Pieces[i])}, word(s.stage, i))
	}
}

// roomy reports whether an opening is drawn large enough to carry its number inside.
func (s *sheet) roomy(p *sizing.Piece) bool {
	c := s.points(s.corners(p))
	a, b := c[1].sub(c[0]), c[3].sub(c[0])
	area := a.x*b.y - a.y*b.x
	const least = 3 * tagRadius * 3 * tagRadius
	return area > least || area < -least
}

// lit is how a line of light is drawn.
var lit = pen{stroke: beamInk, width: 1.3, dash: "10 3 2 3"}

// beams are the lines from boards to what they serve, and from lamps to their aim and on to it.
func (s *sheet) beams() {
	for i := range s.option.Pieces {
		p := &s.option.Pieces[i]
		from, to := s.middleOf(p), s.served(p)
		switch {
		case p.Lamp != nil:
			aim := s.seen(p.Lamp.Aim)
			s.line(s.at(from), s.at(aim), lit, part(i, "aim"))
			const same = 0.05 // metres
			if aim.Sub(to).Len() > same {
				s.line(s.at(aim), s.at(to), lit, part(i, "onward"))
			}
		case p.Role == finding.RoleReflector || p.Role == finding.RoleFill:
			s.line(s.at(from), s.at(to), lit, part(i, "beam"))
		}
	}
}

// onGround is a point's place on the ground.
func onGround(v geom.Vec) geom.Vec { return geom.Vec{X: v.X, Y: v.Y} }
