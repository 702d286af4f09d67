package oracle

import (
	"math"
	"slices"

	"kitspan/internal/catalog"
	statics "kitspan/internal/rigging/oracle"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
)

// highM is over which height a stand counts as high (common practice, no source).
const highM = 3

// floorKg is what lies on each stand however calm it is.
func (r *rigged) floorKg(a shot.Allowance) (list []float64) {
	for _, m := range r.masts {
		switch {
		case m.isMachine:
			list = append(list, 0)
		case m.hasArm() || m.sp.HeightM > highM:
			list = append(list, a.BallastHighKg)
		default:
			list = append(list, a.BallastKg)
		}
	}
	return list
}

// What more than buries a stand's legs: so many times its own mass, but for what lies on it anyway and one bag (common practice, no source).
const (
	timesOwnMass = 15
	oneBagKg     = 16
)

// mostKg is the most that goes on each stand of the piece.
func (r *rigged) mostKg(a shot.Allowance) float64 {
	most := math.Inf(1)
	for i, kg := range r.floorKg(a) {
		most = math.Min(most, math.Max(kg+oneBagKg, timesOwnMass*r.masts[i].massKg))
	}
	return most
}

// askedMS is the gust that a piece is made to bear.
func (r *rigged) askedMS(gustMS float64) float64 {
	if r.onMachines() {
		return gustMS
	}
	return math.Max(gustMS, leastGustMS)
}

// isHeld reports whether a piece bears what it is made for by what it tells.
func (r *rigged) isHeld(gustMS float64) bool {
	return r.bearsMS() >= r.askedMS(gustMS)*(1-gustTolerance)
}

// checkBallast holds the ballast of a piece: one kind on all its supports, laid out over legs and mast, on stands alone, what hands
// can carry, no less than lies there however calm it is, and not much more than it takes.
func (r *rigged) checkBallast(asked shot.Shot, stock *catalog.Snapshot) []Violation {
	var bad []Violation
	floor, kind, mostKg := r.floorKg(asked.Allowance), "", r.mostKg(asked.Allowance)
	for i, m := range r.masts {
		b := m.sp.Ballast
		wrong := func(by float64, format string, args ...any) {
			bad = append(bad, broken(RuleBallast, by, "%s, support %d (%s): "+format, append([]any{r.piece.Role, i + 1, m.sp.SKU}, args...)...))
		}
		if short := floor[i] - m.ballastKg(); short > 1e-9 && r.isHeld(asked.GustMS) {
			wrong(short, "%.3f kg, at least %.3f kg lie on it", m.ballastKg(), floor[i])
		}
		if over := m.ballastKg() - mostKg; over > 1e-9 {
			wrong(over, "%.3f kg, at most %.3f kg do not bury its legs", m.ballastKg(), mostKg)
		}
		laid := m.sp.Legs*m.sp.EachLeg + m.sp.AtMast
		switch {
		case b.Quantity < 0 || b.Quantity > mostBallast:
			wrong(float64(b.Quantity-mostBallast), "%d of %s, at most %d", b.Quantity, b.SKU, mostBallast)
		case b.Quantity == 0:
			if laid != 0 || b.SKU != "" {
				wrong(1, "no ballast, yet %q, %d on each of %d legs and %d at the mast", b.SKU, m.sp.EachLeg, m.sp.Legs, m.sp.AtMast)
			}
			continue
		}
		if m.isMachine {
			wrong(1, "ballast on a machine")
		}
		if _, is := stock.Item(b.SKU).Spec.(*catalog.Ballast); !is {
			wrong(1, "%s is no ballast", b.SKU)
		}
		if !handCarried(m.unitKg) {
			wrong(m.unitKg, "%s of %.1f kg is more than hands carry", b.SKU, m.unitKg)
		}
		if kind == "" {
			kind = b.SKU
		}
		if b.SKU != kind {
			wrong(1, "%s, on another of its supports %s", b.SKU, kind)
		}
		// Alike on the legs, as many as go.
		if laid != b.Quantity || m.sp.Legs != m.spec.Legs || m.sp.EachLeg != b.Quantity/m.spec.Legs {
			wrong(math.Abs(float64(laid-b.Quantity)), "%d of %s: %d on each of %d legs and %d at the mast, it has %d legs",
				b.Quantity, b.SKU, m.sp.EachLeg, m.sp.Legs, m.sp.AtMast, m.spec.Legs)
		}
	}
	if len(bad) == 0 && kind != "" {
		bad = r.checkWaste(asked)
	}
	return append(bad, r.checkVain(asked)...)
}

// ropeFootKg is the least at the foot of a rope that is tied to weights (common practice, no source).
const ropeFootKg = 40

