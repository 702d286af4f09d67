package sharedkit

import (
	"cmp"
	"math"
	"slices"
)

// cut is where a part may be cut in two: at a level of a resource or, of a shot that moves, at a time from which on it is up. weight is how
// unsure the relaxation is of it, in money.
type cut struct {
	resource, level int
	shot, from      int // of a cut at a level the shot is -1
	weight          float64
}

// sides returns the two sides of a cut, each nil where nothing is left of it.
func (s *search) sides(q *part, c cut) [2]*part {
	var out [2]*part
	for k := range out {
		side := q.clone()
		switch {
		case c.shot >= 0:
			for o := range side.open[c.shot] {
				side.open[c.shot][o] = side.open[c.shot][o] && (s.p.Shots[c.shot].Options[o].From >= c.from) == (k == 1)
			}
			s.narrow.options(c.shot)
		case k == 0:
			side.high[c.resource] = c.level - 1
			s.narrow.resource(c.resource)
		default:
			side.low[c.resource] = c.level
		}
		if s.narrow.narrow(&side) {
			out[k] = &side
		}
	}
	return out
}

// Of the choice of a cut: so many levels and so many times are tried, with so many steps of the ascent on either side (common practice, no
// source).
const (
	triedLevels = 6
	triedTimes  = 4
	cutSteps    = 12
)

// split cuts a part in two where that raises the bound most on both sides or, where the relaxation is sure of all, at the options of a
// shot. What trying a cut rules out is taken from the part at once. It returns nothing where nothing is left.
func (s *search) split(q *part, bound float64, kept []float64) []part {
	goal := s.goal()
	settled := s.settled(q)
	var best []part
	most, cuts := math.Inf(-1), s.cuts(q)
	for _, c := range cuts {
		if c.shot < 0 && (c.level <= q.low[c.resource] || c.level > q.high[c.resource]) {
			continue // ruled out by a cut tried before
		}
		sides := s.sides(q, c)
		var gain [2]float64
		for k, side := range sides {
			if side == nil {
				continue
			}
			copy(s.x.now, kept)
			b := s.x.ascend(side, goal, cutSteps, 0.5, nil)
			side.bound = max(side.bound, b)
			if settled && s.roundUp(b) >= s.best.TotalMinor {
				sides[k] = nil
			}
			gain[k] = math.Min(b, goal) - bound
		}
		switch {
		case sides[0] == nil && sides[1] == nil:
			return nil
		case sides[0] == nil || sides[1] == nil:
			if sides[0] != nil {
				*q = *sides[0]
			} else {
				*q = *sides[1]
			}
			best, most, settled = nil, math.Inf(-1), s.settled(q)
			continue
		}
		if w := math.Max(gain[0], 1) * math.Max(gain[1], 1); w > most {
			most, best = w, []part{*sides[0], *sides[1]}
			if gain[1] < gain[0] {
				best = []part{*sides[1], *sides[0]}
			}
		}
	}
	switch {
	case best != nil:
		return best
	case len(cuts) > 0:
		return []part{*q} // of every cut that was tried one side was ruled out
	}
	return s.splitShot(q)
}

// cuts returns the levels of resources of which the relaxation is least sure, those that cost most first, then times of shots that move.
func (s *search) cuts(q *part) []cut {
	var cuts []cut
	for r := range s.m.resources {
		res := &s.m.resources[r]
		for l := q.low[r] + 1; l <= q.high[r]; l++ {
			z := s.x.mean[s.m.cells[r]+l]
			cuts = append(cuts, cut{r, l, -1, 0, (1e-3 + math.Min(z, 1-z)) * (res.cost(q.high[r]) - res.cost(l-1))})
		}
	}
	heavy := func(a, b cut) int { return cmp.Compare(b.weight, a.weight) }
	slices.SortStableFunc(cuts, heavy)
	cuts = cuts[:min(len(cuts), triedLevels)]
	var times []cut
	for i := range s.p.Shots {
		var starts []int
		shortest := math.MaxInt
		for o, opt := range s.p.Shots[i].Options {
			if q.open[i][o] {
				starts, shortest = append(starts, opt.From), min(shortest, opt.To-opt.From)
			}
		}
		if len(starts) == 0 {
			continue
		}
		slices.Sort(starts)
		if spread := starts[len(starts)-1] - starts[0]; 2*spread > shortest {
			middle := starts[len(starts)/2]
			if middle == starts[0] {
				middle++
			}
			times = append(times, cut{0, 0, i, middle, float64(spread) / float64(shortest)})
		}
	}
	slices.SortStableFunc(times, heavy)
	return append(cuts, times[:min(len(times), triedTimes)]...)
}

// splitShot takes the pick of the shot with the fewest open options, of those with several, apart from the rest.
func (s *search) splitShot(q *part) []part {
	shot, fewest := -1, math.MaxInt
	for i := range q.open {
		if n := count(q.open[i]); n > 1 && n < fewest {
			shot, fewest = i, n
		}
	}
	if shot < 0 {
		s.tryLast(q)
		return nil
	}
	pick := s.x.pick[shot]
	if !q.open[shot][pick] {
		pick = slices.Index(q.open[shot], true)
	}
	one, others := q.clone(), q.clone()
	for o := range one.open[shot] {
		one.open[shot][o] = o == pick
	}
	others.open[shot][pick] = false
	var out []part
	for _, side := range []*part{&one, &others} {
		if s.narrow.options(shot); s.narrow.narrow(side) {
			out = append(out, *side)
		}
	}
	return out
}

// tryLast evaluates the one choice that a part has left.
func (s *search) tryLast(q *part) {
	choice := make([]int, len(q.open))
	for i, open := range q.open {
		choice[i] = slices.Index(open, true)
	}
	s.try(choice)
}
