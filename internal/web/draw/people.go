package draw

import (
	"math"

	"kitspan/internal/geom"
)

// People are drawn in their zones as figures for the scale: how many stand there nobody says.

const (
	// personM is a standing person, the contract's default top of a zone, and trunkM what of one is over the seat: a lower zone has a figure
	// that sits (from memory).
	personM = 1.85
	trunkM  = 0.92
	// shoulderM is half the width of the shoulders, chestM half the depth of the chest, headM the radius of a head, for drawing alone.
	shoulderM, chestM, headM = 0.23, 0.13, 0.11
	// apartM is the room that a figure has beside another, mostPeople how many are drawn at most.
	apartM     = 1.3
	mostPeople = 8
)

// figure is a person in a zone: where the feet are, on the ground, and how high the head reaches.
type figure struct {
	foot geom.Vec
	topM float64
}

// people are the figures of all zones; none where a zone is too low for one.
func (st *stage) people() (list []figure) {
	for i, b := range st.blocks() {
		top := b.Mid.Z + b.Half.Z
		if i == 0 {
			top = st.shot.Zone.TopM
		}
		top = math.Min(top, personM)
		if top < trunkM {
			continue
		}
		n := int(math.Max(1, math.Min(mostPeople, math.Floor(2*b.Half.X/apartM))))
		for k := range n {
			aside := b.Half.X * (2*float64(k) + 1 - float64(n)) / float64(n)
			list = append(list, figure{geom.Vec{X: b.Mid.X + aside, Y: b.Mid.Y}, top})
		}
	}
	return list
}

// body is the outline of a figure from the front, feet at 0: metres aside and up. Of one that sits the legs are the shorter.
func (f *figure) body() [][2]float64 {
	seat := f.topM - trunkM
	return [][2]float64{
		{-0.16, 0}, {-0.18, seat}, {-0.25, seat + 0.03}, {-0.23, f.topM - 0.39}, {-0.07, f.topM - 0.3}, {0.07, f.topM - 0.3},
		{0.23, f.topM - 0.39}, {0.25, seat + 0.03}, {0.18, seat}, {0.16, 0}, {0.04, 0}, {0.0, math.Max(0.02, seat-0.1)}, {-0.04, 0},
	}
}

// headUp is how high the middle of a figure's head is.
func (f *figure) headUp() float64 { return f.topM - 0.15 }

// headRadiusM is that of a head from the front, hair included.
const headRadiusM = 0.148

var personPen = pen{stroke: ink, width: 1.2, fill: paper}

// person draws a figure upright.
func (s *elevation) person(f *figure, data string) {
	foot := s.at(f.foot)
	var body []pt
	for _, v := range f.body() {
		body = append(body, foot.add(pt{v[0] * s.scale, -v[1] * s.scale}))
	}
	s.shape(body, false, personPen, data)
	s.circle(foot.add(pt{0, -f.headUp() * s.scale}), headRadiusM*s.scale, personPen, "")
}

// peopleFromAbove are shoulders across the lens axis, and heads.
func (s *sheet) peopleFromAbove() {
	for _, f := range s.people() {
		s.fromAbove(s.at(f.foot), pt{1, 0}, personPen, attr("data-part", "person"), "")
	}
}

// fromAbove is a person seen from above, the shoulders along a unit vector.
func (s *sheet) fromAbove(at, along pt, p pen, data, head string) {
	const sides = 16
	toward := pt{-along.y, along.x}
	var round []pt
	for i := range sides {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / sides)
		round = append(round, at.add(along.scale(cos*shoulderM*s.scale)).add(toward.scale(sin*chestM*s.scale)))
	}
	s.shape(round, false, p, data)
	s.circle(at, headM*s.scale, p, head)
}

// figures are the people as the lens draws them, upright and turned to it.
func (p *picture) figures() {
	for _, f := range p.people() {
		var body, head []geom.Vec
		for _, v := range f.body() {
			body = append(body, f.foot.Add(geom.Vec{X: v[0], Z: v[1]}))
		}
		const sides = 20
		for i := range sides {
			sin, cos := math.Sincos(2 * math.Pi * float64(i) / sides)
			head = append(head, f.foot.Add(geom.Vec{X: headRadiusM * cos, Z: f.headUp() + headRadiusM*sin}))
		}
		p.cutOutline(body, attr("data-part", "person"))
		p.cutOutline(head, "")
	}
}

// cutOutline draws an outline, which need not be convex, as far as it lies in the drawing: its edges, and what is inside in paper.
func (p *picture) cutOutline(list []geom.Vec, data string) {
	flat := p.flat(list)
	if len(flat) < 3 {
		return
	}
	whole := true
	for _, q := range flat {
		whole = whole && p.area.holds(q)
	}
	if whole {
		p.shape(flat, false, personPen, data)
		return
	}
	for i, b := range flat {
		if a, b, ok := clipLine(flat[(i+len(flat)-1)%len(flat)], b, p.area); ok {
			p.line(a, b, personPen, data)
		}
	}
}