// checkVain keeps off a piece that does not hold what it is made for the ballast that does not let it stay up longer: with half of what
// is on its stands over what lies there anyway, or half of what is at its ropes, it may not stay up as long.
func (r *rigged) checkVain(asked shot.Shot) []Violation {
	h := r.piece.Hold
	if r.isHeld(asked.GustMS) && h.LowerAtMS >= asked.GustMS*(1-gustTolerance) || r.onMachines() {
		return nil
	}
	var bad []Violation
	idle := func(what string, fewer *rigged) {
		if h.LowerAtMS <= 0 || fewer.holdsAt(h.LowerAtMS) {
			bad = append(bad, broken(RuleBallast, 1, "%s: stays up to %.3f m/s, and does so with half of what is %s", r.piece.Role, h.LowerAtMS, what))
		}
	}
	fewer, floor, some := *r, r.floorKg(asked.Allowance), false
	fewer.masts = slices.Clone(r.masts)
	for i := range fewer.masts {
		b := &fewer.masts[i].sp.Ballast
		least := int(math.Ceil(floor[i]/math.Max(fewer.masts[i].unitKg, 1e-3) - 1e-9))
		if n := max(least, b.Quantity/2); n < b.Quantity {
			b.Quantity, some = n, true
		}
	}
	if some {
		idle("on its stands", &fewer)
	}
	fewer, some = *r, false
	fewer.rig.Ropes = slices.Clone(r.rig.Ropes)
	for i, g := range r.ropes {
		if n := g.Anchor.Quantity / 2; g.anchorN <= 0 && float64(n)*g.unitKg >= ropeFootKg {
			fewer.rig.Ropes[i].WeightKg, some = float64(n)*g.unitKg, true
		}
	}
	if some {
		idle("at its ropes", &fewer)
	}
	return bad
}

// CheckEven wants as much on each of the stands of a piece that are alike, where that is at most two bags or blocks more or 15 % of all
// (common practice, no source), and the house has them.
func CheckEven(s *Scene, o sizing.Option, stock *catalog.Snapshot) []Violation {
	var bad []Violation
	for _, p := range o.Pieces {
		r, ok := rig(s, p, stock)
		if !ok || r.onMachines() {
			continue
		}
		floor := r.floorKg(s.Shot.Allowance)
		alike, all, most, sku := true, 0, 0, ""
		for i, m := range r.masts {
			alike = alike && m.sp.SKU == r.masts[0].sp.SKU && floor[i] == floor[0]
			if all, most = all+m.sp.Ballast.Quantity, max(most, m.sp.Ballast.Quantity); m.sp.Ballast.Quantity > 0 {
				sku = m.sp.Ballast.SKU
			}
		}
		item := stock.Item(sku)
		more := most*len(r.masts) - all
		if !alike || more <= 0 || item == nil || float64(more) > math.Max(evenUnits, math.Floor(evenShare*float64(all)+1e-9)) {
			continue
		}
		for _, l := range o.Kit.Lines {
			if l.SKU == sku && l.Quantity+more <= item.Owned {
				bad = append(bad, broken(RuleBallast, float64(more), "%s: %d of %s on stands that are alike, %d more lie alike on each", p.Role, all, sku, more))
			}
		}
	}
	return bad
}

const (
	evenUnits = 2
	evenShare = 0.15
)

// spareShare is by how much the ballast in whole bags may be over the least there is, besides one bag on each stand.
const spareShare = 0.10

// checkWaste keeps the ballast on stands near the least with which the rig bears what it is made for, its ropes' feet as they are. With as
// much on one of several as goes, the least has no such bound and is no measure.
func (r *rigged) checkWaste(asked shot.Shot) []Violation {
	gust := r.askedMS(asked.GustMS)
	if !r.isHeld(asked.GustMS) {
		return nil
	}
	units, unitKg := 0, 0.0
	for _, m := range r.masts {
		units, unitKg = units+m.sp.Ballast.Quantity, math.Max(unitKg, m.unitKg)
	}
	full := math.Min(mostBallast, math.Floor(r.mostKg(asked.Allowance)/unitKg+1e-9))
	for _, m := range r.masts {
		if len(r.masts) > 1 && float64(m.sp.Ballast.Quantity) >= full {
			return nil
		}
	}
	floor := r.floorKg(asked.Allowance)
	alike := 0.0 // that they may be more to lie alike
	if units == len(r.masts)*r.masts[0].sp.Ballast.Quantity && len(r.masts) > 1 {
		alike = math.Max(evenUnits, evenShare*float64(units))
	}
	most := func(needs float64) float64 { return (1+spareShare)*needs + float64(len(r.masts)) + alike + 1e-9 }
	whole := func(kg []float64) (n float64) {
		for _, k := range kg {
			n += math.Ceil(k/unitKg - 1e-3)
		}
		return n
	}
	// What costs least to find out first: what lies there in calm, a bound on the least, the least itself.
	if float64(units) <= most(whole(floor)) {
		return nil
	}
	needs := 0.0
	for _, b := range []struct{ gustMS, factor float64 }{{gust, r.safety}, {gust / lowerShare, 1}} {
		bound := r.remembered(func() float64 { return statics.AtLeast(&r.rig, b.gustMS, b.factor, floor) }, "at least", b.gustMS, b.factor, floor)
		if needs = math.Max(needs, bound/unitKg); float64(units) <= most(needs) {
			return nil
		}
	}
	for _, b := range []struct{ gustMS, factor float64 }{{gust, r.safety}, {gust / lowerShare, 1}} {
		least := r.remembered(func() float64 {
			kg, _ := statics.LeastBallast(&r.rig, b.gustMS, b.factor, floor)
			if kg == nil {
				return math.Inf(1)
			}
			return whole(kg)
		}, "least", b.gustMS, b.factor, floor, unitKg)
		if needs = math.Max(needs, least); float64(units) <= most(needs) {
			return nil
		}
	}
	return []Violation{broken(RuleBallast, float64(units)-needs, "%s: %d of %.1f kg on its stands, %.1f bear %.2f m/s (%.2f m/s without the factor of %.2f)",
		r.piece.Role, units, unitKg, needs, gust, gust/lowerShare, r.safety)}
}
