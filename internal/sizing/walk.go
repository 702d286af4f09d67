package sizing

import (
	"context"
	"math"

	"kitspan/internal/geom"
)

// walk is the state of one descent through the cases of a facing.
type walk struct {
	f                   *facing
	sh                  *sheet
	ho                  *hold
	y                   yields
	enough, top         float64
	sep                 [maxSeparators]separator
	head                [maxHeads]headCase
	off                 offsets
	seps, heads, splits int
	branch              branch
	out                 spot
	found               bool
	// best place and basis of each level, kept here to stay off the heap
	x     [levels + 1][geom.Dim]float64
	basis [levels + 1]geom.Basis
}

// levels of the descent: where supports go, what keeps the piece out of view, what keeps head room.
const levels = 3

// done says that no case can do better than what was found, or that it is enough.
func (w *walk) done() bool { return w.found && (w.out.slack >= w.enough || w.out.slack >= w.top) }

// best is the spot with most slack above cutoff for a sheet at a facing. It stops at the first spot of at least
// enough (+Inf to go on to the best).
func (p *placer) best(ctx context.Context, f *facing, sh *sheet, ho *hold, y yields, cutoff, enough float64) (spot, bool) {
	w := &p.walk
	if p.accept != nil && p.patience <= 0 || ctx.Err() != nil {
		return spot{}, false
	}
	w.f, w.sh, w.ho, w.y, w.enough, w.found = f, sh, ho, y, enough, false
	w.out = spot{yaw: f.yaw, tilt: f.tilt, sheet: *sh, slack: cutoff}
	if p.only == nil && y == yieldCover && !ho.anywhere && !p.room(f, sh, ho) {
		return w.out, false
	}
	n := p.common(f, sh, ho, y)
	if p.only == nil {
		w.basis[0] = p.lp.Start()
		var v geom.Verdict
		if w.x[0], _, v = p.resume(&w.basis[0], n, cutoff); v != geom.Optimal {
			return w.out, false
		}
	}
	w.seps = p.st.separators(&w.sep, f)
	w.heads = p.st.headCases(&w.head, f, sh, y)
	w.off = offsetsOf(f, sh, ho.count)
	w.splits = ho.count + 2 // k leftmost go left, or all behind the lens
	if ho.anywhere {
		w.splits = 1
	}
	if p.only != nil {
		p.follow(ctx, n)
		return w.out, w.found
	}
	w.top = w.x[0][3] - bestTolerance
	p.descend(ctx, 0, n)
	return w.out, w.found
}

// follow goes straight to the one case that the search is held to.
func (p *placer) follow(ctx context.Context, n int) {
	w := &p.walk
	for level := range levels {
		k := 0
		for k < w.cases(level) && !p.enter(level, k) {
			k++
		}
		if k == w.cases(level) {
			return // the case does not exist at this facing
		}
		n = p.caseRows(level, k, n)
	}
	w.basis[levels] = p.lp.Start()
	var v geom.Verdict
	if w.x[levels], _, v = p.resume(&w.basis[levels], n, w.out.slack); v == geom.Optimal {
		p.arrive(ctx, n)
	}
}

// descend tries the cases of one level below the conditions in the first n rows, whose best place is the level's x. A
// case that x already keeps is tried first and costs nothing.
func (p *placer) descend(ctx context.Context, level, n int) {
	w := &p.walk
	if level == levels {
		p.arrive(ctx, n)
		return
	}
	kept := -1
	for k := range w.cases(level) {
		if !p.enter(level, k) {
			continue
		}
		if n2 := p.caseRows(level, k, n); p.keeps(n, n2, &w.x[level]) {
			kept = k
			w.x[level+1], w.basis[level+1] = w.x[level], w.basis[level]
			p.descend(ctx, level+1, n2)
			break
		}
	}
	for k := range w.cases(level) {
		if w.done() || p.accept != nil && p.patience <= 0 || ctx.Err() != nil {
			return
		}
		if k == kept || !p.enter(level, k) {
			continue
		}
		n2 := p.caseRows(level, k, n)
		w.basis[level+1] = w.basis[level]
		var v geom.Verdict
		if w.x[level+1], _, v = p.resume(&w.basis[level+1], n2, w.out.slack); v == geom.Optimal {
			p.descend(ctx, level+1, n2)
		}
	}
}

func (w *walk) cases(level int) int { return [3]int{w.splits, w.seps, w.heads}[level] }

// enter notes the case, and says whether the search is open to it.
func (p *placer) enter(level, k int) bool {
	w := &p.walk
	switch level {
	case 0:
		w.branch.split = k
		return p.only == nil || p.only.split == k
	case 1:
		w.branch.view = w.sep[k].id
		return p.only == nil || p.only.view == w.branch.view
	}
	w.branch.head = w.head[k].id
	return p.only == nil || p.only.head == w.branch.head
}

func (p *placer) caseRows(level, k, n int) int {
	w := &p.walk
	switch level {
	case 0:
		if w.ho.anywhere {
			return n
		}
		return p.supportRows(n, w.f, &w.off, w.ho, k, w.y, false)
	case 1:
		return p.viewRow(n, w.f, w.sh, &w.sep[k], w.y)
	}
	for _, r := range w.head[k].rows[:w.head[k].n] {
		n = p.put(n, r.a, r.slack, r.b)
	}
	return n
}

