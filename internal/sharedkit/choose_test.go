package sharedkit

import (
	"context"
	"math/rand/v2"
	"testing"
)

// cover is a covering problem as a job: rows are shots that do not meet on one day, each option is one unit of one item.
func cover(items int, rows [][]int, rates []int64) *Problem {
	p := &Problem{Days: 1}
	for i := range items {
		rate := int64(1)
		if rates != nil {
			rate = rates[i]
		}
		p.Items = append(p.Items, Item{Charges: Flat(1, rate), Free: []int{1}})
	}
	for s, row := range rows {
		sh := Shot{}
		for _, i := range row {
			sh.Options = append(sh.Options, Option{From: 10 * s, To: 10*s + 5, Items: []Use{{i, 1}}})
		}
		p.Shots = append(p.Shots, sh)
	}
	return p
}

// Least numbers of points that meet every line of finite geometries and Steiner triple systems: Fulkerson, Nemhauser and Trotter 1974 for
// 9, 15 and 27 points; the Fano plane and PG(3,2) from memory.
func TestSteinerCovers(t *testing.T) {
	var fano, ag23, pg32, ag33 [][]int
	for a := 1; a < 8; a++ {
		for b := a + 1; b < 8; b++ {
			if c := a ^ b; c > b {
				fano = append(fano, []int{a - 1, b - 1, c - 1})
			}
		}
	}
	for a := 1; a < 16; a++ {
		for b := a + 1; b < 16; b++ {
			if c := a ^ b; c > b {
				pg32 = append(pg32, []int{a - 1, b - 1, c - 1})
			}
		}
	}
	lines := func(dim int) (out [][]int) {
		n := 1
		for range dim {
			n *= 3
		}
		third := func(a, b int) int {
			c := 0
			for k, m := 0, 1; k < dim; k, m = k+1, m*3 {
				c += m * ((6 - a/m%3 - b/m%3) % 3)
			}
			return c
		}
		for a := range n {
			for b := a + 1; b < n; b++ {
				if c := third(a, b); c > b {
					out = append(out, []int{a, b, c})
				}
			}
		}
		return out
	}
	ag23, ag33 = lines(2), lines(3)
	for _, tc := range []struct {
		name  string
		items int
		rows  [][]int
		lines int
		want  int64
	}{{"Fano plane", 7, fano, 7, 3}, {"AG(2,3)", 9, ag23, 12, 5}, {"PG(3,2)", 15, pg32, 35, 7}, {"AG(3,3)", 27, ag33, 117, 18}} {
		t.Run(tc.name, func(t *testing.T) {
			if len(tc.rows) != tc.lines {
				t.Fatalf("%d lines, want %d", len(tc.rows), tc.lines)
			}
			got, err := Choose(context.Background(), cover(tc.items, tc.rows, nil))
			if err != nil {
				t.Fatal(err)
			}
			t.Logf("%d nodes", got.Nodes)
			if got.Plan.TotalMinor != tc.want || !got.Proven {
				t.Errorf("%d, proven %t, want %d", got.Plan.TotalMinor, got.Proven, tc.want)
			}
		})
	}
}

// brute goes through every choice.
func brute(p *Problem) *Plan {
	choice := make([]int, len(p.Shots))
	for i := range choice {
		if len(p.Shots[i].Options) == 0 {
			choice[i] = -1
		}
	}
	var best *Plan
	for {
		if pl := p.Evaluate(append([]int(nil), choice...)); best == nil || pl.score.less(best.score) {
			best = pl
		}
		i := 0
		for ; i < len(choice); i++ {
			if choice[i] < 0 {
				continue
			}
			if choice[i]++; choice[i] < len(p.Shots[i].Options) {
				break
			}
			choice[i] = 0
		}
		if i == len(choice) {
			return best
		}
	}
}

// randomProblem is a small job of all that there is: several days, spans of hire, roles, places, stock that may not be enough, limits.
func randomProblem(r *rand.Rand) *Problem {
	p := &Problem{Days: 1 + r.IntN(4), Aim: Aim(r.IntN(3))}
	charged := [][]int64{{1, 2, 3, 4, 5}, {1, 2, 3, 3, 3}, {1, 1, 2, 2, 3}, {1, 1, 1, 1, 1}}[r.IntN(4)]
	for range 2 + r.IntN(4) {
		it := Item{MassKg: float64(r.IntN(40)), VolumeM3: float64(r.IntN(10)) / 10, Alone: r.IntN(6) == 0}
		rate := int64(r.IntN(20))
		for first := range p.Days {
			if r.IntN(5) == 0 {
				rate += int64(r.IntN(5))
			}
			var list []int64
			for n := range p.Days - first {
				list = append(list, rate*charged[n])
			}
			it.Charges = append(it.Charges, list)
			it.Free = append(it.Free, 2+r.IntN(6))
		}
		p.Items = append(p.Items, it)
	}
	for k := range 2 {
		role := Role{Shared: k == 0, Apart: k == 1 && r.IntN(2) == 0}
		for range p.Days {
			role.Rates = append(role.Rates, int64(r.IntN(30)))
		}
		p.Roles = append(p.Roles, role)
	}
	places := 1 + r.IntN(2)
	if r.IntN(2) == 0 {
		w := r.IntN(30)
		p.Way = [][]int{{0, w}, {w, 0}}
	}
	for range 1 + r.IntN(6) {
		sh := Shot{Day: r.IntN(p.Days), Place: r.IntN(places)}
		at := sh.Day*1440 + 400 + 10*r.IntN(20)
		for range r.IntN(5) {
			o := Option{From: at - r.IntN(30), To: at + 10 + r.IntN(60)}
			for i := range p.Items {
				if r.IntN(2) == 0 {
					o.Items = append(o.Items, Use{i, r.IntN(5)})
				}
			}
			o.Roles = []Use{{0, 1}, {1, r.IntN(4)}}
			sh.Options = append(sh.Options, o)
		}
		p.Shots = append(p.Shots, sh)
	}
	if r.IntN(2) == 0 {
		p.Haul = func(_ int, l Load, hands int) (int64, bool) {
			if l.MassKg > 400 {
				return 0, false
			}
			return 10 * int64(1+int(l.MassKg)/60+int(l.VolumeM3)/2+max(0, 2-hands)), true
		}
	}
	if r.IntN(3) == 0 {
		p.Limits = Limits{Crew: r.IntN(6), TotalMinor: int64(r.IntN(500)), MassKg: float64(r.IntN(300))}
	}
	return p
}

