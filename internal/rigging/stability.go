package rigging

import (
	"math"
)

// fallen is the limit of what does not even stand in calm air: under every gust and every pressure.
const fallen = -1

// load turns to ballast on the stands, and where it goes on at the feet of ropes, in kg, and a factor.
func (v *Solver) load(ballastKg []float64, factor float64) {
	copy(v.ballast[:v.m.stands], ballastKg)
	if len(ballastKg) > v.m.stands {
		copy(v.weights[:v.m.ropes], ballastKg[v.m.stands:])
	}
	v.factor, v.onWeight = factor, math.Max(1, v.of.SafetyFactor)
	for i := range v.m.stands {
		v.standN[i] = (v.of.Stands[i].MassKg + v.ballast[i]) * GravityMS2
		v.ownN[i] = v.standN[i] + v.shareN
	}
	for j := range v.m.ropes {
		v.bearsN[j] = math.Min(factor*v.of.Ropes[j].SafePullN, v.anchor(j))
	}
}

// pressure returns the largest factored velocity pressure that every load case stands, and what is in the way beyond it; −1 where the
// structure does not stand in calm air.
func (v *Solver) pressure(factor float64) (q float64, first term) {
	if v.single() {
		return v.singlePressure(factor)
	}
	q = VelocityPressure(CeilingMS) * factor
	first = term{kind: box}
	start := v.first
	for k := range v.loads {
		i := (k + start) % len(v.loads)
		for range maxSteps {
			ok, at, b := v.standsUpTo(i, q)
			if ok {
				break
			}
			q = at
			v.first, first = i, b.first
			room := b.dead
			for s := range b.ballast {
				room += b.ballast[s] * v.ballast[s]
			}
			for j := range b.weights {
				room += b.weights[j] * v.weights[j]
			}
			if room < -standsN || b.pressure <= 0 {
				return fallen, first
			}
			next := math.Max(0, room/b.pressure)
			if next >= q*(1-1e-9) { // rounding
				next = q * (1 - 1e-6)
			}
			if q = next; q == 0 {
				break
			}
		}
	}
	return q, first
}

// Stability returns up to which wind the structure stands with so much ballast, in kg, on each stand.
func (s *Solver) Stability(ballastKg []float64) Stability {
	out := Stability{SafeToMS: fallen, GoesAtMS: fallen, Governs: GovernsSupport, Stand: -1, Rope: -1}
	if !s.held {
		return out
	}
	factor := math.Max(1, s.of.SafetyFactor)
	limit := func(factor float64) (float64, term) {
		s.load(ballastKg, factor)
		s.onWeight = factor
		q, first := s.pressure(factor)
		if q < 0 {
			return fallen, first
		}
		return math.Min(CeilingMS, GustOfPressure(q/factor)), first
	}
	var first term
	out.GoesAtMS, first = limit(1)
	out.SafeToMS = out.GoesAtMS / math.Sqrt(factor)
	if out.GoesAtMS < 0 {
		out.SafeToMS = fallen
	}
	// The factor spares working loads, whose makers have theirs in them, and is on dead weight in calm air: where neither decides, what goes
	// without the factor goes with it at the same factored pressure.
	if !s.sameWith(factor, out.GoesAtMS, &first) {
		out.SafeToMS, _ = limit(factor)
	}
	out.Governs, out.Stand, out.Rope = s.governs(&first)
	return out
}

// sameWith reports whether a structure that goes without a factor at a gust, by the load case that was broken last, is at its
// limit with a factor at the same factored pressure.
func (s *Solver) sameWith(factor, goesMS float64, first *term) bool {
	if factor == 1 {
		return true
	}
	if goesMS < 0 || goesMS >= CeilingMS || first.kind == presses || first.kind == parts || s.single() {
		return false
	}
	s.load(s.ballast[:s.m.stands], factor)
	if ok, _ := s.stands(0, 0); !ok { // calm, with the factor on dead weight
		return false
	}
	ok, _ := s.stands(s.first, VelocityPressure(goesMS)*(1+sameShare))
	return !ok
}

// sameShare is by how much two limits on the pressure may differ and count as one.
const sameShare = 1e-4

// governs says what goes first where a condition gives way.
func (v *Solver) governs(t *term) (g Governs, stand, rope int) {
	switch t.kind {
	case tips:
		return GovernsOverturning, t.of, -1
	case grips, gripsOwn:
		return GovernsSliding, t.of, -1
	case presses:
		return GovernsSupport, t.of, -1
	case parts:
		if r := &v.of.Ropes[t.of]; v.anchor(t.of) < r.SafePullN {
			return GovernsAnchor, -1, t.of
		}
		return GovernsLine, -1, t.of
	default:
	}
	return GovernsNone, -1, -1
}
