package draw

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"kitspan/internal/geom"
	"kitspan/internal/sizing"
)

// elevation is a sheet seen level, the ground a line across it.
type elevation struct{ *sheet }

// skyM is left over the highest thing, for rays and words.
const skyM = 0.4

func newElevation(r *sizing.Result, o *sizing.Option, u Units, kind string, flat func(geom.Vec) (right, up float64)) elevation {
	st := newStage(r, o, u)
	e := st.reach(flat)
	e.points(st, flat)
	e.low = 0
	e.high += skyM
	below, foot := 40.0, 46.0
	if u.Sheet {
		below, foot = 28, 28
	}
	s := elevation{newSheet(st, u, kind, flat, e, u.width(), 56, 34, below, 330, foot)}
	if u.Sheet { // in a strip so low, before a number finds room there
		s.underneath()
	}
	return s
}

// Along draws the rig from the side: the lens at the left, depth to the right, all heights true.
func Along(r *sizing.Result, o *sizing.Option, u Units) string {
	s := newElevation(r, o, u, "along", fromTheSide)
	s.patterns()
	s.viewFromTheSide()
	s.horizon()
	s.all(func(v geom.Vec) float64 { return -v.X })
	s.lens(s.at(s.view.Eye), s.facing(s.view.Forward))
	s.rays()
	s.caption()
	s.tags()
	s.names()
	s.heights()
	nameFixedPoints(s.sheet)
	s.note(wish{at: s.at(s.view.Eye).add(pt{-12, 0}), in: s.area, first: pt{0, -1}}, textSize, ink, u.say("lens"))
	desc := u.say("Side view to scale, the lens at the left looking right, %s up and %s from the subject.",
		u.Length(s.shot.Camera.HeightM), u.Length(s.shot.Framing.DistanceM))
	return s.close(u.say("From the side: %s", r.Shot.Name), desc)
}

// Across draws the rig as seen from behind the camera, near and far alike in true width and height.
func Across(r *sizing.Result, o *sizing.Option, u Units) string {
	s := newElevation(r, o, u, "across", fromBehind)
	s.beforeLens = true
	s.patterns()
	s.horizon()
	s.all(func(v geom.Vec) float64 { return v.Y })
	edge := s.pictureAtSubject()
	s.rays()
	s.caption()
	s.tags()
	s.names()
	s.heights()
	nameFixedPoints(s.sheet)
	if edge != nil {
		s.note(wish{at: *edge, in: s.area, first: pt{1, -1}}, smallSize, ink, u.say("picture at the subject"))
	}
	return s.close(u.say("From behind the lens: %s", r.Shot.Name), u.say("View from the camera's back, to scale and without perspective: everything in true width and height. What shades the lens is at it, and left out."))
}

func (s *elevation) close(title, desc string) string {
	var b strings.Builder
	b.WriteString(desc)
	s.describe(&b)
	if !s.u.Sheet {
		s.underneath()
	}
	return s.finish(title, b.String(), s.data())
}

// underneath is the scale.
func (s *elevation) underneath() { s.scaleBar(pt{16, s.area.h + 8}, 150) }

// facing is a direction on the paper.
func (s *elevation) facing(v geom.Vec) pt {
	right, up := s.flat(v)
	return pt{right, -up}.unit()
}

// all draws what stands, the far before the near; far is how far away a point is.
func (s *elevation) all(far func(geom.Vec) float64) {
	ground := s.at(geom.Vec{}).y
	s.line(pt{0, ground}, pt{s.width, ground}, pen{stroke: ink, width: 1.8}, attr("data-part", "ground"))
	s.say(pt{s.width - 8, ground + 18}, "end", smallSize, grey, s.u.say("ground"))
	for i, b := range s.blocks() {
		s.block(i, &b)
	}
	for _, f := range s.people() {
		s.person(&f, attr("data-part", "person"))
	}
	order := make([]int, len(s.option.Pieces))
	for i := range order {
		order[i] = i
	}
	order = slices.DeleteFunc(order, func(i int) bool { return s.omits(&s.option.Pieces[i]) })
	slices.SortStableFunc(order, func(a, b int) int {
		return -compare(far(s.middleOf(&s.option.Pieces[a])), far(s.middleOf(&s.option.Pieces[b])))
	})
	s.beams()
	for _, i := range order {
		s.standsLevel(i, ground)
		s.opening(i, &s.option.Pieces[i])
	}
	fixedPoints(s.sheet)
}

func compare(a, b float64) int {
	switch {
	case a < b:
		return -1
	case a > b:
		return 1
	}
	return 0
}

// block is a zone as an upright rectangle.
func (s *elevation) block(i int, b *block) {
	low, high := b.base(), b.base()
	high.Z += 2 * b.Half.Z
	half, _ := s.flat(b.Half)
	l, h := s.at(low), s.at(high)
	w := half * s.scale
	s.rect(box{l.x - w, h.y, 2 * w, l.y - h.y}, pen{stroke: ink, width: 1.2, dash: zonePen.dash, fill: "url(#" + s.id + "-zone)"}, attr("data-zone", strconv.Itoa(i)))
}

