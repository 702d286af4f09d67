package sizing

import (
	"context"
	"fmt"
	"math"
	"time"
)

// why explains why a frame of the list was not chosen for the group. does says that it would do, but for the user's
// preference or limit.
func (e *engine) why(ctx context.Context, g *group, c *candidate) (out RuledOut, does bool) {
	out = RuledOut{SKU: c.item.SKU, Role: RoleOverhead}
	switch {
	case c.because != "":
		out.Because, out.Detail = c.because, fmt.Sprintf("%s: %s.", c.item.Name, c.detail)
	case g.try(ctx, c).fits():
		does = e.whyDespiteFitting(ctx, g, c, &out)
	default:
		out.Because, out.ShortByM, out.Detail = g.shortfall(ctx, c, e.zone)
	}
	return out, does
}

// whyDespiteFitting: there is a place for the frame, but no support of the house stands there, or the user's preference
// or limit speaks against it.
func (e *engine) whyDespiteFitting(ctx context.Context, g *group, c *candidate, out *RuledOut) bool {
	if ch := g.erect(ctx, c, terms{wind: windHeld}); ch != nil {
		price, on := e.money(ch.minor), e.stock.Item(ch.supports()[0].SKU).Name
		switch {
		case e.limit > 0 && ch.minor > e.limit:
			out.Because = PriceOver
			out.Detail = fmt.Sprintf("%s would do, on %s, but costs %s a day: over the limit.", c.item.Name, on, price)
		case e.shot.Prefer == PreferLightest:
			out.Because = TooHeavy
			out.Detail = fmt.Sprintf("%s would do, on %s, but the rig is heavier.", c.item.Name, on)
		case e.shot.Prefer == PreferFewestHands:
			out.Because = NoSupport
			out.Detail = fmt.Sprintf("%s would do, on %d supports, but takes more hands.", c.item.Name, ch.rigged.count)
		default:
			out.Because = PriceOver
			out.Detail = fmt.Sprintf("%s would do, on %s, at %s a day: the larger one is cheaper.", c.item.Name, on, price)
		}
		return true
	}
	if ch := g.erect(ctx, c, terms{wind: windBest}); ch != nil {
		out.Because = Windy
		out.Detail = fmt.Sprintf("%s would cover, on %s, but holds a gust of %.1f m/s at most, and %.1f m/s is asked: %s.", c.item.Name,
			e.stock.Item(ch.supports()[0].SKU).Name, DownToTenth(ch.fast.hold.GustLimitMS), e.shot.GustMS, givesWay(ch.fast.hold.Governs))
		return false
	}
	out.Because = NoSupport
	out.Detail = fmt.Sprintf("%s would cover, but none of its supports can stand out of shot, out of the zone and within its arm's reach.",
		c.item.Name)
	return false
}

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
	shortM = math.Max(shortM, 1e-4)
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
