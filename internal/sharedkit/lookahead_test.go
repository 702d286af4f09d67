package sharedkit

import (
	"math/rand/v2"
	"testing"
)

// Without a good choice to begin with, every part that is closed in vain shows: the search itself finds the best of all.
func TestLookingAheadNeedsNoGuess(t *testing.T) {
	for seed := range uint64(400) {
		p := randomDay(rand.New(rand.NewPCG(seed, 5)))
		a := &ahead{p: p, hauls: map[Load]int64{}, options: make([][]aheadOption, len(p.Shots))}
		open, first := make([][]int, len(p.Shots)), make([]int, len(p.Shots))
		for s := range p.Shots {
			for o := range p.Shots[s].Options {
				a.options[s] = append(a.options[s], a.option(s, o))
				open[s] = append(open[s], o)
			}
		}
		a.best = p.Evaluate(first)
		a.search(t.Context(), &given{items: make([]int, len(p.Items)), roles: make([]int, len(p.Roles))}, open)
		if want := brute(p); a.best.score != want.score {
			t.Fatalf("seed %d: %+v of %v; the best of all is %+v of %v", seed, a.best.score, a.best.Choice, want.score, want.Choice)
		}
	}
}

// randomDay is one day of four or five shots in two halves that do not meet, of few items and people, so that some fit in for nothing.
func randomDay(r *rand.Rand) *Problem {
	p := &Problem{Days: 1, Roles: []Role{{Rates: []int64{9}, Shared: true}, {Rates: []int64{5}}}}
	for range 3 {
		p.Items = append(p.Items, Item{Charges: Flat(1, int64(1+r.IntN(6))), Free: []int{9}, MassKg: 1})
	}
	for s := range 4 + r.IntN(2) {
		sh := Shot{}
		for range 3 {
			at := 100*(s%2) + 10*r.IntN(4)
			o := Option{From: at, To: at + 15, Roles: []Use{{0, 1}, {1, r.IntN(4)}}}
			for i := range p.Items {
				o.Items = append(o.Items, Use{i, r.IntN(3)})
			}
			sh.Options = append(sh.Options, o)
		}
		p.Shots = append(p.Shots, sh)
	}
	return p
}
