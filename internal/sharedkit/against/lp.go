package main

import (
	"bufio"
	"fmt"
	"io"
	"slices"
	"strings"

	"kitspan/internal/sharedkit"
)

// writeLP writes the choice as an integer program in the format of LP files: one option a shot, and units of each item and role at least
// what the options up at each time take together; of a shared role what each shot takes. It knows one day and one place, and no ways,
// limits or vehicles.
func writeLP(w io.Writer, p *sharedkit.Problem) error {
	b := bufio.NewWriter(w)
	fmt.Fprintln(b, "Minimize\n obj:")
	for i := range p.Items {
		fmt.Fprintf(b, " + %d y%d\n", p.Items[i].Charges[0][0], i)
	}
	for r := range p.Roles {
		fmt.Fprintf(b, " + %d r%d\n", p.Roles[r].Rates[0], r)
	}
	fmt.Fprintln(b, "Subject To")
	for s := range p.Shots {
		fmt.Fprintf(b, " c%d:", s)
		for o := range p.Shots[s].Options {
			fmt.Fprintf(b, " + x%d_%d", s, o)
		}
		fmt.Fprintln(b, " = 1")
	}
	rows := map[string]bool{} // a row that another time has too is written once
	row := func(terms string) {
		if !rows[terms] {
			rows[terms] = true
			fmt.Fprintf(b, " m%d: %s >= 0\n", len(rows), terms)
		}
	}
	for _, t := range times(p) {
		items, roles := make([]strings.Builder, len(p.Items)), make([]strings.Builder, len(p.Roles))
		for s := range p.Shots {
			for o := range p.Shots[s].Options {
				opt := &p.Shots[s].Options[o]
				if opt.From > t || opt.To <= t {
					continue
				}
				for _, u := range opt.Items {
					fmt.Fprintf(&items[u.Of], " - %d x%d_%d", u.N, s, o)
				}
				for _, u := range opt.Roles {
					fmt.Fprintf(&roles[u.Of], " - %d x%d_%d", u.N, s, o)
				}
			}
			for r := range p.Roles {
				if p.Roles[r].Shared && roles[r].Len() > 0 {
					row(fmt.Sprintf("r%d%s", r, roles[r].String()))
					roles[r].Reset()
				}
			}
		}
		for i := range items {
			if items[i].Len() > 0 {
				row(fmt.Sprintf("y%d%s", i, items[i].String()))
			}
		}
		for r := range roles {
			if roles[r].Len() > 0 {
				row(fmt.Sprintf("r%d%s", r, roles[r].String()))
			}
		}
	}
	fmt.Fprintln(b, "Generals")
	for i := range p.Items {
		fmt.Fprintf(b, " y%d", i)
	}
	for r := range p.Roles {
		fmt.Fprintf(b, " r%d", r)
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

// times returns the beginnings of options after which one ends before the next begins: at these the most are up.
func times(p *sharedkit.Problem) []int {
	var starts, ends, out []int
	for s := range p.Shots {
		for _, o := range p.Shots[s].Options {
			starts, ends = append(starts, o.From), append(ends, o.To)
		}
	}
	slices.Sort(starts)
	starts = slices.Compact(starts)
	for k, t := range starts {
		if k+1 == len(starts) || slices.ContainsFunc(ends, func(e int) bool { return e > t && e <= starts[k+1] }) {
			out = append(out, t)
		}
	}
	return out
}
