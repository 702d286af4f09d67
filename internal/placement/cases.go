package placement

import (
	"context"
	"math"

	"kitspan/internal/geom"
	"kitspan/internal/scene"
	"kitspan/internal/shot"
)

// caseSearch is the state of one descent through the cases of a facing. A condition that is not convex is a list of
// alternatives, of which one has to be met: what keeps the piece out of view, what keeps head room, and where each support
// stands.
type caseSearch struct {
	f      *Facing
	query  Query
	sh     *Size
	ho     *SupportLimits
	y      Yield
	top    float64
	off    Offsets
	ground []footing
	zones  []geom.Box // the further zones
	lists  [][]alternative
	memory []alternative
	branch branch
	out    Spot
	found  bool
	// best place and basis of each level, kept here to stay off the heap
	x     [][geom.Dim]float64
	basis []geom.Basis
}

// The lists: one for the view, one for head room, one for each support; and then for each further zone one for head room over
// it, and one for each support beside it.
const (
	viewList = iota
	headList
	standList
	zoneList  = standList + 4
	zoneLists = 1 + 4
	maxLists  = zoneList + shot.MaxOtherZones*zoneLists
)

// newCaseSearch makes a search with room for the lists of a shot with its further zones.
func newCaseSearch(further []geom.Box) caseSearch {
	zones := len(further)
	n := zoneList + zones*zoneLists
	return caseSearch{
		zones: further, lists: make([][]alternative, n), memory: make([]alternative, zoneList*maxAlternatives+zones*(maxHeads+4*maxAsides)),
		x: make([][geom.Dim]float64, n+1), basis: make([]geom.Basis, n+1),
	}
}

// maxAlternatives is the length of the longest list.
const maxAlternatives = max(maxSeparators, maxHeads, maxFootings)

// branch is a case: the alternative taken from each list, by its id, which is 1 or more; 0 where the list is open.
type branch [maxLists]uint8

// alternative is a set of linear conditions, in rows of a program, that together ensure one condition which is not convex.
type alternative struct {
	id   uint8
	rows [4]geom.Row
	n    int
}

// appendAlternative adds an alternative without rows to a list that has room for it, and returns the list and the alternative.
func appendAlternative(list []alternative, id uint8) ([]alternative, *alternative) {
	list = list[:len(list)+1]
	o := &list[len(list)-1]
	o.id, o.n = id, 0
	return list, o
}

// wanted reports whether the alternative id is asked for: only itself, or any where only is 0.
func wanted(id, only uint8) bool { return only == 0 || id == only }

// put adds a·c + slack ≤ b.
func (o *alternative) put(a geom.Vec, slack, b float64) {
	o.rows[o.n] = geom.Row{A: [geom.Dim]float64{a.X, a.Y, a.Z, slack}, B: b}
	o.n++
}

// broken returns by how much the place x breaks the worst of the rows.
func (o *alternative) broken(x *[geom.Dim]float64) float64 {
	worst := math.Inf(-1)
	for i := range o.rows[:o.n] {
		r := &o.rows[i]
		if v := r.A[0]*x[0] + r.A[1]*x[1] + r.A[2]*x[2] + r.A[3]*x[3] - r.B; v > worst {
			worst = v
		}
	}
	return worst
}

// done reports whether no case can do better than what was found, or what was found is enough.
func (w *caseSearch) done() bool {
	return w.found && (w.out.Slack >= w.query.enough || w.out.Slack >= w.top)
}

// over reports whether the search has ended: because it is done, its trial's patience is used up, or its context has ended.
func (p *placer) over(ctx context.Context) bool {
	return p.search.done() || p.search.query.trial.over() || ctx.Err() != nil
}

