package sharedkit

import (
	"math"
)

// relaxation is the Lagrangian relaxation of a model: every row and sum has a multiplier of at least 0, by which shots pay for what they
// ask and resources are paid for what they offer. For any multipliers
//
//	Σ over shots of the cheapest option  +  Σ over resources of the level that costs least, less what is paid for it
//
// is at most the cost of every choice (Geoffrion 1974; from memory). Subgradient steps raise it.
type relaxation struct {
	m    *model
	view view
	now  []float64 // the multipliers: those of all rows, then those of the sums

	// What the last step found: the cheapest option of each shot, the level of each resource and, of each cell, what the resource costs
	// up to that level less what is paid, against the low.
	pick  []int
	level []int
	scan  []float64
	// costs is what every open option of each shot costs, after an ascent.
	costs [][]float64
	// mean is in what share of the last steps each cell's level was there; it weighs later steps more.
	mean []float64

	// Of the rows of the view, then of its sums: multipliers, the best of them, the last direction, and this step's.
	at, keep, dir, step []float64
	prefix              []float64
	paid, there         []float64 // of each cell: what is paid for the level, and whether it is there
	live                []int     // of each sum, its place in the view or -1
	pays                []bool    // of each shot, whether it is in the view: one that is served for nothing has no multipliers
	place               []int     // of a shot's rows, the place in the view or -1
	best                []viewOption
}

func newRelaxation(m *model) *relaxation {
	x := &relaxation{m: m, now: make([]float64, m.rows+len(m.sums)), pick: make([]int, len(m.shots)), level: make([]int, len(m.resources)), live: make([]int, len(m.sums)), pays: make([]bool, len(m.shots))}
	most := 0
	for s := range m.shots {
		most = max(most, len(m.shots[s].rows))
		x.costs = append(x.costs, make([]float64, len(m.shots[s].asks)))
	}
	x.place = make([]int, most)
	cells := 0
	for r := range m.resources {
		cells += len(m.resources[r].values)
	}
	x.paid, x.mean, x.scan, x.there = make([]float64, cells), make([]float64, cells), make([]float64, cells), make([]float64, cells)
	n := len(x.now)
	x.at, x.keep, x.dir, x.step, x.prefix = make([]float64, n), make([]float64, n), make([]float64, n), make([]float64, n), make([]float64, n)
	x.share()
	return x
}

// share begins with what each level costs, shared out evenly among the shots that ask it or more.
func (x *relaxation) share() {
	askers := make([][]float64, len(x.m.resources)) // of each level, the shots that ask it or more
	for r := range x.m.resources {
		askers[r] = make([]float64, len(x.m.resources[r].values)+1)
	}
	for s := range x.m.shots {
		for _, w := range x.m.shots[s].rows {
			askers[w.resource][w.level]++
		}
	}
	for _, list := range askers {
		for l := len(list) - 2; l >= 0; l-- {
			list[l] += list[l+1]
		}
	}
	for s := range x.m.shots {
		ms := &x.m.shots[s]
		last := row{resource: -1}
		for j, w := range ms.rows {
			if last.resource != w.resource {
				last = row{w.resource, 0}
			}
			res := &x.m.resources[w.resource]
			for l := last.level + 1; l <= w.level; l++ {
				x.now[ms.id+j] += (res.cost(l) - res.cost(l-1)) / askers[w.resource][l]
			}
			last = w
		}
	}
}

// value is the bound at the multipliers of the view.
func (x *relaxation) value(q *part) float64 {
	v, rows := &x.view, len(x.view.ids)
	total := v.base
	for _, r := range v.resources {
		from := x.m.cells[r]
		clear(x.paid[from+q.low[r] : from+q.high[r]+1])
	}
	for i, k := range v.sums {
		mu, r := x.at[rows+i], x.m.sums[k].resource
		if mu == 0 {
			continue
		}
		values, paid := x.m.resources[r].values, x.paid[x.m.cells[r]:]
		for l := q.low[r] + 1; l <= q.high[r]; l++ {
			paid[l] += mu * float64(values[l]-values[l-1])
		}
		total -= mu * float64(values[q.low[r]])
	}
	at, prefix := x.at[:rows], x.prefix[:rows]
	for k, y := range at {
		x.paid[v.cells[k]] += y
		if v.groups[k] != k {
			y += prefix[k-1]
		}
		prefix[k] = y
	}
	for i := range v.shots {
		w := &v.shots[i]
		best, pick := math.Inf(1), w.optionFrom
		for a := w.optionFrom; a < w.optionTo; a++ {
			o := &v.options[a]
			c := 0.0
			for _, k := range v.asks[o.askFrom:o.askTo] {
				c += prefix[k]
			}
			for _, u := range v.in[o.inFrom:o.inTo] {
				c += x.at[rows+u.Of] * float64(u.N)
			}
			if c < best {
				best, pick = c, a
			}
		}
		x.pick[w.shot] = pick // the option's place until the ascent has ended
		total += best
	}
	for _, r := range v.resources {
		res, from := &x.m.resources[r], x.m.cells[r]
		run, least, at := 0.0, 0.0, q.low[r]
		for l := q.low[r] + 1; l <= q.high[r]; l++ {
			run += res.each*float64(res.values[l]-res.values[l-1]) - x.paid[from+l]
			x.scan[from+l] = run
			if run < least {
				least, at = run, l
			}
		}
		x.level[r] = at
		total += least
	}
	return total
}

