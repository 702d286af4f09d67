package sharedkit

import (
	"math/rand/v2"
	"testing"
)

// randomMovable is a small job whose shots may begin at several quarter hours with several kits, so that one's end is often another's
// beginning; whoever is in charge is shared.
func randomMovable(r *rand.Rand) *Problem {
	p := &Problem{Days: 1 + r.IntN(2), Aim: Aim(r.IntN(3))}
	for range 2 + r.IntN(3) {
		p.Items = append(p.Items, Item{Charges: Flat(p.Days, int64(1+r.IntN(20))), Free: make([]int, p.Days), MassKg: float64(r.IntN(40))})
		for d := range p.Days {
			p.Items[len(p.Items)-1].Free[d] = 3 + r.IntN(9)
		}
	}
	for k := range 2 {
		role := Role{Shared: k == 0}
		for range p.Days {
			role.Rates = append(role.Rates, int64(10+r.IntN(40)))
		}
		p.Roles = append(p.Roles, role)
	}
	places := 1 + r.IntN(3)
	if r.IntN(2) == 0 {
		p.Way = make([][]int, places)
		for a := range p.Way {
			p.Way[a] = make([]int, places)
			for b := range a {
				p.Way[a][b] = 15 * r.IntN(3)
				p.Way[b][a] = p.Way[a][b]
			}
		}
	}
	for range 2 + r.IntN(3) {
		sh := Shot{Day: r.IntN(p.Days), Place: r.IntN(places)}
		first := sh.Day*1440 + 600 + 15*r.IntN(4)
		starts, length := 1+r.IntN(4), 15*(1+r.IntN(3))
		for range 1 + r.IntN(2) {
			o := Option{Roles: []Use{{0, 1}, {1, r.IntN(4)}}}
			for i := range p.Items {
				if r.IntN(2) == 0 {
					o.Items = append(o.Items, Use{i, 1 + r.IntN(4)})
				}
			}
			early := 15 * r.IntN(2)
			for k := range starts {
				o.From, o.To = first+15*k-early, first+15*k+length
				sh.Options = append(sh.Options, o)
			}
		}
		p.Shots = append(p.Shots, sh)
	}
	if r.IntN(3) == 0 {
		p.Haul = func(_ int, l Load, hands int) (int64, bool) {
			return 5 * int64(1+int(l.MassKg)/50+max(0, hands-2)), true
		}
	}
	return p
}

func TestChoiceOfStartsIsTheBestOfAll(t *testing.T) {
	for seed := range uint64(400) {
		p := randomMovable(rand.New(rand.NewPCG(seed, 5)))
		want := brute(p)
		got, err := Choose(t.Context(), p)
		if err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		if !got.Proven || got.Plan.score != want.score {
			t.Fatalf("seed %d: %+v of %v, proven %t; the best of all is %+v of %v", seed, got.Plan.score, got.Plan.Choice, got.Proven, want.score, want.Choice)
		}
	}
}

// Two shots that need four hands each and may begin at any quarter hour of two: one after the other four do, though only just.
func TestShotsMoveOutOfEachOthersWay(t *testing.T) {
	problem := func(starts int) *Problem {
		p := &Problem{Days: 1, Roles: []Role{{Rates: []int64{100}}}}
		for range 2 {
			sh := Shot{}
			for k := range starts {
				sh.Options = append(sh.Options, Option{From: 15 * k, To: 15*k + 60, Roles: []Use{{0, 4}}})
			}
			p.Shots = append(p.Shots, sh)
		}
		return p
	}
	for starts, want := range map[int]int64{4: 800, 5: 400} {
		got, err := Choose(t.Context(), problem(starts))
		if err != nil || !got.Proven || got.Plan.TotalMinor != want {
			t.Errorf("%d starts: %+v, %v; want %d proven", starts, got, err, want)
		}
	}
}

// A bound is rounded up to what a total can be, but not by the little that sums of multipliers may be off.
func TestBoundsAreRoundedUpToWhatATotalCanBe(t *testing.T) {
	p := cover(1, [][]int{{0}}, []int64{10})
	s := newSearch(p)
	for _, tc := range []struct {
		bound float64
		want  int64
	}{{0, 0}, {0.01, 10}, {9.99, 10}, {10, 10}, {10.0005, 10}, {9.9995, 10}, {10.01, 20}} {
		if got := s.roundUp(tc.bound); got != tc.want {
			t.Errorf("%g: %d, want %d", tc.bound, got, tc.want)
		}
	}
}