// keepsM is by how much a place may break a row and still count as keeping it.
const keepsM = 1e-6

// keeps says whether x keeps the rows from first to before last.
func (p *placer) keeps(first, last int, x *[geom.Dim]float64) bool {
	for i := first; i < last; i++ {
		r := &p.rows[i]
		if r.A[0]*x[0]+r.A[1]*x[1]+r.A[2]*x[2]+r.A[3]*x[3] > r.B+keepsM {
			return false
		}
	}
	return true
}

// arrive takes the best place of a case, which keeps all its conditions, where it is better than what was found so far.
func (p *placer) arrive(ctx context.Context, n int) {
	w := &p.walk
	n, x, ok := p.within(n, w.basis[levels], w.x[levels], w.out.slack)
	if !ok || x[3] <= w.out.slack {
		return
	}
	c := spot{center: center(&x), yaw: w.f.yaw, tilt: w.f.tilt, sheet: *w.sh, slack: x[3], branch: w.branch}
	if p.accept != nil {
		if x[3] < 0 || !p.settle(ctx, n, &c) && !p.settleBesideZone(ctx, n, &c) {
			return
		}
		c.slack = math.Max(c.slack, 0) // accept has measured that it fits, where rounding leaves it a hair under
	}
	w.out, w.found = c, true
}

func center(x *[geom.Dim]float64) geom.Vec { return geom.Vec{X: x[0], Y: x[1], Z: x[2]} }

// farCuts bounds the planes that stand for the ball of farM around the zone.
const farCuts = 16

// within brings a best place back to within farM of the middle of the zone. The ball is convex: wherever the best place
// lies outside, the plane that touches the ball below it is one more condition.
func (p *placer) within(n int, b geom.Basis, x [geom.Dim]float64, cutoff float64) (int, [geom.Dim]float64, bool) {
	mid := p.st.mid
	for range farCuts {
		d := center(&x).Sub(mid)
		if d.Len() <= farM {
			return n, x, true
		}
		u := d.Unit()
		n = p.put(n, u, 0, farM-guardM+u.Dot(mid))
		var v geom.Verdict
		if x, _, v = p.resume(&b, n, cutoff); v != geom.Optimal {
			return n, x, false
		}
	}
	return n, x, false
}

// bestTolerance is the difference in slack, in metres, below which two places are as good as each other.
const bestTolerance = 1e-5

// spareM is the slack that a final place keeps beyond what was asked, where there is that much.
const spareM = 0.05

// settle moves a spot that fits to the lowest place that still keeps spareM, and asks accept; failing that, the place
// of most slack; failing that, where the placer is thorough, the ends of the place's freedom each way.
func (p *placer) settle(ctx context.Context, n int, c *spot) bool {
	slackRow := n
	n = p.put(n, geom.Vec{}, -1, -math.Min(c.slack*0.999, spareM))
	if p.pushed(n, geom.Vec{Z: -1}, c) || p.accept(c) {
		return true
	}
	if !p.thorough {
		return false
	}
	p.put(slackRow, geom.Vec{}, -1, 0)
	for _, way := range [6]geom.Vec{{X: 1}, {X: -1}, {Y: -1}, {Y: 1}, {Z: 1}, {Z: -1}} {
		if ctx.Err() != nil {
			return false
		}
		if p.pushed(n, way, c) {
			return true
		}
	}
	return false
}

// pushed moves a spot as far as the first n rows let it one way, and asks accept.
func (p *placer) pushed(n int, way geom.Vec, c *spot) bool {
	const aside = 1e-3 // between places equally far, the one with more slack
	p.lp.Goal = [geom.Dim]float64{way.X + sideWeight, way.Y + sideWeight, way.Z - heightWeight, aside}
	b := p.lp.Start()
	x, _, v := p.resume(&b, n, math.Inf(-1))
	ok := v == geom.Optimal
	if ok {
		_, x, ok = p.within(n, b, x, math.Inf(-1))
	}
	p.lp.Goal = slackGoal
	if !ok {
		return false
	}
	moved := *c
	moved.center, moved.slack = center(&x), x[3]
	if !p.accept(&moved) {
		return false
	}
	*c = moved
	return true
}

// settleBesideZone tries again with the supports kept to the sides of the zone as well as of the view. It leaves the spot
// alone where that does not do either.
func (p *placer) settleBesideZone(ctx context.Context, n int, c *spot) bool {
	w := &p.walk
	n = p.supportRows(n, w.f, &w.off, w.ho, c.branch.split, w.y, true)
	b := p.lp.Start()
	x, _, v := p.resume(&b, n, 0)
	if v != geom.Optimal {
		return false
	}
	n, x, ok := p.within(n, b, x, 0)
	if !ok {
		return false
	}
	beside := *c
	beside.center, beside.slack = center(&x), x[3]
	if !p.settle(ctx, n, &beside) {
		return false
	}
	*c = beside
	return true
}
