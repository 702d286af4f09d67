package sizing

import (
	"cmp"
	"context"
	"slices"

	"kitspan/internal/anchorage"
	"kitspan/internal/placement"
	"kitspan/internal/scene"
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

// erect puts a frame that fits up on supports of the house: the best rig on the terms of those on supports all alike, each
// where that kind finds room; where there is none, on supports of several kinds; and where no such rig holds the gust, in
// another place. nil where nothing does on the terms.
func (g *group) erect(ctx context.Context, c *candidate, t terms) *choice {
	key := onTerms{c, t}
	if g.alone != nil {
		if ch, known := g.alone.erected[key]; known && ch == nil {
			return nil
		}
	}
	ch, known := g.erected[key]
	if !known {
		ch = g.erectAnew(ctx, c, t)
		g.erected[key] = ch
	}
	return ch
}

// onTerms is a frame and what is asked of its rig.
type onTerms struct {
	of *candidate
	on terms
}

func (g *group) erectAnew(ctx context.Context, c *candidate, t terms) *choice {
	if g.left != nil && (g.left(c.item.SKU) < 1 || g.left(c.fabric.SKU) < 1) {
		return nil
	}
	best, firm, placed := g.alike(ctx, c, t)
	if best != nil {
		return best
	}
	if !placed {
		for _, count := range [2]int{2, 4} {
			if len(c.kinds(count)) < 2 {
				continue
			}
			if ch := g.onAny(ctx, c, count, t.wind); ch != nil && ch.keeps(t) && ch.better(best, t) {
				best = ch
			}
		}
	}
	if t.wind != windHeld {
		return best
	}
	for _, w := range firm {
		if best != nil {
			break
		}
		g.place(ctx, c, w.Limits, []*way{w}, elsewhere, func(r *rigged) bool {
			if ch := g.rig(c, *r, t.wind); ch.keeps(t) {
				best = ch
			}
			return best != nil
		})
	}
	return best
}

// Where no kind of supports holds the gust in its first place, another is looked for on firmTries kinds: those that hold
// longest, and at least firmShare of the gust, a quarter of its force.
const (
	firmTries = 2
	firmShare = 0.5
)

// alike is the best rig on the terms on supports all alike. firm are kinds that find room and do not hold the gust, but
// might in another place. placed reports whether any kind finds room.
//
// Kinds come by what they rank bare, which nothing that holds them betters, and in an order that the gust does not change:
// so a rig taken in more wind has been looked at in less, in the same place.
func (g *group) alike(ctx context.Context, c *candidate, t terms) (best *choice, firm []*way, placed bool) {
	var failed []*way
	limits := map[*way]float64{}
	ways := c.priced()
	for i := range ways {
		w := &ways[i]
		if ctx.Err() != nil || best != nil && t.wind != windBest && !w.rank.less(best.rank) {
			break
		}
		if slices.ContainsFunc(failed, func(o *way) bool { return w.Limits.Within(&o.Limits) }) || t.limit > 0 && w.rigMinor > t.limit || g.left != nil && g.left(w.Item.SKU) < w.Limits.Count {
			continue
		}
		ch := g.onWay(ctx, c, w, t.wind)
		placed = placed || ch != nil
		switch {
		case ch == nil:
			failed = append(failed, w)
		case t.wind == windHeld && !ch.anchorage.Holds:
			limits[w], firm = ch.anchorage.Limits.GustLimitMS, append(firm, w)
		case ch.keeps(t) && ch.better(best, t):
			best = ch
		}
	}
	firm = slices.DeleteFunc(firm, func(w *way) bool { return limits[w] < firmShare*c.ties.GustMS })
	slices.SortStableFunc(firm, func(a, b *way) int { return cmp.Compare(limits[b], limits[a]) })
	return best, firm[:min(len(firm), firmTries)], placed
}

// better reports whether a rig is to be preferred to another on the terms; nil is worse than any.
func (ch *choice) better(o *choice, t terms) bool {
	switch {
	case o == nil:
		return true
	case t.wind == windBest && ch.anchorage.Limits.GustLimitMS != o.anchorage.Limits.GustLimitMS:
		return ch.anchorage.Limits.GustLimitMS > o.anchorage.Limits.GustLimitMS
	}
	return ch.rank.less(o.rank)
}

// rig makes a placed frame a choice: priced, and held in the wind where that is asked.
func (g *group) rig(c *candidate, r rigged, asked wind) *choice {
	ch := &choice{candidate: c, group: g, rigged: r}
	if asked != windStill {
		ch.anchorage = ch.secure(c.ties.GustMS, g.others, g.left)
	}
	ch.priced = c.price(ch)
	return ch
}

// keeps reports whether a rig keeps the terms.
func (ch *choice) keeps(t terms) bool {
	return ch.priced && (t.limit <= 0 || ch.minor <= t.limit) && (t.wind != windHeld || ch.anchorage.Holds)
}

// effort is how much is looked at for standing room before a search for it ends.
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
var elsewhere = effort{patience: 60, finest: placement.GridStep, afresh: true}

// utmost is the effort of the last attempt, after which a frame is given up.
func (g *group) utmost() effort {
	if g.alone != nil { // most of what was tried in vain alone is tried in vain again
		return effort{patience: 250, finest: g.finest(), thorough: true}
	}
	return effort{patience: 1000, finest: g.finest(), thorough: true}
}

// patienceOnce is how many places are tried at one turn.
const patienceOnce = 20

// kinds are the candidate's ways with one number of supports, cheapest first.
func (c *candidate) kinds(count int) []*way {
	var out []*way
	ways := c.priced()
	for i := range ways {
		if ways[i].Limits.Count == count {
			out = append(out, &ways[i])
		}
	}
	slices.SortStableFunc(out, func(a, b *way) int { return cmp.Compare(a.rigMinor, b.rigMinor) })
	return out
}

// place searches for a place where a support of one of the kinds finds room under every point held, and that also, where
// set, agrees to; h is the best of the kinds. It takes the first such place that it comes to.
func (g *group) place(ctx context.Context, c *candidate, h placement.SupportLimits, kinds []*way, by effort, also func(*rigged) bool) (rigged, bool) {
	t := g.try(ctx, c)
	if !t.fits() {
		return rigged{}, false
	}
	fd := g.fd
	var taken rigged // in the spot that was accepted
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
	with := func(patience int, search func() (placement.Spot, bool)) bool {
		fd.Placer.Accept, fd.Placer.Patience, fd.Placer.Thorough = accept, patience, by.thorough
		_, ok := search()
		fd.Placer.Accept, fd.Placer.Thorough = nil, false
		return ok
	}
	if !by.afresh {
		at := func(s *placement.Spot) bool {
			return with(patienceOnce, func() (placement.Spot, bool) {
				return fd.At(ctx, s.Yaw, s.Tilt, &s.Sheet, &h, placement.YieldCover, -1e-9, 0)
			})
		}
		if at(&t.spot) || t.stood != nil && at(t.stood) {
			return taken, true
		}
		if t.stood == nil || by.patience > 0 {
			if s, ok := fd.Find(ctx, c.sheet, &h, placement.YieldCover, &t.spot, -placement.SeedDepthM(fd.St), 0); ok && s.Slack >= 0 && at(&s) {
				t.stood = &s
				return taken, true
			}
		}
	}
	if by.patience == 0 {
		return rigged{}, false
	}
	ok := with(by.patience, func() (placement.Spot, bool) {
		return fd.Everywhere(ctx, c.sheet, &h, by.finest, func(f *placement.Facing, sh *placement.Size) (placement.Spot, bool) {
			return fd.Placer.Best(ctx, f, sh, &h, placement.YieldCover, -1e-9, 0)
		})
	})
	return taken, ok
}

// settled is a frame on a spot with its supports down, clear of the other rigs; short is as [group.stand] has it.
func (g *group) settled(c *candidate, s *placement.Spot, h *placement.SupportLimits, kinds []*way) (r rigged, short int) {
	// What can be said of the frame alone comes first: to put supports down takes longest.
	opening, outer := s.Rect(g.fd.St)
	marginM := g.fd.St.Measure(&opening, g.sources).InsetM
	if marginM < g.fd.St.CoverM || slices.ContainsFunc(g.others, func(o *choice) bool { return o.blocks(&outer) }) {
		return r, -1
	}
	if r, short = g.stand(s, h, kinds); short != allStand {
		return r, short
	}
	r.marginM = marginM
	mine := choice{candidate: c, rigged: r, group: g}
	if slices.ContainsFunc(g.others, mine.meets) {
		return r, -1
	}
	return r, allStand
}

// allStand is what stand returns in place of a support without room; −1 says that the frame itself is in the way.
const allStand = 4

// stand puts under every held point of a spot the first of the kinds that reaches it, finds room and is there in number.
// short is the number of the first support for which there is none.
func (g *group) stand(s *placement.Spot, h *placement.SupportLimits, kinds []*way) (r rigged, short int) {
	st := g.fd.St
	var f placement.Facing
	if !placement.TurnTo(st, &f, g.fd.Rays, s.Yaw, s.Tilt) {
		return r, -1
	}
	r.spot, r.count = *s, h.Count
	r.opening, r.outer = s.Rect(st)
	corners := r.outer.Corners()
	if r.clearM = st.View.PolygonClearance(corners[:]); r.clearM < st.ViewM {
		return r, -1
	}
	off := placement.OffsetsOf(&f, &s.Sheet, h.Count)
	order := off.FromOutside(s.Center.X)
	var standing []anchorage.Mast
	for _, i := range order[:off.N] {
		held, found := s.Center.Add(off.At[i]), false
		for _, w := range kinds {
			if held.Z < w.Limits.LowestM-scene.GuardM || held.Z > w.Limits.HighestM+scene.GuardM || !g.spare(w, standing) {
				continue
			}
			if m, ok := anchorage.PutBase(st, held, &w.Support, &r.outer, standing); ok {
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

// spare says whether the house has one more of a support beside what stands, in other rigs and in this one.
func (g *group) spare(w *way, standing []anchorage.Mast) bool {
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
