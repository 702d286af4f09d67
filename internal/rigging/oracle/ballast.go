package oracle

import (
	"math"

	"kitspan/internal/rigging"
)

const (
	mostRounds = 200
	// halvings is how often the ratios of twists are closed in on.
	halvings = 12
)

// LeastBallast returns the ballast on each stand in kg, at least a floor, with which a structure stands up to a gust, and its sum, which
// is the least there is; not in whole bags. It returns nil and +Inf where no ballast will do.
//
// The program over all loads at once is solved by cuts: for a ballast, each load says how much slack it leaves and what each kilogram
// would add to that. Where twists count by a ratio (see [Stands]), the sum is the least near by and no proof that there is none less;
// it is where the ratio is always 1.
func LeastBallast(s *rigging.Structure, gustMS, factor float64, floorKg []float64) (ballastKg []float64, sumKg float64) {
	ballastKg, sumKg, _ = leastBallast(s, gustMS, factor, floorKg)
	return ballastKg, sumKg
}

// leastBallast returns besides a sum that certainly does not do with less.
func leastBallast(s *rigging.Structure, gustMS, factor float64, floorKg []float64) (ballastKg []float64, sumKg, boundKg float64) {
	c := newCutter(s, loads(s, pressurePa(gustMS), factor), floorKg)
	ballastKg, ok := c.cheapest()
	if !ok {
		return nil, math.Inf(1), math.Inf(1)
	}
	boundKg = total(ballastKg)
	if !twists(s) || c.stands(ballastKg) {
		return ballastKg, boundKg, boundKg
	}
	ballastKg, sumKg = c.withTwists(ballastKg)
	return ballastKg, sumKg, boundKg
}

func total(list []float64) (t float64) {
	for _, x := range list {
		t += x
	}
	return t
}

// need is a load with the spans in which its ratios are taken.
type need struct {
	load         *load
	spans, exact []span
	tried        bool // it asked for more ballast at some time
}

// cut asks for ballast: the sum of each stand's by its share is at least a number of kilograms.
type cut struct {
	shares []float64
	leastN float64
}

type cutter struct {
	s       *rigging.Structure
	floorKg []float64
	needs   []*need
	cuts    []cut
}

func newCutter(s *rigging.Structure, list []*load, floorKg []float64) *cutter {
	c := &cutter{s: s, floorKg: floorKg}
	for _, l := range list {
		n := need{load: l}
		for range s.Stands {
			n.spans = append(n.spans, span{1, most})
		}
		c.needs = append(c.needs, &n)
	}
	return c
}

func (c *cutter) stands(ballastKg []float64) bool {
	for _, n := range c.needs {
		if bear(c.s, n.load, ballastKg).slackN < enoughN {
			return false
		}
	}
	return true
}

// cheapest is the ballast of the least sum for the needs, each with its ratios in its spans.
func (c *cutter) cheapest() ([]float64, bool) {
	all := false
	for range mostRounds {
		ballastKg, ok := c.least()
		if !ok {
			return nil, false
		}
		cuts := len(c.cuts)
		for _, n := range c.needs {
			if !n.tried && !all {
				continue
			}
			o, _ := solve(c.s, n.load, ballastKg, n.spans)
			if math.IsInf(o.slackN, -1) {
				return nil, false
			}
			if o.slackN < enoughN {
				n.tried = true
				k := cut{shares: o.gain, leastN: -o.slackN}
				for i, g := range o.gain {
					k.leastN += g * ballastKg[i]
				}
				c.cuts = append(c.cuts, k)
			}
		}
		if len(c.cuts) > cuts {
			all = false
			continue
		}
		if all {
			return ballastKg, true
		}
		all = true
	}
	return nil, false
}

// least is the ballast of the least sum for the cuts.
func (c *cutter) least() ([]float64, bool) {
	var p program
	var kg []sum
	cost := sum{}
	for _, floorKg := range c.floorKg {
		over := p.variable(positive)
		kg = append(kg, over.plus(fixed(floorKg), 1))
		cost = cost.plus(over, -1)
	}
	for _, k := range c.cuts {
		have := sum{}
		for i, share := range k.shares {
			have = have.plus(kg[i], share)
		}
		p.atLeast(have, fixed(k.leastN))
	}
	o := p.maximize(cost)
	if o.verdict != optimal {
		return nil, false
	}
	list := make([]float64, len(kg))
	for i := range kg {
		list[i] = kg[i].at(o.x)
	}
	return list, true
}

// withTwists closes in on the ratios by which twists count, from ballast that does not do. With a ratio too high a stand asks for
// grip, with one too low for weight against the lift; the least is where it asks for both.
func (c *cutter) withTwists(ballastKg []float64) (bestKg []float64, sumKg float64) {
	sumKg = math.Inf(1)
	valid := len(c.cuts)
	for _, n := range c.needs {
		_, f := solve(c.s, n.load, ballastKg, n.spans)
		n.exact = append([]span(nil), n.spans...)
		for i, sp := range n.spans {
			n.exact[i] = span{1, f.ratio(i, sp) * finest}
		}
	}
	for round := range halvings {
		for _, n := range c.needs {
			for i, sp := range n.exact {
				if !twistable(c.s, i) {
					continue
				}
				at := sp.high
				if round > 0 {
					at = math.Sqrt(sp.low * sp.high)
				}
				n.spans[i] = span{at, at}
			}
		}
		c.cuts = c.cuts[:valid]
		var ok bool
		if ballastKg, ok = c.cheapest(); !ok {
			return bestKg, sumKg
		}
		if t := total(ballastKg); t < sumKg {
			bestKg, sumKg = ballastKg, t
		}
		for _, n := range c.needs {
			_, f := solve(c.s, n.load, ballastKg, n.spans)
			for i := range n.exact {
				if f == nil || !twistable(c.s, i) {
					continue
				}
				at := n.spans[i].high
				if took := f.ratio(i, span{1, most}); took < at/1.0005 {
					n.exact[i] = span{math.Max(n.exact[i].low, took), at}
				} else {
					n.exact[i].low = at
				}
			}
		}
	}
	return bestKg, sumKg
}
