package oracle

import "math"

// bound is what values a variable of a program may take.
type bound int

const (
	free bound = iota
	positive
	// still is 0 and stays so: what the optimum would gain by moving it is asked for instead.
	still
)

// term is a multiple of a variable.
type term struct {
	variable int
	by       float64
}

// sum is a linear expression.
type sum struct {
	constant float64
	terms    []term
}

func fixed(x float64) sum { return sum{constant: x} }

// plus returns s + by·o.
func (s sum) plus(o sum, by float64) sum {
	r := sum{s.constant + by*o.constant, make([]term, len(s.terms), len(s.terms)+len(o.terms))}
	copy(r.terms, s.terms)
	for _, t := range o.terms {
		r.terms = append(r.terms, term{t.variable, by * t.by})
	}
	return r
}

// times returns by·s.
func (s sum) times(by float64) sum { return sum{}.plus(s, by) }

// at is the value of s where the variables are x.
func (s sum) at(x []float64) float64 {
	v := s.constant
	for _, t := range s.terms {
		v += t.by * x[t.variable]
	}
	return v
}

// program is a linear program: expressions that are to be 0, and such that are to be 0 or more.
type program struct {
	bounds    []bound
	zero, not []sum // not: not negative
}

func (p *program) variable(b bound) sum {
	p.bounds = append(p.bounds, b)
	return sum{terms: []term{{len(p.bounds) - 1, 1}}}
}

func (p *program) equal(a, b sum)   { p.zero = append(p.zero, a.plus(b, -1)) }
func (p *program) atLeast(a, b sum) { p.not = append(p.not, a.plus(b, -1)) }

// verdict is how a program ends.
type verdict int

const (
	optimal verdict = iota
	infeasible
	unbounded
)

// optimum is the answer to a program.
type optimum struct {
	verdict verdict
	value   float64
	x       []float64 // of each variable
	gain    []float64 // of the value by each variable that is still
}

// maximize solves the program by the two-phase simplex method, in dense dictionaries (V. Chvátal, Linear Programming, 1983, ch. 2,
// 3 and 8).
func (p *program) maximize(goal sum) optimum {
	d := newDictionary(p, goal)
	if !d.settle(len(p.zero)) {
		return optimum{verdict: infeasible}
	}
	loose := d.free()
	if !d.start() {
		return optimum{verdict: infeasible}
	}
	if loose || !d.climb(d.goal) {
		return optimum{verdict: unbounded}
	}
	return d.read(len(p.bounds))
}

// Numbers in a dictionary are of the size of 1; what is below these counts as 0.
const (
	noPivot   = 1e-9
	noGain    = 1e-9
	noBreach  = 1e-9
	stalledBy = 60 // steps without gain after which the first and not the best column enters (R. G. Bland's rule)
)

// dictionary says what the basic variables and the goal are in terms of the others, which are 0. Variables of the program come
// first, then one for each condition, last the one that starts it.
type dictionary struct {
	basic, other []int
	bounds       []bound
	rows         [][]float64 // by basic variable; a coefficient for each of the others, last the constant
	goal, ready  []float64
	scale        float64
	taking       []int // the columns in which the row that is put in has anything, while it is
}

func newDictionary(p *program, goal sum) *dictionary {
	n := len(p.bounds)
	d := &dictionary{bounds: append([]bound(nil), p.bounds...)}
	for j := range n {
		d.other = append(d.other, j)
	}
	conditions := append(append([]sum(nil), p.zero...), p.not...)
	for _, s := range conditions {
		d.scale = math.Max(d.scale, math.Abs(s.constant))
	}
	if d.scale == 0 {
		d.scale = 1
	}
	// Room for all rows in one piece, each with that for the variable that starts the program.
	width := n + 2
	room := make([]float64, (len(conditions)+2)*width)
	row := func(s sum) []float64 {
		r := room[: n+1 : width]
		room = room[width:]
		for _, t := range s.terms {
			r[t.variable] += t.by
		}
		r[n] = s.constant / d.scale
		return r
	}
	d.basic, d.rows = make([]int, 0, len(conditions)), make([][]float64, 0, len(conditions))
	for _, s := range conditions {
		row := row(s)
		most := 0.0
		for _, c := range row[:n] {
			if c = math.Abs(c); c > most {
				most = c
			}
		}
		if most > 0 {
			for j := range row {
				row[j] /= most
			}
		}
		d.basic = append(d.basic, len(d.bounds))
		d.bounds = append(d.bounds, positive)
		d.rows = append(d.rows, row)
	}
	d.goal, d.ready = row(goal), row(sum{})
	return d
}

func (d *dictionary) read(variables int) optimum {
	x := make([]float64, variables)
	gain := make([]float64, variables)
	last := len(d.other)
	for i, b := range d.basic {
		if b < variables {
			x[b] = d.rows[i][last] * d.scale
		}
	}
	for j, v := range d.other {
		if d.bounds[v] == still {
			gain[v] = d.goal[j]
		}
	}
	return optimum{value: d.goal[last] * d.scale, x: x, gain: gain}
}
