package oracle

import "math"

// Small linear programs by Seidel's incremental method ("Small-dimensional linear programming and convex hulls made
// easy", Discrete & Computational Geometry 6, 1991): constraints are added one by one; where one breaks the optimum
// so far, the new optimum lies on it, and a program of one variable less is solved on those before.

// Four unknowns: a frame's middle (east, north, up) and the slack that every condition is given.
const unknowns = 4

// maxRows is the most constraints in one program.
const maxRows = 64

// boxM bounds every unknown, metres; nothing on a set is further off.
const boxM = 200.0

// row is a constraint a·x <= b. Rows of fewer unknowns leave the rest of a alone.
type row struct {
	a [unknowns]float64
	b float64
}

// lpEps is how far a constraint may be broken by rounding, metres: far below the tolerances of the checks.
const lpEps = 1e-9

// program is a list of constraints.
type program struct {
	n    int
	rows [maxRows]row
}

func (p *program) add(r row) {
	if p.n == maxRows {
		panic("oracle: too many constraints in one program")
	}
	p.rows[p.n] = r
	p.n++
}

// maximise is the point that keeps all rows with the greatest obj·x; ok is false where none keeps them.
//
//go:norace
func (p *program) maximise(obj [unknowns]float64) (x [unknowns]float64, ok bool) {
	return solve(unknowns, p.rows[:p.n], obj)
}

// maximiseOn is the same with one more row, which is known to bind.
//
//go:norace
func (p *program) maximiseOn(tight row, obj [unknowns]float64) (x [unknowns]float64, ok bool) {
	return solveOn(unknowns, p.rows[:p.n], tight, obj)
}

// solve walks the rows; the numbers are private to the call, so that the race detector has nothing to find in it and
// is left out of this inmost loop of a slow search.
//
//go:norace
func solve(d int, rows []row, obj [unknowns]float64) (x [unknowns]float64, ok bool) {
	if d == 1 {
		return solveLine(rows, obj[0])
	}
	for i := range d {
		x[i] = math.Copysign(boxM, obj[i])
	}
	for i := range rows {
		r := &rows[i]
		sum := -r.b
		for k := range d {
			sum += r.a[k] * x[k]
		}
		if sum <= lpEps {
			continue
		}
		if x, ok = solveOn(d, rows[:i], *r, obj); !ok {
			return x, false
		}
	}
	return x, true
}

//go:norace
func solveLine(rows []row, obj float64) (x [unknowns]float64, ok bool) {
	lo, hi := -boxM, boxM
	for i := range rows {
		switch a, b := rows[i].a[0], rows[i].b; {
		case a > 1e-12:
			hi = math.Min(hi, b/a)
		case a < -1e-12:
			lo = math.Max(lo, b/a)
		case b < -lpEps:
			return x, false
		}
	}
	if lo > hi+lpEps {
		return x, false
	}
	x[0] = lo
	if obj > 0 {
		x[0] = hi
	}
	return x, true
}

// solveOn puts the unknown with the greatest coefficient in the tight row in terms of the others, and solves for those.
//
//go:norace
func solveOn(d int, rows []row, tight row, obj [unknowns]float64) (x [unknowns]float64, ok bool) {
	l := 0
	for k := 1; k < d; k++ {
		if math.Abs(tight.a[k]) > math.Abs(tight.a[l]) {
			l = k
		}
	}
	if math.Abs(tight.a[l]) < 1e-12 {
		return x, tight.b >= -lpEps
	}
	// x[l] = base + Σ share[k]·x[k]
	var share [unknowns]float64
	base := tight.b / tight.a[l]
	for k := range d {
		share[k] = -tight.a[k] / tight.a[l]
	}
	var small [maxRows + 2*unknowns]row
	n := 0
	put := func(a [unknowns]float64, b float64) {
		r := &small[n]
		j := 0
		for k := range d {
			if k == l {
				continue
			}
			r.a[j] = a[k] + a[l]*share[k]
			j++
		}
		r.b = b - a[l]*base
		n++
	}
	for i := range rows {
		put(rows[i].a, rows[i].b)
	}
	var unit [unknowns]float64
	unit[l] = 1
	put(unit, boxM)
	unit[l] = -1
	put(unit, boxM)
	var left [unknowns]float64
	j := 0
	for k := range d {
		if k == l {
			continue
		}
		left[j] = obj[k] + obj[l]*share[k]
		j++
	}
	y, ok := solve(d-1, small[:n], left)
	if !ok {
		return x, false
	}
	x[l] = base
	j = 0
	for k := range d {
		if k == l {
			continue
		}
		x[k] = y[j]
		x[l] += share[k] * y[j]
		j++
	}
	return x, true
}
