package sizing

import (
	"context"
	"math"
	"time"

	"kitspan/internal/anchorage"
	"kitspan/internal/finding"
	"kitspan/internal/placement"
	"kitspan/internal/scene"
	"kitspan/internal/shot"
)

// why explains why a frame of the list was not chosen for the group; over is the one that was, nil where none was. does
// says that it would do, but for the user's preference or a limit.
func (pl *framePlanner) why(ctx context.Context, g *group, c *candidate, over *choice) (out RuledOut, does bool) {
	out = RuledOut{SKU: c.item.SKU, Name: c.item.Name, Role: finding.RoleOverhead}
	if c.because != "" {
		out.Because, out.Obstacle = c.because, c.obstacle
		return out, false
	}
	fits := g.try(ctx, c).fits()
	if fits {
		if ch := g.erect(ctx, c, terms{wind: windHeld}); ch != nil {
			out.Because, out.Obstacle = pl.notPreferred(ch, over)
			return out, true
		}
		if ch := g.erect(ctx, c, terms{wind: windBest}); ch != nil {
			out.Because, out.Obstacle = finding.Windy, finding.NotInWind{
				Support: finding.ItemOf(pl.stock.Item(ch.supports()[0].SKU)), HoldsMS: ch.anchorage.Limits.GustLimitMS, AskedMS: pl.shot.GustMS, Governs: ch.anchorage.Limits.Governs,
			}
			return out, false
		}
	}
	if shortM, ok := pl.overLimit(ctx, g, c); ok {
		out.Because, out.ShortByM, out.Obstacle = finding.TooHigh, shortM, finding.OverHeightLimit{LimitM: *pl.shot.Limits.RigHeightM}
		return out, false
	}
	if fits {
		out.Because, out.Obstacle = finding.NoSupport, finding.NoFooting{}
		return out, false
	}
	out.Because, out.ShortByM, out.Obstacle = g.shortfall(ctx, c, pl.shot.Window.From.Location())
	return out, false
}

// notPreferred is why a rig that holds the gust was not chosen: it breaks the price limit, or the user prefers another.
func (pl *framePlanner) notPreferred(ch, over *choice) (finding.Because, finding.Obstacle) {
	on, price := finding.ItemOf(pl.stock.Item(ch.supports()[0].SKU)), pl.money(ch.minor)
	switch {
	case pl.limit > 0 && ch.minor > pl.limit:
		return finding.PriceOver, finding.OverPriceLimit{Support: on, PerDay: price}
	case over == nil || pl.shot.Prefer == shot.PreferCheapest || pl.shot.Prefer == shot.PreferSmallest:
		return finding.PriceOver, finding.Dearer{Support: on, PerDay: price}
	case pl.shot.Prefer == shot.PreferFewestHands && ch.rigged.count > over.rigged.count:
		return finding.CrewOver, finding.MoreSupports{Supports: ch.rigged.count, LargerSupports: over.rigged.count}
	}
	return finding.TooHeavy, finding.Heavier{Support: on, MassKg: ch.massKg, LargerKg: over.massKg}
}

// overLimit is by how much the limit on the height of a rig would have to be raised for a frame; ok is false where the
// frame cannot be put up without that limit either.
func (pl *framePlanner) overLimit(ctx context.Context, g *group, c *candidate) (shortM float64, ok bool) {
	limit := pl.shot.Limits.RigHeightM
	if limit == nil || !g.freely(ctx, c).fits() {
		return 0, false
	}
	free := c.unlimited()
	if !g.try(ctx, free).fits() {
		return 0, false
	}
	ch := g.erect(ctx, free, terms{wind: windStill})
	if ch == nil {
		return 0, false
	}
	shortM = anchorage.TopOf(&ch.rigged.outer) - *limit
	for _, count := range [2]int{2, 4} {
		if h, has := c.envelope(count); has {
			if s, found := g.find(ctx, c, &h, placement.YieldTop, hopelessM); found && s.Slack < 0 { // else it is lower, where no support has room
				shortM = math.Min(shortM, -s.Slack)
			}
		}
	}
	return math.Max(shortM, leastShortM), shortM > 0
}

