package sizing

import (
	"cmp"
	"context"
	"math"
	"slices"

	"kitspan/internal/rigging"
)

// terms are what a rig has to keep.
type terms struct {
	limit int64 // price per day in minor units, 0 for none
	wind  wind
}

// wind is what is asked of a rig in the wind.
type wind int

const (
	windHeld  wind = iota // it holds the gust
	windBest              // it holds as long as any
	windStill             // nothing: only whether it stands at all
)

// erect puts a frame that fits up on supports of the house: on the best of its ways that finds room, all supports alike,
// with what holds it in the wind; where none does, on supports of several kinds. nil where nothing does on the terms.
func (g *group) erect(ctx context.Context, c *candidate, t terms) *choice {
	if g.left != nil && (g.left(c.item.SKU) < 1 || g.left(c.fabric.SKU) < 1) {
		return nil
	}
	var failed []*way
	ways := g.braced(ctx, c, t.wind)
	for i := range ways {
		if ctx.Err() != nil {
			return nil
		}
		b := &ways[i]
		w := b.way
		if slices.ContainsFunc(failed, w.hold.within) || t.limit > 0 && b.minor > t.limit || t.wind == windHeld && !b.holds ||
			g.left != nil && g.left(w.support.SKU) < w.hold.count {
			continue
		}
		r, ok := g.onWay(ctx, c, w)
		if !ok {
			failed = append(failed, w)
			continue
		}
		if ch := g.rig(c, r, t); ch != nil {
			return ch
		}
	}
	if t.wind == windHeld && !slices.ContainsFunc(ways, func(b braced) bool { return b.holds }) {
		return nil
	}
	for _, count := range [2]int{2, 4} {
		if len(c.kinds(count)) < 2 {
			continue
		}
		r, ok := g.onAny(ctx, c, count)
		if !ok {
			continue
		}
		if ch := g.rig(c, r, t); ch != nil {
			return ch
		}
	}
	return nil
}

// rig makes a placed frame a choice: held in the wind and priced; nil where it does not keep the terms.
func (g *group) rig(c *candidate, r rigged, t terms) *choice {
	ch := &choice{candidate: c, group: g, rigged: r}
	if t.wind != windStill {
		ch.fast = ch.secure(c.ties.gustMS, g.others, g.left)
		if t.wind == windHeld && !ch.fast.holds {
			return nil
		}
	}
	if !c.price(ch) || t.limit > 0 && ch.minor > t.limit {
		return nil
	}
	return ch
}

// braced is a way with what holding the wind will cost there, roughly.
type braced struct {
	way   *way
	holds bool
	gust  float64
	minor int64
	rank  rank
}

// braced orders a candidate's ways by what they come to with what it takes to hold the gust in the best place known, those
// that hold it first. The figures are too low where lines find no room as they were thought.
func (g *group) braced(ctx context.Context, c *candidate, asked wind) []braced {
	ways := c.priced()
	out := make([]braced, len(ways))
	for i := range ways {
		out[i] = braced{way: &ways[i], holds: true, minor: ways[i].minor, rank: ways[i].rank}
	}
	var f facing
	s := &g.try(ctx, c).spot
	if asked == windStill || !g.fd.st.turn(&f, nil, s.yaw, s.tilt) {
		return out
	}
	_, outer := s.rect(g.fd.st)
	panel := panelOf(&outer, solidityOf(c.fabricSpec()))
	var room [rigging.MaxSupports]rigging.Support
	least := int64(math.MaxInt64)
	for i := range out {
		if ctx.Err() != nil {
			return nil
		}
		b := &out[i]
		if least < math.MaxInt64 && b.minor > least && c.prefer != PreferLightest && c.prefer != PreferFewestHands {
			continue // dearer bare than another with all that holds it
		}
		off := offsetsOf(&f, &s.sheet, b.way.hold.count)
		for k := range off.n {
			at := s.center.Z + off.at[k].Z
			room[k] = b.way.inWind(math.Min(math.Max(at, b.way.spec.LowestM), b.way.hold.highestM), 0)
		}
		p := rigging.Piece{
			Panel: panel, MassKg: c.massKg, Supports: room[:off.n], Friction: c.ties.ground.Friction, SafetyFactor: c.ties.safety,
			HouseLimitMS: c.frame.GustLimitMS,
		}
		got := c.ties.roughly(&p, linesOn(off.n))
		b.holds, b.gust = got.holds, got.hold.GustLimitMS
		b.minor += got.minor
		b.rank = rankBy(c.prefer, c.areaM2, b.way.massKg+got.massKg, b.minor, off.n)
		if b.holds {
			least = min(least, b.minor)
		}
	}
	slices.SortStableFunc(out, func(a, b braced) int {
		if a.holds != b.holds {
			return cmp.Compare(flag(!a.holds), flag(!b.holds))
		}
		if !a.holds && asked == windBest {
			return cmp.Compare(b.gust, a.gust)
		}
		return slices.Compare(a.rank[:], b.rank[:])
	})
	return out
}

