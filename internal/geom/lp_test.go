package geom_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"kitspan/internal/geom"
)

// corners tries every four conditions of a program, sides of the box among them, and keeps the best place that all
// others allow: the definition of the optimum, and nothing of the simplex method.
func corners(p *geom.Program) (best float64, feasible bool) {
	rows := append([]geom.Row{}, p.Rows...)
	for j := range geom.Dim {
		for _, sign := range []float64{1, -1} {
			var r geom.Row
			r.A[j], r.B = sign, p.Box[j]
			rows = append(rows, r)
		}
	}
	best = math.Inf(-1)
	n := len(rows)
	for a := range n {
		for b := range a {
			for c := range b {
				for d := range c {
					x, ok := meet([4]geom.Row{rows[a], rows[b], rows[c], rows[d]})
					if !ok {
						continue
					}
					inside := true
					for _, r := range rows {
						if r.A[0]*x[0]+r.A[1]*x[1]+r.A[2]*x[2]+r.A[3]*x[3] > r.B+1e-7 {
							inside = false
							break
						}
					}
					if inside {
						feasible = true
						best = math.Max(best, p.Goal[0]*x[0]+p.Goal[1]*x[1]+p.Goal[2]*x[2]+p.Goal[3]*x[3])
					}
				}
			}
		}
	}
	return best, feasible
}

// meet solves four equations by Gauss with pivoting.
func meet(r [4]geom.Row) (x [4]float64, ok bool) {
	var m [4][5]float64
	for i := range 4 {
		copy(m[i][:4], r[i].A[:])
		m[i][4] = r[i].B
	}
	for c := range 4 {
		p := c
		for i := c + 1; i < 4; i++ {
			if math.Abs(m[i][c]) > math.Abs(m[p][c]) {
				p = i
			}
		}
		if math.Abs(m[p][c]) < 1e-9 {
			return x, false
		}
		m[c], m[p] = m[p], m[c]
		for i := range 4 {
			if i != c {
				f := m[i][c] / m[c][c]
				for k := c; k < 5; k++ {
					m[i][k] -= f * m[c][k]
				}
			}
		}
	}
	for i := range 4 {
		x[i] = m[i][4] / m[i][i]
	}
	return x, true
}

func randomProgram(r *rand.Rand, rows int) *geom.Program {
	p := &geom.Program{Goal: [4]float64{1e-8, 1e-8, -1e-5, 1}, Box: [4]float64{40, 40, 60, 120}}
	for range rows {
		var row geom.Row
		for j := range 3 {
			row.A[j] = r.NormFloat64()
			if r.IntN(4) == 0 {
				row.A[j] = 0
			}
		}
		row.A[3] = float64(r.IntN(2))
		row.B = r.NormFloat64()*5 + 2
		p.Rows = append(p.Rows, row)
	}
	return p
}

func TestMaximizeFindsTheBestCorner(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	infeasible := 0
	for i := range 3000 {
		p := randomProgram(r, 1+r.IntN(9))
		want, feasible := corners(p)
		_, got, verdict := p.Maximize(math.Inf(-1))
		if !feasible {
			infeasible++
			if verdict != geom.Infeasible {
				t.Fatalf("program %d: no corner is feasible, verdict %v", i, verdict)
			}
			continue
		}
		if verdict != geom.Optimal || math.Abs(got-want) > 1e-4 {
			t.Fatalf("program %d: value %.6f (%v), want %.6f: %+v", i, got, verdict, want, p)
		}
	}
	if infeasible == 0 {
		t.Error("no program was infeasible: the test has lost half its subject")
	}
}

// Rows added one at a time from where the program stands give the same optimum as all at once.
func TestContinueAgreesWithMaximize(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	for i := range 3000 {
		p := randomProgram(r, 12)
		all := p.Rows
		_, want, wantVerdict := p.Maximize(math.Inf(-1))
		b := p.Start()
		var got float64
		verdict := geom.Optimal
		for n := 3; n <= len(all) && verdict == geom.Optimal; n += 3 {
			p.Rows = all[:n]
			_, got, verdict = p.Continue(&b, math.Inf(-1))
		}
		if verdict != wantVerdict || verdict == geom.Optimal && math.Abs(got-want) > 1e-6 {
			t.Fatalf("program %d: %.9f (%v) in steps, %.9f (%v) at once", i, got, verdict, want, wantVerdict)
		}
	}
}

func BenchmarkMaximize(b *testing.B) {
	r := rand.New(rand.NewPCG(5, 6))
	var ps []*geom.Program
	for range 64 {
		ps = append(ps, randomProgram(r, 28))
	}
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		ps[i%64].Maximize(math.Inf(-1))
	}
}
