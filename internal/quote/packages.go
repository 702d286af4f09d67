package quote

import (
	"kitspan/internal/catalog"
	"kitspan/internal/price"
	"kitspan/internal/terms"
)

// use is one way to put sets of a package together, from a line for each of its items. All lines have the same days.
type use struct {
	pack  int
	lines []int // of hire, in the order of the package's items
	sets  int
	off   []int64 // of each of the lines
	total int64
}

// bestUses returns the ways to use packages that together take off most, no line in two. left is what is left of each line. Of equal
// ones it returns the first in the order of the terms, then of the lines: that with the first use in which they differ.
func bestUses(packages []terms.Package, hire []Piece, left []int64) ([]use, error) {
	var best []use
	for _, lines := range byDays(hire) {
		uses, err := usesOf(packages, hire, left, lines)
		if err != nil {
			return nil, err
		}
		s := &partition{uses: uses, taken: make([]bool, len(hire))}
		s.estimate(len(hire))
		s.search(0, 0)
		for _, u := range s.best {
			best = append(best, uses[u])
		}
	}
	return best, nil
}

// byDays returns the lines of each span of days, both in the order of the lines.
func byDays(hire []Piece) [][]int {
	type span struct{ from, to catalog.Date }
	at := map[span]int{}
	var out [][]int
	for i := range hire {
		s := span{hire[i].From, hire[i].To}
		k, known := at[s]
		if !known {
			k = len(out)
			at[s] = k
			out = append(out, nil)
		}
		out[k] = append(out[k], i)
	}
	return out
}

// usesOf lists the uses among some lines that take anything off, in the order of the terms, then of the lines.
func usesOf(packages []terms.Package, hire []Piece, left []int64, among []int) (uses []use, err error) {
	for p := range packages {
		items := packages[p].Items
		lines := make([]int, len(items))
		var pick func(k int) error
		pick = func(k int) error {
			if k == len(items) {
				u, err := useOf(&packages[p], p, hire, left, lines)
				if u.total > 0 {
					uses = append(uses, u)
				}
				return err
			}
			for _, i := range among {
				if hire[i].SKU == items[k].SKU && hire[i].Quantity >= items[k].Quantity {
					lines[k] = i
					if err := pick(k + 1); err != nil {
						return err
					}
				}
			}
			return nil
		}
		if err = pick(0); err != nil {
			return nil, err
		}
	}
	return uses, nil
}

// useOf is as many sets as the lines have.
func useOf(p *terms.Package, index int, hire []Piece, left []int64, lines []int) (u use, err error) {
	u = use{pack: index, lines: append([]int(nil), lines...)}
	for k, i := range lines {
		if n := hire[i].Quantity / p.Items[k].Quantity; k == 0 || n < u.sets {
			u.sets = n
		}
	}
	for k, i := range lines {
		off, err := p.Percent.Percent(left[i], u.sets*p.Items[k].Quantity, hire[i].Quantity)
		if err != nil {
			return u, err
		}
		u.off = append(u.off, off)
		if u.total, err = price.Sum(u.total, off); err != nil {
			return u, err
		}
	}
	return u, nil
}

// partition looks for the uses that take off most, by branch and bound: each use is taken or left, taken first, so that of equal choices
// the first is kept.
type partition struct {
	uses  []use
	most  [][]int64 // by use and line: the most that this use or a later one takes off the line
	taken []bool    // lines
	now   []int
	best  []int
	off   int64 // by best
	steps int
}

// mostSteps ends a search over packages of which each line could be in very many; then the best found is taken. Demo terms take under 20.
const mostSteps = 1 << 20

func (s *partition) estimate(lines int) {
	s.most = make([][]int64, len(s.uses)+1)
	s.most[len(s.uses)] = make([]int64, lines)
	for u := len(s.uses) - 1; u >= 0; u-- {
		s.most[u] = append([]int64(nil), s.most[u+1]...)
		for k, i := range s.uses[u].lines {
			s.most[u][i] = max(s.most[u][i], s.uses[u].off[k])
		}
	}
}

// search decides on a use and those after it; off is what those taken before take off.
func (s *partition) search(u int, off int64) {
	if off > s.off {
		s.off, s.best = off, append([]int(nil), s.now...)
	}
	if s.steps++; u == len(s.uses) || s.steps > mostSteps {
		return
	}
	bound := off
	for i, most := range s.most[u] {
		if !s.taken[i] {
			bound += most
		}
	}
	if bound <= s.off {
		return
	}
	if s.free(u) {
		s.mark(u, true)
		s.now = append(s.now, u)
		s.search(u+1, off+s.uses[u].total)
		s.now = s.now[:len(s.now)-1]
		s.mark(u, false)
	}
	s.search(u+1, off)
}

func (s *partition) free(u int) bool {
	for _, i := range s.uses[u].lines {
		if s.taken[i] {
			return false
		}
	}
	return true
}

func (s *partition) mark(u int, taken bool) {
	for _, i := range s.uses[u].lines {
		s.taken[i] = taken
	}
}
