package overhead

import (
	"context"
	"slices"

	"kitspan/internal/catalog"
	"kitspan/internal/placement"
	"kitspan/internal/scene"
)

// Group is a set of sources that one frame must stop, with the search for it. What is found about a frame is kept, so
// that choosing and explaining search once. It is not safe for concurrent use.
type Group struct {
	Sources []*scene.Source
	fd      *placement.Finder
	free    map[string]*Fit     // by SKU, regardless of supports
	tries   map[*Candidate]*Fit // with the best of the candidate's own supports, by the first of its preferences
	// Brief limits the search to whether a frame fits, not by how much it falls short.
	Brief bool
	// alone is the group without others, nil where this is it: what finds no place or does not hold there does not here.
	alone *Group
	// others are rigs that already stand, which a rig must keep clear of, and left is what the house has beside them;
	// nil where this one is the first.
	others []*Rig
	left   func(sku string) int
	// placed and mixed are where frames were put on supports of one kind and of several, clear of others, turned where they
	// were put at other turns, and erected what became of frames on terms.
	placed  map[onKind]*placed
	mixed   map[mix]*placed
	turned  map[turning]*placed
	erected map[onTerms]*Rig
	// reach is with what arms frames cover, regardless of others.
	reach map[mix]reach
	// last is the best spot of the frame tried last: the next one, similar in size, starts from it.
	last map[placement.Yield]*placement.Spot
}

// Fit is the place of most slack found for a frame, which fits where the slack is 0 or more.
type Fit struct {
	Spot  placement.Spot
	Found bool // false for a frame without any place, such as one too heavy to be held
	// stood is another spot, at whose turn some kind of supports found room.
	stood *placement.Spot
}

// placed is a frame in its place; ok is false where it finds none. held is the same as a rig with the ballast that
// holds it, once asked for.
type placed struct {
	rigged Placed
	ok     bool
	held   *Rig
}

// onKind is a frame on so many supports of one kind.
type onKind struct {
	of    *Candidate
	on    *catalog.Item
	count int
}

// kindOf returns an option of a candidate as what is known of its place is kept by.
func kindOf(c *Candidate, w *SupportOption) onKind { return onKind{c.first(), w.Item, w.Limits.Count} }

// mix is a frame on so many supports of whatever kinds.
type mix struct {
	of    *Candidate
	count int
}

// onOption returns where a frame goes on one of its options.
func (g *Group) onOption(ctx context.Context, c *Candidate, w *SupportOption) *placed {
	p := g.placed[kindOf(c, w)]
	if p == nil {
		by := briefly
		if len(c.kinds(w.Limits.Count)) == 1 {
			by = g.utmost()
		}
		p = &placed{}
		p.rigged, p.ok = g.place(ctx, c, w.Limits, []*SupportOption{w}, by, nil)
		g.placed[kindOf(c, w)] = p
	}
	return p
}

// onAny returns a frame put up on so many supports, each of the cheapest kind that finds room there, and held in the wind where that is
// asked; nil where it finds no place.
func (g *Group) onAny(ctx context.Context, c *Candidate, count int, asked WindDemand) *Rig {
	p := g.mixed[mix{c.first(), count}]
	if p == nil {
		p = &placed{}
		if h, ok := c.envelope(count); ok {
			p.rigged, p.ok = g.place(ctx, c, h, c.kinds(count), g.utmost(), nil)
		}
		g.mixed[mix{c.first(), count}] = p
	}
	return p.rig(g, c, asked)
}

// rig returns a placed frame as a rig; nil where it has no place.
func (p *placed) rig(g *Group, c *Candidate, asked WindDemand) *Rig {
	switch {
	case !p.ok:
		return nil
	case asked == IgnoreWind:
		return g.rig(c, p.rigged, asked)
	case p.held == nil:
		p.held = g.rig(c, p.rigged, asked)
	}
	return p.held.preferred(c)
}

// preferred returns the rig by the preference of a candidate for the same frame.
func (r *Rig) preferred(c *Candidate) *Rig {
	if r.Candidate == c {
		return r
	}
	own := *r
	own.Candidate, own.first, own.onRopes = c, r, nil
	own.priced = c.price(&own)
	return &own
}