// Of the ascent; common practice, no source, and tried on jobs of the kind that the benchmark makes.
const (
	heavy   = 0.95 // share of the last direction in the next
	fade    = 0.1  // weight of the last step in the means of levels
	patient = 20   // steps without gain after which the next are half as long
	finest  = 1e-3 // share of the gap at which steps are too short
)

// ascend takes steps that raise the bound until it reaches what is asked or steps are used up; it returns the best bound, at whose
// multipliers the relaxation is left. seen is called with each step's picks.
func (x *relaxation) ascend(q *part, goal float64, steps int, theta float64, seen func()) float64 {
	x.look(q)
	v, rows := &x.view, len(x.view.ids)
	n := rows + len(v.sums)
	for k, id := range v.ids {
		x.at[k] = x.now[id]
	}
	for i, k := range v.sums {
		x.at[rows+i] = x.now[x.m.rows+k]
	}
	clear(x.dir[:n])
	best, stale := math.Inf(-1), 0
	for turn := 0; ; turn++ {
		bound := x.value(q)
		if seen != nil {
			x.settle()
			seen()
			x.unsettle()
		}
		x.average(q)
		if bound > best {
			best, stale = bound, 0
			copy(x.keep[:n], x.at[:n])
		} else if stale++; stale > patient {
			theta, stale = theta/2, 0
			copy(x.at[:n], x.keep[:n])
			clear(x.dir[:n])
			x.value(q)
		}
		if best >= goal || turn >= steps || theta < finest {
			break
		}
		if !x.move(theta * (goal - bound)) {
			break // every row is kept with equality: nothing to gain
		}
	}
	copy(x.at[:n], x.keep[:n])
	for k, id := range v.ids {
		x.now[id] = x.keep[k]
	}
	for i, k := range v.sums {
		x.now[x.m.rows+k] = x.keep[rows+i]
	}
	x.value(q)
	x.settle()
	x.price(q)
	return best
}

// settle turns picks from places in the view into options, and unsettle back.
func (x *relaxation) settle() {
	for i := range x.view.shots {
		s := x.view.shots[i].shot
		x.pick[s] = x.view.options[x.pick[s]].option
	}
}

func (x *relaxation) unsettle() {
	for i := range x.view.shots {
		w := &x.view.shots[i]
		for a := w.optionFrom; a < w.optionTo; a++ {
			if x.view.options[a].option == x.pick[w.shot] {
				x.pick[w.shot] = a
				break
			}
		}
	}
}

// average adds the levels of a step to their means, and marks which are there.
func (x *relaxation) average(q *part) {
	for _, r := range x.view.resources {
		from := x.m.cells[r]
		for l := q.low[r] + 1; l <= q.high[r]; l++ {
			on := 0.0
			if l <= x.level[r] {
				on = 1
			}
			x.there[from+l] = on
			x.mean[from+l] += fade * (on - x.mean[from+l])
		}
	}
}

// move moves the multipliers along the direction of ascent by as much as would gain so much were the bound linear. It reports whether
// there is a direction.
func (x *relaxation) move(gain float64) bool {
	v, rows := &x.view, len(x.view.ids)
	g := x.step[:rows+len(v.sums)]
	for k, cell := range v.cells {
		g[k] = -x.there[cell]
	}
	for i, k := range v.sums {
		r := x.m.sums[k].resource
		g[rows+i] = -float64(x.m.resources[r].values[x.level[r]])
	}
	for i := range v.shots {
		o := &v.options[x.pick[v.shots[i].shot]]
		for _, k := range v.asks[o.askFrom:o.askTo] {
			for j := v.groups[k]; j <= k; j++ {
				g[j]++
			}
		}
		for _, u := range v.in[o.inFrom:o.inTo] {
			g[rows+u.Of] += float64(u.N)
		}
	}
	norm := 0.0
	dir, at := x.dir[:len(g)], x.at[:len(g)]
	for k, d := range g {
		d = upAtZero(d+heavy*dir[k], at[k])
		dir[k] = d
		norm += d * d
	}
	if norm < 1e-18 {
		return false
	}
	t := gain / norm
	for k, d := range dir {
		at[k] = atLeastZero(at[k] + t*d)
	}
	return true
}

// atLeastZero is max(y, 0), and upAtZero is d but 0 where it leads down from 0; at is at least 0. They are without branches, which would
// be guessed wrong half of the time: most of a step's time otherwise.
func atLeastZero(y float64) float64 {
	bits := math.Float64bits(y)
	return math.Float64frombits(bits &^ uint64(int64(bits)>>63))
}

func upAtZero(d, at float64) float64 {
	bits, zero := math.Float64bits(d), (math.Float64bits(at)-1)>>63 // 1 where at is 0
	return math.Float64frombits(bits &^ (uint64(int64(bits)>>63) & -zero))
}

// price works out what every open option costs at the present multipliers, those too that ask at least as much as another.
func (x *relaxation) price(q *part) {
	for s := range x.m.shots {
		ms := &x.m.shots[s]
		by, run := x.now[ms.id:], 0.0
		for j := range ms.rows {
			w := &ms.rows[j]
			if ms.first[j] == j {
				run = 0
			}
			if x.pays[s] && w.level > q.low[w.resource] {
				run += by[j]
			}
			x.prefix[j] = run
		}
		for o, asks := range ms.asks {
			if !q.open[s][o] {
				continue
			}
			c := 0.0
			for _, j := range asks {
				c += x.prefix[j]
			}
			for _, u := range ms.in[o] {
				if x.live[u.Of] >= 0 {
					c += x.now[x.m.rows+u.Of] * float64(u.N)
				}
			}
			x.costs[s][o] = c
		}
	}
}
