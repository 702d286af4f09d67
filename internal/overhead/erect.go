package overhead

import (
	"cmp"
	"context"
	"math"
	"slices"

	"kitspan/internal/anchorage"
	"kitspan/internal/placement"
	"kitspan/internal/scene"
)

// Terms are the conditions that a rig has to keep.
type Terms struct {
	LimitMinor int64 // price per day in minor units, 0 for none
	Wind       WindDemand
}

// WindDemand is what a rig must withstand.
type WindDemand int

const (
	HoldGust    WindDemand = iota // it holds the gust
	HoldLongest                   // it holds as long as any
	IgnoreWind                    // nothing: only whether it stands at all
)

// Erect puts a frame that fits up on supports of the house: the best rig on the terms of those on supports all alike, each
// where that kind finds room; where there is none, on supports of several kinds; and where no such rig holds the gust, in
// another place. It returns nil where nothing does on the terms.
func (g *Group) Erect(ctx context.Context, c *Candidate, t Terms) *Rig {
	return g.erect(ctx, c, t, nil)
}

// erect is Erect where only a rig better than another, nil for none, is wanted: nil may mean that there is none of those.
func (g *Group) erect(ctx context.Context, c *Candidate, t Terms, than *Rig) *Rig {
	key := onTerms{c, t}
	if g.alone != nil {
		if ch, known := g.alone.erected[key]; known && ch == nil {
			return nil
		}
	}
	ch, known := g.erected[key]
	if !known {
		ch = g.erectAnew(ctx, c, t, than)
		if than == nil || ch != nil && ch.better(than, t) { // else another question may have another answer
			g.erected[key] = ch
		}
	}
	return ch
}

// onTerms is a frame and what is asked of its rig.
type onTerms struct {
	of *Candidate
	on Terms
}

func (g *Group) erectAnew(ctx context.Context, c *Candidate, t Terms, than *Rig) *Rig {
	if g.left != nil && (g.left(c.Item.SKU) < 1 || g.left(c.Fabric.SKU) < 1) {
		return nil
	}
	var best *Rig
	var firm []*SupportOption
	var placed bool
	if t.Wind == HoldLongest {
		best = g.sturdiest(ctx, c, t)
	} else {
		best, firm, placed = g.alike(ctx, c, t, than)
	}
	if best != nil || than != nil && placed {
		return best
	}
	if !placed {
		for _, count := range [2]int{2, 4} {
			if len(c.kinds(count)) < 2 {
				continue
			}
			ch := g.onAny(ctx, c, count, t.Wind)
			if ch == nil {
				continue
			}
			if t.Wind == HoldGust {
				ch = g.lighter(ch, t)
			}
			if ch.keeps(t) && ch.better(best, t) {
				best = ch
			}
		}
	}
	if t.Wind != HoldGust {
		return best
	}
	for _, w := range firm {
		if best != nil {
			break
		}
		g.place(ctx, c, w.Limits, []*SupportOption{w}, elsewhere, func(r *Placed) bool {
			if ch := g.rig(c, *r, t.Wind); ch.keeps(t) {
				best = ch
			}
			return best != nil
		})
	}
	return best
}

const (
	// ropeTries is on how many kinds of supports that ballast alone does not hold ropes are tried.
	ropeTries = 3
	// Where no kind of supports holds the gust in its first place, another is looked for on firmTries kinds of the first firmLook:
	// those that hold longest, and at least firmShare of the gust, a quarter of its force.
	firmTries = 2
	firmLook  = 4
	firmShare = 0.5
)

