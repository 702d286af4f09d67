package draw

import (
	"math"
	"strconv"
	"strings"

	"kitspan/internal/geom"
	"kitspan/internal/sizing"
)

// picture is a canvas in the plane of the picture: tangents across and up, and a margin around what the camera takes.
type picture struct {
	*canvas
	*stage
	u      Units
	scale  float64 // units of paper per unit of tangent
	center pt
	frame  box  // what the camera takes
	area   box  // with the margin
	tips   []pt // of the arrows at the edge
}

// nearM is the depth from which on things are drawn: at the lens itself nothing projects.
const nearM = 1e-3

const (
	// marginShare is how much is drawn around the picture, as a share of its sides; leastMargin leaves room for words.
	marginShare = 0.28
	leastMargin = 84.0
	// tallestPicture bounds an upright picture's height on the paper, tallestOnSheet that of any on the printed sheet.
	tallestPicture = 420.0
	tallestOnSheet = 160.0
)

// Lens draws what the camera sees, and what stands just out of it.
func Lens(r *sizing.Result, o *sizing.Option, u Units) string {
	st := newStage(r, o, u)
	wide := u.width()
	w := wide / (1 + 2*marginShare)
	h := w / st.shot.Framing.AspectRatio
	tallest := tallestPicture
	if u.Sheet {
		tallest = tallestOnSheet
	}
	if h > tallest {
		h = tallest
		w = h * st.shot.Framing.AspectRatio
	}
	mx, my := math.Max(marginShare*w, leastMargin), math.Max(marginShare*h, leastMargin)
	c := newCanvas("lens", wide, math.Ceil(h+2*my))
	p := &picture{
		canvas: c, stage: st, u: u, scale: w / 2 / st.view.TanX, center: pt{wide / 2, c.height / 2},
		frame: box{wide/2 - w/2, c.height/2 - h/2, w, h},
		area:  box{math.Max(0, wide/2-w/2-mx), 0, math.Min(wide, w+2*mx), c.height},
	}
	p.patterns()
	p.rect(p.frame, pen{stroke: ink, width: 2.4, fill: taken}, attr("data-part", "picture"))
	p.horizon()
	p.zones()
	p.figures()
	near, beyond := p.nearby()
	p.zoneNames()
	p.space.fill(p.frame) // the picture is the camera's: words about pieces belong around it
	words := p.suns()
	p.beyondEdge(beyond)
	for _, i := range near {
		p.tag(i, wish{at: p.tagPlace(&o.Pieces[i]), worst: 900, reach: 310}, p.clearWords(&o.Pieces[i])...)
	}
	for _, w := range words {
		near := w.wish
		near.reach, near.worst = 95, 160
		if !p.note(near, smallSize, sunInk, w.text) {
			p.note(w.wish, smallSize, sunInk, w.short)
		}
	}
	p.words()
	var b strings.Builder
	b.WriteString(u.say("What the camera sees, as its lens draws it, and what stands within about a quarter of the picture around it."))
	for i := range o.Pieces {
		if v := &o.Pieces[i]; v.ViewClearanceM < closeM {
			b.WriteString(" " + u.say("%d: %s, %s out of the picture.", i+1, roleName(v, u), u.Length(v.ViewClearanceM)))
		}
	}
	return p.finish(u.say("Through the lens: %s", st.shot.Name), b.String(), scaleData(p.scale, p.center, st.shot.Camera.BearingDeg))
}

// at projects a point; ok is false behind the lens.
func (p *picture) at(v geom.Vec) (pt, bool) {
	x, y, depth := p.view.Coords(v)
	if depth < nearM {
		return pt{}, false
	}
	return pt{p.center.x + p.scale*x/depth, p.center.y - p.scale*y/depth}, true
}

// ray projects a direction.
func (p *picture) ray(d geom.Vec) (pt, bool) { return p.at(p.view.Eye.Add(d.Scale(1e6))) }

// flat projects a polygon, or a line of two points, as far as it lies before the lens.
func (p *picture) flat(list []geom.Vec) []pt {
	var front []geom.Vec
	for i, b := range list {
		a := list[(i+len(list)-1)%len(list)]
		_, _, da := p.view.Coords(a)
		_, _, db := p.view.Coords(b)
		if (da < nearM) != (db < nearM) {
			front = append(front, a.Add(b.Sub(a).Scale((nearM-da)/(db-da))))
		}
		if db >= nearM {
			front = append(front, b)
		}
	}
	var flat []pt
	for _, v := range front {
		x, y, depth := p.view.Coords(v)
		depth = math.Max(depth, nearM/2)
		flat = append(flat, pt{p.center.x + p.scale*x/depth, p.center.y - p.scale*y/depth})
	}
	return flat
}

// outline is flat as far as it lies in the drawing.
func (p *picture) outline(list []geom.Vec) []pt {
	flat := p.flat(list)
	if len(list) > 2 {
		return clipShape(flat, p.area)
	}
	if len(flat) >= 2 {
		if a, b, ok := clipLine(flat[0], flat[1], p.area); ok {
			return []pt{a, b}
		}
	}
	return nil
}

