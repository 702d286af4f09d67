package sharedkit

// part is the part of the problem that a node of the search stands for: between which levels each resource is, and which options a shot
// still has.
type part struct {
	low, high []int
	open      [][]bool
	bound     float64 // what the relaxation said of it, 0 where it was not asked
}

func (q *part) clone() part {
	n := len(q.low)
	levels := make([]int, 2*n)
	copy(levels, q.low)
	copy(levels[n:], q.high)
	options := 0
	for _, open := range q.open {
		options += len(open)
	}
	out, all := part{levels[:n:n], levels[n:], make([][]bool, len(q.open)), q.bound}, make([]bool, 0, options)
	for s, open := range q.open {
		from := len(all)
		all = append(all, open...)
		out.open[s] = all[from:len(all):len(all)]
	}
	return out
}

// view is what is left to decide of a part: resources between two levels, and shots that no open option serves for nothing. Its slices lie
// one behind the other and are used again, because the ascent walks them some hundred times for each part.
type view struct {
	base      float64 // what the lows cost
	resources []int
	sums      []int // that may come to more than the low

	shots []viewShot
	// Of each row: its multiplier's place, the cell of its resource and level, and the first row of the same shot and resource.
	ids, cells, groups []int
	options            []viewOption
	asks               []int // of the options, the row of the highest level of each resource
	in                 []Use // of the options, places in sums
}

// viewShot and viewOption are from where to where a shot's rows and options lie, and an option's asks and sums.
type viewShot struct {
	shot                                 int
	rowFrom, rowTo, optionFrom, optionTo int
}

type viewOption struct {
	option                       int
	askFrom, askTo, inFrom, inTo int
}

// look makes the view of a part, and sets what is decided of picks and levels.
func (x *relaxation) look(q *part) {
	v, m := &x.view, x.m
	*v = view{0, v.resources[:0], v.sums[:0], v.shots[:0], v.ids[:0], v.cells[:0], v.groups[:0], v.options[:0], v.asks[:0], v.in[:0]}
	for r := range m.resources {
		v.base += m.resources[r].cost(q.low[r])
		if q.low[r] < q.high[r] {
			v.resources = append(v.resources, r)
		}
		x.level[r] = q.low[r]
		x.scan[m.cells[r]+q.low[r]] = 0
	}
	for k := range m.sums {
		su := &m.sums[k]
		most := 0
		for j, i := range su.shots {
			n := 0
			for _, u := range su.takers[j] {
				if u.N > n && q.open[i][u.Of] {
					n = u.N
				}
			}
			most += n
		}
		if x.live[k] = -1; most > m.resources[su.resource].values[q.low[su.resource]] {
			x.live[k] = len(v.sums)
			v.sums = append(v.sums, k)
		}
	}
	for s := range m.shots {
		x.lookAt(q, s)
	}
}

// lookAt adds a shot to the view: its open options but those that ask at least as much as another, and its rows between two levels.
func (x *relaxation) lookAt(q *part, s int) {
	v, ms := &x.view, &x.m.shots[s]
	w := viewShot{shot: s, rowFrom: len(v.ids), optionFrom: len(v.options)}
	x.pick[s], x.pays[s] = -1, false
	for j, t := range ms.rows {
		x.place[j] = -1
		if t.level > q.low[t.resource] && t.level <= q.high[t.resource] {
			k := len(v.ids)
			x.place[j] = k
			group := k
			if k > w.rowFrom && x.place[j-1] >= 0 && ms.rows[j-1].resource == t.resource {
				group = v.groups[k-1]
			}
			v.ids, v.cells, v.groups = append(v.ids, ms.id+j), append(v.cells, x.m.cells[t.resource]+t.level), append(v.groups, group)
		}
	}
	for o, asks := range ms.asks {
		if !q.open[s][o] {
			continue
		}
		opt := viewOption{option: o, askFrom: len(v.asks), inFrom: len(v.in)}
		for _, j := range asks {
			if k := x.place[j]; k >= 0 {
				v.asks = append(v.asks, k)
			}
		}
		for _, u := range ms.in[o] {
			if k := x.live[u.Of]; k >= 0 {
				v.in = append(v.in, Use{k, u.N})
			}
		}
		opt.askTo, opt.inTo = len(v.asks), len(v.in)
		v.options = append(v.options, opt)
	}
	if len(v.options) == w.optionFrom {
		v.cut(&w)
		return
	}
	kept := v.options[w.optionFrom:w.optionFrom]
	x.best = append(x.best[:0], v.options[w.optionFrom:]...)
	for a := range x.best {
		if !v.worse(x.best, a) {
			kept = append(kept, x.best[a])
		}
	}
	v.options = v.options[:w.optionFrom+len(kept)]
	x.pick[s] = kept[0].option
	if kept[0].askFrom == kept[0].askTo && kept[0].inFrom == kept[0].inTo {
		v.cut(&w) // served for nothing
		return
	}
	w.rowTo, w.optionTo = len(v.ids), len(v.options)
	v.shots, x.pays[s] = append(v.shots, w), true
}

// cut takes a shot's rows and options back.
func (v *view) cut(w *viewShot) {
	v.ids, v.cells, v.groups, v.options = v.ids[:w.rowFrom], v.cells[:w.rowFrom], v.groups[:w.rowFrom], v.options[:w.optionFrom]
}

// worse reports whether an option asks at least as much as another; of equal ones all but the first.
func (v *view) worse(options []viewOption, a int) bool {
	for b := range options {
		if a != b && v.covers(&options[a], &options[b]) && (b < a || !v.covers(&options[b], &options[a])) {
			return true
		}
	}
	return false
}

// covers reports whether one option asks at least as much as another of each resource and sum.
func (v *view) covers(more, less *viewOption) bool {
	k := more.askFrom
	for _, j := range v.asks[less.askFrom:less.askTo] {
		for k < more.askTo && v.asks[k] < v.groups[j] {
			k++
		}
		if k == more.askTo || v.groups[v.asks[k]] != v.groups[j] || v.asks[k] < j {
			return false
		}
	}
	k = more.inFrom
	for _, u := range v.in[less.inFrom:less.inTo] {
		for k < more.inTo && v.in[k].Of < u.Of {
			k++
		}
		if k == more.inTo || v.in[k].Of != u.Of || v.in[k].N < u.N {
			return false
		}
	}
	return true
}
