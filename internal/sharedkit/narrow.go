package sharedkit

import "math"

// narrower closes what a part cannot have: options that ask more than a resource's high, by themselves or with what others add at least,
// and levels below what every option of a shot asks. It looks again only at shots and sums that a change may concern.
type narrower struct {
	m *model

	only       int     // the resource whose sums alone are looked at, -1 for all
	sumsOf     [][]int // of each resource
	shotsOf    [][]int // of each resource, the shots of which an option asks it
	sumsOfShot [][]int

	shots, sums         []int // to be looked at
	shotWaits, sumWaits []bool
	left                []int    // how many options of each shot are open
	common              []asking // of each resource, while one shot is looked at
	adds                []int    // of each shot of a sum, while it is looked at
}

// asking is by how many options a resource is asked, and for which level at least.
type asking struct{ options, least int }

func newNarrower(m *model) *narrower {
	n := &narrower{m: m, only: -1, sumsOf: make([][]int, len(m.resources)), shotsOf: make([][]int, len(m.resources)), sumsOfShot: make([][]int, len(m.shots)),
		shotWaits: make([]bool, len(m.shots)), sumWaits: make([]bool, len(m.sums)), left: make([]int, len(m.shots)),
		common: make([]asking, len(m.resources)), adds: make([]int, len(m.shots))}
	for s := range m.shots {
		for j, w := range m.shots[s].rows {
			if m.shots[s].first[j] == j {
				n.shotsOf[w.resource] = append(n.shotsOf[w.resource], s)
			}
		}
	}
	for k := range m.sums {
		n.sumsOf[m.sums[k].resource] = append(n.sumsOf[m.sums[k].resource], k)
		for _, s := range m.sums[k].shots {
			n.sumsOfShot[s] = append(n.sumsOfShot[s], k)
		}
	}
	return n
}

// all says that everything is to be looked at.
func (n *narrower) all() {
	for s := range n.m.shots {
		n.shot(s)
	}
	for k := range n.m.sums {
		n.sum(k)
	}
}

// resource says that a resource's high has fallen, and options that a shot's options have become fewer.
func (n *narrower) resource(r int) {
	for _, s := range n.shotsOf[r] {
		n.shot(s)
	}
	for _, k := range n.sumsOf[r] {
		n.sum(k)
	}
}

func (n *narrower) options(s int) {
	n.shot(s)
	for _, k := range n.sumsOfShot[s] {
		n.sum(k)
	}
}

func (n *narrower) shot(s int) {
	if !n.shotWaits[s] {
		n.shotWaits[s], n.shots = true, append(n.shots, s)
	}
}

func (n *narrower) sum(k int) {
	if !n.sumWaits[k] && (n.only < 0 || n.m.sums[k].resource == n.only) {
		n.sumWaits[k], n.sums = true, append(n.sums, k)
	}
}

// narrow narrows a part by what is to be looked at, and reports whether anything is left of it.
func (n *narrower) narrow(q *part) bool {
	ok := true
	for ok && len(n.shots)+len(n.sums) > 0 {
		if last := len(n.shots) - 1; last >= 0 {
			s := n.shots[last]
			n.shots, n.shotWaits[s] = n.shots[:last], false
			ok = n.lookAtShot(q, s)
			continue
		}
		last := len(n.sums) - 1
		k := n.sums[last]
		n.sums, n.sumWaits[k] = n.sums[:last], false
		ok = n.lookAtSum(q, k)
	}
	for _, s := range n.shots {
		n.shotWaits[s] = false
	}
	for _, k := range n.sums {
		n.sumWaits[k] = false
	}
	n.shots, n.sums = n.shots[:0], n.sums[:0]
	return ok
}

// lookAtShot closes options of one shot and raises what all that are left ask.
func (n *narrower) lookAtShot(q *part, s int) bool {
	ms := &n.m.shots[s]
	if len(ms.asks) == 0 {
		return true
	}
	left, changed := 0, false
	for o, asks := range ms.asks {
		if !q.open[s][o] {
			continue
		}
		for _, j := range asks {
			if w := &ms.rows[j]; w.level > q.high[w.resource] {
				q.open[s][o], changed = false, true
				break
			}
		}
		if q.open[s][o] {
			left++
		}
	}
	if changed {
		for _, k := range n.sumsOfShot[s] {
			n.sum(k)
		}
	}
	if left == 0 {
		return false
	}
	for o, asks := range ms.asks {
		if q.open[s][o] {
			for _, j := range asks {
				w := &ms.rows[j]
				if t := &n.common[w.resource]; t.options == 0 {
					*t = asking{1, w.level}
				} else {
					*t = asking{t.options + 1, min(t.least, w.level)}
				}
			}
		}
	}
	for _, w := range ms.rows {
		if t := &n.common[w.resource]; t.options > 0 {
			if t.options == left && t.least > q.low[w.resource] {
				q.low[w.resource] = t.least
			}
			t.options = 0
		}
	}
	return true
}

// lookAtSum raises a resource to what the shots of a sum take at least together, and closes options with which they take too much.
func (n *narrower) lookAtSum(q *part, k int) bool {
	su := &n.m.sums[k]
	res := &n.m.resources[su.resource]
	total := 0
	for j, s := range su.shots {
		n.left[s] = count(q.open[s])
		n.adds[j] = 0
		open, least := 0, math.MaxInt
		for _, u := range su.takers[j] {
			if q.open[s][u.Of] {
				open, least = open+1, min(least, u.N)
			}
		}
		if open == n.left[s] && open > 0 {
			n.adds[j] = least
		}
		total += n.adds[j]
	}
	if l := res.level(total); l > q.low[su.resource] {
		q.low[su.resource] = l
	}
	if q.low[su.resource] > q.high[su.resource] {
		return false
	}
	room := res.values[q.high[su.resource]] - total
	for j, s := range su.shots {
		closed := false
		for _, u := range su.takers[j] {
			if u.N > n.adds[j]+room && q.open[s][u.Of] {
				q.open[s][u.Of], closed = false, true
				n.left[s]--
			}
		}
		if n.left[s] == 0 {
			return false
		}
		if closed {
			n.options(s)
		}
	}
	return true
}

// count is how many are open.
func count(open []bool) int {
	n := 0
	for _, is := range open {
		if is {
			n++
		}
	}
	return n
}
