package sizing

import (
	"math"
	"slices"

	"kitspan/internal/catalog"
	"kitspan/internal/geom"
)

// group is a set of sources that one frame must stop, with the search for it. What is found about a frame is kept, so
// that choosing and explaining ask once.
type group struct {
	sources []*source
	fd      *finder
	free    map[string]*try     // by SKU, supports no object
	tries   map[*candidate]*try // with the best of the candidate's own supports
	// brief asks only whether a frame fits, not by how much it falls short.
	brief bool
	// others are rigs that already stand, which a rig must keep clear of, and left is what the house has beside them;
	// nil where this one is the first.
	others []*choice
	left   func(sku string) int
	// last is the best spot of the frame tried last: the next one, similar in size, starts from it.
	last map[yields]*spot
}

// try is the place of most slack found for a frame; it fits where the slack is 0 or more. A frame without any place,
// such as one too heavy to be held, has none.
type try struct {
	spot spot
	ok   bool
}

func (t *try) fits() bool { return t.ok && t.spot.slack >= 0 }

// choice is a frame in its place with its supports.
type choice struct {
	candidate *candidate
	way       *way
	rigged    rigged
	group     *group
}

func newGroup(st *stage, list []*source) *group {
	g := &group{sources: list, free: map[string]*try{}, tries: map[*candidate]*try{}, last: map[yields]*spot{}}
	var rays []ray
	for _, s := range list {
		rays = append(rays, s.rays...)
	}
	g.fd = newFinder(st, rays)
	return g
}

// hopelessM is a slack below which nothing is asked.
const hopelessM = -200

// anyHold is supports that set no limit within farM.
var anyHold = hold{highestM: 2 * farM, count: 2, anywhere: true}

// freely searches for a place for a frame as if supports were no object: what fails here fails on stands and on lifts.
func (g *group) freely(c *candidate) *try {
	t := g.free[c.item.SKU]
	if t == nil {
		t = &try{}
		g.free[c.item.SKU] = t
		t.spot, t.ok = g.find(c, &anyHold, yieldCover, g.floor())
	}
	return t
}

// floor is the slack below which nothing is asked of a frame.
func (g *group) floor() float64 {
	if g.brief {
		return -g.fd.seedDepthM() / 2
	}
	return hopelessM
}

func (g *group) find(c *candidate, h *hold, y yields, floor float64) (spot, bool) {
	s, ok := g.fd.find(c.sheet, h, y, g.last[y], floor, 0)
	if ok {
		g.last[y] = &s
	}
	return s, ok
}

// try searches for a place for a frame, supports taken as the best of all its ways.
func (g *group) try(c *candidate) *try {
	if t := g.tries[c]; t != nil {
		return t
	}
	t := &try{}
	g.tries[c] = t
	if !g.freely(c).fits() {
		*t = *g.freely(c)
		return t
	}
	floor := g.floor()
	for _, count := range [2]int{2, 4} {
		h, ok := c.envelope(count)
		if !ok {
			continue
		}
		if s, ok := g.find(c, &h, yieldCover, floor); ok {
			t.spot, t.ok, floor = s, true, s.slack
		}
		if t.fits() {
			break
		}
	}
	return t
}

// place puts a frame up on one kind of support. ok is false where the support has no room or no reach.
func (g *group) place(c *candidate, w *way) (r rigged, ok bool) {
	t := g.try(c)
	if !t.fits() {
		return r, false
	}
	accept := func(s *spot) bool {
		var good bool
		if r, good = g.fd.rig(s, &w.hold); !good {
			return false
		}
		r.marginM = g.fd.st.measure(&r.opening, g.sources).insetM
		if r.marginM < g.fd.st.coverM {
			return false
		}
		mine := choice{candidate: c, way: w, rigged: r, group: g}
		return !slices.ContainsFunc(g.others, mine.meets)
	}
	with := func(f func() (spot, bool)) bool {
		g.fd.placer.accept = accept
		_, ok := f()
		g.fd.placer.accept = nil
		return ok
	}
	near := &t.spot
	if with(func() (spot, bool) { return g.fd.at(near.yaw, near.tilt, &near.sheet, &w.hold, yieldCover, -1e-9, 0) }) {
		return r, true
	}
	s, ok := g.fd.find(c.sheet, &w.hold, yieldCover, near, -g.fd.seedDepthM(), 0)
	if !ok || s.slack < 0 {
		return r, false
	}
	if with(func() (spot, bool) { return g.fd.at(s.yaw, s.tilt, &s.sheet, &w.hold, yieldCover, -1e-9, 0) }) {
		return r, true
	}
	return r, with(func() (spot, bool) { return g.fd.find(c.sheet, &w.hold, yieldCover, nil, -1e-9, 0) })
}

