package sharedkit

import (
	"cmp"
	"math"
	"slices"
)

// model is the problem as the bound sees it: resources, each of one day, that come in levels. An option asks a level of some of them, and
// what a level costs is paid once for all shots of the day. It leaves out what would make the plan dearer only: sums of shots that are up
// at once for the way between their places alone, loads put together, needs of a day in which a shot of the next begins. So what it says is
// a lower bound.
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

// kind is what a resource is.
type kind int

const (
	byItem kind = iota
	byRole
	byShared // a role of which one does for all shots at one place
	byHaul   // the transport of the day, in minor units
)

// resource is items or roles on one day, or the transport of one day.
type resource struct {
	kind kind
	day  int
	// of are the items or roles that every option takes in the same proportion, as a frame and its cloth, and how many of each a unit is.
	of []Use
	// values are what the levels count, from values[0] = 0 on: units; of transport minor units.
	values []int
	// each is what one unit costs at least.
	each float64
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

// taking is how many units of each resource every option takes: taking[shot][option][resource].
type taking [][]map[int]int

// newModel returns the model of a problem that check has nothing against.
func newModel(p *Problem) *model {
	m := &model{p: p, shots: make([]modelShot, len(p.Shots))}
	own := m.merge(m.find())
	least := own.least()
	sure := p.surelyTogether()
	asked := make(taking, len(p.Shots)) // with what is sure to be up beside it
	for s := range p.Shots {
		asked[s] = make([]map[int]int, len(own[s]))
		for o, takes := range own[s] {
			asked[s][o] = map[int]int{}
			for r, n := range takes {
				asked[s][o][r] = n + m.beside(sure, s, r, least)
			}
		}
	}
	m.addHaul(asked)
	m.addSums(own, sure)
	m.fillValues(asked)
	for s := range p.Shots {
		m.addRows(s, asked[s])
	}
	m.price()
	return m
}

// find makes a resource of each item and role on each day on which some option takes it.
func (m *model) find() taking {
	at := map[[3]int]int{} // kind, of, day → resource
	find := func(k kind, of, day int) int {
		key := [3]int{int(k), of, day}
		r, ok := at[key]
		if !ok {
			r = len(m.resources)
			at[key] = r
			m.resources = append(m.resources, resource{kind: k, day: day, of: []Use{{of, 1}}})
		}
		return r
	}
	own := make(taking, len(m.p.Shots))
	for s := range m.p.Shots {
		sh := &m.p.Shots[s]
		own[s] = make([]map[int]int, len(sh.Options))
		for o := range sh.Options {
			takes := map[int]int{}
			for _, u := range sh.Options[o].Items {
				if u.N > 0 {
					takes[find(byItem, u.Of, sh.Day)] = u.N
				}
			}
			for _, u := range sh.Options[o].Roles {
				k := byRole
				if m.p.Roles[u.Of].Shared {
					k = byShared
				}
				if u.N > 0 {
					takes[find(k, u.Of, sh.Day)] = u.N
				}
			}
			own[s][o] = takes
		}
	}
	return own
}

// merge makes one resource of those that every option takes in the same proportion: whatever is up at once, they are needed in it too.
func (m *model) merge(own taking) taking {
	type entry struct{ shot, option, n int }
	lists := make([][]entry, len(m.resources))
	for s := range own {
		for o, takes := range own[s] {
			for r, n := range takes {
				lists[r] = append(lists[r], entry{s, o, n})
			}
		}
	}
	var merged []resource
	into, share := make([]int, len(lists)), make([]int, len(lists))
	var heads []int // of each merged resource, its first
	for r, list := range lists {
		g := int64(0)
		for _, e := range list {
			g = gcd(g, int64(e.n))
		}
		share[r] = int(g)
		res := &m.resources[r]
		into[r] = slices.IndexFunc(heads, func(h int) bool {
			if m.resources[h].kind != res.kind || m.resources[h].day != res.day || len(lists[h]) != len(list) {
				return false
			}
			for k, e := range list {
				f := lists[h][k]
				if e.shot != f.shot || e.option != f.option || e.n*share[h] != f.n*share[r] {
					return false
				}
			}
			return true
		})
		if into[r] < 0 {
			into[r] = len(heads)
			heads = append(heads, r)
			merged = append(merged, resource{kind: res.kind, day: res.day})
		}
		to := &merged[into[r]]
		to.of = append(to.of, Use{res.of[0].Of, share[r]})
	}
	m.resources = merged
	out := make(taking, len(own))
	for s := range own {
		for _, takes := range own[s] {
			now := map[int]int{}
			for r, n := range takes {
				now[into[r]] = n / share[r]
			}
			out[s] = append(out[s], now)
		}
	}
	return out
}

// least is the least that any option of each shot takes of each resource.
func (t taking) least() []map[int]int {
	out := make([]map[int]int, len(t))
	for s := range t {
		out[s] = map[int]int{}
		for o, takes := range t[s] {
			if o == 0 {
				for r, n := range takes {
					out[s][r] = n
				}
			}
			for r, n := range out[s] {
				if out[s][r] = min(n, takes[r]); out[s][r] == 0 {
					delete(out[s], r)
				}
			}
		}
	}
	return out
}

// addHaul makes each day's transport a resource of which an option asks what bringing its own kit costs at least, whoever else is there.
func (m *model) addHaul(asked taking) {
	if m.p.Haul == nil {
		return
	}
	of := make([]int, m.p.Days)
	for s := range asked {
		day := m.p.Shots[s].Day
		for o := range asked[s] {
			t := m.p.leastHaul(s, o)
			if t <= 0 {
				continue
			}
			if of[day] == 0 {
				m.resources = append(m.resources, resource{kind: byHaul, day: day, each: 1})
				of[day] = len(m.resources)
			}
			asked[s][o][of[day]-1] = t
		}
	}
}

// fillValues lists what a resource may be asked for: every number that an option asks and, where shots add up, every number that they may
// come to.
func (m *model) fillValues(asked taking) {
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
	for k := range m.sums {
		for _, n := range m.sums[k].values() {
			values[m.sums[k].resource][n] = true
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
func (m *model) addRows(s int, asked []map[int]int) {
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
	ms.asks = make([][]int, len(asked))
	for o, takes := range asked {
		for r, n := range takes {
			ms.asks[o] = append(ms.asks[o], place[row{r, m.resources[r].level(n)}])
		}
		slices.Sort(ms.asks[o])
	}
}

// price sets what a unit of each resource costs at least, and the unit of all costs.
func (m *model) price() {
	p := m.p
	days := make([][]int, len(p.Items)) // on which each item is taken
	for r := range m.resources {
		res := &m.resources[r]
		for _, u := range res.of {
			if res.kind == byItem {
				days[u.Of] = append(days[u.Of], res.day)
				continue
			}
			rate := p.Roles[u.Of].Rates[res.day]
			res.each += float64(rate) * float64(u.N)
			m.unit = gcd(m.unit, rate)
		}
	}
	each := make([][]float64, len(p.Items))
	for i, list := range days {
		if list == nil {
			continue
		}
		need := make([]int, p.Days)
		for _, d := range list {
			need[d] = 1
		}
		each[i] = p.Items[i].Charges.daily(need)
		for _, list := range p.Items[i].Charges {
			for _, c := range list {
				if c != NoRate {
					m.unit = gcd(m.unit, c)
				}
			}
		}
	}
	for r := range m.resources {
		if res := &m.resources[r]; res.kind == byItem {
			for _, u := range res.of {
				res.each += each[u.Of][res.day] * float64(u.N)
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

func sorted[V any](m map[int]V) []int {
	out := make([]int, 0, len(m))
	for k := range m {
		out = append(out, k)
	}
	slices.Sort(out)
	return out
}

// short adds to each item's count how many units of it a resource lacks at a level.
func (m *model) short(r, level int, of []int) {
	res := &m.resources[r]
	if res.kind != byItem {
		return
	}
	for _, u := range res.of {
		of[u.Of] = max(of[u.Of], res.values[level]*u.N-m.p.Items[u.Of].Free[res.day])
	}
}

// massKg is what a resource weighs at a level.
func (m *model) massKg(r, level int) float64 {
	res, kg := &m.resources[r], 0.0
	if res.kind == byItem {
		for _, u := range res.of {
			kg += float64(res.values[level]*u.N) * m.p.Items[u.Of].MassKg
		}
	}
	return math.Max(kg, 0)
}
