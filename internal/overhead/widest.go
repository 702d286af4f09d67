package overhead

import (
	"cmp"
	"context"
	"maps"
	"math"
	"slices"

	"kitspan/internal/placement"
	"kitspan/internal/shot"
)

// Widest is the widest zone found that a frame covers, and the rig that covers it.
type Widest struct {
	half float64 // half-width, metres
	by   *Rig    // nil where none covers any
}

// WidthM returns the width of the zone in metres, at most [shot.MaxWidthM]; 0 where no frame covers any.
func (w *Widest) WidthM() float64 { return math.Min(2*w.half, shot.MaxWidthM) }

// Widest returns the widest zone, all else equal, that one frame of the house covers here on supports that it has. It does not
// depend on the width of the shot's own zone.
func (pl *Planner) Widest(ctx context.Context, g *Group) Widest {
	st, hard := g.fd.Stage, g.Sources
	frames := pl.largest()
	near := false
	for _, src := range hard {
		near = near || src.Near()
	}
	var best Widest
	if near {
		frames = frames[:min(len(frames), widestNearTries)]
	} else {
		g = NewGroup(ctx, st.WithHalfWidth(widestFromM/2), hard)
	}
	vain := 0 // frames since the last that did better
	for _, c := range frames {
		if ctx.Err() != nil {
			break
		}
		if st.WithHalfWidth(best.half).LeastOpeningM2(hard) >= c.AreaM2 {
			continue
		}
		was := best.half
		if near {
			best = g.widestNear(ctx, c, best)
		} else {
			best = g.widestFar(ctx, c, best)
		}
		if vain++; best.half > was {
			vain = 0
		} else if vain == widestVain {
			break
		}
	}
	if near {
		return best
	}
	if best.by == nil { // what covers hardly anything is not on the way up from a turn of the grid
		step := max(1, (len(frames)+narrowTries-1)/narrowTries) // the largest may be the first in the picture or too low
		for i := 0; i < len(frames) && best.by == nil; i += step {
			best = g.over(ctx, frames[i], MinWidthM/2, false)
		}
	}
	return g.grown(ctx, best)
}

// grown widens a zone for as long as its frame is found to cover: the search of the width climbs from the turns of a grid, and
// what every turn is looked at for may be wider still.
func (g *Group) grown(ctx context.Context, best Widest) Widest {
	for step := widestGrowth; best.by != nil && best.half < shot.MaxWidthM/2; {
		switch wider := g.over(ctx, best.by.Candidate, math.Min(best.half*step+widestStepM, shot.MaxWidthM/2), false); {
		case wider.by != nil:
			best, step = wider, step*step
		case step > widestGrowth:
			step = widestGrowth
		default:
			return best
		}
	}
	return best
}

// over returns a frame put up over a zone of another half-width, as a plan for one would look for it, or briefly; without a rig
// where no place is found.
func (g *Group) over(ctx context.Context, c *Candidate, half float64, brief bool) Widest {
	st := g.fd.Stage.WithHalfWidth(half)
	if ctx.Err() != nil || st.LeastOpeningM2(g.Sources) >= c.AreaM2 {
		return Widest{}
	}
	wide := NewGroup(ctx, st, g.Sources)
	wide.Brief = brief
	if !wide.BestPlace(ctx, c).Fits() {
		return Widest{}
	}
	if brief { // on any supports
		for _, count := range [2]int{2, 4} {
			if ch := wide.onAny(ctx, c, count, IgnoreWind); ch != nil {
				return Widest{half, ch}
			}
		}
		return Widest{}
	}
	return Widest{half, wide.Erect(ctx, c, Terms{Wind: IgnoreWind})}
}

// admit makes a rig that covers a zone at least as wide as the group's a rig of the group, whose own search may have missed
// it. It keeps every condition here, because a narrower zone lies within the wider one: all its light comes through the
// opening, and what hangs and stands clear of the one does of the other. Whatever holds more than its supports do, stands
// in their place as well.
func (g *Group) admit(ch *Rig) {
	c, r := ch.Candidate, ch.Placed
	r.MarginM = g.fd.Stage.Measure(&r.Opening, g.Sources).InsetM
	r.spot.Slack = math.Max(r.spot.Slack, 0)
	fits := &Fit{Spot: r.spot, Found: true}
	g.free[c.Item.SKU], g.tries[c.first()] = fits, fits
	maps.DeleteFunc(g.erected, func(k onTerms, _ *Rig) bool { return k.of == c })
	for _, w := range c.kinds(r.Count) {
		alike := r
		does := true
		for i := range r.Count {
			does = does && r.masts[i].Support.Limits.Within(&w.Limits)
			alike.masts[i].Support = &w.Support
		}
		if does {
			g.placed[kindOf(c, w)] = &placed{rigged: alike, ok: true}
		}
	}
	g.mixed[mix{c.first(), r.Count}] = &placed{rigged: r, ok: true}
}

// MinWidthM is the width, in metres, of the narrowest zone, and of the narrowest shot, that is looked at.
const MinWidthM = 0.02

// narrowTries is how many frames, of all sizes, are tried over a zone of that width where none was found over any.
const narrowTries = 16

// widestFromM is the width, in metres, of the zone that the search is laid out for.
const widestFromM = 4

// widestGrowth is the first step by which a wider zone is looked for; each further one is the square of the one before.
const widestGrowth = 1.02