// choose is the best rig of the candidates, which come best first. A rig that costs more than limit (minor units; 0 for
// none) is passed over.
func (g *group) choose(list []*candidate, limit int64) *choice {
	var best *choice
	for _, c := range list {
		if len(c.ways) == 0 || best != nil && !c.ways[0].rank.less(best.way.rank) {
			break
		}
		for i := range c.ways {
			w := &c.ways[i]
			if best != nil && !w.rank.less(best.way.rank) {
				break
			}
			if limit > 0 && w.minor > limit || !g.has(c, w) || !g.try(c).fits() {
				continue
			}
			if r, ok := g.place(c, w); ok {
				best = &choice{candidate: c, way: w, rigged: r, group: g}
				break
			}
		}
	}
	return best
}

// has says whether the house has the rig beside what already stands.
func (g *group) has(c *candidate, w *way) bool {
	return g.left == nil || !slices.ContainsFunc(c.counts(w.support.SKU, w.hold.count), func(n catalog.Count) bool {
		return g.left(n.SKU) < n.Quantity
	})
}

// counts are the items of a choice.
func (ch *choice) counts() []catalog.Count {
	return ch.candidate.counts(ch.way.support.SKU, ch.way.hold.count)
}

// piece turns a choice into the answer's words and the world's frame.
func (ch *choice) piece(role Role, st *stage) Piece {
	r := &ch.rigged
	p := Piece{
		Role: role, Serves: "main", Face: ch.candidate.fabric.Spec.(*catalog.Fabric).FaceA,
		Items: []catalog.Count{
			{SKU: ch.candidate.item.SKU, Quantity: 1}, {SKU: ch.candidate.fabric.SKU, Quantity: 1},
		},
		MarginM: r.marginM, ViewClearanceM: math.Min(r.clearM, clearOfAllM),
		OuterAreaM2: ch.candidate.frame.OuterWidthM * ch.candidate.frame.OuterHeightM,
	}
	for _, s := range ch.group.sources {
		p.Covers = append(p.Covers, s.label)
	}
	for i, c := range r.opening.Corners() {
		p.Corners[i] = st.toWorld(c)
	}
	for _, m := range r.masts[:r.count] {
		s := Support{
			SKU: ch.way.support.SKU, Base: st.toWorld(m.base), HeightM: m.held.Z, FootprintM: ch.way.spec.FootprintM,
		}
		if m.armM() > armEpsilonM {
			s.Arm = &[2]geom.Vec{st.toWorld(m.top()), st.toWorld(m.held)}
		}
		p.Supports = append(p.Supports, s)
	}
	return p
}

// clearOfAllM is the clearance printed for a piece that lies wholly behind the lens, where none can be measured.
const clearOfAllM = 100

// armEpsilonM is the shortest arm worth printing.
const armEpsilonM = 1e-3

// meets says whether two rigs are in each other's way: frame through frame, or a mast or an arm through a frame.
func (ch *choice) meets(o *choice) bool {
	if ch.rigged.outer.Meets(o.rigged.outer) {
		return true
	}
	cross := func(a, b *rigged) bool {
		for _, m := range a.masts[:a.count] {
			if b.outer.CutBy(m.base, m.top()) || b.outer.CutBy(m.top(), m.held) {
				return true
			}
		}
		return false
	}
	if cross(&ch.rigged, &o.rigged) || cross(&o.rigged, &ch.rigged) {
		return true
	}
	for _, m := range ch.rigged.masts[:ch.rigged.count] {
		for _, k := range o.rigged.masts[:o.rigged.count] {
			if math.Hypot(m.base.X-k.base.X, m.base.Y-k.base.Y) < math.Max(ch.way.hold.footM, o.way.hold.footM) {
				return true
			}
		}
	}
	return false
}
