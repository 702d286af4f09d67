package sizing

import (
	"slices"

	"kitspan/internal/anchorage"
	"kitspan/internal/finding"
	"kitspan/internal/lighting"
	"kitspan/internal/rigging"
)

// noteWind notes what does not hold the gust, and what would make it hold.
func noteWind(pl *planner, opt *Option, a *lighting.Arrangement) {
	note := func(v *Piece, f *anchorage.Anchorage, b *rigging.Piece) {
		if f.Holds {
			return
		}
		opt.Workable = false
		opt.Notes = append(opt.Notes, finding.NotHeld{
			Role: v.Role, LowerAtMS: f.Limits.LowerAtMS, AskedMS: pl.holding.GustMS, Governs: f.Limits.Governs, Remedies: remedies(pl, f, b),
		})
	}
	var room [rigging.MaxSupports]rigging.Support
	for i, ch := range a.Rigs {
		b := ch.RiggingPiece(&room)
		note(&opt.Pieces[i], &ch.Anchorage, &b)
	}
	for i, p := range a.Pieces {
		b := a.RiggingPiece(p, &room)
		note(&opt.Pieces[len(a.Rigs)+i], &p.Anchorage, &b)
	}
}

// remedies returns what would make a piece hold the gust that does not: a limit goes with the square root of what holds it over the
// area, near enough to name an area.
func remedies(pl *planner, f *anchorage.Anchorage, b *rigging.Piece) []finding.Remedy {
	gust, limit := pl.holding.GustMS, f.Limits.LowerAtMS
	var ways []finding.Remedy
	add := func(k finding.RemedyKind) { ways = append(ways, finding.Remedy{What: k}) }
	switch f.Limits.Governs {
	case rigging.GovernsHouseLimit:
		add(finding.SmallerFrame)
	case rigging.GovernsLine, rigging.GovernsAnchor:
		add(finding.StrongerLines)
	case rigging.GovernsSupport:
		add(finding.StrongerSupports)
	default:
		if f.Bag != nil {
			if bags, ok := b.Bags(gust, f.Bag.MassKg, nil); ok {
				bag := finding.ItemOf(f.Bag)
				ways = append(ways, finding.Remedy{What: finding.MoreBallast, Ballast: &bag, Each: slices.Max(bags[:]), Most: f.MostBags()})
			}
		}
		switch {
		case f.Guying == nil && f.NoRoom && len(b.Supports) > 1:
			add(finding.RoomForLines)
		case f.Guying == nil && len(b.Supports) > 1:
			add(finding.OtherLines)
		}
		add(finding.WiderFeet)
	}
	if limit > 0 {
		ways = append(ways, finding.Remedy{What: finding.SmallerSheet, AreaM2: b.Panel.AreaM2() * limit * limit / gust / gust})
	}
	if limit >= calmMS {
		ways = append(ways, finding.Remedy{What: finding.CalmerHour, UnderMS: limit})
	}
	return ways
}

// calmMS is a gust, in m/s, under which waiting for a calmer hour is vain: there is none (common practice, no source).
const calmMS = 2
