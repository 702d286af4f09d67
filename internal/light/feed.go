package light

import (
	"math"

	"kitspan/internal/geom"
)

// gauss2 are the two points of a Gauss-Legendre quadrature on (0, 1), of the same weight.
var gauss2 = [2]float64{0.2113248654051871, 0.7886751345948129}

// feedPanel adds to the cells of a fed panel what the other panels that reflect give them: glow, which changes little
// over the panel, as at a point of each of its four quarters, of beams the mean over the cell's area.
func (l *Lit) feedPanel(k int) {
	p := &l.panels[k]
	cells := l.cellsOf(p)
	var glow [2][2][2]float64
	for i, v := range gauss2 {
		for j, u := range gauss2 {
			l.feed.look(l, p.at(u, v), true)
			for side := range p.got {
				glow[i][j][side] = l.feed.face(l, p.facing(side)).Glow
			}
		}
	}
	for i := range cells {
		for side := range p.got {
			cells[i].got[side] += glow[2*(i/p.across)/p.across][2*(i%p.across)/p.across][side]
		}
	}
	for i := range l.beams {
		if !l.panels[l.beams[i].panel].fed {
			l.feedBeam(k, &l.beams[i])
		}
	}
	l.merge(p)
}

// ways are the parts of a beam, all of the same weight, by places in the unit disc: over the disc exact through the third
// degree (Abramowitz and Stegun 25.4.61, four points).
var ways = [4][2]float64{{math.Sqrt2 / 2, 0}, {-math.Sqrt2 / 2, 0}, {0, math.Sqrt2 / 2}, {0, -math.Sqrt2 / 2}}

// sharpShare is the radius of a beam's spread where it falls, against half the shorter side of the panel on which it
// falls, below which the beam counts as one way: the patch is then as large as that of all ways together, and only its rim is
// taken for sharp.
const sharpShare = 0.15

// feedBeam adds a beam's light to the cells of a fed panel: for each way of the beam's cone the outline of the board that
// throws it, as that way sees it, on the cell, less what shades the board and what panels between hide.
func (l *Lit) feedBeam(k int, b *beam) {
	p, board := &l.panels[k], &l.panels[b.panel]
	if b.normal.Dot(p.center) <= b.normal.Dot(board.center) {
		return
	}
	way := source{near: b.near, at: b.image, dir: b.dir, candela: b.power, normalLx: b.power}
	e1, e2 := b.e1, b.e2
	arm := 1.0 // by which the tangent of a way's angle shifts the source
	if b.near {
		arm = b.image.Sub(board.center).Len()
		e1, e2 = slope(b.image.Sub(board.center).Scale(1/arm), b.normal)
		way.candela *= kept(math.Min(1, b.height/arm), b.tan)
	}
	short := math.Min(p.corner[1].Sub(p.corner[0]).Len(), p.corner[3].Sub(p.corner[0]).Len()) / 2
	if b.tan*p.center.Sub(board.center).Len() < sharpShare*short {
		l.feedWay(k, b, &way, 1)
		return
	}
	for _, w := range ways {
		one := way
		turn := e1.Scale(w[0] * b.tan * arm).Add(e2.Scale(w[1] * b.tan * arm))
		if b.near {
			one.at = one.at.Add(turn)
		} else {
			one.dir = one.dir.Add(turn) // longer by the slant, as the cone's light is even on a plane square to its axis
		}
		l.feedWay(k, b, &one, 1.0/float64(len(ways)))
	}
}

// feedWay adds the light of one way of a beam: as if it came from a source through the board.
func (l *Lit) feedWay(k int, b *beam, way *source, weight float64) {
	p, board := &l.panels[k], &l.panels[b.panel]
	over := b.normal.Dot(board.center)
	l.prisms, l.buf = l.prisms[:0], l.buf[:0]
	for j := range l.panels {
		q := &l.panels[j]
		if j != k && j != b.panel && !q.fed && !q.void() && q.pass != 1 && b.normal.Dot(q.center) > over {
			addPrism(l, p, q, way)
		}
	}
	before := clip(&l.buf, p.corner[:], b.normal, over)
	if len(before) >= 3 {
		l.feedThrough(k, way, before, board.corner[:], l.shades[b.first:b.last], weight)
	}
}

// feedThrough adds the light of a way through a convex part of a board, less what shades of the board take.
func (l *Lit) feedThrough(k int, way *source, before, outline []geom.Vec, shades []prism, weight float64) {
	mark := len(l.buf)
	patch := before
	middle := geom.Vec{}
	for _, v := range outline {
		middle = middle.Add(v.Scale(1 / float64(len(outline))))
	}
	for i := 0; i < len(outline) && len(patch) >= 3; i++ {
		a := outline[i]
		to := way.dir
		if way.near {
			to = way.at.Sub(a)
		}
		in := outline[(i+1)%len(outline)].Sub(a).Cross(to)
		if in.Dot(middle.Sub(a)) < 0 {
			in = in.Scale(-1)
		}
		patch = clip(&l.buf, patch, in, in.Dot(a))
	}
	if len(patch) >= 3 {
		l.feedCells(k, way, patch, weight)
		for i := range shades {
			s := &shades[i]
			part := outline
			for e := 0; e < len(s.normal) && len(part) >= 3; e++ {
				part = clip(&l.buf, part, s.normal[e], s.offset[e])
			}
			if len(part) >= 3 {
				l.feedThrough(k, way, before, part, shades[i+1:], -weight*(1-s.pass))
			}
		}
	}
	l.buf = l.buf[:mark]
}

// feedCells adds the light of a way on a part of a fed panel to its cells, past the prisms of what stands between.
func (l *Lit) feedCells(k int, way *source, patch []geom.Vec, weight float64) {
	p := &l.panels[k]
	side := way.side(p)
	cells := l.cellsOf(p)
	mark := len(l.buf)
	for i := range p.across {
		c := &cells[i*p.across]
		row := l.between(patch, c.corner[0], c.corner[3])
		for j := 0; j < p.across && len(row) >= 3; j++ {
			c := &cells[i*p.across+j]
			top := len(l.buf)
			if part := l.between(row, c.corner[0], c.corner[1]); len(part) >= 3 {
				c.got[side] += weight * math.Max(0, reached(l, p, way, part, l.prisms)) / c.area
			}
			l.buf = l.buf[:top]
		}
		l.buf = l.buf[:mark]
	}
}

// between is what of a polygon lies between the planes through two points square to the way from one to the other.
func (l *Lit) between(polygon []geom.Vec, from, to geom.Vec) []geom.Vec {
	way := to.Sub(from)
	part := clip(&l.buf, polygon, way, way.Dot(from))
	if len(part) < 3 {
		return nil
	}
	return clip(&l.buf, part, way.Scale(-1), -way.Dot(to))
}