// beside returns the group with rigs standing that its own must keep clear of, and what the house has left beside them. What is
// known of frames by themselves is known to both.
func (g *Group) beside(others []*Rig, left func(sku string) int) *Group {
	b := *g
	b.alone = g
	b.others, b.left = others, left
	b.forget()
	return &b
}

// forget empties what the group knows of frames on supports.
func (g *Group) forget() {
	g.placed, g.mixed, g.turned, g.erected = map[onKind]*placed{}, map[mix]*placed{}, map[turning]*placed{}, map[onTerms]*Rig{}
}

// Fits reports whether the frame covers from somewhere that its supports reach.
func (t *Fit) Fits() bool { return t.Found && t.Spot.Slack >= 0 }

// NewGroup returns the group of some sources on a stage, whose zone may be wider than the shot's own.
func NewGroup(ctx context.Context, st *scene.Stage, list []*scene.Source) *Group {
	g := &Group{
		Sources: list, free: map[string]*Fit{}, tries: map[*Candidate]*Fit{}, reach: map[mix]reach{}, last: map[placement.Yield]*placement.Spot{},
	}
	g.forget()
	g.fd = placement.NewFinder(ctx, st, raysOn(st, list))
	return g
}

// raysOn returns the rays of sources that must be stopped on a stage.
func raysOn(st *scene.Stage, list []*scene.Source) (rays []scene.Ray) {
	for _, s := range list {
		rays = append(rays, s.RaysOn(st)...)
	}
	return rays
}

// hopelessM is a slack, in metres, below which no place is searched for.
const hopelessM = -200

// freely searches for a place for a frame regardless of supports: what fails here fails on stands and on lifts.
func (g *Group) freely(ctx context.Context, c *Candidate) *Fit {
	t := g.free[c.Item.SKU]
	if t == nil {
		t = &Fit{}
		g.free[c.Item.SKU] = t
		t.Spot, t.Found = g.find(ctx, c, &placement.AnySupport, placement.YieldCover, g.floor())
	}
	return t
}

// floor returns the slack below which no place is searched for.
func (g *Group) floor() float64 {
	if g.Brief {
		return -placement.SeedDepthM(g.fd.Stage) / 2
	}
	return hopelessM
}

// finest returns how finely a frame is turned before it is given up.
func (g *Group) finest() float64 {
	if g.Brief {
		return placement.CoarseStepRad
	}
	return placement.FinestStepRad
}

func (g *Group) find(ctx context.Context, c *Candidate, h *placement.SupportLimits, y placement.Yield, floor float64) (placement.Spot, bool) {
	s, ok := g.fd.Find(ctx, placement.EnoughSlackQuery(c.sheet, h, y, floor), g.last[y])
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

// BestPlace returns the place of most slack for a frame, its supports taken as the best of all its options. A frame is searched for
// once.
func (g *Group) BestPlace(ctx context.Context, c *Candidate) *Fit {
	if t := g.tries[c.first()]; t != nil {
		return t
	}
	t := &Fit{}
	g.tries[c.first()] = t
	if !g.freely(ctx, c).Fits() {
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
			t.Spot, t.Found, floor = s, true, s.Slack
		}
		if t.Fits() {
			break
		}
	}
	return t
}

// mayCoverMore returns the candidates that may stop the group's sources and others too: all but those that are known not to stop
// even these.
func (g *Group) mayCoverMore(list []*Candidate) []*Candidate {
	return slices.DeleteFunc(slices.Clone(list), func(c *Candidate) bool {
		t := g.tries[c.first()]
		return t != nil && !t.Fits()
	})
}

// Choose returns the best rig of the candidates, which come best first, on some terms; nil where none keeps them.
func (g *Group) Choose(ctx context.Context, list []*Candidate, on Terms) *Rig {
	var best *Rig
	for _, c := range list {
		if len(c.Options) == 0 || best != nil && !c.RankBound().Less(best.Rank) || ctx.Err() != nil {
			break
		}
		if !g.BestPlace(ctx, c).Fits() {
			continue
		}
		if ch := g.erect(ctx, c, on, best); ch != nil && (best == nil || ch.Rank.Less(best.Rank)) {
			best = ch
		}
	}
	return best
}
