package oracle

import "math"

// pivot makes the other variable of column j basic in place of that of row i.
func (d *dictionary) pivot(i, j int) {
	row := d.rows[i]
	by := -1 / row[j]
	for k := range row {
		row[k] *= by
	}
	row[j] = -by
	d.taking = d.taking[:0]
	for k, v := range row {
		if v != 0 {
			d.taking = append(d.taking, k)
		}
	}
	for k, r := range d.rows {
		if k != i {
			d.substitute(r, row, j)
		}
	}
	d.substitute(d.goal, row, j)
	d.substitute(d.ready, row, j)
	d.basic[i], d.other[j] = d.other[j], d.basic[i]
}

// substitute puts the row of the variable of column j in its place.
func (d *dictionary) substitute(r, row []float64, j int) {
	c := r[j]
	if c == 0 {
		return
	}
	r[j] = 0
	for _, k := range d.taking {
		r[k] += c * row[k]
	}
}

// drop removes column j, whose variable is 0 for good.
func (d *dictionary) drop(j int) {
	last := len(d.other) - 1
	cut := func(r []float64) []float64 {
		r[j] = r[last]
		r[last] = r[last+1]
		return r[:last+1]
	}
	for i, r := range d.rows {
		d.rows[i] = cut(r)
	}
	d.goal, d.ready = cut(d.goal), cut(d.ready)
	d.other[j] = d.other[last]
	d.other = d.other[:last]
}

func (d *dictionary) dropRow(i int) {
	last := len(d.rows) - 1
	d.rows[i], d.basic[i] = d.rows[last], d.basic[last]
	d.rows, d.basic = d.rows[:last], d.basic[:last]
}

// settle makes the first conditions zero for good, each against the largest coefficient there is, in free variables first.
// It reports whether that can be.
func (d *dictionary) settle(conditions int) bool {
	first := d.basic[0:conditions]
	open := make([]bool, len(d.bounds)) // by variable
	for _, v := range first {
		open[v] = true
	}
	for range conditions {
		bi, bj, most := -1, -1, noPivot
		for _, kind := range [...]bound{free, positive} {
			for i, v := range d.basic {
				if !open[v] {
					continue
				}
				for j, o := range d.other {
					if c := math.Abs(d.rows[i][j]); d.bounds[o] == kind && c > most {
						bi, bj, most = i, j, c
					}
				}
			}
			if bi >= 0 {
				break
			}
		}
		if bi < 0 {
			break
		}
		open[d.basic[bi]] = false
		d.pivot(bi, bj)
		d.drop(bj)
	}
	for i := len(d.basic) - 1; i >= 0; i-- {
		if open[d.basic[i]] {
			if math.Abs(d.rows[i][len(d.other)]) > noBreach {
				return false
			}
			d.dropRow(i) // it follows from the others
		}
	}
	return true
}

// free makes every free variable basic, and reports whether one that matters to the goal is in no condition.
func (d *dictionary) free() (loose bool) {
	for j := len(d.other) - 1; j >= 0; j-- {
		if d.bounds[d.other[j]] != free {
			continue
		}
		best, most := -1, noPivot
		for i, r := range d.rows {
			if c := math.Abs(r[j]); d.bounds[d.basic[i]] == positive && c > most {
				best, most = i, c
			}
		}
		if best >= 0 {
			d.pivot(best, j)
			continue
		}
		loose = loose || math.Abs(d.goal[j]) > noGain
		d.drop(j)
	}
	return loose
}

// start finds a dictionary in which no variable is less than its bound allows, by one more variable that is added to every condition
// and then made as small as may be. It reports whether there is one.
func (d *dictionary) start() bool {
	worst, least := -1, -noBreach
	last := len(d.other)
	for i, r := range d.rows {
		if d.bounds[d.basic[i]] == positive && r[last] < least {
			worst, least = i, r[last]
		}
	}
	if worst < 0 {
		return true
	}
	added := len(d.bounds)
	d.bounds = append(d.bounds, positive)
	d.other = append(d.other, added)
	widen := func(r []float64, c float64) []float64 {
		r = append(r, r[last])
		r[last] = c
		return r
	}
	for i, r := range d.rows {
		c := 0.0
		if d.bounds[d.basic[i]] == positive {
			c = 1
		}
		d.rows[i] = widen(r, c)
	}
	d.goal, d.ready = widen(d.goal, 0), widen(d.ready, -1)
	d.pivot(worst, last)
	d.climb(d.ready)
	for i, v := range d.basic {
		if v != added {
			continue
		}
		if d.rows[i][len(d.other)] > noBreach {
			return false
		}
		best, most := -1, 0.0
		for j, c := range d.rows[i][:len(d.other)] {
			if d.bounds[d.other[j]] != still && math.Abs(c) > most {
				best, most = j, math.Abs(c)
			}
		}
		if best < 0 {
			d.dropRow(i)
			return true
		}
		d.pivot(i, best)
		break
	}
	for j, v := range d.other {
		if v == added {
			d.drop(j)
			break
		}
	}
	return true
}

// climb makes a goal, which is a row of the dictionary, as large as may be. It reports false where there is no end to it.
func (d *dictionary) climb(goal []float64) bool {
	last := len(d.other)
	before, stalled := math.Inf(-1), 0
	for {
		if goal[last] > before+1e-12 {
			before, stalled = goal[last], 0
		} else {
			stalled++
		}
		j := d.enters(goal, stalled > stalledBy)
		if j < 0 {
			return true
		}
		i := d.leaves(j, stalled > stalledBy)
		if i < 0 {
			return false
		}
		d.pivot(i, j)
	}
}

func (d *dictionary) enters(goal []float64, first bool) int {
	best := -1
	for j, v := range d.other {
		if d.bounds[v] == still || goal[j] <= noGain {
			continue
		}
		if best < 0 || first && v < d.other[best] || !first && goal[j] > goal[best] {
			best = j
		}
	}
	return best
}

func (d *dictionary) leaves(j int, first bool) int {
	best, least := -1, math.Inf(1)
	last := len(d.other)
	for i, r := range d.rows {
		if d.bounds[d.basic[i]] != positive || r[j] >= -noPivot {
			continue
		}
		step := math.Max(0, r[last]) / -r[j]
		switch {
		case best < 0 || step < least-1e-12:
		case step > least+1e-12:
			continue
		case first && d.basic[i] >= d.basic[best]:
			continue
		case !first && r[j] >= d.rows[best][j]:
			continue
		}
		best, least = i, math.Min(step, least)
	}
	return best
}