// How many places are tried for standing room before a search for it ends: at one turn, over the grid for supports all
// alike, and over the grid in the last attempt. In random shots room was found, where there was any, in far fewer.
const (
	patienceOnce  = 40
	patienceAlike = 60
	patienceLast  = 400
)

// kinds are the candidate's ways with one number of supports, cheapest first.
func (c *candidate) kinds(count int) []*way {
	var out []*way
	for i := range c.ways {
		if c.ways[i].hold.count == count {
			out = append(out, &c.ways[i])
		}
	}
	slices.SortStableFunc(out, func(a, b *way) int { return cmp.Compare(a.minor, b.minor) })
	return out
}

// place searches for a place where a support of one of the kinds finds room under every point held; h is the best of them
// all. It takes the first such place that it comes to.
func (g *group) place(ctx context.Context, c *candidate, h hold, kinds []*way) (rigged, bool) {
	t := g.try(ctx, c)
	if !t.fits() {
		return rigged{}, false
	}
	fd := g.fd
	var taken rigged // in the spot that was accepted
	accept := func(s *spot) bool {
		if fd.placer.patience--; fd.placer.patience < 0 {
			return false
		}
		// What can be said of the frame alone comes first: to put supports down takes longest.
		opening, outer := s.rect(fd.st)
		marginM := fd.st.measure(&opening, g.sources).insetM
		if marginM < fd.st.coverM || slices.ContainsFunc(g.others, func(o *choice) bool { return o.blocks(&outer) }) {
			return false
		}
		r, ok := g.stand(s, &h, kinds)
		if !ok {
			return false
		}
		r.marginM = marginM
		mine := choice{candidate: c, rigged: r, group: g}
		if slices.ContainsFunc(g.others, mine.meets) {
			return false
		}
		taken = r
		return true
	}
	with := func(patience int, search func() (spot, bool)) bool {
		fd.placer.accept, fd.placer.patience = accept, patience
		_, ok := search()
		fd.placer.accept = nil
		return ok
	}
	near := &t.spot
	if with(patienceOnce, func() (spot, bool) { return fd.at(ctx, near.yaw, near.tilt, &near.sheet, &h, yieldCover, -1e-9, 0) }) {
		return taken, true
	}
	s, ok := fd.find(ctx, c.sheet, &h, yieldCover, near, -fd.st.seedDepthM(), 0)
	if !ok || s.slack < 0 {
		return rigged{}, false
	}
	if with(patienceOnce, func() (spot, bool) { return fd.at(ctx, s.yaw, s.tilt, &s.sheet, &h, yieldCover, -1e-9, 0) }) {
		return taken, true
	}
	if len(kinds) == 1 {
		ok = with(patienceAlike, func() (spot, bool) { return fd.find(ctx, c.sheet, &h, yieldCover, nil, -1e-9, 0) })
		return taken, ok
	}
	// The last attempt: wherever a turn of the grid covers, and about the turn that covers best.
	fd.placer.thorough = true
	defer func() { fd.placer.thorough = false }()
	if with(patienceLast, func() (spot, bool) { return fd.find(ctx, c.sheet, &h, yieldCover, nil, -1e-9, 0) }) {
		return taken, true
	}
	if s, ok = fd.find(ctx, c.sheet, &h, yieldCover, &s, -1e-9, math.Inf(1)); !ok {
		return rigged{}, false
	}
	for _, d := range append([][2]float64{{0, 0}}, turns[:]...) {
		const step = gridDeg / 4 * math.Pi / 180
		if with(patienceOnce, func() (spot, bool) {
			return fd.at(ctx, s.yaw+d[0]*step, s.tilt+d[1]*step, &s.sheet, &h, yieldCover, -1e-9, 0)
		}) {
			return taken, true
		}
	}
	return rigged{}, false
}

// stand puts under every held point of a spot the first of the kinds that reaches it, finds room and is there in number.
func (g *group) stand(s *spot, h *hold, kinds []*way) (r rigged, ok bool) {
	st := g.fd.st
	var f facing
	if !st.turn(&f, g.fd.rays, s.yaw, s.tilt) {
		return r, false
	}
	r.count = h.count
	r.opening, r.outer = s.rect(st)
	corners := r.outer.Corners()
	if r.clearM = st.view.PolygonClearance(corners[:]); r.clearM < st.viewM {
		return r, false
	}
	off := offsetsOf(&f, &s.sheet, h.count)
	for i := range off.n {
		held, found := s.center.Add(off.at[i]), false
		for _, w := range kinds {
			if held.Z < w.hold.lowestM-guardM || held.Z > w.hold.highestM+guardM || !g.spare(w, r.masts[:i]) {
				continue
			}
			if m, ok := st.putBase(held, &w.hold.stances[0], &r.outer); ok {
				m.way = w
				r.masts[i], found = m, true
				break
			}
		}
		if !found {
			return r, false
		}
	}
	return r, true
}

// spare says whether the house has one more of a support beside what stands, in other rigs and in this one.
func (g *group) spare(w *way, standing []mast) bool {
	left := w.support.Owned
	if g.left != nil {
		left = g.left(w.support.SKU)
	}
	for i := range standing {
		if standing[i].way.support == w.support {
			left--
		}
	}
	return left > 0
}
