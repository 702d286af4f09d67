package rigging

import (
	"math"
	"slices"
)

// Load is what lies on a structure to hold it down: whole units on the base of each stand, and as many at the foot of each rope that
// is tied to weights.
type Load struct {
	OnStands [MaxSupports]int
	AtRope   int
}

// Units is the ballast that there is: the mass of one unit on the stands and at ropes, in kg, and the most of them in one place.
type Units struct {
	StandKg, RopeKg     float64
	MostStand, MostRope int
}

// Need is how much ballast working in a gust takes.
type Need struct {
	of  *search
	all []demand
}

// Need finds the least ballast, in kilograms, with which working in a gust, in m/s, is safe (see [Hold]), no less on any stand
// than a floor in kg, no less at the foot of a rope than its weights, and no more on a
// stand or at a rope than most, 0 for no bound. ok is false where no ballast does it.
func (v *Solver) Need(gustMS float64, floorKg []float64, mostStandKg, mostRopeKg float64) (need Need, ok bool) {
	if !v.held {
		return need, false
	}
	weighted, leastKg := 0, 0.0
	for j := range v.of.Ropes {
		if r := &v.of.Ropes[j]; r.AnchorN <= 0 {
			weighted, leastKg = weighted+1, math.Max(leastKg, r.WeightKg)
		}
	}
	floor := append(make([]float64, v.m.stands, v.m.stands+1), leastKg)
	copy(floor, floorKg)
	need = Need{v.search(floor[:v.m.stands+min(weighted, 1)], weighted), v.demands(gustMS)}
	if mostStandKg > 0 {
		for i := range need.of.kg {
			if i < v.m.stands {
				need.of.mostKg = append(need.of.mostKg, mostStandKg)
			} else {
				need.of.mostKg = append(need.of.mostKg, mostRopeKg)
			}
		}
	}
	return need, need.of.meet(need.all)
}

// Kg returns the least ballast on each stand and, where ropes are tied to weights, at the foot of each of those.
func (n *Need) Kg() []float64 { return n.of.kg }

// In returns the least whole units that are enough: the least ballast rounded up, and taken off again what the load cases spare. A
// unit more never makes a structure stand less. ok is false where so many do not go in one place.
func (n *Need) In(u Units) (out Load, ok bool) {
	s := n.of
	stands := s.of.m.stands
	unit := func(i int) (kg float64, most int) {
		if i < stands {
			return u.StandKg, u.MostStand
		}
		return u.RopeKg, u.MostRope
	}
	count := make([]int, len(s.kg))
	kg := slices.Clone(s.kg)
	for i := range count {
		if kg[i] <= spareKg {
			kg[i] = 0
			continue
		}
		each, most := unit(i)
		count[i] = int(math.Ceil((kg[i] - spareKg) / each))
		if !(each > 0) || count[i] > most {
			return out, false
		}
		kg[i] = float64(count[i]) * each
	}
	for again := true; again; {
		again = false
		for i := len(count) - 1; i >= 0; i-- {
			each, _ := unit(i)
			if count[i] == 0 || kg[i]-each < s.floor(i)-spareKg {
				continue
			}
			kg[i] -= each
			if s.meets(n.all, kg) {
				count[i]--
				again = true
				continue
			}
			kg[i] += each
		}
	}
	copy(out.OnStands[:], count[:stands])
	if len(count) > stands {
		out.AtRope = count[stands]
	}
	return out, true
}

const (
	// evenUnits and evenShare are how much more, in units or as a share of all on the stands, a crew lays for alike on every one of them
	// (common practice, no source).
	evenUnits = 2
	evenShare = 0.15
)

// Even returns the least load that is alike on every stand and enough, where that is little more than one that is; else that.
func (n *Need) Even(load Load, u Units) Load {
	s := n.of
	stands := s.of.m.stands
	all, most, floorKg := 0, 0, 0.0
	for i, k := range load.OnStands[:stands] {
		all, most, floorKg = all+k, max(most, k), math.Max(floorKg, s.floor(i))
	}
	allowed := all + max(evenUnits, int(evenShare*float64(all)))
	for each := (all + stands - 1) / stands; each*stands <= allowed; each++ {
		even := load
		for i := range stands {
			even.OnStands[i] = each
		}
		if kg := float64(each) * u.StandKg; each < most && (kg < floorKg-spareKg || !s.meets(n.all, even.searched(s, &u))) {
			continue
		}
		return even
	}
	return load
}

// searched returns what a load weighs as the search has it.
func (l *Load) searched(s *search, u *Units) []float64 {
	return l.kg(s.of.m.stands, len(s.kg)-s.of.m.stands, u)
}

// spareKg is a lack of ballast, in kilograms, that asks for no further unit.
const spareKg = 1e-6

// kg returns what a load weighs on each stand and at the foot of each rope, as the solver takes it.
func (l *Load) kg(stands, ropes int, u *Units) []float64 {
	out := make([]float64, 0, MaxSupports+MaxRopes)
	for _, n := range l.OnStands[:stands] {
		out = append(out, float64(n)*u.StandKg)
	}
	for range ropes {
		out = append(out, float64(l.AtRope)*u.RopeKg)
	}
	return out
}

// With returns up to which wind the structure stands with a load.
func (v *Solver) With(l *Load, u *Units) Stability {
	return v.Stability(l.kg(v.m.stands, v.m.ropes, u))
}

// WorstRopeGone returns the gust, in m/s, up to which the structure stands with its safety factor and a load when that one of its
// ropes is gone without which it stands least; −1 where it does not stand in calm air then.
func (v *Solver) WorstRopeGone(l *Load, u *Units) float64 {
	kg := l.kg(v.m.stands, v.m.ropes, u)
	least := math.Inf(1)
	factor := math.Max(1, v.of.SafetyFactor)
	for j := range v.m.ropes {
		v.gone[j] = true
		v.load(kg, factor)
		q, _ := v.pressure(factor)
		v.gone[j] = false
		if q < 0 {
			return fallen
		}
		least = math.Min(least, GustOfPressure(q/factor))
	}
	return least
}

// OverLegs returns where a stand's bags go so that their weight is over its mast, as the levers here take it: so many on each
// leg and the rest at the foot of the mast.
func OverLegs(bags, legs int) (each, atMast int) {
	if legs < 1 {
		return 0, bags
	}
	return bags / legs, bags % legs
}
