package main

import (
	"bufio"
	"fmt"
	"io"
	"math/rand/v2"
	"strings"

	"kitspan/internal/sharedkit"
)

// made is a job such as a crew has, of so many shots with so many options each, at rates of the demo catalogue's kind: nearly every option
// has a frame with its cloth, two or four supports, bags, and one to three boards; a third of neighbouring shots are up at once; all is
// hired for the whole job, and nobody is paid.
func made(shots, options int, seed uint64) *sharedkit.Problem {
	r := rand.New(rand.NewPCG(seed, 7))
	p := &sharedkit.Problem{Days: 1}
	item := func(rate int64) int {
		p.Items = append(p.Items, sharedkit.Item{Charges: sharedkit.Flat(1, rate), Free: []int{1 << 20}})
		return len(p.Items) - 1
	}
	var frames, cloths, supports, boards, bags []int
	for k := range 12 {
		frames = append(frames, item(int64(800+350*k+50*r.IntN(6))))
		cloths = append(cloths, item(int64(500+280*k+50*r.IntN(6))))
	}
	for k := range 10 {
		supports = append(supports, item(int64(700+600*k+50*r.IntN(8))))
	}
	for k := range 12 {
		boards = append(boards, item(int64(400+220*k+50*r.IntN(6))))
	}
	for k := range 4 {
		bags = append(bags, item(int64(100+40*k)))
	}
	at := 0
	for range shots {
		size := r.Float64() // how large the shot is
		sh := sharedkit.Shot{}
		length := 60
		for range options {
			near := func(n int, spread float64) int {
				return max(0, min(n-1, int((size+spread*(r.Float64()-0.5))*float64(n))))
			}
			o := sharedkit.Option{From: at, To: at + length}
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
				f := near(len(frames), 0.4)
				add(frames[f], 1)
				add(cloths[f], 1)
				add(supports[near(len(supports), 0.6)], 2+2*r.IntN(2))
				if n := r.IntN(25); n > 0 {
					add(bags[r.IntN(len(bags))], n)
				}
			}
			for range 1 + r.IntN(3) {
				add(boards[near(len(boards), 0.8)], 1)
			}
			sh.Options = append(sh.Options, o)
		}
		p.Shots = append(p.Shots, sh)
		if r.IntN(3) == 0 {
			at += length / 2
		} else {
			at += length
		}
	}
	return p
}

// writeLP writes the choice as an integer program in the format of LP files: one option a shot, and units of each item at least what the
// shots of each moment take together. It knows one day, items and no people, limits or vehicles.
func writeLP(w io.Writer, p *sharedkit.Problem) error {
	b := bufio.NewWriter(w)
	fmt.Fprintln(b, "Minimize\n obj:")
	for i := range p.Items {
		fmt.Fprintf(b, " + %d y%d\n", p.Items[i].Charges[0][0], i)
	}
	fmt.Fprintln(b, "Subject To")
	for s := range p.Shots {
		fmt.Fprintf(b, " c%d:", s)
		for o := range p.Shots[s].Options {
			fmt.Fprintf(b, " + x%d_%d", s, o)
		}
		fmt.Fprintln(b, " = 1")
	}
	for m, moment := range p.Moments(make([]int, len(p.Shots))) {
		for i := range p.Items {
			var terms strings.Builder
			for _, s := range moment.Shots {
				for o := range p.Shots[s].Options {
					for _, u := range p.Shots[s].Options[o].Items {
						if u.Of == i {
							fmt.Fprintf(&terms, " - %d x%d_%d", u.N, s, o)
						}
					}
				}
			}
			if terms.Len() > 0 {
				fmt.Fprintf(b, " m%d_%d: y%d%s >= 0\n", m, i, i, terms.String())
			}
		}
	}
	fmt.Fprintln(b, "Generals")
	for i := range p.Items {
		fmt.Fprintf(b, " y%d", i)
	}
	fmt.Fprintln(b, "\nBinaries")
	for s := range p.Shots {
		for o := range p.Shots[s].Options {
			fmt.Fprintf(b, " x%d_%d", s, o)
		}
	}
	fmt.Fprintln(b, "\nEnd")
	return b.Flush()
}
