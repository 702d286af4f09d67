package sharedkit

import (
	"cmp"
	"slices"
)

// Span is so many units of one item hired from the first to the last day, both included.
type Span struct {
	First, Last int
	Units       int
}

// NoRate, as a charge, says that no hire may begin on that day.
const NoRate = -1

// Charges are what one unit of an item costs from a first day on for so many days: Charges[first][n-1], in minor units, never falling in
// n; [NoRate] where nothing begins.
type Charges [][]int64

// Flat returns the charges of an item at one rate that is charged day by day, over so many days.
func Flat(days int, rate int64) Charges {
	out := make(Charges, days)
	for first := range out {
		out[first] = make([]int64, days-first)
		for n := range out[first] {
			out[first][n] = rate * int64(n+1)
		}
	}
	return out
}

// Hire returns the spans in which at least need[d] units are there on every day d at the least sum of charges; of equal sums those with
// the fewest unit-days, then with the smaller sum of last days. They are ordered by first day, then by last. ok is false where a day that
// needs units has none that may be hired.
//
// With a column for each span and a row for each day the ones of a column are consecutive, so that the linear program is whole and its
// rows, each less the one before it, are a network: a unit of flow goes from day to day through spans, and back for nothing where there
// are more units than are needed (Fulkerson and Gross 1965; from memory). The flow is built up by shortest paths.
func Hire(c Charges, need []int) (spans []Span, minor int64, ok bool) {
	if flat, lone := singleDay(need); lone {
		if flat < 0 {
			return nil, 0, true
		}
		if each := c[flat][0]; each != NoRate && cheapestOn(c, flat) == each {
			return []Span{{flat, flat, need[flat]}}, each * int64(need[flat]), true
		}
	}
	n := newNeededNetwork(c, need)
	if !n.fill() {
		return nil, 0, false
	}
	for i := range n.arcs {
		if a := &n.arcs[i]; a.last >= 0 && a.flow > 0 {
			spans = append(spans, Span{a.first, a.last, a.flow})
			minor += a.cost.minor * int64(a.flow)
		}
	}
	slices.SortFunc(spans, func(a, b Span) int { return cmp.Or(a.First-b.First, a.Last-b.Last) })
	return spans, minor, true
}

// singleDay returns the only day with a need, -1 where there is none; ok is false where there are several.
func singleDay(need []int) (day int, ok bool) {
	day = -1
	for d, n := range need {
		if n > 0 {
			if day >= 0 {
				return 0, false
			}
			day = d
		}
	}
	return day, true
}

// cheapestOn returns the least charge of any span that holds a day; a span that began earlier may be at an older, lower rate.
func cheapestOn(c Charges, day int) int64 {
	least := int64(NoRate)
	for first := 0; first <= day; first++ {
		if m := c[first][day-first]; m != NoRate && (least == NoRate || m < least) {
			least = m
		}
	}
	return least
}

// price is what a unit of flow costs: money, then unit-days, then last days.
type price struct {
	minor      int64
	days, last int
}

func (p price) plus(q price) price { return price{p.minor + q.minor, p.days + q.days, p.last + q.last} }
func (p price) minus(q price) price {
	return price{p.minor - q.minor, p.days - q.days, p.last - q.last}
}
func (p price) less(q price) bool {
	return cmp.Or(cmp.Compare(p.minor, q.minor), p.days-q.days, p.last-q.last) < 0
}

// arc goes from one node to another. It is a span from first to last, or the way back, with last -1.
type arc struct {
	from, to    int
	first, last int
	cost        price
	flow        int
}

// network is the flow from day 0 to the morning after the last day: node d has a supply of need[d] − need[d−1].
type network struct {
	arcs   []arc
	supply []int
	dist   []price
	via    []int // the arc that leads to a node, ^i where it is walked backwards
	seen   []bool
}

func newNetwork(c Charges, need []int) *network {
	n := nodes(need)
	for first := range c {
		for k, m := range c[first] {
			if m != NoRate && first+k < len(need) {
				n.arcs = append(n.arcs, arc{from: first, to: first + k + 1, first: first, last: first + k, cost: price{m, k + 1, first + k}})
			}
		}
	}
	n.addWaysBack()
	return n
}

