package rigging

import (
	"math"
	"slices"
)

// demand is a wind that a structure has to stand: a factored velocity pressure, and the factor in it, which the working loads of
// ropes and stands, who have their makers' in them, are spared.
type demand struct{ factor, q float64 }

// demands returns what working in a gust asks: that everything holds with the safety factor, and that the gust is no more than
// LowerShare of that at which the structure goes without any.
func (v *Solver) demands(gustMS float64) []demand {
	factor := math.Max(1, v.of.SafetyFactor)
	goes := demand{1, VelocityPressure(gustMS / LowerShare)}
	if factor*VelocityPressure(gustMS) <= goes.q {
		return []demand{goes} // asks for no less in anything
	}
	return []demand{{factor, factor * VelocityPressure(gustMS)}, goes}
}

// LeastBallast returns the least ballast on each stand, in kg and no less than a floor, with which the structure stands a gust with
// its safety factor; weights at the feet of ropes stay as they are. ok is false where no ballast does it.
func (v *Solver) LeastBallast(gustMS float64, floorKg []float64) (ballastKg []float64, ok bool) {
	factor := math.Max(1, v.of.SafetyFactor)
	least := v.search(floorKg, 0)
	if !least.meet([]demand{{factor, factor * VelocityPressure(gustMS)}}) {
		return nil, false
	}
	return least.kg[:v.m.stands], true
}

// search is one for the least ballast on the stands and, as much at each that is tied to weights, at the feet of ropes.
type search struct {
	of      *Solver
	floorKg []float64
	mostKg  []float64 // on each stand and at a rope, nil for no bound
	ropes   int       // how many ropes are tied to weights that are looked for; 0 where weights stay as they are
	met     []limit
	kg      []float64 // on each stand and, where weights are looked for, at each rope
	master  program
	// stood are loads in kg, of each whether the one looked at is no less anywhere, and last for each demand and load case the number, from
	// 1, of the last with which it stood.
	stood   [][MaxSupports + 1]float64
	covered []bool
	noted   bool // the one looked at is the last
	last    [2][]int
}

// lay turns to a load and a factor.
func (s *search) lay(kg []float64, d demand) {
	s.of.load(s.all(kg), d.factor)
	s.covered, s.noted = s.covered[:0], false
	for i := range s.stood {
		less := false
		for k, least := range s.stood[i][:len(kg)] {
			less = less || kg[k] < least
		}
		s.covered = append(s.covered, !less)
	}
}

// meetsOne looks for an equilibrium of load case i with kg, which is laid. One that stood with no more anywhere stands: ballast never
// makes a structure stand less.
func (s *search) meetsOne(kg []float64, all []demand, n, i int) (stands bool, at float64, b bound) {
	if len(s.last[n]) == 0 {
		s.last[n] = slices.Grow(s.last[n], len(s.of.loads))[:len(s.of.loads)]
		clear(s.last[n])
	}
	last := &s.last[n][i]
	if *last > 0 && s.covered[*last-1] {
		return true, all[n].q, b
	}
	if stands, at, b = s.of.standsUpTo(i, all[n].q); stands {
		if !s.noted {
			var load [MaxSupports + 1]float64
			copy(load[:], kg)
			s.stood, s.covered, s.noted = append(s.stood, load), append(s.covered, true), true
		}
		*last = len(s.stood)
	}
	return stands, at, b
}

// limit is a bound at the pressure that was asked: Ballast·B + AtRope·W ≥ Need.
type limit struct {
	bound
	atRope float64 // of a kilogram at each rope that is tied to weights
	need   float64
}

func (v *Solver) search(floorKg []float64, ropes int) *search {
	if v.used == len(v.searches) {
		v.searches = append(v.searches, &search{})
	}
	s := v.searches[v.used]
	v.used++
	n := v.m.stands + min(ropes, 1)
	s.of, s.ropes, s.met, s.mostKg, s.master.dim = v, ropes, s.met[:0], s.mostKg[:0], 0
	s.stood, s.last[0], s.last[1] = s.stood[:0], s.last[0][:0], s.last[1][:0]
	s.floorKg = append(s.floorKg[:0], floorKg...)
	s.kg = slices.Grow(s.kg[:0], n)[:n]
	for i := range s.kg {
		s.kg[i] = s.floor(i)
	}
	return s
}

// bind takes in what a load case asks at a pressure.
func (s *search) bind(b bound, q float64) {
	need := b.pressure*q - b.dead
	if s.ropes == 0 {
		for j := range s.of.m.ropes {
			need -= b.weights[j] * s.of.weights[j]
		}
	}
	atRope := 0.0
	for _, w := range b.weights {
		atRope += w
	}
	s.met = append(s.met, limit{b, atRope, need})
}

// all returns ballast as the solver takes it, rope by rope.
func (s *search) all(kg []float64) []float64 {
	if s.ropes == 0 {
		return kg
	}
	v := s.of
	out := append(make([]float64, 0, MaxSupports+MaxRopes), kg[:v.m.stands]...)
	for j := range v.of.Ropes {
		w := 0.0
		if v.of.Ropes[j].AnchorN <= 0 {
			w = kg[v.m.stands]
		}
		out = append(out, w)
	}
	return out
}

// maxCuts bounds how often load cases ask for more ballast: a rig of four stands takes 5 to 20.
const maxCuts = 500

