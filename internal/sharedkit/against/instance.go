package main

import (
	"math/rand/v2"

	"kitspan/internal/sharedkit"
)

// scatter says of a kind of job how far the frames, supports and boards of one shot's options lie from the shot's own size, as shares of what there
// is, small to large. The less they scatter, the tighter is the bound of any solver.
type scatter struct {
	frames, supports, boards float64
}

// In a usual job the options of a shot are of about its size, while the shots' sizes are scattered; in a hard one they are of many sizes.
var (
	usual = scatter{0.12, 0.12, 0.12}
	hard  = scatter{0.4, 0.6, 0.8}
)

// kinds of jobs, by name.
var kinds = map[string]func(shots, options int, seed uint64) *sharedkit.Problem{
	"usual": usual.job,
	"hard":  hard.job,
	"movable": func(shots, options int, seed uint64) *sharedkit.Problem {
		return movable(shots, 20, max(1, options/20), seed)
	},
}

// Day rates of the demo catalogue's first house, in cents: frames from 3 by 3 to 12 by 20 feet, full diffusion for each, stands from low
// ones to cranks, bags and blocks, boards and mirrors.
var (
	frameRates   = []int64{950, 1100, 1200, 1350, 1400, 1600, 1850, 2300, 2350, 2950, 3650, 4300}
	clothRates   = []int64{650, 750, 800, 900, 950, 1100, 1300, 1650, 1700, 2200, 2700, 3150}
	supportRates = []int64{450, 600, 750, 950, 1100, 1400, 1900, 2400, 3000, 4200}
	bagRates     = []int64{120, 150, 190, 300, 450}
	boardRates   = []int64{300, 400, 800, 800, 900, 1200, 1400, 1400, 1400, 1500, 3200}
)

// job is a job of so many shots with so many options each: nine options in ten have a frame with its cloth, two or four supports and up
// to 24 bags, and all one to three boards; a third of neighbouring shots are up at once; all is hired for the whole job, and nobody is paid.
func (k scatter) job(shots, options int, seed uint64) *sharedkit.Problem {
	r := rand.New(rand.NewPCG(seed, 7))
	p := &sharedkit.Problem{Days: 1}
	list := func(rates []int64) (from, n int) {
		from = len(p.Items)
		for _, rate := range rates {
			p.Items = append(p.Items, sharedkit.Item{Charges: sharedkit.Flat(1, rate), Free: []int{1 << 20}})
		}
		return from, len(rates)
	}
	frames, sizes := list(frameRates)
	cloths, _ := list(clothRates)
	supports, stands := list(supportRates)
	bags, weights := list(bagRates)
	boards, faces := list(boardRates)
	const minutes = 60
	at := 0
	for range shots {
		size := r.Float64() // how large the shot is
		near := func(n int, scatter float64) int {
			return max(0, min(n-1, int((size+scatter*(r.Float64()-0.5))*float64(n))))
		}
		sh := sharedkit.Shot{}
		for range options {
			o := sharedkit.Option{From: at, To: at + minutes}
			add := func(i, n int) {
				for k := range o.Items {
					if o.Items[k].Of == i {
						o.Items[k].N += n
						return
					}
				}
				o.Items = append(o.Items, sharedkit.Use{Of: i, N: n})
			}
			if r.IntN(10) > 0 {
				f := near(sizes, k.frames)
				add(frames+f, 1)
				add(cloths+f, 1)
				add(supports+near(stands, k.supports), 2+2*r.IntN(2))
				if n := r.IntN(25); n > 0 {
					add(bags+r.IntN(weights), n)
				}
			}
			for range 1 + r.IntN(3) {
				add(boards+near(faces, k.boards), 1)
			}
			sh.Options = append(sh.Options, o)
		}
		p.Shots = append(p.Shots, sh)
		if r.IntN(3) == 0 {
			at += minutes / 2
		} else {
			at += minutes
		}
	}
	return p
}
