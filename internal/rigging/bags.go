package rigging

import (
	"math"
	"slices"
)

// Load is what lies on a structure to hold it down: whole units on the base of each stand, and at the foot of each rope that is tied
// to weights.
type Load struct {
	OnStands [MaxSupports]int
	AtRopes  [MaxRopes]int
}

// Units is the ballast that there is: the mass of one unit on the stands and at ropes, in kg, and the most of them in one place.
type Units struct {
	StandKg, RopeKg     float64
	MostStand, MostRope int
}

// Bags returns the least whole units with which working in a gust, in m/s, is safe (see [Hold]), no less on any stand than a floor
// in kg. It rounds the least ballast up and takes off what the load cases spare; a unit more never makes a structure stand less. ok
// is false where no number of units does it.
func (v *Solver) Bags(gustMS float64, floorKg []float64, u Units) (out Load, ok bool) {
	if !v.held {
		return out, false
	}
	stands, all := v.m.stands, v.demands(gustMS)
	weighted := 0 // ropes whose anchors are weights
	for j := range v.of.Ropes {
		if v.of.Ropes[j].AnchorN <= 0 {
			weighted = v.m.ropes
		}
	}
	s := v.search(floorKg, weighted)
	if !s.meet(all) {
		return out, false
	}
	unit := func(i int) (kg float64, most int) {
		if i < stands {
			return u.StandKg, u.MostStand
		}
		return u.RopeKg, u.MostRope
	}
	n := make([]int, len(s.kg))
	kg := slices.Clone(s.kg)
	for i := range n {
		each, most := unit(i)
		if kg[i] <= spareKg {
			n[i], kg[i] = 0, 0
			continue
		}
		n[i] = int(math.Ceil(kg[i]/each - spareKg))
		if !(each > 0) || n[i] > most {
			return out, false
		}
		kg[i] = float64(n[i]) * each
	}
	for again := true; again; {
		again = false
		for i := len(n) - 1; i >= 0; i-- {
			each, _ := unit(i)
			if n[i] == 0 || kg[i]-each < s.floor(i)-spareKg {
				continue
			}
			kg[i] -= each
			if s.meets(all, kg) {
				n[i]--
				again = true
				continue
			}
			kg[i] += each
		}
	}
	v.load(kg, 1)
	copy(out.OnStands[:], n[:stands])
	copy(out.AtRopes[:], n[stands:])
	return out, true
}

// spareKg is a lack of ballast, in kilograms, that asks for no further unit.
const spareKg = 1e-3