// meet raises the ballast until all demands are met; false where no ballast does.
func (s *search) meet(all []demand) bool {
	v := s.of
	if !v.held {
		return false
	}
	if v.single() {
		return s.meetSingle(all)
	}
	if s.hopeless(all) {
		return false
	}
	hardest := v.first
	defer func() { v.first = hardest }()
	for again := true; again; {
		again = false
		for n, d := range all {
			s.lay(s.kg, d)
			for k := range v.loads {
				i := (k + v.first) % len(v.loads)
				for {
					stands, at, b := s.meetsOne(s.kg, all, n, i)
					if stands {
						break
					}
					s.bind(b, at)
					hardest = i
					if len(s.met) > maxCuts || !s.least() {
						return false
					}
					s.lay(s.kg, d)
					again = true
				}
			}
		}
	}
	return true
}

// hopeless reports whether the load case that presses most on the stands, which ballast does nothing for and ropes make worse, is
// one that even the most that goes there does not meet: the rest need not be looked at then.
func (s *search) hopeless(all []demand) bool {
	if len(s.mostKg) == 0 {
		return false
	}
	v := s.of
	v.brief = true
	defer func() { v.brief = false }()
	for _, d := range slices.Backward(all) {
		v.load(s.all(s.mostKg), d.factor)
		if stands, _, _ := v.standsUpTo(v.heaviest, d.q); !stands {
			return true
		}
	}
	return false
}

// meetSingle is meet for a single stand.
func (s *search) meetSingle(all []demand) bool {
	v := s.of
	for _, d := range all {
		v.load(s.all(s.kg), d.factor)
		for i := range v.ones() {
			n, _ := v.needN(&v.one[i], d.q)
			if math.IsInf(n, 1) {
				return false
			}
			s.kg[0] = math.Max(s.kg[0], n/GravityMS2)
		}
	}
	return len(s.mostKg) == 0 || s.kg[0] <= s.mostKg[0]+spareKg
}

// meets reports whether so much ballast meets all demands.
func (s *search) meets(all []demand, kg []float64) bool {
	v := s.of
	for i := range s.met {
		if l := &s.met[i]; l.short(s, kg) > standsN {
			return false
		}
	}
	v.brief = true
	defer func() { v.brief = false }()
	for n, d := range all {
		s.lay(kg, d)
		if v.single() {
			for i := range v.ones() {
				if n, _ := v.needN(&v.one[i], d.q); n > kg[0]*GravityMS2+standsN {
					return false
				}
			}
			continue
		}
		for k := range v.loads {
			i := (k + v.first) % len(v.loads)
			if stands, at, b := s.meetsOne(kg, all, n, i); !stands {
				s.bind(b, at)
				v.first = i
				return false
			}
		}
	}
	return true
}

// short is by how much ballast stays under the limit.
func (l *limit) short(s *search, kg []float64) float64 {
	short := l.need
	for i := range s.of.m.stands {
		short -= l.ballast[i] * kg[i]
	}
	if s.ropes > 0 {
		short -= l.atRope * kg[s.of.m.stands]
	}
	return short
}

// evenness is what the largest load on a stand costs beside the sum, so that of equal sums the evenest is found.
const evenness = 0.01

// enoughKg is a lack of ballast that counts as none.
const enough = 1e-7

// floor is the least ballast on a stand, or at a rope.
func (s *search) floor(i int) float64 {
	if i < len(s.floorKg) {
		return s.floorKg[i]
	}
	return 0
}

// least finds the least ballast within all limits met so far. It goes on from where it was: limits are only added.
func (s *search) least() bool {
	stands, n := s.of.m.stands, len(s.kg)
	p := &s.master
	if p.dim == 0 {
		var cost [maxDim]float64
		for i := range n {
			cost[i] = 1
		}
		if s.ropes > 0 {
			cost[stands] = float64(s.ropes)
		}
		cost[n] = evenness
		p.boxed(cost[:n+1])
		for i := range n + 1 {
			p.rows[i].b = 0
			if i < n {
				p.rows[i].b = s.floor(i)
			}
		}
		p.settle()
	}
	for range maxSteps {
		var broken row
		most := enough
		worst := -1
		for k := range s.met {
			if short := s.met[k].short(s, p.x[:n]); short > most {
				most, worst = short, k
			}
		}
		if worst >= 0 {
			l := &s.met[worst]
			broken = row{b: l.need}
			copy(broken.a[:stands], l.ballast[:stands])
			if s.ropes > 0 {
				broken.a[stands] = l.atRope
			}
		}
		for i := range n {
			if short := s.floor(i) - p.x[i]; short > most {
				most, broken = short, row{b: s.floor(i)}
				broken.a[i] = 1
			}
		}
		for i := range s.mostKg {
			if short := p.x[i] - s.mostKg[i]; short > most {
				most, broken = short, row{b: -s.mostKg[i]}
				broken.a[i] = -1
			}
		}
		for i := range stands {
			if short := p.x[i] - p.x[n]; short > most {
				most, broken = short, row{}
				broken.a[i], broken.a[n] = -1, 1
			}
		}
		if most <= enough {
			copy(s.kg, p.x[:n])
			return true
		}
		if !p.take(&broken, p.short(&broken)) {
			return false
		}
	}
	return false
}
