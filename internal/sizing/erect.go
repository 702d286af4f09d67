package sizing

import (
	"cmp"
	"math"
	"slices"
)

// erect puts a frame that fits up on supports of the house: on the best of its ways that finds room, all supports alike;
// where none does, on supports of several kinds. nil where nothing does, within limit (minor units; 0 for none).
func (g *group) erect(c *candidate, limit int64) *choice {
	if g.left != nil && (g.left(c.item.SKU) < 1 || g.left(c.fabric.SKU) < 1) {
		return nil
	}
	var failed []*way
	ways := c.priced()
	for i := range ways {
		w := &ways[i]
		if slices.ContainsFunc(failed, w.hold.within) {
			continue
		}
		if limit > 0 && w.minor > limit || g.left != nil && g.left(w.support.SKU) < w.hold.count {
			continue
		}
		if r, ok := g.place(c, w.hold, []*way{w}); ok {
			return &choice{candidate: c, group: g, rigged: r, minor: w.minor, massKg: w.massKg, rank: w.rank}
		}
		failed = append(failed, w)
	}
	for _, count := range [2]int{2, 4} {
		h, ok := c.envelope(count)
		if !ok {
			continue
		}
		kinds := c.kinds(count)
		if len(kinds) < 2 {
			continue
		}
		r, ok := g.place(c, h, kinds)
		if !ok {
			continue
		}
		ch := &choice{candidate: c, group: g, rigged: r}
		if c.price(ch) && (limit == 0 || ch.minor <= limit) {
			return ch
		}
	}
	return nil
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
// all.
func (g *group) place(c *candidate, h hold, kinds []*way) (r rigged, ok bool) {
	t := g.try(c)
	if !t.fits() {
		return r, false
	}
	fd := g.fd
	accept := func(s *spot) bool {
		if fd.placer.patience--; fd.placer.patience < 0 {
			return false
		}
		var good bool
		if r, good = g.stand(s, &h, kinds); !good {
			return false
		}
		r.marginM = fd.st.measure(&r.opening, g.sources).insetM
		if r.marginM < fd.st.coverM {
			return false
		}
		mine := choice{candidate: c, rigged: r, group: g}
		return !slices.ContainsFunc(g.others, mine.meets)
	}
	with := func(patience int, f func() (spot, bool)) bool {
		fd.placer.accept, fd.placer.patience = accept, patience
		_, ok := f()
		fd.placer.accept = nil
		return ok
	}
	near := &t.spot
	if with(patienceOnce, func() (spot, bool) { return fd.at(near.yaw, near.tilt, &near.sheet, &h, yieldCover, -1e-9, 0) }) {
		return r, true
	}
	s, ok := fd.find(c.sheet, &h, yieldCover, near, -fd.st.seedDepthM(), 0)
	if !ok || s.slack < 0 {
		return r, false
	}
	if with(patienceOnce, func() (spot, bool) { return fd.at(s.yaw, s.tilt, &s.sheet, &h, yieldCover, -1e-9, 0) }) {
		return r, true
	}
	if len(kinds) == 1 && g.others == nil {
		return r, with(patienceAlike, func() (spot, bool) { return fd.find(c.sheet, &h, yieldCover, nil, -1e-9, 0) })
	}
	// The last attempt: wherever a turn of the grid covers, and about the turn that covers best.
	fd.placer.thorough = true
	defer func() { fd.placer.thorough = false }()
	if with(patienceLast, func() (spot, bool) { return fd.find(c.sheet, &h, yieldCover, nil, -1e-9, 0) }) {
		return r, true
	}
	if s, ok = fd.find(c.sheet, &h, yieldCover, &s, -1e-9, math.Inf(1)); !ok {
		return r, false
	}
	for _, d := range append([][2]float64{{0, 0}}, turns[:]...) {
		const step = gridDeg / 4 * math.Pi / 180
		if with(patienceOnce, func() (spot, bool) {
			return fd.at(s.yaw+d[0]*step, s.tilt+d[1]*step, &s.sheet, &h, yieldCover, -1e-9, 0)
		}) {
			return r, true
		}
	}
	return r, false
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