func TestChoiceIsTheBestOfAll(t *testing.T) {
	for seed := range uint64(300) {
		r := rand.New(rand.NewPCG(seed, 1))
		p := randomProblem(r)
		want := brute(p)
		got, err := Choose(t.Context(), p)
		if err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		for how, got := range map[string]*Choice{"as it comes": got, "by branch and bound": p.branchAndBound(t.Context(), true)} {
			if !got.Proven || got.Plan.score != want.score {
				t.Fatalf("seed %d, %s: %+v of %v, proven %t; the best of all is %+v of %v", seed, how, got.Plan.score, got.Plan.Choice, got.Proven, want.score, want.Choice)
			}
		}
	}
}

// One day's shots with many starts, by looking ahead.
func TestLookingAheadFindsTheBestOfADay(t *testing.T) {
	looked := 0
	for seed := range uint64(300) {
		p := randomProblem(rand.New(rand.NewPCG(seed, 3)))
		p.Limits.HireMinor, p.Days = 0, 1
		for i := range p.Items {
			p.Items[i].Charges, p.Items[i].Free = Flat(1, p.Items[i].Charges[0][0]), p.Items[i].Free[:1]
		}
		for r := range p.Roles {
			p.Roles[r].Rates = p.Roles[r].Rates[:1]
		}
		for s := range p.Shots {
			at := p.Shots[s].Day * 1440
			p.Shots[s].Day = 0
			for o := range p.Shots[s].Options {
				p.Shots[s].Options[o].From -= at
				p.Shots[s].Options[o].To -= at
			}
		}
		if haul := p.Haul; haul != nil {
			p.Haul = func(_ int, l Load, hands int) (int64, bool) { return haul(0, l, hands) }
		}
		out, ok := p.lookAhead(t.Context(), true)
		if !ok {
			continue
		}
		looked++
		if want := brute(p); !out.Proven || out.Plan.score != want.score {
			t.Fatalf("seed %d: %+v of %v, proven %t; the best of all is %+v of %v", seed, out.Plan.score, out.Plan.Choice, out.Proven, want.score, want.Choice)
		}
	}
	if looked < 200 {
		t.Errorf("%d problems of one day, want 200 at least", looked)
	}
}

// Days that have nothing to do with each other are chosen one by one, and the whole is the best all the same.
func TestDaysApartAreChosenByThemselves(t *testing.T) {
	apart, kinds := 0, map[Aim]int{}
	for seed := range uint64(200) {
		p := randomProblem(rand.New(rand.NewPCG(seed, 2)))
		p.Limits.HireMinor = 0
		for i := range p.Items {
			rates := make([]int64, p.Days)
			for d := range rates {
				rates[d] = 1 + int64(seed+uint64(i+d))%5
			}
			for d := range p.Items[i].Charges {
				sum := int64(0)
				for n := range p.Items[i].Charges[d] {
					sum += rates[d+n]
					p.Items[i].Charges[d][n] = sum
				}
			}
		}
		parts := p.apart()
		if len(parts) < 2 {
			continue
		}
		out, ok := p.chooseApart(t.Context(), parts, true)
		if !ok {
			continue
		}
		apart++
		kinds[p.Aim]++
		if want := brute(p); !out.Proven || out.Plan.score != want.score || out.BoundMinor != want.TotalMinor {
			t.Fatalf("seed %d: %+v of %v, bound %d, proven %t; the best of all is %+v of %v", seed, out.Plan.score, out.Plan.Choice, out.BoundMinor, out.Proven, want.score, want.Choice)
		}
	}
	if apart < 20 || len(kinds) < 3 {
		t.Errorf("%d problems came apart, by aim %v: want 20 at least, of every aim", apart, kinds)
	}
}

// randomCover is a covering problem of so many items and shots, each of which three items serve, at prices up to most.
func randomCover(items, shots int, most int64) *Problem {
	r := rand.New(rand.NewPCG(1, 2))
	rates := make([]int64, items)
	for i := range rates {
		rates[i] = 1 + r.Int64N(most)
	}
	rows := make([][]int, shots)
	for s := range rows {
		rows[s] = r.Perm(items)[:3]
	}
	return cover(items, rows, rates)
}