// leastShortM is the least shortfall that is told: what is printed is never nothing.
const leastShortM = 1e-4

// shortfall is by how much, and of which condition, the best place of a frame falls short: of the conditions that
// could give way alone, the one that would have to give least.
func (g *group) shortfall(ctx context.Context, c *candidate, zone *time.Location) (because finding.Because, shortM float64, why finding.Obstacle) {
	free := g.freely(ctx, c)
	shortM = math.Inf(1)
	consider := func(b finding.Because, s placement.Spot, ok bool) {
		if ok && -s.Slack < shortM {
			because, shortM = b, -s.Slack
		}
	}
	if free.fits() {
		// Something about the supports: their height, or where they can stand.
		t := g.tries[c]
		h, ok := c.envelope(2)
		if !ok {
			h, _ = c.envelope(4)
		}
		roomy := h
		roomy.Anywhere = true
		if s, ok := g.fd.Find(ctx, c.sheet, &roomy, placement.YieldCover, &free.spot, hopelessM, 0); ok && s.Slack >= 0 {
			return finding.NoSupport, 0, finding.OutOfArms{}
		}
		consider(finding.TooSmall, t.spot, t.ok)
		s, ok := g.find(ctx, c, &roomy, placement.YieldHigh, hopelessM)
		consider(finding.TooHigh, s, ok)
	} else {
		consider(finding.TooSmall, free.spot, free.ok)
		if shortM > plainM && g.couldCover(c) {
			s, ok := g.find(ctx, c, &placement.AnySupport, placement.YieldView, hopelessM)
			consider(finding.InView, s, ok)
			s, ok = g.find(ctx, c, &placement.AnySupport, placement.YieldLow, hopelessM)
			consider(finding.TooLow, s, ok)
		}
	}
	if math.IsInf(shortM, 1) && free.fits() {
		// Wherever it covers, it hangs out of the supports' reach.
		h, _ := c.envelope(c.frame.SupportsMin)
		because, shortM = finding.TooHigh, math.Max(free.spot.Center.Z-h.HighestM, 0)
	}
	if because == finding.TooHigh && shortM <= 0 { // where it covers its supports reach: they find no room there
		return finding.NoSupport, 0, finding.OutOfArms{}
	}
	if math.IsInf(shortM, 1) {
		// No place at all within reach even with one condition dropped: the whole frame is missing.
		return finding.TooSmall, math.Max(c.sheet.HalfU, c.sheet.HalfV), finding.Nowhere{WithinM: scene.FarM}
	}
	shortM = math.Max(shortM, leastShortM)
	switch because {
	case finding.InView:
		return because, shortM, finding.InPicture{}
	case finding.TooHigh:
		return because, shortM, finding.OverSupports{}
	case finding.TooLow:
		return because, shortM, finding.UnderHeadRoom{}
	default:
	}
	s := &free.spot
	if free.fits() {
		s = &g.tries[c].spot
	}
	opening, _ := s.Rect(g.fd.St)
	m := g.fd.St.Measure(&opening, g.sources)
	return because, shortM, m.Misses(zone)
}

// plainM is a shortfall of covering so small that no other condition is looked at for a smaller one.
const plainM = 0.05

// couldCover says whether at some turn the frame is at least as large as the zone's shadow.
func (g *group) couldCover(c *candidate) bool {
	turned := c.sheet.Turned()
	for i := range g.fd.Grid {
		f := &g.fd.Grid[i]
		if f.Bound(&c.sheet, g.fd.St.CoverM) >= 0 || f.Bound(&turned, g.fd.St.CoverM) >= 0 {
			return true
		}
	}
	return false
}

// RuledOut is a frame that does not do, or less well than the one shown, and why.
type RuledOut = finding.RuledOut
