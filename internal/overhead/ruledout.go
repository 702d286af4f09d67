package overhead

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

// Explain returns why a frame of the list was not chosen for the group; over is the one that was, nil where none was. does
// reports whether it would do, but for the user's preference or a limit.
func (pl *Planner) Explain(ctx context.Context, g *Group, c *Candidate, over *Rig) (out finding.RuledOut, does bool) {
	out = finding.RuledOut{SKU: c.Item.SKU, Name: c.Item.Name, Role: finding.RoleOverhead}
	if c.Because != "" {
		out.Because, out.Obstacle = c.Because, c.obstacle
		return out, false
	}
	fits := g.BestPlace(ctx, c).Fits()
	if fits {
		if ch := g.Erect(ctx, c, Terms{Wind: HoldGust}); ch != nil {
			out.Because, out.Obstacle = pl.notPreferred(ch, over)
			return out, true
		}
		if ch := g.Erect(ctx, c, Terms{Wind: HoldLongest}); ch != nil {
			out.Because, out.Obstacle = finding.Windy, finding.NotInWind{
				Support: finding.ItemOf(pl.stock.Item(ch.Supports()[0].SKU)), LowerAtMS: ch.Anchorage.Hold().LowerAtMS, AskedMS: pl.shot.GustMS, Governs: ch.Anchorage.Hold().Governs,
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

// notPreferred returns why a rig that holds the gust was not chosen: it breaks the price limit, or the user prefers another.
func (pl *Planner) notPreferred(ch, over *Rig) (finding.Because, finding.Obstacle) {
	on, price := finding.ItemOf(pl.stock.Item(ch.Supports()[0].SKU)), pl.money(ch.Minor)
	switch {
	case pl.Limit > 0 && ch.Minor > pl.Limit:
		return finding.PriceOver, finding.OverPriceLimit{Support: on, PerDay: price}
	case over == nil || pl.shot.Prefer == shot.PreferCheapest || pl.shot.Prefer == shot.PreferSmallest:
		return finding.PriceOver, finding.Dearer{Support: on, PerDay: price}
	case pl.shot.Prefer == shot.PreferFewestHands && ch.Placed.Count > over.Placed.Count:
		return finding.CrewOver, finding.MoreSupports{Supports: ch.Placed.Count, LargerSupports: over.Placed.Count}
	}
	return finding.TooHeavy, finding.Heavier{Support: on, MassKg: ch.MassKg, LargerKg: over.MassKg}
}

// overLimit returns by how much the limit on the height of a rig would have to be raised for a frame; ok is false where the
// frame cannot be put up without that limit either.
func (pl *Planner) overLimit(ctx context.Context, g *Group, c *Candidate) (shortM float64, ok bool) {
	limit := pl.shot.Limits.RigHeightM
	if limit == nil || !g.freely(ctx, c).Fits() {
		return 0, false
	}
	free := c.unlimited()
	if !g.BestPlace(ctx, free).Fits() {
		return 0, false
	}
	ch := g.Erect(ctx, free, Terms{Wind: IgnoreWind})
	if ch == nil {
		return 0, false
	}
	shortM = anchorage.TopM(&ch.Placed.Outer) - *limit
	for _, count := range [2]int{2, 4} {
		if h, has := c.envelope(count); has {
			if s, found := g.find(ctx, c, &h, placement.YieldHeightLimit, hopelessM); found && s.Slack < 0 { // else it is lower, where no support has room
				shortM = math.Min(shortM, -s.Slack)
			}
		}
	}
	return math.Max(shortM, leastShortM), shortM > 0
}

// leastShortM is the least shortfall that is reported, so that none is printed as 0.
const leastShortM = 1e-4

// shortfall returns by how much, and of which condition, the best place of a frame falls short: of the conditions that
// could give way alone, the one that would have to give least.
func (g *Group) shortfall(ctx context.Context, c *Candidate, zone *time.Location) (because finding.Because, shortM float64, why finding.Obstacle) {
	free := g.freely(ctx, c)
	shortM = math.Inf(1)
	consider := func(b finding.Because, s placement.Spot, ok bool) {
		if ok && -s.Slack < shortM {
			because, shortM = b, -s.Slack
		}
	}
	if free.Fits() {
		// Something about the supports: their height, or where they can stand.
		t := g.tries[c.first()]
		h, ok := c.envelope(2)
		if !ok {
			h, _ = c.envelope(4)
		}
		roomy := h
		roomy.Anywhere = true
		if s, ok := g.fd.Find(ctx, placement.EnoughSlackQuery(c.sheet, &roomy, placement.YieldCover, hopelessM), &free.Spot); ok && s.Slack >= 0 {
			return finding.NoSupport, 0, finding.OutOfArms{}
		}
		consider(finding.TooSmall, t.Spot, t.Found)
		s, ok := g.find(ctx, c, &roomy, placement.YieldReach, hopelessM)
		consider(finding.TooHigh, s, ok)
	} else {
		consider(finding.TooSmall, free.Spot, free.Found)
		if shortM > plainM && g.couldCover(c) {
			s, ok := g.find(ctx, c, &placement.AnySupport, placement.YieldView, hopelessM)
			consider(finding.InView, s, ok)
			s, ok = g.find(ctx, c, &placement.AnySupport, placement.YieldHeadRoom, hopelessM)
			consider(finding.TooLow, s, ok)
		}
	}
	if math.IsInf(shortM, 1) && free.Fits() {
		// Wherever it covers, it hangs out of the supports' reach.
		h, _ := c.envelope(max(fewestOverhead, c.Frame.SupportsMin))
		because, shortM = finding.TooHigh, math.Max(free.Spot.Center.Z-h.HighestM, 0)
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
	s := &free.Spot
	if free.Fits() {
		s = &g.tries[c.first()].Spot
	}
	opening, _ := s.Rect(g.fd.Stage)
	m := g.fd.Stage.Measure(&opening, g.Sources)
	return because, shortM, m.Misses(zone)
}

// plainM is a shortfall of covering so small that no other condition is looked at for a smaller one.
const plainM = 0.05

// couldCover reports whether at some turn the frame is at least as large as the zone's shadow.
func (g *Group) couldCover(c *Candidate) bool {
	turned := c.sheet.Turned()
	for i := range g.fd.Grid {
		f := &g.fd.Grid[i]
		if f.Bound(&c.sheet, g.fd.Stage.CoverM) >= 0 || f.Bound(&turned, g.fd.Stage.CoverM) >= 0 {
			return true
		}
	}
	return false
}
