package rigging

import (
	"math"
	"math/rand/v2"
	"testing"
)

// randomRows are conditions on dim−1 unknowns that some place keeps but for a slack, the last unknown, which each has in it.
func randomRows(rng *rand.Rand, dim int) (rows []row) {
	var inside [maxDim]float64
	for k := range dim - 1 {
		inside[k] = 20 * rng.NormFloat64()
	}
	offset := 4 * rng.Float64() // some are too narrow to be kept
	for range 4 * dim {
		var r row
		r.what.kind = tips
		for k := range dim - 1 {
			r.a[k] = rng.NormFloat64()
			r.b += r.a[k] * inside[k]
		}
		r.b += offset - 6*rng.Float64()
		r.a[dim-1] = 1
		rows = append(rows, r)
	}
	last := row{what: term{kind: slack}}
	last.a[dim-1] = 1
	return append(rows, last)
}

// solved takes the row in that is broken most until none is.
func solved(t *testing.T, p *program, rows []row) (steps int) {
	t.Helper()
	for ; steps < maxSteps; steps++ {
		most, worst := 1e-7, -1
		for i := range rows {
			if short := p.short(&rows[i]); short > most {
				most, worst = short, i
			}
		}
		if worst < 0 {
			return steps
		}
		if !p.take(&rows[worst], most) {
			t.Fatal("the rows contradict each other")
		}
	}
	t.Fatal("no end")
	return steps
}

// TestAPlaceToStartFromFindsTheLeastSlack: from a place a program finds the slack that it finds from the corner of a box, in fewer steps, and
// prices that prove it.
func TestAPlaceToStartFromFindsTheLeastSlack(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 1))
	slack, none, fromBox, fromPlace := 0, 0, 0, 0
	for n := range 300 {
		dim := 3 + rng.IntN(8)
		rows := randomRows(rng, dim)
		var cost, place [maxDim]float64
		for k := range dim - 1 {
			cost[k], place[k] = tinyCost, 20*rng.NormFloat64()
		}
		cost[dim-1] = 1
		var corner, near program
		corner.boxed(cost[:dim])
		corner.rows[dim-1] = rows[len(rows)-1]
		corner.settle()
		near.around(&place, dim, tinyCost)
		fromBox += solved(t, &corner, rows)
		fromPlace += solved(t, &near, rows)
		want, got := corner.x[dim-1], near.x[dim-1]
		if math.Abs(got-want) > 1e-4*(1+want) {
			t.Errorf("program %d: a slack of %.6f from a place, %.6f from a box", n, got, want)
		}
		if want > 1e-3 {
			slack++
		} else {
			none++
		}
		// The prices prove that there is no less: rows without a price for a place add up to the slack alone.
		sum, left := 0.0, [maxDim]float64{}
		for i := range dim {
			if r := &near.rows[i]; r.what.kind != box {
				if near.price[i] < 0 {
					t.Errorf("program %d: a price of %g", n, near.price[i])
				}
				sum += near.price[i] * r.b
				for k := range dim {
					left[k] += near.price[i] * r.a[k]
				}
			}
		}
		for k := range dim - 1 {
			if math.Abs(left[k]) > 2*tinyCost {
				t.Errorf("program %d: unknown %d is left with %g", n, k, left[k])
			}
		}
		if math.Abs(left[dim-1]-1) > 1e-9 || math.Abs(sum-got) > 1e-4*(1+got) {
			t.Errorf("program %d: prices prove %.6f for a slack of %.6f", n, sum, got)
		}
	}
	if slack < 50 || none < 50 {
		t.Errorf("%d programs with a slack and %d without", slack, none)
	}
	if fromPlace >= fromBox {
		t.Errorf("%d steps from a place, %d from a box", fromPlace, fromBox)
	}
}