// alike returns the best rig on the terms on supports all alike. firm are kinds that find room and do not hold the gust, but
// might in another place. placed reports whether any kind finds room.
//
// Kinds come by their rank without anything that holds them, which no ballast or rope improves, and in an order that the gust does
// not change: so a rig chosen in more wind has been tried in less, in the same place. Kinds that cannot be better than the other rig,
// nil for none, are passed over.
func (g *Group) alike(ctx context.Context, c *Candidate, t Terms, than *Rig) (best *Rig, firm []*SupportOption, placed bool) {
	least := than // the better of the best so far and the other
	var failed, weak []*SupportOption
	var loose []*Rig // of the weak ones
	options := c.PricedOptions()
	for i := range options {
		w := &options[i]
		if ctx.Err() != nil || least != nil && !w.rank.Less(least.Rank) {
			break
		}
		if g.hopeless(w, failed, t) {
			continue
		}
		at := g.onOption(ctx, c, w)
		if !at.ok {
			failed = append(failed, w)
			continue
		}
		placed = true
		if t.Wind != IgnoreWind {
			switch in := c.leastRank(w, &at.rigged); {
			case best != nil && !in.Less(best.Rank):
				continue
			case than != nil && !in.Less(than.Rank) && !c.leastRank(w, at.rigged.level()).Less(than.Rank):
				continue
			}
		}
		ch := at.rig(g, c, t.Wind)
		ch.option = w
		switch {
		case t.Wind != IgnoreWind && !ch.Anchorage.Holds:
			weak, loose = append(weak, w), append(loose, ch)
		case ch.keeps(t) && ch.better(best, t):
			best = ch
			if ch.better(least, t) {
				least = ch
			}
		}
	}
	if t.Wind == IgnoreWind {
		return best, nil, placed
	}
	for i, ch := range loose[:min(len(loose), ropeTries)] {
		if ctx.Err() != nil || least != nil && !weak[i].rank.Less(least.Rank) {
			break
		}
		if r := g.onRopes(ch); r.keeps(t) && r.better(best, t) {
			best = r
			break
		}
	}
	switch {
	case best != nil && than != nil && best.Rank[0] > mostEased*than.Rank[0]:
		return nil, nil, placed
	case best != nil:
		return g.lighter(g.closer(ctx, g.flatter(ctx, best, t), t), t), nil, placed
	}
	return nil, g.firm(c, weak, loose), placed
}

// mostEased is how many times as much as another rig, of what is preferred first, one may take that might still be better once it hangs
// flatter or on ropes. In docs/examples/03 the lightest rig weighs 69 kg once it hangs flat, and more than 112 where it is placed first.
const mostEased = 2

// hopeless reports whether a kind of supports need not be tried after those that found no room.
func (g *Group) hopeless(w *SupportOption, failed []*SupportOption, t Terms) bool {
	return slices.ContainsFunc(failed, func(o *SupportOption) bool { return w.Limits.Within(&o.Limits) }) ||
		t.LimitMinor > 0 && w.rigMinor > t.LimitMinor || g.left != nil && g.left(w.Item.SKU) < w.Limits.Count
}

// better reports whether a rig is preferable to another on the terms; nil is worse than any.
func (r *Rig) better(o *Rig, t Terms) bool {
	switch {
	case o == nil:
		return true
	case t.Wind == HoldLongest && r.lowerAtMS() != o.lowerAtMS():
		return r.lowerAtMS() > o.lowerAtMS()
	}
	return r.Rank.Less(o.Rank)
}

// rig makes a placed frame a rig: priced, and held in the wind where that is asked.
func (g *Group) rig(c *Candidate, r Placed, asked WindDemand) *Rig {
	ch := &Rig{Candidate: c, Group: g, Placed: r}
	if asked != IgnoreWind {
		p := ch.Held()
		ch.Anchorage = c.Holding.Secure(&p, c.Holding.GustMS, nil, ch.remaining(g.left), false)
	}
	ch.priced = c.price(ch)
	return ch
}

// keeps reports whether a rig keeps the terms.
func (r *Rig) keeps(t Terms) bool {
	return r.priced && (t.LimitMinor <= 0 || r.Minor <= t.LimitMinor) && (t.Wind != HoldGust || r.Anchorage.Holds)
}