// WidestShared returns the width, in metres, of the widest zone that frames which share the sources cover: that of the tightest
// share. A share that covers the narrowest so far is not looked at further.
func (pl *Planner) WidestShared(ctx context.Context, shares []*Rig) float64 {
	least := math.Inf(1)
	for _, ch := range shares {
		covers := func(c *Candidate) bool { return ch.Group.over(ctx, c, least/2, true).by != nil }
		frames := pl.largest()
		if math.IsInf(least, 1) || !slices.ContainsFunc(frames[:min(len(frames), widestNearTries)], covers) {
			w := pl.Widest(ctx, ch.Group)
			least = math.Min(least, w.WidthM())
		}
	}
	return least
}

// largest returns the house's frames that something holds up, the largest first.
func (pl *Planner) largest() []*Candidate {
	frames := slices.DeleteFunc(slices.Concat(pl.Stands, pl.Lifts), func(c *Candidate) bool { return len(c.Options) == 0 })
	slices.SortStableFunc(frames, func(a, b *Candidate) int { return cmp.Compare(b.AreaM2, a.AreaM2) })
	return frames
}

// widestStepM is the step, in metres, to which a width is found by bisection.
const (
	widestStepM = 0.01
	// widestStepShare is the same as a share of the width: a width in print has three figures.
	widestStepShare = 0.004
	// widestNearTries is how many of the largest frames are searched by bisection: each takes a dozen full searches.
	widestNearTries = 3
	// widestVain is after how many frames in a row, each smaller, that do no better the search ends.
	widestVain = 6
	// widestShare is the share of the widest place, which touches every limit at once, for which standing room is looked for.
	widestShare = 0.995
)

// widestShares are the shares of the widest place that are searched in full where it cannot stand.
var widestShares = [6]float64{0.985, 0.97, 0.95, 0.92, 0.88, 0.8}

// widestFar returns the widest zone found that a frame covers, on supports that stand, against directional sources, where it beats
// best: the width is one more unknown of the search's linear programs.
func (g *Group) widestFar(ctx context.Context, c *Candidate, best Widest) Widest {
	fd := g.fd
	for _, count := range [2]int{2, 4} {
		h, ok := c.envelope(count)
		if !ok {
			continue
		}
		s, ok := fd.Find(ctx, placement.MostSlackQuery(c.sheet, &h, placement.YieldWidth, best.half), nil)
		if !ok {
			continue
		}
		// What holds the widest place mostly holds one a little less wide at the same turn …
		if less := s.Slack * widestShare; less > best.half {
			if ch := g.overAt(ctx, c, less, &s, &h); ch != nil {
				best = Widest{less, ch}
				continue
			}
		}
		// … and where it does not, narrower zones are searched in full.
		for _, share := range widestShares {
			if half := s.Slack * share; half <= best.half {
				break
			} else if wide := g.over(ctx, c, half, true); wide.by != nil {
				best = wide
				break
			}
		}
	}
	return best
}

// overAt returns a frame put up over a zone of another half-width at the turn of a spot; nil where it finds no place there.
func (g *Group) overAt(ctx context.Context, c *Candidate, half float64, s *placement.Spot, h *placement.SupportLimits) *Rig {
	st := g.fd.Stage.WithHalfWidth(half)
	rays := raysOn(st, g.Sources)
	there := placement.NewTurnFinder(st, rays)
	wide := &Group{Sources: g.Sources, fd: there}
	kinds := c.kinds(h.Count)
	var taken Placed
	trial := placement.Trial{Thorough: true, Patience: patienceOnce, Accept: func(s *placement.Spot) (ok bool, short int) {
		taken, short = wide.settled(c, s, h, kinds)
		return short == allStand, short
	}}
	if _, ok := there.At(ctx, s.Yaw, s.Tilt, placement.CoverQuery(s.Size, h, &trial)); !ok {
		return nil
	}
	return wide.rig(c, taken, IgnoreWind)
}

// widestNear returns the same where a lamp stands at a position: every width turns the rays from the zone's ends, so that the
// width is searched by halving.
func (g *Group) widestNear(ctx context.Context, c *Candidate, best Widest) Widest {
	lo, hi := best.half+widestStepM, shot.MaxWidthM/2.0
	var last *Rig // over a narrower zone: where it stands the next may stand as well
	covers := func(half float64) bool {
		var w Widest
		if last != nil {
			if h, ok := c.envelope(last.Placed.Count); ok {
				w = Widest{half, g.overAt(ctx, c, half, &last.Placed.spot, &h)}
			}
		}
		if w.by == nil {
			w = g.over(ctx, c, half, true)
		}
		if w.by != nil {
			best, last = w, w.by
		}
		return w.by != nil
	}
	if hi > lo && covers(lo) {
		Bisect(lo, hi, widestStepM, widestStepShare, covers)
	}
	return best
}

// Bisect returns the greatest value found by bisection, to within step or a share of itself, for which holds is true. It is
// taken to be true for lo and false for hi: neither is asked.
func Bisect(lo, hi, step, share float64, holds func(float64) bool) float64 {
	for hi-lo > math.Max(step, share*lo) {
		if mid := (lo + hi) / 2; holds(mid) {
			lo = mid
		} else {
			hi = mid
		}
	}
	return lo
}