// standsLevel are a piece's supports: feet on the ground, mast, arm, and ropes to their anchors.
func (s *elevation) standsLevel(i int, ground float64) {
	p := &s.option.Pieces[i]
	for k := range p.Supports {
		h := &p.Supports[k]
		base, top := s.at(s.seen(h.Base)), s.at(s.top(h))
		r := h.FootprintM * s.scale
		knee := base.add(pt{0, -math.Min(r*0.5, base.y-top.y)})
		s.shape([]pt{{base.x - r, ground}, knee, {base.x + r, ground}}, true, feetPen, part(i, "feet"))
		s.line(base, top, mastPen, part(i, "mast"))
		if h.Arm != nil {
			s.line(s.at(s.seen(h.Arm[0])), s.at(s.seen(h.Arm[1])), armPen, part(i, "arm"))
		}
	}
	for k := range p.HeldBy {
		h := &p.HeldBy[k]
		who := figure{onGround(s.seen(h.Stands)), personM}
		s.person(&who, part(i, "holder"))
		s.line(s.at(who.foot).add(pt{0, -0.8 * personM * s.scale}), s.at(s.seen(h.Holds)), armPen, part(i, "reach"))
	}
	ropes(s.sheet, i, 4)
}

// viewFromTheSide are the top and the bottom of what the camera sees.
func (s *elevation) viewFromTheSide() {
	eye := s.at(s.view.Eye)
	far := 4 * s.width / s.scale
	top, bottom := s.at(s.view.Eye.Add(s.view.Ray(0, 1).Scale(far))), s.at(s.view.Eye.Add(s.view.Ray(0, -1).Scale(far)))
	sky := s.area
	sky.h = s.at(geom.Vec{}).y
	s.shape(clipShape([]pt{eye, top, bottom}, sky), false, pen{fill: taken}, "")
	for i, to := range [2]pt{top, bottom} {
		if a, b, ok := clipLine(eye, to, sky); ok {
			s.line(a, b, pen{stroke: ink, width: 1}, attr("data-part", [2]string{"view-top", "view-bottom"}[i]))
		}
	}
}

// horizon is the level of the lens, where the far end of level ground lies in the picture.
func (s *elevation) horizon() {
	y := s.at(s.view.Eye).y
	s.line(pt{0, y}, pt{s.width, y}, pen{stroke: grey, width: 1, dash: "1 4", faint: true}, attr("data-part", "horizon"))
}

// pictureAtSubject is the picture's edge in the upright plane through the subject; corner is one of it in the drawing.
func (s *elevation) pictureAtSubject() (corner *pt) {
	var c []pt
	for _, k := range [4][2]float64{{-1, -1}, {1, -1}, {1, 1}, {-1, 1}} {
		ray := s.view.Ray(k[0], k[1])
		if ray.Y <= 0 {
			return nil // a lens tilted so far has no such edge
		}
		c = append(c, s.at(s.view.Eye.Add(ray.Scale(-s.view.Eye.Y/ray.Y))))
	}
	if s.cut(c, s.area, pen{stroke: ink, width: 1}, attr("data-part", "picture")) == nil {
		return nil
	}
	return &pt{math.Min(c[2].x, s.area.w), math.Max(c[2].y, s.area.y)}
}

// rays run over the zone's outline toward each hard source that a piece stops, in the middle of the window.
func (s *elevation) rays() {
	corners := s.blocks()[0].Corners()
	sky := s.area
	sky.h = s.at(geom.Vec{}).y
	for k := range s.lights {
		l := &s.lights[k]
		m := l.mid()
		if m.elevationDeg <= 0 || m.lx <= 0 {
			continue
		}
		across := s.facing(l.toward(s.blocks()[0].Mid, &m))
		// The two corners furthest to either side of the light as drawn.
		var ends [2]geom.Vec
		var most [2]float64
		for i, c := range corners {
			p := s.at(c)
			d := p.x*-across.y + p.y*across.x
			if i == 0 || d < most[0] {
				most[0], ends[0] = d, c
			}
			if i == 0 || d > most[1] {
				most[1], ends[1] = d, c
			}
		}
		for i, c := range ends {
			far := c.Add(l.toward(c, &m).Scale(4 * s.width / s.scale))
			if l.near != nil {
				far = *l.near
			}
			a, b, ok := clipLine(s.at(c), s.at(far), sky)
			if !ok {
				continue
			}
			s.line(a, b, pen{stroke: sunInk, width: 1.2, dash: "9 4"}, attr("data-part", "ray")+attr("data-source", l.label))
			if i == 0 {
				s.note(wish{at: b.toward(a, 8), in: s.area.grow(-3)}, smallSize, sunInk, s.sourceWords(l, &m))
			}
		}
	}
}