// effort is how much is tried before a search for standing room ends.
type effort struct {
	// patience is how many places are tried beside those at turns where the frame is known to fit, and finest how finely
	// it is turned; see [placement.Finder.Everywhere].
	patience int
	finest   float64
	thorough bool // several places of each case
	afresh   bool // not where the frame is known to fit
}

// briefly is the effort for one kind of supports of several: at turns where the frame is known to fit, alone.
var briefly = effort{}

// elsewhere is the effort for another place than the first that there is room at. In random shots room was found, where
// there was any, in far fewer places than this and the following allow.
var elsewhere = effort{patience: 60, finest: placement.GridStepRad, afresh: true}

// utmost returns the effort of the last attempt, after which a frame is given up.
func (g *Group) utmost() effort {
	if g.alone != nil { // most of what was tried in vain alone is tried in vain again
		return effort{patience: 250, finest: g.finest(), thorough: true}
	}
	return effort{patience: 1000, finest: g.finest(), thorough: true}
}

// patienceOnce is how many places are tried at one turn.
const patienceOnce = 20

// kinds returns the candidate's options with one number of supports, cheapest first.
func (c *Candidate) kinds(count int) []*SupportOption {
	var out []*SupportOption
	options := c.PricedOptions()
	for i := range options {
		if options[i].Limits.Count == count {
			out = append(out, &options[i])
		}
	}
	slices.SortStableFunc(out, func(a, b *SupportOption) int { return cmp.Compare(a.rigMinor, b.rigMinor) })
	return out
}

// place searches for a place where a support of one of the kinds finds room under every point held, and that also, where
// set, agrees to; h is the best of the kinds. It takes the first such place that it comes to.
func (g *Group) place(ctx context.Context, c *Candidate, h placement.SupportLimits, kinds []*SupportOption, by effort, also func(*Placed) bool) (Placed, bool) {
	t := g.BestPlace(ctx, c)
	if !t.Fits() {
		return Placed{}, false
	}
	fd := g.fd
	var taken Placed // in the spot that was accepted
	accept := func(s *placement.Spot) (ok bool, short int) {
		r, short := g.settled(c, s, &h, kinds)
		if short != allStand {
			return false, short
		}
		if also != nil && !also(&r) {
			return false, -1
		}
		taken = r
		return true, -1
	}
	trial := func(patience int) *placement.Trial {
		return &placement.Trial{Accept: accept, Patience: patience, Thorough: by.thorough}
	}
	if !by.afresh {
		at := func(s *placement.Spot) bool {
			_, ok := fd.At(ctx, s.Yaw, s.Tilt, placement.CoverQuery(s.Size, &h, trial(patienceOnce)))
			return ok
		}
		if at(&t.Spot) || t.stood != nil && at(t.stood) {
			return taken, true
		}
		if by.patience == 0 && t.stood == nil && g.outOfReach(ctx, c, &h) {
			return Placed{}, false
		}
		if t.stood == nil || by.patience > 0 {
			if s, ok := g.covering(ctx, c, &h); ok && at(&s) {
				t.stood = &s
				return taken, true
			}
		}
	}
	if by.patience == 0 {
		return Placed{}, false
	}
	_, ok := fd.Everywhere(ctx, placement.CoverQuery(c.sheet, &h, trial(by.patience)), by.finest)
	return taken, ok
}

// covering returns a spot at which a frame covers on some supports, looked for from its best place on.
func (g *Group) covering(ctx context.Context, c *Candidate, h *placement.SupportLimits) (placement.Spot, bool) {
	q := placement.EnoughSlackQuery(c.sheet, h, placement.YieldCover, -placement.SeedDepthM(g.fd.Stage))
	s, ok := g.fd.Find(ctx, q, &g.BestPlace(ctx, c).Spot)
	return s, ok && s.Slack >= 0
}