// newNeededNetwork is the network of the days that need units alone, so that a few days of a long hire are done soon. Of the spans over the
// same of them the one that costs least is in it: it ends as soon as it may, since charges never fall, and may begin before the first, at a
// lower rate.
func newNeededNetwork(c Charges, need []int) *network {
	var days, units []int
	for d, of := range need {
		if of > 0 {
			days, units = append(days, d), append(units, of)
		}
	}
	n := nodes(units)
	after := 0
	for i, begin := range days {
		for j := i; j < len(days); j++ {
			before := len(need) // of the next day that needs units
			if j+1 < len(days) {
				before = days[j+1]
			}
			best, found := arc{}, false
			for first := after; first <= begin; first++ {
				last := days[j]
				for last < before && c[first][last-first] == NoRate {
					last++
				}
				if last == before {
					continue
				}
				if p := (price{c[first][last-first], last - first + 1, last}); !found || p.less(best.cost) {
					best, found = arc{from: i, to: j + 1, first: first, last: last, cost: p}, true
				}
			}
			if found {
				n.arcs = append(n.arcs, best)
			}
		}
		after = begin + 1
	}
	n.addWaysBack()
	return n
}

// nodes is a network without arcs.
func nodes(need []int) *network {
	days := len(need)
	n := &network{supply: make([]int, days+1), dist: make([]price, days+1), via: make([]int, days+1), seen: make([]bool, days+1)}
	before := 0
	for d, units := range need {
		n.supply[d] = units - before
		before = units
	}
	n.supply[days] = -before
	return n
}

// addWaysBack adds those that cost nothing, the last first: so one round of nearest walks all of them.
func (n *network) addWaysBack() {
	for d := len(n.supply) - 1; d > 0; d-- {
		n.arcs = append(n.arcs, arc{from: d, to: d - 1, last: -1})
	}
}

// fill sends all supplies to where they are wanted; it reports whether that is possible.
func (n *network) fill() bool {
	for from := range n.supply {
		for n.supply[from] > 0 {
			to := n.nearest(from)
			if to < 0 {
				return false
			}
			n.send(from, to)
		}
	}
	return true
}

// nearest finds the cheapest ways from a node in what is left of the network, by Bellman and Ford's method, and returns the nearest node
// that wants units; -1 where none is reached. There is no circle that costs less than nothing: a span costs at least nothing, the way back
// nothing, and what shortest paths have built has none.
func (n *network) nearest(from int) int {
	for i := range n.seen {
		n.seen[i] = false
	}
	n.seen[from], n.dist[from] = true, price{}
	for changed := true; changed; {
		changed = false
		for i := range n.arcs {
			a := &n.arcs[i]
			if n.seen[a.from] {
				if d := n.dist[a.from].plus(a.cost); !n.seen[a.to] || d.less(n.dist[a.to]) {
					n.seen[a.to], n.dist[a.to], n.via[a.to], changed = true, d, i, true
				}
			}
			if a.flow > 0 && n.seen[a.to] {
				if d := n.dist[a.to].minus(a.cost); !n.seen[a.from] || d.less(n.dist[a.from]) {
					n.seen[a.from], n.dist[a.from], n.via[a.from], changed = true, d, ^i, true
				}
			}
		}
	}
	best := -1
	for d, s := range n.supply {
		if s < 0 && n.seen[d] && (best < 0 || n.dist[d].less(n.dist[best])) {
			best = d
		}
	}
	return best
}

// send moves as many units as fit along the way that nearest found.
func (n *network) send(from, to int) {
	units := min(n.supply[from], -n.supply[to])
	for at := to; at != from; {
		if i := n.via[at]; i >= 0 {
			at = n.arcs[i].from
		} else {
			a := &n.arcs[^i]
			units, at = min(units, a.flow), a.to
		}
	}
	for at := to; at != from; {
		if i := n.via[at]; i >= 0 {
			n.arcs[i].flow += units
			at = n.arcs[i].from
		} else {
			a := &n.arcs[^i]
			a.flow -= units
			at = a.to
		}
	}
	n.supply[from] -= units
	n.supply[to] += units
}

// daily shares out what a need costs among its days so that no span costs less than its days: the best solution of the dual, the
// distances of the days in what is left of the network. For other needs it adds up to no more than they cost.
func (c Charges) daily(need []int) []float64 {
	out := make([]float64, len(need))
	n := newNetwork(c, need)
	n.fill() // what cannot be filled is not reached below
	n.nearest(0)
	for d := range need {
		if n.seen[d] && n.seen[d+1] {
			out[d] = float64(n.dist[d+1].minor - n.dist[d].minor)
		}
	}
	return out
}
