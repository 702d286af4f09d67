package overhead

import (
	"cmp"
	"context"
	"slices"

	"kitspan/internal/rigging"
)

// sturdyTries is on how many kinds of supports a frame that no kind holds in the gust is tried.
const sturdyTries = 2

// sturdiest returns the rig that holds longest of those on the kinds of supports with the widest and heaviest feet.
func (g *Group) sturdiest(ctx context.Context, c *Candidate, t Terms) (best *Rig) {
	options := c.PricedOptions()
	order := make([]*SupportOption, len(options))
	for i := range options {
		order[i] = &options[i]
	}
	slices.SortStableFunc(order, func(a, b *SupportOption) int { return cmp.Compare(b.sturdiness(), a.sturdiness()) })
	var failed []*SupportOption
	found := 0
	for _, w := range order {
		if ctx.Err() != nil || found == sturdyTries {
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
		found++
		ch := at.rig(g, c, t.Wind)
		if ch.keeps(t) && ch.better(best, t) {
			best = ch
		}
	}
	return best
}

// sturdiness orders kinds of supports by the moment that they bear with as much ballast as goes on them, in kg·m.
func (w *SupportOption) sturdiness() float64 {
	lever := (&rigging.Stand{FootprintM: w.Spec.FootprintM, Legs: w.Spec.Legs}).LeverM()
	return float64(w.Limits.Count) * lever * (w.Item.MassKg + mostBallastKg)
}

// mostBallastKg is about what goes on a stand, in kilograms: six bags.
const mostBallastKg = 100

// lighter returns a rig with ropes in place of ballast where that is better on the terms.
func (g *Group) lighter(r *Rig, t Terms) *Rig {
	if r.Anchorage.Easy || len(r.Anchorage.Ropes) > 0 {
		return r
	}
	if o := g.onRopes(r); o.keeps(t) && (len(o.Anchorage.Ropes) > 0 || o.better(r, t)) {
		return o
	}
	return r
}

// onRopes returns a rig that is held by ropes as well, where they find room and hold it for less; otherwise the rig.
func (g *Group) onRopes(r *Rig) *Rig {
	if r.onRopes == nil && r.first != nil {
		r.onRopes = g.onRopes(r.first).preferred(r.Candidate)
		r.onRopes.option = r.option
	}
	if r.onRopes == nil {
		own := *r
		p := own.Held()
		own.Anchorage = r.Candidate.Holding.Rope(&p, &r.Anchorage, r.Candidate.Holding.GustMS, r.Around(g.others), r.remaining(g.left), false)
		own.priced = own.Candidate.price(&own)
		r.onRopes = &own
	}
	return r.onRopes
}

// longest returns a rig that does not hold the gust with ropes, where it holds longer then, and with no more ballast than that takes; any
// other as it is.
func (g *Group) longest(r *Rig) *Rig {
	if r == nil || r.Anchorage.Holds {
		return r
	}
	own := *r
	p := own.Held()
	own.Anchorage = r.Candidate.Holding.Rope(&p, &r.Anchorage, r.Candidate.Holding.GustMS, r.Around(g.others), r.remaining(g.left), true)
	own.Anchorage = r.Candidate.Holding.Spare(&p, &own.Anchorage, r.remaining(g.left))
	own.priced = own.Candidate.price(&own)
	return &own
}

// firm returns the kinds of supports that might hold the gust in another place than their first.
func (g *Group) firm(c *Candidate, weak []*SupportOption, loose []*Rig) []*SupportOption {
	limits := map[*SupportOption]float64{}
	weak = weak[:min(len(weak), firmLook)]
	for i, w := range weak {
		h := loose[i].Anchorage.Hold()
		limits[w] = h.LowerAtMS
	}
	weak = slices.DeleteFunc(weak, func(w *SupportOption) bool { return limits[w] < firmShare*c.Holding.GustMS })
	slices.SortStableFunc(weak, func(a, b *SupportOption) int { return cmp.Compare(limits[b], limits[a]) })
	return weak[:min(len(weak), firmTries)]
}
