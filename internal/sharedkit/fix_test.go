package sharedkit

import (
	"math/rand/v2"
	"testing"
)

// every goes through every choice of a problem of which each shot has options.
func every(p *Problem, see func(pl *Plan)) {
	choice := make([]int, len(p.Shots))
	for {
		see(p.Evaluate(append([]int(nil), choice...)))
		i := 0
		for ; i < len(choice); i++ {
			if choice[i]++; choice[i] < len(p.Shots[i].Options) {
				break
			}
			choice[i] = 0
		}
		if i == len(choice) {
			return
		}
	}
}

// What is closed for its cost, or because the others leave no room, belongs to no choice that is better than the best known; and a bound
// is at most what every choice costs.
func TestFixingKeepsEveryBetterChoice(t *testing.T) {
	fixed := 0
	for seed := range uint64(600) {
		r := rand.New(rand.NewPCG(seed, 6))
		p := randomMovable(r)
		if seed%2 == 0 {
			p = randomProblem(r)
		}
		p.Aim, p.Limits = Price, Limits{}
		for s := len(p.Shots) - 1; s >= 0; s-- {
			if len(p.Shots[s].Options) == 0 {
				p.Shots = append(p.Shots[:s], p.Shots[s+1:]...)
			}
		}
		for i := range p.Items {
			for d := range p.Items[i].Free {
				p.Items[i].Free[d] = 99
			}
		}
		var all []*Plan
		every(p, func(pl *Plan) {
			if pl.Keeps() {
				all = append(all, pl)
			}
		})
		if len(all) == 0 {
			continue
		}
		s := newSearch(p)
		s.best = all[r.IntN(len(all))]
		q := s.whole()
		s.narrow.all()
		if !s.narrow.narrow(&q) || !s.floors(&q) {
			t.Fatalf("seed %d: nothing is left of the whole", seed)
		}
		bound := s.x.ascend(&q, s.goal(), 200, 1, nil)
		kept := s.fix(&q, bound)
		for _, pl := range all {
			if float64(pl.TotalMinor) < bound-1e-3 && bound < s.goal() {
				t.Fatalf("seed %d: a bound of %g, but %v costs %d", seed, bound, pl.Choice, pl.TotalMinor)
			}
			if pl.TotalMinor >= s.best.TotalMinor {
				continue
			}
			if !kept {
				t.Fatalf("seed %d: nothing is left, but %v costs %d, less than %d", seed, pl.Choice, pl.TotalMinor, s.best.TotalMinor)
			}
			for i, o := range pl.Choice {
				if !q.open[i][o] {
					t.Fatalf("seed %d: option %d of shot %d is closed, but %v costs %d, less than %d", seed, o, i, pl.Choice, pl.TotalMinor, s.best.TotalMinor)
				}
			}
			s.tally.be(pl.Choice)
			for k, n := range s.tally.need {
				if v := s.m.resources[k].values; n < v[q.low[k]] || n > v[q.high[k]] {
					t.Fatalf("seed %d: resource %d is between %d and %d, but %v takes %d and costs %d, less than %d", seed, k, v[q.low[k]], v[q.high[k]], pl.Choice, n, pl.TotalMinor, s.best.TotalMinor)
				}
			}
		}
		for i := range q.open {
			fixed += len(q.open[i]) - count(q.open[i])
		}
	}
	if fixed < 500 {
		t.Errorf("only %d options were closed in all: the test sees little", fixed)
	}
}
