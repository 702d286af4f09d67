package sharedkit

import (
	"context"
	"math"
	"slices"
)

// worth reports whether a choice can be better than the best, by its cost in the model.
func (s *search) worth(estimate float64) bool {
	return !s.byCost || !s.best.Keeps() || estimate < float64(s.best.TotalMinor)-1e-3
}

// improve changes one shot at a time, and what a level of a resource costs several, for as long as that is better.
func (s *search) improve(ctx context.Context, choice []int) {
	for s.descend(ctx, choice, nil) && ctx.Err() == nil && s.drop(ctx, choice) {
	}
}

// descend changes one shot at a time to the option with which the model's cost is least, for as long as it falls; closed options are not
// taken. It returns false where the context has ended.
func (s *search) descend(ctx context.Context, choice []int, closed [][]bool) bool {
	t := s.tally
	t.be(choice)
	at := t.cost()
	for again := true; again; {
		again = false
		for i := range choice {
			if choice[i] < 0 {
				continue
			}
			best := choice[i]
			for o := range s.p.Shots[i].Options {
				if o == best || closed != nil && closed[i][o] {
					continue
				}
				t.set(i, o)
				e := t.cost()
				if s.worth(e) {
					s.try(t.choice)
				}
				if e < at-1e-6 {
					at, best, again = e, o, true
				}
			}
			t.set(i, best)
			choice[i] = best
			if ctx.Err() != nil {
				return false
			}
		}
	}
	return true
}

// drop does without each level of each resource that the best choice has, where every shot has another option. It sets choice to the best
// and reports whether that is another.
func (s *search) drop(ctx context.Context, choice []int) bool {
	best, t := s.best, s.tally
	t.be(best.Choice)
	needs := slices.Clone(t.need)
	try := make([]int, len(choice))
	closed := make([][]bool, len(choice))
	for i := range closed {
		closed[i] = make([]bool, len(s.p.Shots[i].Options))
	}
	for r, n := range needs {
		if n == 0 || ctx.Err() != nil {
			continue
		}
		copy(try, best.Choice)
		possible := true
		for i := range closed {
			ms := &s.m.shots[i]
			left := len(ms.asks) == 0
			for o, asks := range ms.asks {
				closed[i][o] = slices.ContainsFunc(asks, func(j int) bool {
					return ms.rows[j].resource == r && s.m.resources[r].values[ms.rows[j].level] >= n
				})
				left = left || !closed[i][o]
			}
			possible = possible && left
		}
		if !possible {
			continue
		}
		t.be(try)
		for i, o := range try {
			if o < 0 || !closed[i][o] {
				continue
			}
			least := math.Inf(1)
			for k := range closed[i] {
				if !closed[i][k] {
					t.set(i, k)
					if e := t.cost(); e < least {
						least, o = e, k
					}
				}
			}
			t.set(i, o)
			try[i] = o
		}
		if s.worth(t.cost()) {
			s.try(try)
		}
		s.descend(ctx, try, closed)
	}
	copy(choice, s.best.Choice)
	return s.best != best
}
