package draw

import (
	"strings"

	"kitspan/internal/geom"
	"kitspan/internal/shot"
)

// ropes draws a piece's ropes with what they are tied to: a square on the ground for anchors, a ring for a fixed point of the site.
// onto is how far a square is lifted to stand on its point.
func ropes(s *sheet, i int, onto float64) {
	const half = 4
	for k := range s.option.Pieces[i].Lines {
		l := &s.option.Pieces[i].Lines[k]
		to := s.at(s.seen(l.To))
		s.line(s.at(s.seen(l.From)), to, ropePen, part(i, "line"))
		if l.Point != "" {
			s.circle(to, half+0.5, anchorPen, part(i, "anchor"))
		} else {
			s.rect(box{to.x - half, to.y - half - onto, 2 * half, 2 * half}, anchorPen, part(i, "anchor"))
		}
	}
}

// fixedPoints marks the fixed points of the site, tied to or not.
func fixedPoints(s *sheet) {
	for _, a := range pointsOf(s.stage) {
		cross(s.canvas, s.at(s.seen(a.Position)), attr("data-point", a.Label))
	}
}

// crossArm is how far a cross reaches to each side.
const crossArm = 3.5

func cross(c *canvas, at pt, data string) {
	for k, end := range [2]pt{{crossArm, crossArm}, {crossArm, -crossArm}} {
		if k > 0 {
			data = ""
		}
		c.line(at.sub(end), at.add(end), pen{stroke: ink, width: 1.4}, data)
	}
}

// nameFixedPoints writes the labels of the fixed points beside them, where there is room.
func nameFixedPoints(s *sheet) {
	const nearby = 60
	for _, a := range pointsOf(s.stage) {
		s.note(wish{at: s.at(s.seen(a.Position)), in: s.area, reach: nearby}, smallSize, ink, shortened(a.Label))
	}
}

// shortened is a label of the user's at a length that finds room.
func shortened(label string) string {
	const most = 24
	if r := []rune(label); len(r) > most {
		return strings.TrimSpace(string(r[:most-1])) + "…"
	}
	return label
}

// pointsOf returns the fixed points of the site that lie among what stands, or within a few steps of it, as seen from above.
func pointsOf(st *stage) (list []shot.Anchor) {
	if len(st.shot.Site.Anchors) == 0 {
		return nil
	}
	const stepsM = 3
	e := st.reach(fromAbove)
	for _, a := range st.shot.Site.Anchors {
		if x, y := fromAbove(st.seen(a.Position)); x > e.left-stepsM && x < e.right+stepsM && y > e.low-stepsM && y < e.high+stepsM {
			list = append(list, a)
		}
	}
	return list
}

// points takes in the fixed points.
func (e *extent) points(st *stage, flat func(geom.Vec) (right, up float64)) {
	for _, a := range pointsOf(st) {
		e.add(flat(st.seen(a.Position)))
	}
}
