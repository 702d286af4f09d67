package sharedkit

import (
	"cmp"
	"math"
	"slices"
)

// model is the problem as the bound sees it: resources, each of one day, that come in levels. An option asks a level of some of them, and
// what a level costs is paid once for all shots of the day. It leaves out what would make the plan dearer only: sums of shots that may or
// may not be up at once, loads put together, needs of a day in which a shot of the next begins. So what it says is a lower bound.
type model struct {
	p         *Problem
	resources []resource
	shots     []modelShot
	sums      []sum
	rows      int   // of all shots
	cells     []int // of each resource, the place of its level 0 among the levels of all
	// unit divides every cost: a bound is rounded up to a multiple of it.
	unit int64
}

// resource is an item or a role on one day, or the transport of one day.
type resource struct {
	item, role, day int // -1 for the ones that it is not; transport has neither
	// values are what the levels count, from values[0] = 0 on: units; of transport minor units.
	values []int
	// each is what one unit costs at least.
	each float64
	// free is how many there are; math.MaxInt for what has no stock.
	free int
}

// cost is what the levels up to k cost.
func (r *resource) cost(k int) float64 { return r.each * float64(r.values[k]) }

// level returns the level of a number of units.
func (r *resource) level(units int) int {
	k, _ := slices.BinarySearch(r.values, units)
	return k
}

// row says that a resource has at least a level where the shot takes an option that asks it: x(options that ask it) ≤ z(level).
type row struct {
	resource, level int
}

// modelShot is a shot in the model.
type modelShot struct {
	id   int   // the place of its first row among all
	rows []row // by resource, then level
	// asks are the places in rows of the highest level of each resource that an option asks.
	asks [][]int
	// first is the place of each row's first of the same resource.
	first []int
	// in are the sums that an option adds to, with how much.
	in [][]Use
}

// sum says that a resource has at least as many units as all shots together take that are up at once whatever is chosen.
type sum struct {
	resource int
	shots    []int
}

// newModel returns the model of a problem that check has nothing against.
func newModel(p *Problem) *model {
	m := &model{p: p, shots: make([]modelShot, len(p.Shots))}
	sure := p.surelyTogether()
	at := map[[3]int]int{} // kind, of, day → resource
	find := func(kind, of, day int) int {
		key := [3]int{kind, of, day}
		r, ok := at[key]
		if !ok {
			r = len(m.resources)
			at[key] = r
			res := resource{item: -1, role: -1, day: day, free: math.MaxInt, each: 1}
			switch kind {
			case 0:
				res.item, res.free = of, p.Items[of].Free[day]
			case 1:
				res.role, res.each = of, float64(p.Roles[of].Rates[day])
			}
			m.resources = append(m.resources, res)
		}
		return r
	}
	// asked[s][o] is what an option asks of each resource, with what is sure to be up beside it; own is what it takes itself.
	asked := make([][]map[int]int, len(p.Shots))
	own := make([][]map[int]int, len(p.Shots))
	least := make([]map[int]int, len(p.Shots)) // of each resource, the least that any option takes
	for s := range p.Shots {
		sh := &p.Shots[s]
		for o := range sh.Options {
			opt := &sh.Options[o]
			takes := map[int]int{}
			for _, u := range opt.Items {
				if u.N > 0 {
					takes[find(0, u.Of, sh.Day)] = u.N
				}
			}
			for _, u := range opt.Roles {
				if u.N > 0 {
					takes[find(1, u.Of, sh.Day)] = u.N
				}
			}
			own[s] = append(own[s], takes)
			if o == 0 {
				least[s] = map[int]int{}
				for r, n := range takes {
					least[s][r] = n
				}
			}
			for r, n := range least[s] {
				if least[s][r] = min(n, takes[r]); least[s][r] == 0 {
					delete(least[s], r)
				}
			}
		}
	}
	for s := range p.Shots {
		asked[s] = make([]map[int]int, len(own[s]))
		for o, takes := range own[s] {
			asked[s][o] = map[int]int{}
			for r, n := range takes {
				asked[s][o][r] = n + m.beside(sure, s, r, least)
			}
			if p.Haul != nil {
				if t := p.leastHaul(s, o); t > 0 {
					asked[s][o][find(2, 0, p.Shots[s].Day)] = t
				}
			}
		}
	}
	m.addSums(sure, own)
	m.fillValues(asked, own)
	for s := range p.Shots {
		m.addRows(s, asked[s], own[s])
	}
	m.price()
	return m
}

// surelyTogether returns the sets of two and more shots of one day that are up at once whatever is chosen.
func (p *Problem) surelyTogether() [][]int {
	var core []up // what is up by every option
	for s := range p.Shots {
		sh := &p.Shots[s]
		if len(sh.Options) == 0 {
			continue
		}
		u := up{shot: s, from: math.MinInt, to: math.MaxInt, place: sh.Place}
		for o := range sh.Options {
			u.from, u.to = max(u.from, sh.Options[o].From), min(u.to, sh.Options[o].To)
		}
		if u.from < u.to {
			core = append(core, u)
		}
	}
	slices.SortFunc(core, func(a, b up) int { return cmp.Or(a.from-b.from, a.shot-b.shot) })
	var out [][]int
	for _, set := range p.together(core) {
		byDay := map[int][]int{}
		for _, k := range set {
			d := p.Shots[core[k].shot].Day
			byDay[d] = append(byDay[d], core[k].shot)
		}
		for _, d := range sorted(byDay) {
			if len(byDay[d]) > 1 {
				slices.Sort(byDay[d])
				out = append(out, byDay[d])
			}
		}
	}
	return out
}

