package geom

import "math"

// Dim is the number of unknowns of a [Program]: a point in space and one more, usually a slack in metres.
const Dim = 4

// Row is one linear condition A·x ≤ B of a [Program].
type Row struct {
	A [Dim]float64
	B float64
}

// Verdict is how a [Program] ended.
type Verdict int

// The verdicts. Cut means that the best value is certainly below the cutoff; x is then of no use.
const (
	Optimal Verdict = iota
	Infeasible
	Cut
)

// lpTolerance is the violation of a row, in metres for rows with a gradient near 1, that counts as none. A placed
// piece is checked to 1e-4 m, so that this is two orders finer.
const lpTolerance = 1e-6

// lpPivots bounds the pivots of one program: programs on a set take 3 to 12. Reaching it returns Cut, which
// loses a placement and never invents one.
const lpPivots = 200

// lpPivotMin is the least share of an entering row that a leaving one must answer for, against dividing by rounding.
const lpPivotMin = 1e-9

// Program maximises Goal·x over rows of A·x ≤ B inside the box |x_j| ≤ Box_j, by the dual simplex method on a 4×4
// basis (Lemke 1954; the textbook form is Chvátal, Linear Programming, chapter 10). It starts at the corner of the
// box that the goal prefers, which is dual feasible, so that the value only ever falls: once it is under a cutoff the
// work can stop, and when rows are added it goes on from where it was. No goal component may be 0, which would leave
// the first corner undecided; a weight of 1e-6 does.
type Program struct {
	Goal [Dim]float64
	Box  [Dim]float64
	Rows []Row
}

// Basis is where a program stands: the four conditions that hold its best place, by the inverse of their normals, what
// each bounds, and the price of each. A copy is a place to come back to.
type Basis struct {
	inv [Dim][Dim]float64 // inv[i] is the direction that leaves basic condition i alone
	y   [Dim]float64      // multipliers, never negative
	rhs [Dim]float64
}

// Start returns the corner of the box that the goal prefers.
func (p *Program) Start() (b Basis) {
	for j := range Dim {
		b.inv[j][j] = math.Copysign(1, p.Goal[j])
		b.y[j] = math.Abs(p.Goal[j])
		b.rhs[j] = p.Box[j]
	}
	return b
}

// Maximize solves the program from its start. value is Goal·x; cutoff −Inf asks for the optimum whatever it is.
func (p *Program) Maximize(cutoff float64) (x [Dim]float64, value float64, verdict Verdict) {
	b := p.Start()
	return p.Continue(&b, cutoff)
}

// Continue solves the program from a basis that was best for its goal and a part of its rows, and leaves the new one
// there.
func (p *Program) Continue(b *Basis, cutoff float64) (x [Dim]float64, value float64, verdict Verdict) {
	for range lpPivots {
		value = 0
		x = [Dim]float64{}
		for i := range Dim {
			value += b.y[i] * b.rhs[i]
			for j := range Dim {
				x[j] += b.inv[i][j] * b.rhs[i]
			}
		}
		if value < cutoff {
			return x, value, Cut
		}
		row, broken := p.mostViolated(&x)
		if !broken {
			return x, value, Optimal
		}
		if !b.pivot(&row) {
			return x, value, Infeasible
		}
	}
	return x, value, Cut
}

// pivot brings a broken row into the basis; false means that nothing can leave for it: the rows contradict each other.
func (b *Basis) pivot(row *Row) bool {
	// d = how much each basic row answers for the entering one; the first multiplier to reach 0 leaves.
	var d [Dim]float64
	leave, step := -1, math.Inf(1)
	for i := range Dim {
		v := &b.inv[i]
		d[i] = row.A[0]*v[0] + row.A[1]*v[1] + row.A[2]*v[2] + row.A[3]*v[3]
		if d[i] > lpPivotMin && b.y[i] < step*d[i] {
			leave, step = i, b.y[i]/d[i]
		}
	}
	if leave < 0 {
		return false
	}
	for i := range Dim {
		b.y[i] -= step * d[i]
	}
	b.y[leave], b.rhs[leave] = step, row.B
	out := &b.inv[leave]
	pivot := 1 / d[leave]
	for j := range Dim {
		out[j] *= pivot
	}
	for i := range Dim {
		if i != leave {
			v := &b.inv[i]
			for j := range Dim {
				v[j] -= d[i] * out[j]
			}
		}
	}
	return true
}

// mostViolated finds the condition that x breaks by most, sides of the box among them.
func (p *Program) mostViolated(x *[Dim]float64) (worst Row, broken bool) {
	by, at, side := lpTolerance, -1, -1
	x0, x1, x2, x3 := x[0], x[1], x[2], x[3] // kept in registers: this loop is much of a plan's time
	rows := p.Rows
	for k := range rows {
		r := &rows[k]
		if v := r.A[0]*x0 + r.A[1]*x1 + r.A[2]*x2 + r.A[3]*x3 - r.B; v > by {
			by, at = v, k
		}
	}
	for j := range Dim {
		if v := math.Abs(x[j]) - p.Box[j]; v > by {
			by, side = v, j
		}
	}
	switch {
	case side >= 0:
		worst.A[side], worst.B = math.Copysign(1, x[side]), p.Box[side]
		return worst, true
	case at >= 0:
		return p.Rows[at], true
	}
	return worst, false
}