// best answers a query at one facing.
func (p *placer) best(ctx context.Context, f *Facing, q Query) (Spot, bool) {
	w := &p.search
	if q.trial.over() || ctx.Err() != nil {
		return Spot{}, false
	}
	w.query = q
	sh, ho, y, only, cutoff := &w.query.size, q.supports, q.yield, q.only, q.floor
	w.f, w.sh, w.ho, w.y, w.found = f, sh, ho, y, false
	w.out, w.branch = Spot{Yaw: f.yaw, Tilt: f.tilt, Size: *sh, Slack: cutoff}, branch{}
	if f.lasting && only == nil && y == YieldCover && !ho.Anywhere && !p.room(f, sh, ho) {
		return w.out, false
	}
	p.easing = easing{}
	if y == yieldTurn {
		p.easing = easingOf(f, sh, q.step)
	}
	n := p.common(f, sh, ho, y)
	w.basis[0] = p.lp.Start()
	var v geom.Verdict
	if only == nil {
		if w.x[0], _, v = p.resume(&w.basis[0], n, cutoff); v != geom.Optimal {
			return w.out, false
		}
		w.top = w.x[0][3] - bestTolerance
		p.list(branch{})
		p.descend(ctx, 0, n)
		return w.out, w.found
	}
	// Straight to the one case that the query is limited to.
	p.list(*only)
	for i, id := range only[:len(w.lists)] {
		if id == 0 {
			continue
		}
		if len(w.lists[i]) == 0 {
			return w.out, false // the case does not exist at this facing
		}
		n = p.take(&w.lists[i][0], n)
		w.branch[i] = id
	}
	w.top = math.Inf(1)
	if w.x[0], _, v = p.resume(&w.basis[0], n, cutoff); v == geom.Optimal {
		p.descend(ctx, 0, n)
	}
	return w.out, w.found
}

// list writes out the alternatives: all of them or, where only names one of a list, that one.
func (p *placer) list(only branch) {
	w := &p.search
	w.off = OffsetsOf(w.f, w.sh, w.ho.Count)
	w.ground = w.ground[:0]
	if !w.ho.Anywhere {
		w.ground = footingsOf(p.st, w.ground, w.ho, w.y)
	}
	used := 0
	for i := range w.lists {
		list := w.memory[used:used:len(w.memory)]
		switch {
		case i == viewList:
			list = p.separators(list, only[i])
		case i == headList:
			list = p.headCases(list, p.st.HeadRoom(), only[i])
		case i >= zoneList:
			list = p.offZone(list, i-zoneList, only[i])
		case i-standList < w.off.N:
			list = p.footings(list, i-standList, only[i])
		}
		w.lists[i] = list
		used += len(list)
	}
}

// take adds an alternative's rows to the first n.
func (p *placer) take(o *alternative, n int) int { return n + copy(p.rows[n:], o.rows[:o.n]) }

// descend goes through the cases below the conditions in the first n rows, whose best place is the level's x. Lists of
// which x meets an alternative stay open. The list that x is farthest from meeting is branched over, the nearest
// alternative first. With none left the place is taken, unless the exact check finds no room for a support: then its list is
// branched over, too.
func (p *placer) descend(ctx context.Context, level, n int) {
	w := &p.search
	list := w.farthestOff(&w.x[level])
	if list < 0 {
		short := p.arrive(ctx, level, n)
		if short < 0 {
			return
		}
		if list = w.opens(short, center(&w.x[level])); list < 0 {
			return
		}
	}
	order := w.nearestFirst(list, &w.x[level])
	for _, k := range order[:len(w.lists[list])] {
		if p.over(ctx) {
			break
		}
		o := &w.lists[list][k]
		n2 := p.take(o, n)
		w.branch[list] = o.id
		w.basis[level+1] = w.basis[level]
		var v geom.Verdict
		if w.x[level+1], _, v = p.resume(&w.basis[level+1], n2, w.out.Slack); v == geom.Optimal {
			p.descend(ctx, level+1, n2)
		}
	}
	w.branch[list] = 0
}

// opens returns the list to branch over where a support finds no room with the frame's middle at c: that of the ground that it
// stands on, and then those of the further zones that it may be too near to; −1 where no open list is left.
func (w *caseSearch) opens(short int, c geom.Vec) int {
	if w.branch[standList+short] == 0 {
		return standList + short
	}
	held := c.Add(w.off.At[short])
	for i := zoneList + 1 + short; i < len(w.lists); i += zoneLists {
		if w.branch[i] == 0 && len(w.lists[i]) > 0 && w.zones[(i-zoneList)/zoneLists].DistanceInPlan(held) < w.ho.spanM() {
			return i
		}
	}
	return -1
}

// keepsM is by how much a place may break a row and still count as meeting it.
const keepsM = 1e-6

// farthestOff returns the open list that x is farthest from meeting; −1 where it meets all.
func (w *caseSearch) farthestOff(x *[geom.Dim]float64) int {
	list, most := -1, keepsM
	for i := range w.lists {
		if w.branch[i] != 0 || len(w.lists[i]) == 0 {
			continue
		}
		least := math.Inf(1)
		for k := range w.lists[i] {
			if least = math.Min(least, w.lists[i][k].broken(x)); least <= most {
				break
			}
		}
		if least > most {
			list, most = i, least
		}
	}
	return list
}

