package sizing

import (
	"context"
	"fmt"
	"math"
	"time"

	"kitspan/internal/shot"
)

// why explains why a frame of the list was not chosen for the group; over is the one that was, nil where none was. does
// says that it would do, but for the user's preference or a limit.
func (e *engine) why(ctx context.Context, g *group, c *candidate, over *choice) (out RuledOut, does bool) {
	out = RuledOut{SKU: c.item.SKU, Role: RoleOverhead}
	if c.because != "" {
		out.Because, out.Detail = c.because, fmt.Sprintf("%s: %s.", c.item.Name, c.detail)
		return out, false
	}
	fits := g.try(ctx, c).fits()
	if fits {
		if ch := g.erect(ctx, c, terms{wind: windHeld}); ch != nil {
			out.Because, out.Detail = e.notPreferred(ch, over)
			return out, true
		}
		if ch := g.erect(ctx, c, terms{wind: windBest}); ch != nil {
			out.Because = Windy
			out.Detail = fmt.Sprintf("%s would cover, on %s, but holds a gust of %.1f m/s at most, and %.1f m/s is asked: %s.", c.item.Name,
				e.stock.Item(ch.supports()[0].SKU).Name, DownToTenth(ch.fast.hold.GustLimitMS), e.shot.GustMS, givesWay(ch.fast.hold.Governs))
			return out, false
		}
	}
	if shortM, ok := e.overLimit(ctx, g, c); ok {
		out.Because, out.ShortByM = TooHigh, shortM
		out.Detail = fmt.Sprintf("%s would cover, but its highest part would be %s over the limit of %.2f m that is asked for.",
			c.item.Name, metres(shortM), *e.shot.Limits.RigHeightM)
		return out, false
	}
	if fits {
		out.Because = NoSupport
		out.Detail = fmt.Sprintf("%s would cover, but none of its supports can stand out of shot, out of the zone and within its arm's reach.",
			c.item.Name)
		return out, false
	}
	out.Because, out.ShortByM, out.Detail = g.shortfall(ctx, c, e.zone)
	return out, false
}

// notPreferred is why a rig that holds the gust was not chosen: it breaks the price limit, or the user prefers another.
func (e *engine) notPreferred(ch, over *choice) (because Because, detail string) {
	name, on := ch.candidate.item.Name, e.stock.Item(ch.supports()[0].SKU).Name
	price := e.money(ch.minor)
	switch {
	case e.limit > 0 && ch.minor > e.limit:
		return PriceOver, fmt.Sprintf("%s would do, on %s, but costs %s a day: over the limit.", name, on, price)
	case over == nil || e.shot.Prefer == shot.PreferCheapest || e.shot.Prefer == shot.PreferSmallest:
		return PriceOver, fmt.Sprintf("%s would do, on %s, at %s a day: the larger one is cheaper.", name, on, price)
	case e.shot.Prefer == shot.PreferFewestHands && ch.rigged.count > over.rigged.count:
		return CrewOver, fmt.Sprintf("%s would do, but takes hands for %d supports, the larger one for %d.", name, ch.rigged.count, over.rigged.count)
	}
	return TooHeavy, fmt.Sprintf("%s would do, on %s, but weighs %.0f kg with all that holds it, the larger one %.0f kg.", name, on, ch.massKg, over.massKg)
}

// overLimit is by how much the limit on the height of a rig would have to be raised for a frame; ok is false where the
// frame cannot be put up without that limit either.
func (e *engine) overLimit(ctx context.Context, g *group, c *candidate) (shortM float64, ok bool) {
	limit := e.shot.Limits.RigHeightM
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
	shortM = topOf(&ch.rigged.outer) - *limit
	for _, count := range [2]int{2, 4} {
		if h, has := c.envelope(count); has {
			if s, found := g.find(ctx, c, &h, yieldTop, hopelessM); found {
				shortM = math.Min(shortM, -s.slack)
			}
		}
	}
	return math.Max(shortM, leastShortM), true
}

// leastShortM is the least shortfall that is told: what is printed is never nothing.
const leastShortM = 1e-4

// shortfall is by how much, and of which condition, the best place of a frame falls short: of the conditions that
// could give way alone, the one that would have to give least.
func (g *group) shortfall(ctx context.Context, c *candidate, zone *time.Location) (because Because, shortM float64, detail string) {
	free := g.freely(ctx, c)
	shortM = math.Inf(1)
	consider := func(b Because, s spot, ok bool) {
		if ok && -s.slack < shortM {
			because, shortM = b, -s.slack
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
		roomy.anywhere = true
		if s, ok := g.fd.find(ctx, c.sheet, &roomy, yieldCover, &free.spot, hopelessM, 0); ok && s.slack >= 0 {
			return NoSupport, 0, fmt.Sprintf(
				"%s would cover, but its supports cannot stand out of shot and out of the zone within their arms' reach.", c.item.Name)
		}
		consider(TooSmall, t.spot, t.ok)
		s, ok := g.find(ctx, c, &roomy, yieldHigh, hopelessM)
		consider(TooHigh, s, ok)
	} else {
		consider(TooSmall, free.spot, free.ok)
		if shortM > plainM && g.couldCover(c) {
			s, ok := g.find(ctx, c, &anyHold, yieldView, hopelessM)
			consider(InView, s, ok)
			s, ok = g.find(ctx, c, &anyHold, yieldLow, hopelessM)
			consider(TooLow, s, ok)
		}
	}
	if math.IsInf(shortM, 1) && free.fits() {
		// Wherever it covers, it hangs out of the supports' reach.
		h, _ := c.envelope(c.frame.SupportsMin)
		because, shortM = TooHigh, math.Max(free.spot.center.Z-h.highestM, 0)
	}
	if math.IsInf(shortM, 1) {
		// No place at all within reach even with one condition dropped: the whole frame is missing.
		return TooSmall, math.Max(c.sheet.halfU, c.sheet.halfV), fmt.Sprintf(
			"%s finds no place within %.0f m of the zone that is out of shot and off the ground.", c.item.Name, farM)
	}
	shortM = math.Max(shortM, leastShortM)
	name, by := c.item.Name, metres(shortM)
	switch because {
	case InView:
		detail = fmt.Sprintf("%s would cover, but %s inside the clearance of the picture.", name, by)
	case TooHigh:
		detail = fmt.Sprintf("%s would have to hang %s higher than its supports reach.", name, by)
	case TooLow:
		detail = fmt.Sprintf("%s would have to hang %s lower than head room allows.", name, by)
	default:
		s := &free.spot
		if free.fits() {
			s = &g.tries[c].spot
		}
		opening, _ := s.rect(g.fd.st)
		m := g.fd.st.measure(&opening, g.sources)
		detail = fmt.Sprintf("%s misses by %s %s.", name, by, m.where(zone))
	}
	return because, shortM, detail
}

// plainM is a shortfall of covering so small that no other condition is looked at for a smaller one.
const plainM = 0.05

// metres prints a shortfall, which is never nothing.
func metres(m float64) string {
	if m < 0.01 {
		return "under 0.01 m"
	}
	return fmt.Sprintf("%.2f m", m)
}

// couldCover says whether at some turn the frame is at least as large as the zone's shadow.
func (g *group) couldCover(c *candidate) bool {
	turned := c.sheet.turned()
	for i := range g.fd.grid {
		f := &g.fd.grid[i]
		if f.bound(&c.sheet, g.fd.st.coverM) >= 0 || f.bound(&turned, g.fd.st.coverM) >= 0 {
			return true
		}
	}
	return false
}
