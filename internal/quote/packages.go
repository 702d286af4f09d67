package quote

import (
	"slices"

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
		for _, part := range apart(uses) {
			for _, u := range newPartition(uses, part).taken() {
				best = append(best, uses[u])
			}
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
	u = use{pack: index, lines: slices.Clone(lines)}
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

// apart cuts uses into those that vie for the same lines, directly or by way of others, each in its order.
func apart(uses []use) [][]int {
	root := map[int]int{} // of a line, another of its part
	find := func(line int) int {
		for root[line] != line {
			line = root[line]
		}
		return line
	}
	for u := range uses {
		for _, line := range uses[u].lines {
			if _, known := root[line]; !known {
				root[line] = line
			}
			root[find(line)] = find(uses[u].lines[0])
		}
	}
	at := map[int]int{}
	var out [][]int
	for u := range uses {
		r := find(uses[u].lines[0])
		k, known := at[r]
		if !known {
			k = len(out)
			at[r] = k
			out = append(out, nil)
		}
		out[k] = append(out[k], u)
	}
	return out
}

// partition looks for the uses of a part that take off most. Each in turn is taken or left, and what can still be had after it depends on no
// more than which of the lines that come up later are in use: that is computed once. Of equal choices it takes a use sooner than it leaves it.
type partition struct {
	uses   []int
	lines  [][]int // of each, numbered from 0
	totals []int64
	later  []lineSet // the lines of a use and those after it
	known  map[state]outcome
	asked  int
	now    lineSet
}

// lineSet is a set of lines, a bit for each.
type lineSet []byte

// state is the next use and which of the lines that matter are in use.
type state struct {
	next int
	used string
}

type outcome struct {
	off  int64
	take bool
}

// mostStates ends the search over packages that vie for very many lines: after it each use is taken where it may be. Forty shots with
// twenty packages in a chain ask for a few hundred.
const mostStates = 1 << 16

func newPartition(uses []use, part []int) *partition {
	s := &partition{uses: part, known: map[state]outcome{}, later: make([]lineSet, len(part)+1)}
	number := map[int]int{}
	for _, u := range part {
		var lines []int
		for _, i := range uses[u].lines {
			if _, known := number[i]; !known {
				number[i] = len(number)
			}
			lines = append(lines, number[i])
		}
		s.lines, s.totals = append(s.lines, lines), append(s.totals, uses[u].total)
	}
	s.now = make(lineSet, (len(number)+7)/8)
	s.later[len(part)] = slices.Clone(s.now)
	for k := len(part) - 1; k >= 0; k-- {
		s.later[k] = slices.Clone(s.later[k+1])
		s.later[k].put(s.lines[k], true)
	}
	return s
}

// taken returns the uses to take.
func (s *partition) taken() (out []int) {
	s.best(0)
	for k := range s.uses {
		o, known := s.known[s.state(k)]
		if s.free(k) && (o.take || !known) {
			s.now.put(s.lines[k], true)
			out = append(out, s.uses[k])
		}
	}
	return out
}

// best returns the most that a use and those after it take off.
func (s *partition) best(k int) int64 {
	if k == len(s.uses) {
		return 0
	}
	at := s.state(k)
	if o, known := s.known[at]; known {
		return o.off
	}
	s.asked++
	full := s.asked > mostStates
	var o outcome
	if !full || !s.free(k) {
		o.off = s.best(k + 1)
	}
	if s.free(k) {
		s.now.put(s.lines[k], true)
		if with := s.totals[k] + s.best(k+1); with >= o.off {
			o = outcome{with, true}
		}
		s.now.put(s.lines[k], false)
	}
	if !full {
		s.known[at] = o
	}
	return o.off
}

func (s *partition) state(k int) state {
	used := make(lineSet, len(s.now))
	for i := range used {
		used[i] = s.now[i] & s.later[k][i]
	}
	return state{k, string(used)}
}

func (s *partition) free(k int) bool {
	for _, i := range s.lines[k] {
		if s.now[i/8]>>(i%8)&1 == 1 {
			return false
		}
	}
	return true
}

func (l lineSet) put(lines []int, in bool) {
	for _, i := range lines {
		if l[i/8] &^= 1 << (i % 8); in {
			l[i/8] |= 1 << (i % 8)
		}
	}
}
