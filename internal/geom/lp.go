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

// Program maximises Goal·x over rows of A·x ≤ B inside the box |x_j| ≤ Box_j, by the dual simplex method on a 4×4
// basis (Lemke 1954; the textbook form is Chvátal, Linear Programming, chapter 10). It starts at the corner of the
// box that the goal prefers, which is dual feasible, so that the value only ever falls: once it is under a cutoff the
// work can stop. No goal component may be 0, which would leave the first corner undecided; a weight of 1e-6 does.
type Program struct {
	Goal [Dim]float64
	Box  [Dim]float64
	Rows []Row
}

// Maximize solves the program. value is Goal·x; cutoff −Inf asks for the optimum whatever it is.
func (p *Program) Maximize(cutoff float64) (x [Dim]float64, value float64, verdict Verdict) {
	var (
		inv  [Dim][Dim]float64 // columns of the inverse of the basis, inv[i] belongs to basic row i
		y    [Dim]float64      // multipliers of the basic rows, never negative
		rhs  [Dim]float64
	)
	for j := range Dim {
		sign := 1.0
		if p.Goal[j] < 0 {
			sign = -1
		}
		inv[j][j] = sign
		y[j] = math.Abs(p.Goal[j])
		rhs[j] = p.Box[j]
	}
	for range lpPivots {
		value = 0
		x = [Dim]float64{}
		for i := range Dim {
			value += y[i] * rhs[i]
			for j := range Dim {
				x[j] += inv[i][j] * rhs[i]
			}
		}
		if value < cutoff {
			return x, value, Cut
		}
		row, broken := p.mostViolated(&x)
		if !broken {
			return x, value, Optimal
		}
		// d = how much each basic row answers for the entering one; the first multiplier to reach 0 leaves.
		var d [Dim]float64
		leave, step := -1, math.Inf(1)
		for i := range Dim {
			d[i] = row.A[0]*inv[i][0] + row.A[1]*inv[i][1] + row.A[2]*inv[i][2] + row.A[3]*inv[i][3]
			if d[i] > 1e-9 && y[i]/d[i] < step {
				leave, step = i, y[i]/d[i]
			}
		}
		if leave < 0 {
			return x, value, Infeasible
		}
		for i := range Dim {
			y[i] -= step * d[i]
		}
		y[leave], rhs[leave] = step, row.B
		pivot := 1 / d[leave]
		for j := range Dim {
			inv[leave][j] *= pivot
		}
		for i := range Dim {
			if i == leave {
				continue
			}
			for j := range Dim {
				inv[i][j] -= d[i] * inv[leave][j]
			}
		}
	}
	return x, value, Cut
}

// mostViolated finds the condition that x breaks by most, sides of the box among them.
func (p *Program) mostViolated(x *[Dim]float64) (worst Row, broken bool) {
	by, at, side := lpTolerance, -1, -1
	for k := range p.Rows {
		r := &p.Rows[k]
		if v := r.A[0]*x[0] + r.A[1]*x[1] + r.A[2]*x[2] + r.A[3]*x[3] - r.B; v > by {
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