// reach is with what arms, in metres, a frame covers: with none of up to short, and, of supports taken as the best of all with arms of up
// to long, from there on.
type reach struct{ shortM, longM float64 }

// outOfReach reports whether a frame finds no place on any of its supports with arms no longer than some have: what finds none on the best of
// all these finds none on one of them. So a dozen kinds without arms are ruled out at once.
func (g *Group) outOfReach(ctx context.Context, c *Candidate, h *placement.SupportLimits) bool {
	armM := h.Stances[0].ArmM
	r, known := g.reach[mix{c.first(), h.Count}]
	if !known {
		r = reach{math.Inf(-1), math.Inf(1)}
	}
	if armM > r.shortM && armM < r.longM {
		best, _ := c.envelopeTo(h.Count, armM)
		if _, ok := g.covering(ctx, c, &best); ok {
			r.longM = armM
		} else {
			r.shortM = armM
		}
		g.reach[mix{c.first(), h.Count}] = r
	}
	return armM <= r.shortM
}

// settled returns a frame on a spot with its supports down, clear of the other rigs; short is as stand returns it.
func (g *Group) settled(c *Candidate, s *placement.Spot, h *placement.SupportLimits, kinds []*SupportOption) (r Placed, short int) {
	// What depends on the frame alone comes first: putting supports down takes longest.
	opening, outer := s.Rect(g.fd.Stage)
	marginM := g.fd.Stage.Measure(&opening, g.Sources).InsetM
	if marginM < g.fd.Stage.CoverM || slices.ContainsFunc(g.others, func(o *Rig) bool { return o.blocks(&outer) }) {
		return r, -1
	}
	if r, short = g.stand(s, h, kinds); short != allStand {
		return r, short
	}
	r.MarginM = marginM
	mine := Rig{Candidate: c, Placed: r, Group: g}
	if slices.ContainsFunc(g.others, mine.meets) {
		return r, -1
	}
	return r, allStand
}

// allStand is what stand returns in place of a support without room; −1 means that the frame itself is in the way.
const allStand = 4

// stand puts under every held point of a spot the first of the kinds that reaches it, finds room and of which enough are left.
// short is the number of the first support for which there is none.
func (g *Group) stand(s *placement.Spot, h *placement.SupportLimits, kinds []*SupportOption) (r Placed, short int) {
	st := g.fd.Stage
	var f placement.Facing
	if !placement.TurnTo(st, &f, g.fd.Rays, s.Yaw, s.Tilt) {
		return r, -1
	}
	r.spot, r.Count = *s, h.Count
	r.Opening, r.Outer = s.Rect(st)
	corners := r.Outer.Corners()
	if r.ClearM = st.View.PolygonClearance(corners[:]); r.ClearM < st.ViewM {
		return r, -1
	}
	off := placement.OffsetsOf(&f, &s.Size, h.Count)
	order := off.FromOutside(s.Center.X)
	var standing []anchorage.Mast
	for _, i := range order[:off.N] {
		held, found := s.Center.Add(off.At[i]), false
		for _, w := range kinds {
			if held.Z < w.Limits.LowestM-scene.GuardM || held.Z > w.Limits.HighestM+scene.GuardM || !g.spare(w, standing) {
				continue
			}
			if m, ok := anchorage.PutBase(st, held, &w.Support, &r.Outer, standing); ok {
				r.masts[i], found = m, true
				standing = append(standing, m)
				break
			}
		}
		if !found {
			return r, i
		}
	}
	return r, allStand
}

// spare reports whether the house has one more of a support beside what stands, in other rigs and in this one.
func (g *Group) spare(w *SupportOption, standing []anchorage.Mast) bool {
	left := w.Item.Owned
	if g.left != nil {
		left = g.left(w.Item.SKU)
	}
	for i := range standing {
		if standing[i].Support.Item == w.Item {
			left--
		}
	}
	return left > 0
}
