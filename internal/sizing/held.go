package sizing

import (
	"math"

	"kitspan/internal/anchorage"
	"kitspan/internal/finding"
	"kitspan/internal/lighting"
	"kitspan/internal/rigging"
)

// noteWind notes what does not hold the gust, and what would make it hold.
func noteWind(pl *planner, opt *Option, a *lighting.Arrangement) {
	note := func(v *Piece, f *anchorage.Anchorage, b anchorage.Piece) {
		// A board hides the head of its one stand, and machines take none.
		mayRope := (v.Lamp != nil || len(b.Masts) > 1) && !b.OnMachines()
		if f.Holds {
			return
		}
		h := f.Hold()
		opt.breaks(finding.NotHeld{
			Role: v.Role, LowerAtMS: h.LowerAtMS, AskedMS: pl.holding.GustMS, Governs: h.Governs, Remedies: remedies(pl, f, &b, mayRope),
		})
	}
	for i, ch := range a.Rigs {
		note(&opt.Pieces[i], &ch.Anchorage, ch.Held())
	}
	for i, p := range a.Pieces {
		note(&opt.Pieces[len(a.Rigs)+i], &p.Anchorage, a.Held(p))
	}
}

// remedies returns what would make a piece hold the gust that does not, ropes among it where it may have any: a limit goes with the
// square root of what holds it over the area, near enough to name an area.
func remedies(pl *planner, f *anchorage.Anchorage, b *anchorage.Piece, mayRope bool) []finding.Remedy {
	h := f.Hold()
	gust, limit := pl.holding.GustMS, h.LowerAtMS
	var ways []finding.Remedy
	add := func(k finding.RemedyKind) { ways = append(ways, finding.Remedy{What: k}) }
	switch h.Governs {
	case rigging.GovernsHouseLimit:
		add(finding.SmallerFrame)
	case rigging.GovernsSupport:
		add(finding.StrongerSupports)
	case rigging.GovernsLine:
		add(finding.StrongerRopes)
	default:
		if each := f.KgEach(gust); f.Bag != nil && len(f.Ropes) == 0 && each > 0 {
			bag := finding.ItemOf(f.Bag)
			ways = append(ways, finding.Remedy{What: finding.MoreBallast, Ballast: &bag, Each: int(math.Ceil(each / f.Bag.MassKg)), Most: f.MostBags()})
		}
		switch {
		case !mayRope:
		case f.NoRoom:
			add(finding.RoomForRopes)
		case f.NoRope:
			add(finding.LongerRopes)
		default:
			if pl.holding.MayStake() {
				add(finding.Stakes)
			}
			add(finding.FixedPoint)
		}
		add(finding.WiderFeet)
	}
	if limit > 0 {
		ways = append(ways, finding.Remedy{What: finding.SmallerSheet, AreaM2: 4 * b.Outer.HalfU * b.Outer.HalfV * limit * limit / gust / gust})
	}
	if limit >= calmMS {
		ways = append(ways, finding.Remedy{What: finding.CalmerHour, UnderMS: limit})
	}
	return ways
}

// calmMS is a gust, in m/s, under which waiting for a calmer hour is vain: there is none (common practice, no source).
const calmMS = 2
