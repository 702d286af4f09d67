package sizing

import (
	"cmp"
	"context"
	"math"
	"slices"
)

// widest is the widest zone, all else equal, that one frame of the house covers here with supports it has, in metres.
func (e *engine) widest(ctx context.Context, g *group) float64 {
	st, hard := g.fd.st, g.sources
	frames := e.largest()
	near := false
	for _, src := range hard {
		near = near || src.near()
	}
	best := 0.0 // half-width
	if near {
		frames = frames[:min(len(frames), widestNearTries)]
	} else {
		// What is found must not depend on the width that is asked.
		g = newGroup(ctx, st.widened(widestFromM/2), hard)
	}
	var by *candidate // the frame that does best
	vain := 0         // frames since the last that did better
	for _, c := range frames {
		if ctx.Err() != nil {
			break
		}
		if st.widened(best).least(hard) >= c.areaM2 {
			continue
		}
		was := best
		if near {
			best = g.widestNear(ctx, c, best)
		} else {
			best = g.widestFar(ctx, c, best)
		}
		if vain++; best > was {
			vain, by = 0, c
		} else if vain == widestVain {
			break
		}
	}
	// That search climbs from the turns of a grid. What every turn is looked at for may be wider still.
	for by != nil && !near && ctx.Err() == nil && 2*best < widestAskedM {
		wider := best*widestGrowth + widestStepM
		if st.widened(wider).least(hard) >= by.areaM2 || !newGroup(ctx, st.widened(wider), hard).erectAny(ctx, by) {
			break
		}
		best = wider
	}
	return math.Min(2*best, widestAskedM)
}

// widestFromM is the width of the zone that the search is laid out for.
const widestFromM = 4

// widestGrowth is the step in which a wider zone is looked for.
const widestGrowth = 1.02

// widestShared is the widest zone that frames which share the sources cover: that of the tightest share. A share that covers
// the narrowest so far is not looked at further.
func (e *engine) widestShared(ctx context.Context, shares []*choice) float64 {
	widest := math.Inf(1)
	for _, ch := range shares {
		covers := func(c *candidate) bool {
			st := ch.group.fd.st.widened(widest / 2)
			return ctx.Err() == nil && st.least(ch.group.sources) < c.areaM2 && newGroup(ctx, st, ch.group.sources).erectAny(ctx, c)
		}
		frames := e.largest()
		if math.IsInf(widest, 1) || !slices.ContainsFunc(frames[:min(len(frames), widestNearTries)], covers) {
			widest = math.Min(widest, e.widest(ctx, ch.group))
		}
	}
	return widest
}

// largest are the house's frames that something holds up, the largest first.
func (e *engine) largest() []*candidate {
	frames := slices.DeleteFunc(slices.Concat(e.stands, e.lifts), func(c *candidate) bool { return len(c.ways) == 0 })
	slices.SortStableFunc(frames, func(a, b *candidate) int { return cmp.Compare(b.areaM2, a.areaM2) })
	return frames
}

// widestAskedM is the widest zone that a request may have, and widestStepM how exactly a width is searched by halving.
const (
	widestAskedM = 200
	widestStepM  = 0.01
	// widestNearTries is how many of the largest frames are searched that way: each takes a dozen full searches.
	widestNearTries = 3
	// widestVain is after how many frames in a row, each smaller, that do no better the search ends.
	widestVain = 6
	// widestShare is what of the widest place, which touches every limit at once, is asked to stand.
	widestShare = 0.995
)

// widestShares are the shares of the widest place that are searched in full where it cannot stand.
var widestShares = [6]float64{0.985, 0.97, 0.95, 0.92, 0.88, 0.8}

// least is an area that no opening which covers the zone is under: the largest silhouette that it shows to a
// directional source.
func (st *stage) least(hard []*source) float64 {
	area := 0.0
	for _, src := range hard {
		for i := range src.checks {
			area = math.Max(area, st.silhouette(src.checks[i].dir))
		}
	}
	return area
}

// widestFar is the greatest half-width found that a frame covers, on supports that stand, against directional sources,
// where it beats floor: the width is one more unknown of the search's linear programs.
func (g *group) widestFar(ctx context.Context, c *candidate, floor float64) float64 {
	fd := g.fd
	for _, count := range [2]int{2, 4} {
		h, ok := c.envelope(count)
		if !ok {
			continue
		}
		s, ok := fd.find(ctx, c.sheet, &h, yieldWidth, nil, floor, math.Inf(1))
		if !ok {
			continue
		}
		kinds := c.kinds(count)
		stands := func(half float64, s *spot) (ok bool, short int) {
			wide := group{sources: g.sources, fd: &finder{st: fd.st.widened(half), rays: fd.rays}}
			_, short = wide.stand(s, &h, kinds)
			return short == allStand, short
		}
		// What holds the widest place mostly holds one a little less wide at the same turn …
		less := s.slack * widestShare
		if less > floor {
			there := &finder{st: fd.st.widened(less), rays: fd.rays, placer: newPlacer(fd.st.widened(less), len(fd.rays))}
			there.placer.thorough = true
			there.placer.accept, there.placer.patience = func(s *spot) (bool, int) { return stands(less, s) }, patienceOnce
			if _, ok := there.at(ctx, s.yaw, s.tilt, &s.sheet, &h, yieldCover, -1e-9, 0); ok {
				floor = less
				continue
			}
		}
		// … and where it does not, narrower zones are searched in full.
		for _, share := range widestShares {
			if half := s.slack * share; half <= floor || ctx.Err() != nil {
				break
			} else if newGroup(ctx, fd.st.widened(half), g.sources).erectAny(ctx, c) {
				floor = half
				break
			}
		}
	}
	return floor
}

// widestNear is the same where a lamp stands at a position: every width turns the rays from the zone's ends, so that the
// width is searched by halving.
func (g *group) widestNear(ctx context.Context, c *candidate, floor float64) float64 {
	covers := func(half float64) bool {
		return ctx.Err() == nil && newGroup(ctx, g.fd.st.widened(half), g.sources).erectAny(ctx, c)
	}
	lo, hi := floor+widestStepM, widestAskedM/2.0
	if hi <= lo || !covers(lo) {
		return floor
	}
	return halved(lo, hi, widestStepM, covers)
}

// halved is the greatest value found by halving, to within step, for which holds is true; it is for lo and not for hi.
func halved(lo, hi, step float64, holds func(float64) bool) float64 {
	for hi-lo > step {
		if mid := (lo + hi) / 2; holds(mid) {
			lo = mid
		} else {
			hi = mid
		}
	}
	return lo
}

// erectAny says whether a frame can be put up on any of its supports.
func (g *group) erectAny(ctx context.Context, c *candidate) bool {
	g.brief = true
	return g.try(ctx, c).fits() && g.erect(ctx, c, terms{wind: windStill}) != nil
}
