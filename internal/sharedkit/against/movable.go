package main

import (
	"math/rand/v2"

	"kitspan/internal/sharedkit"
)

const quarter = 15

// movable is a job of one day with so many shots that may each begin at any of so many quarter hours, with any of so many kits. Windows
// begin between six and two o'clock, so that some shots must be up at once; hands are paid beside one in charge.
func movable(shots, starts, kits int, seed uint64) *sharedkit.Problem {
	r := rand.New(rand.NewPCG(seed, 11))
	p := &sharedkit.Problem{Days: 1}
	item := func(rate int64) int {
		p.Items = append(p.Items, sharedkit.Item{Charges: sharedkit.Flat(1, rate), Free: []int{1 << 20}})
		return len(p.Items) - 1
	}
	var frames, cloths, supports, bags, boards []int
	for k := range frameRates {
		frames, cloths = append(frames, item(frameRates[k])), append(cloths, item(clothRates[k]))
	}
	for _, rate := range supportRates {
		supports = append(supports, item(rate))
	}
	for _, rate := range bagRates {
		bags = append(bags, item(rate))
	}
	for _, rate := range boardRates {
		boards = append(boards, item(rate))
	}
	p.Roles = []sharedkit.Role{{Rates: []int64{31000}, Shared: true}, {Rates: []int64{24500}}} // who is in charge, hands
	for range shots {
		size := r.Float64()
		first, length := 360+quarter*r.IntN(32), quarter*(2+r.IntN(4))
		sh := sharedkit.Shot{}
		for range kits {
			near := func(n int) int { return max(0, min(n-1, int((size+0.15*(r.Float64()-0.5))*float64(n)))) }
			f, stands := near(len(frames)), 2+2*r.IntN(2)
			hands := 1 + int(3*size) + r.IntN(2)
			rig := quarter + 5*hands + 3*stands
			uses := []sharedkit.Use{{Of: frames[f], N: 1}, {Of: cloths[f], N: 1}, {Of: supports[near(len(supports))], N: stands}, {Of: boards[near(len(boards))], N: 1 + r.IntN(2)}}
			if n := r.IntN(25); n > 0 {
				uses = append(uses, sharedkit.Use{Of: bags[r.IntN(len(bags))], N: n})
			}
			for k := range starts {
				at := first + quarter*k
				sh.Options = append(sh.Options, sharedkit.Option{From: at - rig, To: at + length + rig/2, Items: uses, Roles: []sharedkit.Use{{Of: 0, N: 1}, {Of: 1, N: hands}}})
			}
		}
		p.Shots = append(p.Shots, sh)
	}
	return p
}
