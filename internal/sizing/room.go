package sizing

import (
	"math"

	"kitspan/internal/geom"
)

// room is how far a frame can be moved toward each side of the view, and toward the lens, at one facing and still cover
// or nearly so.
// It is worked out once a facing and frame, and tells at once of a support with too short an arm that it has no room.
type room struct {
	known bool
	sheet sheet
	topM  float64
	// left, right and back are the greatest g·c of the planes to the left and the right of the view and of the lens's
	// own; near is the greatest sum of the first two: toward the lens, where the view is narrow.
	left, right, back, near float64
}

// room says whether supports could stand out of view at a facing: a relaxation of [placer.supportRows] that looks at
// the ground alone, and at one support a side, and drops every other condition but covering.
func (p *placer) room(f *facing, sh *sheet, ho *hold) bool {
	r := &f.rooms[0]
	if sh.halfU < sh.halfV {
		r = &f.rooms[1]
	}
	gl, gr, gb := p.st.sides()
	level := func(g geom.Vec) geom.Vec { return geom.Vec{X: g.X, Y: g.Y} }
	if !r.known || r.sheet != *sh || r.topM != ho.topM {
		*r = room{known: true, sheet: *sh, topM: ho.topM}
		free := anyHold // kept for every hold: no hold's own heights may be in it
		free.topM = ho.topM
		n := p.common(f, sh, &free, yieldCover)
		n = p.put(n, geom.Vec{}, -1, p.st.seedDepthM()) // a little short of covering: turning a little may mend that
		r.left, r.right = p.farthest(n, level(gl)), p.farthest(n, level(gr))
		r.back, r.near = p.farthest(n, level(gb)), p.farthest(n, level(gl.Add(gr)))
	}
	off := offsetsOf(f, sh, ho.count)
	// short is how much g·c lacks before offset o stands clear of plane g.
	need := func(g geom.Vec, keep float64) float64 {
		return keep + g.Dot(p.st.view.Eye) - ho.reach(math.Hypot(g.X, g.Y), math.Hypot(g.X, g.Y))
	}
	reach := func(g geom.Vec) (least, most float64) {
		least, most = math.Inf(1), math.Inf(-1)
		for _, o := range off.at[:off.n] {
			least, most = math.Min(least, level(g).Dot(o)), math.Max(most, level(g).Dot(o))
		}
		return least, most
	}
	clear := p.st.viewM + guardM
	needL, needR := need(gl, clear), need(gr, clear)
	leastL, mostL := reach(gl)
	leastR, mostR := reach(gr)
	leastB, _ := reach(gb)
	return r.left+leastL >= needL || r.right+leastR >= needR || r.near+mostL+mostR >= needL+needR ||
		r.back+leastB >= need(gb, guardM)
}

// sides are the planes through the eye with the view behind them: to its left, to its right, and the lens's own.
func (st *stage) sides() (left, right, back geom.Vec) {
	v := &st.view
	ahead := v.Forward.Scale(v.TanX)
	return v.Right.Scale(-1).Sub(ahead), v.Right.Sub(ahead), v.Forward.Scale(-1)
}

// farthest is the greatest g·c over the places that keep the first n rows; −Inf where there is none.
func (p *placer) farthest(n int, g geom.Vec) float64 {
	p.lp.Goal = [geom.Dim]float64{g.X, g.Y, -heightWeight, -sideWeight}
	for j := range 2 {
		if p.lp.Goal[j] == 0 {
			p.lp.Goal[j] = sideWeight
		}
	}
	x, _, v := p.solve(n, math.Inf(-1))
	p.lp.Goal = slackGoal
	if v != geom.Optimal {
		return math.Inf(-1)
	}
	return g.X*x[0] + g.Y*x[1]
}
