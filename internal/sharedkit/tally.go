package sharedkit

// tally is what a choice costs in the model, kept up while one shot after the other changes its option.
type tally struct {
	m      *model
	choice []int
	askers []int   // of each cell, how many shots ask that level
	units  []int   // of each sum
	need   []int   // of each resource, units
	sums   [][]int // of each resource
}

func newTally(m *model) *tally {
	t := &tally{m: m, choice: make([]int, len(m.shots)), units: make([]int, len(m.sums)), need: make([]int, len(m.resources)), sums: make([][]int, len(m.resources))}
	for i := range t.choice {
		t.choice[i] = -1
	}
	cells := 0
	for r := range m.resources {
		cells += len(m.resources[r].values)
	}
	t.askers = make([]int, cells)
	for k := range m.sums {
		r := m.sums[k].resource
		t.sums[r] = append(t.sums[r], k)
	}
	return t
}

// be takes a choice over.
func (t *tally) be(choice []int) {
	for i, o := range choice {
		t.set(i, o)
	}
}

// set changes the option of a shot, -1 for none.
func (t *tally) set(shot, option int) {
	if was := t.choice[shot]; was != option {
		t.add(shot, was, -1)
		t.add(shot, option, 1)
		t.choice[shot] = option
		t.renew(shot, was)
		t.renew(shot, option)
	}
}

// add counts an option in or out.
func (t *tally) add(shot, option, by int) {
	if option < 0 {
		return
	}
	ms := &t.m.shots[shot]
	for _, j := range ms.asks[option] {
		w := &ms.rows[j]
		t.askers[t.m.cells[w.resource]+w.level] += by
	}
	for _, u := range ms.in[option] {
		t.units[u.Of] += by * u.N
	}
}

// renew works out anew what is needed of the resources of an option.
func (t *tally) renew(shot, option int) {
	if option < 0 {
		return
	}
	ms := &t.m.shots[shot]
	for _, j := range ms.asks[option] {
		r := ms.rows[j].resource
		values, askers := t.m.resources[r].values, t.askers[t.m.cells[r]:]
		l := len(values) - 1
		for l > 0 && askers[l] == 0 {
			l--
		}
		n := values[l]
		for _, k := range t.sums[r] {
			n = max(n, t.units[k])
		}
		t.need[r] = n
	}
}

// cost is what the choice costs in the model: at most what it does.
func (t *tally) cost() float64 {
	total := 0.0
	for r, n := range t.need {
		if n > 0 {
			total += t.m.resources[r].each * float64(n)
		}
	}
	return total
}