// horizon is where level ground ends; without roll it is level in the picture.
func (p *picture) horizon() {
	at, ok := p.ray(geom.Vec{Y: 1})
	if !ok || at.y <= p.area.y || at.y >= p.area.y+p.area.h {
		return
	}
	p.line(pt{p.area.x, at.y}, pt{p.area.x + p.area.w, at.y}, pen{stroke: grey, width: 1, dash: "1 4", faint: true}, attr("data-part", "horizon"))
}

// boxEdges are the twelve edges of [geom.Box.Corners].
var boxEdges = [12][2]int{{0, 1}, {2, 3}, {4, 5}, {6, 7}, {0, 2}, {1, 3}, {4, 6}, {5, 7}, {0, 4}, {1, 5}, {2, 6}, {3, 7}}

func (p *picture) zones() {
	for i, b := range p.blocks() {
		c := b.Corners()
		// The near face is hatched, the rest is edges.
		face := p.outline([]geom.Vec{c[0], c[1], c[5], c[4]})
		if len(face) > 2 {
			p.shape(face, false, pen{fill: "url(#lens-zone)"}, attr("data-zone", strconv.Itoa(i)))
		}
		for _, e := range boxEdges {
			if l := p.outline([]geom.Vec{c[e[0]], c[e[1]]}); len(l) == 2 {
				edge := pen{stroke: ink, width: 1.1}
				if e[0]&2 != 0 || e[1]&2 != 0 {
					edge.dash = "4 3"
				}
				p.line(l[0], l[1], edge, attr("data-zone-edge", strconv.Itoa(i)))
			}
		}
	}
}

// farOffDeg is the angle from the lens axis beyond which a source is not pointed at: it lights the lens no more than the sky.
const farOffDeg = 75

// discMost bounds the disc of a source on the paper.
const discMost = 24.0

// worded is a label that waits for others, which have less choice.
type worded struct {
	wish        wish
	text, short string // short where there is no room for text close by
}

// suns are the hard sources: a disc where they are drawn, an arrow at the edge where they are not far; and what is to be
// written beside them.
func (p *picture) suns() (words []worded) {
	for k := range p.lights {
		l := &p.lights[k]
		for m := range l.moments {
			at := &l.moments[m]
			if at.elevationDeg <= 0 {
				continue
			}
			dir := at.toward
			if l.near != nil {
				dir = l.near.Sub(p.view.Eye).Unit()
			}
			q, ok := p.ray(dir)
			text := p.clockWords(l, at)
			short := text
			data := attr("data-part", "sun") + attr("data-source", l.label) + attr("data-at", at.clock)
			switch {
			case ok && p.area.grow(-discMost).holds(q):
				const least = 5
				p.circle(q, math.Min(math.Max(least, p.scale*math.Tan(l.radius*math.Pi/180)), discMost-2), pen{stroke: sunInk, width: 2, fill: paper}, data)
				if at.inView {
					text = p.u.say("%s, in the picture", text)
				}
				words = append(words, worded{wish{at: q, in: p.area}, text, short})
			case at.offAxisDeg < farOffDeg && ok:
				from, tip := p.edge(q)
				if len(l.moments) > 1 && m != len(l.moments)/2 && p.sameEdge(l, tip) {
					continue
				}
				p.pointer(from, tip, sunInk, data)
				words = append(words, worded{wish{at: from, in: p.bounds()}, p.u.say("%s, %s° off the axis", text, p.u.Number(at.offAxisDeg, 0)), short})
			}
		}
	}
	return words
}

// sameEdge reports whether an arrow at tip would stand so near that of mid-window that it would only be in the way.
func (p *picture) sameEdge(l *light, tip pt) bool {
	const apart = 60
	q, ok := p.ray(l.mid().toward)
	if !ok || p.area.grow(-discMost).holds(q) {
		return false
	}
	_, other := p.edge(q)
	return other.sub(tip).len() < apart
}

// clockWords name a source at an instant.
func (p *picture) clockWords(l *light, m *moment) string {
	if !l.sun {
		return clip(l.label, smallSize, nameWidth)
	}
	return p.u.say("sun %s", m.clock)
}

func (p *picture) zoneNames() {
	for _, b := range p.blocks() {
		c := b.Corners()
		if q, ok := p.at(c[4].Add(c[5]).Scale(0.5)); ok && p.area.holds(q) {
			p.note(wish{at: q, in: p.area, first: pt{0, -1}}, textSize, ink, b.name())
		}
	}
}

func (p *picture) words() {
	if at, ok := p.ray(geom.Vec{Y: 1}); ok && at.y > p.area.y+smallSize && at.y < p.area.y+p.area.h-smallSize {
		p.note(wish{at: pt{p.area.x + p.area.w - 40, at.y}, in: p.area, first: pt{0, -1}}, smallSize, grey, p.u.say("horizon"))
	}
	p.note(wish{at: pt{p.frame.x + 50, p.frame.y + p.frame.h}, in: p.area, first: pt{0, 1}}, smallSize, ink, p.u.say("edge of the picture"))
}
