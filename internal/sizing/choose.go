package sizing

import (
	"context"
	"slices"

	"kitspan/internal/placement"
	"kitspan/internal/scene"
)

// group is a set of sources that one frame must stop, with the search for it. What is found about a frame is kept, so
// that choosing and explaining ask once.
type group struct {
	sources []*scene.Source
	fd      *placement.Finder
	free    map[string]*try     // by SKU, supports no object
	tries   map[*candidate]*try // with the best of the candidate's own supports
	// brief asks only whether a frame fits, not by how much it falls short.
	brief bool
	// alone is the group without others, nil where this is it: what finds no place or does not hold there does not here.
	alone *group
	// others are rigs that already stand, which a rig must keep clear of, and left is what the house has beside them;
	// nil where this one is the first.
	others []*choice
	left   func(sku string) int
	// placed and mixed are where frames were put on supports of one kind and of several, clear of others, and erected what
	// became of frames on terms.
	placed  map[*way]*placed
	mixed   map[mix]*placed
	erected map[onTerms]*choice
	// last is the best spot of the frame tried last: the next one, similar in size, starts from it.
	last map[placement.Yield]*placement.Spot
}

// try is the place of most slack found for a frame; it fits where the slack is 0 or more. A frame without any place,
// such as one too heavy to be held, has none.
type try struct {
	spot placement.Spot
	ok   bool
	// stood is another spot, at whose turn some kind of supports found room.
	stood *placement.Spot
}

// placed is a frame in its place; ok is false where it finds none. held is the same as a choice with all that holds it, once
// asked for.
type placed struct {
	rigged rigged
	ok     bool
	held   *choice
}

// mix is a frame on so many supports of whatever kinds.
type mix struct {
	of    *candidate
	count int
}

// onWay is a frame put up on one of its ways, and held in the wind where that is asked; nil where it finds no place.
func (g *group) onWay(ctx context.Context, c *candidate, w *way, asked wind) *choice {
	p := g.placed[w]
	if p == nil {
		by := briefly
		if len(c.kinds(w.Limits.Count)) == 1 {
			by = g.utmost()
		}
		p = &placed{}
		p.rigged, p.ok = g.place(ctx, c, w.Limits, []*way{w}, by, nil)
		g.placed[w] = p
	}
	return p.rig(g, c, asked)
}

// onAny is a frame put up on so many supports, each of the cheapest kind that finds room there; otherwise as onWay.
func (g *group) onAny(ctx context.Context, c *candidate, count int, asked wind) *choice {
	p := g.mixed[mix{c, count}]
	if p == nil {
		p = &placed{}
		if h, ok := c.envelope(count); ok {
			p.rigged, p.ok = g.place(ctx, c, h, c.kinds(count), g.utmost(), nil)
		}
		g.mixed[mix{c, count}] = p
	}
	return p.rig(g, c, asked)
}

// rig is a placed frame as a choice; nil where it has no place.
func (p *placed) rig(g *group, c *candidate, asked wind) *choice {
	switch {
	case !p.ok:
		return nil
	case asked == windStill:
		return g.rig(c, p.rigged, asked)
	case p.held == nil:
		p.held = g.rig(c, p.rigged, asked)
	}
	return p.held
}

// beside is the group with rigs standing that its own must keep clear of, and what the house has left beside them. What is
// known of frames by themselves is known to both.
func (g *group) beside(others []*choice, left func(sku string) int) *group {
	b := *g
	b.alone = g
	b.others, b.left, b.placed, b.mixed, b.erected = others, left, map[*way]*placed{}, map[mix]*placed{}, map[onTerms]*choice{}
	return &b
}

func (t *try) fits() bool { return t.ok && t.spot.Slack >= 0 }

func newGroup(ctx context.Context, st *scene.Stage, list []*scene.Source) *group {
	g := &group{
		sources: list, free: map[string]*try{}, tries: map[*candidate]*try{}, last: map[placement.Yield]*placement.Spot{},
		placed: map[*way]*placed{}, mixed: map[mix]*placed{}, erected: map[onTerms]*choice{},
	}
	g.fd = placement.NewFinder(ctx, st, raysOn(st, list))
	return g
}

// raysOn are the rays of sources that must be stopped on a stage.
func raysOn(st *scene.Stage, list []*scene.Source) (rays []scene.Ray) {
	for _, s := range list {
		rays = append(rays, s.RaysOn(st)...)
	}
	return rays
}

// hopelessM is a slack below which nothing is asked.
const hopelessM = -200

// freely searches for a place for a frame as if supports were no object: what fails here fails on stands and on lifts.
func (g *group) freely(ctx context.Context, c *candidate) *try {
	t := g.free[c.item.SKU]
	if t == nil {
		t = &try{}
		g.free[c.item.SKU] = t
		t.spot, t.ok = g.find(ctx, c, &placement.AnySupport, placement.YieldCover, g.floor())
	}
	return t
}

// floor is the slack below which nothing is asked of a frame.
func (g *group) floor() float64 {
	if g.brief {
		return -placement.SeedDepthM(g.fd.St) / 2
	}
	return hopelessM
}

// finest is how finely a frame is turned before it is given up.
func (g *group) finest() float64 {
	if g.brief {
		return placement.CoarseStep
	}
	return placement.FinestStep
}

func (g *group) find(ctx context.Context, c *candidate, h *placement.SupportLimits, y placement.Yield, floor float64) (placement.Spot, bool) {
	s, ok := g.fd.Find(ctx, c.sheet, h, y, g.last[y], floor, 0)
	if y == placement.YieldCover && (!ok || s.Slack < 0) {
		if fits, does := g.fd.Fits(ctx, c.sheet, h, g.finest()); does {
			s, ok = fits, true
		}
	}
	if ok {
		g.last[y] = &s
	}
	return s, ok
}

// try searches for a place for a frame, supports taken as the best of all its ways.
func (g *group) try(ctx context.Context, c *candidate) *try {
	if t := g.tries[c]; t != nil {
		return t
	}
	t := &try{}
	g.tries[c] = t
	if !g.freely(ctx, c).fits() {
		*t = *g.freely(ctx, c)
		return t
	}
	floor := g.floor()
	for _, count := range [2]int{2, 4} {
		h, ok := c.envelope(count)
		if !ok {
			continue
		}
		if s, ok := g.find(ctx, c, &h, placement.YieldCover, floor); ok {
			t.spot, t.ok, floor = s, true, s.Slack
		}
		if t.fits() {
			break
		}
	}
	return t
}

// mayCoverMore are the candidates that may stop the group's sources and others too: all but those that are known not to stop
// even these.
func (g *group) mayCoverMore(list []*candidate) []*candidate {
	return slices.DeleteFunc(slices.Clone(list), func(c *candidate) bool {
		t := g.tries[c]
		return t != nil && !t.fits()
	})
}

// choose is the best rig of the candidates, which come best first, on some terms.
func (g *group) choose(ctx context.Context, list []*candidate, on terms) *choice {
	var best *choice
	for _, c := range list {
		if len(c.ways) == 0 || best != nil && !c.floor().less(best.rank) || ctx.Err() != nil {
			break
		}
		if !g.try(ctx, c).fits() {
			continue
		}
		if ch := g.erect(ctx, c, on); ch != nil && (best == nil || ch.rank.less(best.rank)) {
			best = ch
		}
	}
	return best
}
