package job

import (
	"math"
	"slices"
	"time"

	"kitspan/internal/sharedkit"
)

// clashes returns where more is needed at once than there is, and how the last of the shots would have to move.
func (m *maker) clashes(p *sharedkit.Problem, plan *sharedkit.Plan) []Clash {
	if plan.Short() == 0 {
		return nil
	}
	var out []Clash
	for _, mo := range p.Moments(plan.Choice) {
		for i, sku := range m.skus {
			short := m.shortAt(p, plan.Choice, mo.Shots, i)
			if short <= 0 {
				continue
			}
			c := Clash{SKU: sku, Name: m.req.Stock.Item(sku).Name, Span: Span{m.instant(mo.From).In(m.req.Job.Zone), m.instant(mo.To).In(m.req.Job.Zone)}, Short: short}
			last := mo.Shots[0]
			byTime := slices.Clone(mo.Shots)
			slices.SortStableFunc(byTime, func(a, b int) int { return m.option(plan.Choice, a).from - m.option(plan.Choice, b).from })
			for _, s := range byTime {
				c.Shots = append(c.Shots, m.req.Job.Shots[s].Number)
				last = s
			}
			if len(byTime) > 1 {
				c.ShiftMin = m.shift(p, plan.Choice, last, i)
			}
			out = append(out, c)
		}
	}
	return out
}

func (m *maker) option(choice []int, s int) *option { return &m.pools[s].options[choice[s]] }

// shortAt is how many of an item are missing while some shots are up.
func (m *maker) shortAt(p *sharedkit.Problem, choice, shots []int, item int) int {
	need, free := 0, math.MaxInt
	for _, s := range shots {
		for _, u := range p.Shots[s].Options[choice[s]].Items {
			if u.Of == item {
				need += u.N
			}
		}
		free = min(free, p.Items[item].Free[p.Shots[s].Day])
	}
	return need - free
}

// shift returns the least number of minutes, later positive, by which a shot would have to move within its day so that no moment with it
// lacks the item; nil where none does. A shot that takes more of it than there is finds none.
func (m *maker) shift(p *sharedkit.Problem, choice []int, s, item int) *int {
	o := m.option(choice, s)
	loc := o.Window.From.Location()
	y, mo, d := o.Window.From.Date()
	dawn, night := time.Date(y, mo, d, 0, 0, 0, 0, loc), time.Date(y, mo, d+1, 0, 0, 0, 0, loc)
	earliest, latest := int(dawn.Sub(o.Window.From)/time.Minute), int(night.Sub(o.Window.To)/time.Minute)
	// What is up ends or begins somewhere: only there can the answer change.
	steps := map[int]bool{}
	for t, q := range choice {
		if t == s || q < 0 {
			continue
		}
		way := 0
		if m.way != nil {
			way = m.way[p.Shots[s].Place][p.Shots[t].Place]
		}
		other := m.option(choice, t)
		steps[other.to+way-o.from], steps[other.from-way-o.to] = true, true
	}
	var best *int
	for _, by := range sortedInts(steps) {
		if by < earliest || by > latest || best != nil && abs(by) >= abs(*best) || by == 0 {
			continue
		}
		moved := *p
		moved.Shots = slices.Clone(p.Shots)
		one := p.Shots[s].Options[choice[s]]
		one.From += by
		one.To += by
		moved.Shots[s].Options = []sharedkit.Option{one}
		then := slices.Clone(choice)
		then[s] = 0
		if !m.lacks(&moved, then, s, item) {
			best = &by
		}
	}
	return best
}

// lacks reports whether a moment with a shot lacks an item.
func (m *maker) lacks(p *sharedkit.Problem, choice []int, s, item int) bool {
	for _, mo := range p.Moments(choice) {
		if slices.Contains(mo.Shots, s) && m.shortAt(p, choice, mo.Shots, item) > 0 {
			return true
		}
	}
	return false
}

func sortedInts(of map[int]bool) []int {
	out := make([]int, 0, len(of))
	for n := range of {
		out = append(out, n)
	}
	slices.Sort(out)
	return out
}

func abs(n int) int { return max(n, -n) }