// nearestFirst orders the alternatives of a list by how far x is from meeting each.
func (w *caseSearch) nearestFirst(list int, x *[geom.Dim]float64) (order [maxAlternatives]uint8) {
	var off [maxAlternatives]float64
	for k := range w.lists[list] {
		off[k] = w.lists[list][k].broken(x)
		at := k
		for at > 0 && off[order[at-1]] > off[k] {
			order[at] = order[at-1]
			at--
		}
		order[at] = uint8(k)
	}
	return order
}

// arrive takes the best place of a case, which meets all its conditions, where it is better than what was found so far.
// short is the support for which the exact check finds no room, or −1.
func (p *placer) arrive(ctx context.Context, level, n int) (short int) {
	w := &p.search
	n, x, ok := p.within(n, w.basis[level], w.x[level], w.out.Slack)
	if !ok || x[3] <= w.out.Slack || w.query.trial != nil && x[3] < 0 {
		return -1
	}
	c := Spot{Center: center(&x), Yaw: w.f.yaw, Tilt: w.f.tilt, Size: *w.sh, Slack: x[3], branch: w.branch}
	for i := range w.lists {
		if len(w.lists[i]) > 0 && c.branch[i] == 0 { // the alternative that the place meets by itself
			o := &w.lists[i][w.nearestFirst(i, &x)[0]]
			c.branch[i] = o.id
			n = p.take(o, n)
		}
	}
	if trial := w.query.trial; trial != nil {
		if ok, short := p.settle(ctx, trial, n, &c); !ok {
			return short
		}
		c.Slack = math.Max(c.Slack, 0) // the trial has measured that it fits, where rounding leaves it just below
	}
	w.out, w.found = c, true
	return -1
}

func center(x *[geom.Dim]float64) geom.Vec { return geom.Vec{X: x[0], Y: x[1], Z: x[2]} }

// farCuts bounds the planes that stand for the ball of [scene.FarM] around the zone.
const farCuts = 16

// within brings a best place back to within [scene.FarM] of the middle of the zone. The ball is convex: wherever the best place
// lies outside, the plane that touches the ball below it is one more condition.
func (p *placer) within(n int, b geom.Basis, x [geom.Dim]float64, cutoff float64) (int, [geom.Dim]float64, bool) {
	mid := p.st.Mid
	for range farCuts {
		d := center(&x).Sub(mid)
		if d.Len() <= scene.FarM {
			return n, x, true
		}
		u := d.Unit()
		n = p.put(n, u, 0, scene.FarM-scene.GuardM+u.Dot(mid))
		var v geom.Verdict
		if x, _, v = p.resume(&b, n, cutoff); v != geom.Optimal {
			return n, x, false
		}
	}
	return n, x, false
}

// bestTolerance is the difference in slack, in metres, below which two places count as equally good.
const bestTolerance = 1e-5

// spareM is the slack in metres that a final place keeps beyond what was asked, where there is that much.
const spareM = 0.05

// settle moves a spot that fits to the lowest place that still keeps spareM, and tries it; failing that, the place
// of most slack; failing that, where the trial is thorough, the ends of the place's freedom in each direction. short is the support
// without room at the place of most slack, or −1.
func (p *placer) settle(ctx context.Context, trial *Trial, n int, c *Spot) (ok bool, short int) {
	slackRow := n
	n = p.put(n, geom.Vec{}, -1, -math.Min(c.Slack*0.999, spareM))
	if p.pushed(trial, n, geom.Vec{Z: -1}, c) {
		return true, -1
	}
	if ok, short = trial.of(c); ok {
		return true, -1
	}
	if !trial.Thorough {
		return false, short
	}
	p.put(slackRow, geom.Vec{}, -1, 0)
	for _, way := range [6]geom.Vec{{X: 1}, {X: -1}, {Y: -1}, {Y: 1}, {Z: 1}, {Z: -1}} {
		if ctx.Err() != nil {
			return false, -1
		}
		if p.pushed(trial, n, way, c) {
			return true, -1
		}
	}
	return false, short
}

// of tries a spot while there is patience left.
func (t *Trial) of(c *Spot) (ok bool, short int) {
	if t.Patience--; t.Patience < 0 {
		return false, -1
	}
	return t.Accept(c)
}

// pushed moves a spot as far in one direction as the first n rows allow, and tries it.
func (p *placer) pushed(trial *Trial, n int, way geom.Vec, c *Spot) bool {
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
	moved.Center, moved.Slack = center(&x), x[3]
	if ok, _ := trial.of(&moved); !ok {
		return false
	}
	*c = moved
	return true
}