func sorted[V any](m map[int]V) []int {
	out := make([]int, 0, len(m))
	for k := range m {
		out = append(out, k)
	}
	slices.Sort(out)
	return out
}

// beside returns how many units the others take at least that are up with a shot whatever is chosen; one place shares who is in charge.
func (m *model) beside(sure [][]int, s, r int, least []map[int]int) int {
	if role := m.resources[r].role; role >= 0 && m.p.Roles[role].Shared {
		return 0
	}
	most := 0
	for _, set := range sure {
		if !slices.Contains(set, s) {
			continue
		}
		n := 0
		for _, t := range set {
			if t != s {
				n += least[t][r]
			}
		}
		most = max(most, n)
	}
	return most
}

// leastHaul returns the least that bringing an option's own kit costs, whoever else is there that day.
func (p *Problem) leastHaul(s, o int) int {
	opt, day := &p.Shots[s].Options[o], p.Shots[s].Day
	var load Load
	for _, u := range opt.Items {
		it := &p.Items[u.Of]
		if it.Alone || u.N == 0 {
			continue
		}
		load.MassKg += float64(u.N) * it.MassKg
		load.VolumeM3 += float64(u.N) * it.VolumeM3
		load.HeaviestKg, load.BulkiestM3 = math.Max(load.HeaviestKg, it.MassKg), math.Max(load.BulkiestM3, it.VolumeM3)
	}
	return int(p.haulAtLeast(day, load))
}

// addSums makes the sums of what is sure to be up at once, where two and more of the shots may take the resource.
func (m *model) addSums(sure [][]int, own [][]map[int]int) {
	for _, set := range sure {
		takers := map[int][]int{}
		for _, s := range set {
			seen := map[int]bool{}
			for _, takes := range own[s] {
				for r := range takes {
					if !seen[r] {
						seen[r] = true
						takers[r] = append(takers[r], s)
					}
				}
			}
		}
		for _, r := range sorted(takers) {
			if role := m.resources[r].role; len(takers[r]) > 1 && (role < 0 || !m.p.Roles[role].Shared) {
				m.sums = append(m.sums, sum{r, takers[r]})
			}
		}
	}
}

// fillValues lists what a resource may be asked for: every number that an option asks and, where shots add up, every number up to the sum
// of the most.
func (m *model) fillValues(asked, own [][]map[int]int) {
	values := make([]map[int]bool, len(m.resources))
	for r := range values {
		values[r] = map[int]bool{0: true}
	}
	for s := range asked {
		for o := range asked[s] {
			for r, n := range asked[s][o] {
				values[r][n] = true
			}
		}
	}
	for _, su := range m.sums {
		add := map[int]bool{0: true}
		for _, s := range su.shots {
			next := map[int]bool{}
			for _, takes := range own[s] {
				for n := range add {
					next[n+takes[su.resource]] = true
				}
			}
			add = next
		}
		for n := range add {
			values[su.resource][n] = true
		}
	}
	cells := 0
	for r := range values {
		m.resources[r].values = sorted(values[r])
		m.cells = append(m.cells, cells)
		cells += len(m.resources[r].values)
	}
}

// addRows makes the rows of a shot.
func (m *model) addRows(s int, asked, own []map[int]int) {
	ms := &m.shots[s]
	ms.id = m.rows
	place := map[row]int{}
	for _, takes := range asked {
		for r, n := range takes {
			place[row{r, m.resources[r].level(n)}] = 0
		}
	}
	for w := range place {
		ms.rows = append(ms.rows, w)
	}
	m.rows += len(ms.rows)
	slices.SortFunc(ms.rows, func(a, b row) int { return cmp.Or(a.resource-b.resource, a.level-b.level) })
	ms.first = make([]int, len(ms.rows))
	for j, w := range ms.rows {
		place[w] = j
		ms.first[j] = j
		if j > 0 && ms.rows[j-1].resource == w.resource {
			ms.first[j] = ms.first[j-1]
		}
	}
	ms.asks, ms.in = make([][]int, len(asked)), make([][]Use, len(asked))
	for o, takes := range asked {
		for r, n := range takes {
			ms.asks[o] = append(ms.asks[o], place[row{r, m.resources[r].level(n)}])
		}
		slices.Sort(ms.asks[o])
		for k, su := range m.sums {
			if n := own[o][su.resource]; n > 0 && slices.Contains(su.shots, s) {
				ms.in[o] = append(ms.in[o], Use{Of: k, N: n})
			}
		}
	}
}

// price sets what a unit of each item costs at least on each day, and the unit of all costs.
func (m *model) price() {
	p := m.p
	for r := range m.resources {
		if res := &m.resources[r]; res.role >= 0 {
			m.unit = gcd(m.unit, p.Roles[res.role].Rates[res.day])
		}
	}
	days := make([]map[int]int, len(p.Items)) // of each item, day → resource
	for r := range m.resources {
		if res := &m.resources[r]; res.item >= 0 {
			if days[res.item] == nil {
				days[res.item] = map[int]int{}
			}
			days[res.item][res.day] = r
		}
	}
	for i, byDay := range days {
		if byDay == nil {
			continue
		}
		need := make([]int, p.Days)
		for d := range byDay {
			need[d] = 1
		}
		each := p.Items[i].Charges.daily(need)
		for d, r := range byDay {
			m.resources[r].each = each[d]
		}
		for _, list := range p.Items[i].Charges {
			for _, c := range list {
				if c != NoRate {
					m.unit = gcd(m.unit, c)
				}
			}
		}
	}
	if p.Haul != nil || m.unit == 0 {
		m.unit = 1
	}
}

func gcd(a, b int64) int64 {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}
