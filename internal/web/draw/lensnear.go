package draw

import (
	"math"
	"slices"

	"kitspan/internal/finding"
	"kitspan/internal/geom"
	"kitspan/internal/sizing"
)

// edge is an arrow in the margin toward a place beyond it.
func (p *picture) edge(q pt) (from, tip pt) {
	const inset, long = 6, 30
	_, tip, ok := clipLine(p.center, p.center.toward(q, 4*p.width), p.area.grow(-inset))
	if !ok {
		tip = p.center
	}
	from = tip.toward(p.center, long)
	// Two that point the same way stand side by side along the edge.
	const apart = 18
	room := p.area.grow(-inset + 1)
	step := pt{apart, 0}
	if math.Abs(tip.x-room.x) < 2 || math.Abs(tip.x-room.x-room.w) < 2 {
		step = pt{0, apart}
	}
	for k := 1; k < 12 && slices.ContainsFunc(p.tips, func(o pt) bool { return o.sub(tip).len() < apart-1 }); k++ {
		// To one side and the other in turn, further each time.
		if next := step.scale(float64(k) * float64(1-k%2*2)); room.holds(tip.add(next)) && room.holds(from.add(next)) {
			from, tip = from.add(next), tip.add(next)
		}
	}
	return from, tip
}

// pointer draws an arrow at the edge and keeps everything else off it.
func (p *picture) pointer(from, tip pt, colour, data string) {
	p.tips = append(p.tips, tip)
	p.arrow(from, tip, pen{stroke: colour, width: 1.8}, data)
	const around = 4
	p.space.take(box{math.Min(from.x, tip.x), math.Min(from.y, tip.y), math.Abs(from.x - tip.x), math.Abs(from.y - tip.y)}.grow(around))
}

// closeM is the clearance up to which a piece is drawn.
const closeM = 1.0

// nearby draws what stands close to the picture's edge, and says what it drew and what is as close where it stands but beyond
// the margin as the lens draws it.
func (p *picture) nearby() (near, beyond []int) {
	for i := range p.option.Pieces {
		v := &p.option.Pieces[i]
		if v.ViewClearanceM >= closeM {
			continue
		}
		seen := false
		draw := func(list []geom.Vec, pn pen, name string) {
			if len(list) > 2 {
				seen = p.cut(p.flat(list), p.area, pn, part(i, name)) != nil || seen
			} else if o := p.outline(list); len(o) == 2 {
				seen = true
				p.line(o[0], o[1], pn, part(i, name))
			}
		}
		for k := range v.Supports {
			h := &v.Supports[k]
			draw(ring(p.seen(h.Base), h.FootprintM), feetPen, "feet")
			draw([]geom.Vec{p.seen(h.Base), p.top(h)}, mastPen, "mast")
			if h.Arm != nil {
				draw([]geom.Vec{p.seen(h.Arm[0]), p.seen(h.Arm[1])}, armPen, "arm")
			}
		}
		for k := range v.Lines {
			draw([]geom.Vec{p.seen(v.Lines[k].From), p.seen(v.Lines[k].To)}, ropePen, "line")
		}
		if v.Lamp == nil {
			pn := openingPen(p.id, v.Role)
			if v.Role == finding.RoleNet {
				pn.fill = "" // the picture is seen through it
			}
			draw(p.corners(v), pn, "opening")
		} else if q, ok := p.at(p.seen(v.Lamp.Position)); ok && p.area.grow(-20).holds(q) {
			aim, _ := p.at(p.seen(v.Lamp.Aim))
			p.lampSymbol(q, aim, part(i, "lamp"))
			seen = true
		}
		if seen {
			near = append(near, i)
		} else {
			beyond = append(beyond, i)
		}
	}
	return near, beyond
}

// tagPlace is a point of the piece in the drawing: its middle, or what of its outline is drawn.
func (p *picture) tagPlace(v *sizing.Piece) pt {
	var o []pt
	if v.Lamp == nil {
		o = p.outline(p.corners(v))
	} else if q, ok := p.at(p.seen(v.Lamp.Position)); ok && p.area.holds(q) {
		return q
	}
	for k := 0; len(o) == 0 && k < len(v.Supports); k++ {
		h := &v.Supports[k]
		if o = p.outline([]geom.Vec{p.seen(h.Base), p.top(h)}); len(o) == 0 {
			o = p.outline(ring(p.seen(h.Base), h.FootprintM))
		}
	}
	if len(o) == 0 {
		return p.center
	}
	sum := pt{}
	for _, q := range o {
		sum = sum.add(q)
	}
	return sum.scale(1 / float64(len(o)))
}

func (p *picture) clearWords(v *sizing.Piece) []string {
	return []string{shortRole(v, false, p.u), p.u.say("%s clear", p.u.Length(v.ViewClearanceM))}
}

// beyondEdge points to pieces that are near the view where they stand, yet far out as the lens draws them.
func (p *picture) beyondEdge(list []int) {
	ends := make([]pt, len(list))
	for k, i := range list {
		x, y, _ := p.view.Coords(p.middleOf(&p.option.Pieces[i]))
		from, tip := p.edge(p.center.add(pt{x, -y}.unit().scale(p.width)))
		p.pointer(from, tip, ink, part(i, "beyond"))
		ends[k] = from
	}
	for k, i := range list {
		v, from := &p.option.Pieces[i], ends[k]
		p.tag(i, wish{at: from, worst: 900, reach: 310}, p.clearWords(v)...)
	}
}

// ring is a circle on the ground as a polygon.
func ring(at geom.Vec, radius float64) []geom.Vec {
	const sides = 24
	out := make([]geom.Vec, sides)
	for i := range out {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / sides)
		out[i] = geom.Vec{X: at.X + radius*cos, Y: at.Y + radius*sin}
	}
	return out
}
