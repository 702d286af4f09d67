package oracle

import (
	"math"
	"math/rand/v2"
	"testing"
)

// corner finds the best point of a program in three free variables by trying every corner: where three conditions are met exactly.
func corner(conditions [][4]float64, goal [3]float64) (best float64) {
	best = math.Inf(-1)
	n := len(conditions)
	for i := range n {
		for j := range i {
			for k := range j {
				x, ok := meet(conditions[i], conditions[j], conditions[k])
				if !ok {
					continue
				}
				inside := true
				for _, c := range conditions {
					inside = inside && c[3]-c[0]*x[0]-c[1]*x[1]-c[2]*x[2] >= -1e-9
				}
				if inside {
					best = math.Max(best, goal[0]*x[0]+goal[1]*x[1]+goal[2]*x[2])
				}
			}
		}
	}
	return best
}

// meet is where three planes meet (Cramer's rule).
func meet(a, b, c [4]float64) (x [3]float64, ok bool) {
	det := func(i, j, k int) float64 {
		return a[i]*(b[j]*c[k]-b[k]*c[j]) - a[j]*(b[i]*c[k]-b[k]*c[i]) + a[k]*(b[i]*c[j]-b[j]*c[i])
	}
	whole := det(0, 1, 2)
	if math.Abs(whole) < 1e-9 {
		return x, false
	}
	return [3]float64{det(3, 1, 2) / whole, det(0, 3, 2) / whole, det(0, 1, 3) / whole}, true
}

func TestMaximizeFindsTheBestCorner(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	found, none := 0, 0
	for range 500 {
		var conditions [][4]float64
		var p program
		x := [3]sum{p.variable(free), p.variable(free), p.variable(free)}
		add := func(c [4]float64) {
			conditions = append(conditions, c)
			p.atLeast(fixed(c[3]), x[0].times(c[0]).plus(x[1], c[1]).plus(x[2], c[2]))
		}
		for i := range 3 { // a box, so that there is an end
			for _, sign := range []float64{-1, 1} {
				c := [4]float64{3: 2}
				c[i] = sign
				add(c)
			}
		}
		for range 8 { // through few numbers, so that many corners coincide
			add([4]float64{float64(rng.IntN(5) - 2), float64(rng.IntN(5) - 2), float64(rng.IntN(5) - 2), float64(rng.IntN(5) - 1)})
		}
		goal := [3]float64{rng.NormFloat64(), rng.NormFloat64(), rng.NormFloat64()}
		want := corner(conditions, goal)
		o := p.maximize(x[0].times(goal[0]).plus(x[1], goal[1]).plus(x[2], goal[2]))
		if math.IsInf(want, -1) {
			none++
			if o.verdict != infeasible {
				t.Errorf("%v: verdict %d, want that nothing meets them", conditions, o.verdict)
			}
			continue
		}
		found++
		if o.verdict != optimal || math.Abs(o.value-want) > 1e-7 {
			t.Errorf("%v, goal %v: verdict %d, %g, want %g", conditions, goal, o.verdict, o.value, want)
		}
	}
	if found < 100 || none < 20 {
		t.Errorf("%d programs with a best corner and %d without tried", found, none)
	}
}

// What is said to be gained by a variable that is still is what another program with a little of it gains.
func TestGainIsThatOfALittleMore(t *testing.T) {
	solve := func(extra float64) optimum {
		var p program
		x, y, more := p.variable(positive), p.variable(positive), p.variable(still)
		more = more.plus(fixed(extra), 1)
		p.atLeast(fixed(4).plus(more, 3), x.plus(y, 1))
		p.atLeast(fixed(6), x.plus(y, 3))
		p.equal(x, y.plus(fixed(1), 1))
		return p.maximize(x.plus(y, 2))
	}
	o := solve(0)
	if gain, want := o.gain[2], (solve(1e-3).value-o.value)/1e-3; math.Abs(gain-want) > 1e-9 {
		t.Errorf("gain %g, want %g", gain, want)
	}
}
