package sharedkit

import (
	"context"
	"math"
	"slices"
)

// estimate is what a choice costs in the model: at most what it does.
func (s *search) estimate(choice []int) float64 {
	m := s.m
	clear(s.asked)
	for i, o := range choice {
		if o < 0 {
			continue
		}
		ms := &m.shots[i]
		for _, j := range ms.asks[o] {
			if w := ms.rows[j]; w.level > s.asked[w.resource] {
				s.asked[w.resource] = w.level
			}
		}
	}
	for k := range m.sums {
		su := &m.sums[k]
		units := 0
		for _, i := range su.shots {
			if choice[i] >= 0 {
				for _, u := range m.shots[i].in[choice[i]] {
					if u.Of == k {
						units += u.N
					}
				}
			}
		}
		if l := m.resources[su.resource].level(units); l > s.asked[su.resource] {
			s.asked[su.resource] = l
		}
	}
	total := 0.0
	for r, l := range s.asked {
		total += m.resources[r].cost(l)
	}
	return total
}

// worth reports whether a choice can be better than the best, by its estimate.
func (s *search) worth(estimate float64) bool {
	return !s.byCost || !s.best.Keeps() || estimate < float64(s.best.TotalMinor)-1e-3
}

// improve changes one shot at a time, and what a level of a resource costs several, for as long as that is better.
func (s *search) improve(ctx context.Context, choice []int) {
	for s.descend(ctx, choice, nil) && ctx.Err() == nil && s.drop(ctx, choice) {
	}
}

// descend changes one shot at a time to the option with which the estimate is least, for as long as it falls; closed options are not
// taken. It returns false where the context has ended.
func (s *search) descend(ctx context.Context, choice []int, closed [][]bool) bool {
	at := s.estimate(choice)
	for again := true; again; {
		again = false
		for i := range choice {
			if choice[i] < 0 {
				continue
			}
			was := choice[i]
			for o := range s.p.Shots[i].Options {
				if o == was || closed != nil && closed[i][o] {
					continue
				}
				choice[i] = o
				e := s.estimate(choice)
				if s.worth(e) {
					s.try(choice)
				}
				if e < at-1e-6 {
					at, was, again = e, o, true
				}
			}
			choice[i] = was
		}
		if ctx.Err() != nil {
			return false
		}
	}
	return true
}

// drop does without each level of each resource that the best choice has, where every shot has another option. It sets choice to the best
// and reports whether that is another.
func (s *search) drop(ctx context.Context, choice []int) bool {
	best := s.best
	s.estimate(best.Choice)
	levels := slices.Clone(s.asked)
	try := make([]int, len(choice))
	closed := make([][]bool, len(choice))
	for i := range closed {
		closed[i] = make([]bool, len(s.p.Shots[i].Options))
	}
	for r, l := range levels {
		if l == 0 || ctx.Err() != nil {
			continue
		}
		copy(try, best.Choice)
		possible := true
		for i := range closed {
			ms := &s.m.shots[i]
			left := len(ms.asks) == 0
			for o, asks := range ms.asks {
				closed[i][o] = slices.ContainsFunc(asks, func(j int) bool { return ms.rows[j].resource == r && ms.rows[j].level >= l })
				left = left || !closed[i][o]
			}
			possible = possible && left
		}
		if !possible {
			continue
		}
		for i, o := range try {
			if o < 0 || !closed[i][o] {
				continue
			}
			least := math.Inf(1)
			for k := range closed[i] {
				if !closed[i][k] {
					try[i] = k
					if e := s.estimate(try); e < least {
						least, o = e, k
					}
				}
			}
			try[i] = o
		}
		if s.worth(s.estimate(try)) {
			s.try(try)
		}
		s.descend(ctx, try, closed)
	}
	copy(choice, s.best.Choice)
	return s.best != best
}
