package oracle

import (
	"math"
	"math/rand/v2"
	"testing"
)

// TestLinearProgramsAgreeWithAllVertices solves random programs a second way: the optimum of a bounded program is the
// best of the points where four constraints bind and the rest are kept.
func TestLinearProgramsAgreeWithAllVertices(t *testing.T) {
	t.Parallel()
	const seed = 20
	rng := rand.New(rand.NewPCG(seed, 1))
	solved, empty := 0, 0
	for trial := range 1500 {
		var p program
		// A box of 10, so that the optimum is bounded, and some planes: with b under 0 now and then nothing is left.
		for k := range unknowns {
			for _, s := range []float64{1, -1} {
				var r row
				r.a[k], r.b = s, 10
				p.add(r)
			}
		}
		for range rng.IntN(8) {
			var r row
			for k := range r.a {
				r.a[k] = rng.NormFloat64()
			}
			r.b = 12*rng.Float64() - 6
			p.add(r)
		}
		var obj [unknowns]float64
		for k := range obj {
			obj[k] = rng.NormFloat64()
		}
		x, ok := p.maximise(obj)
		want, wantOK := bestVertex(&p, obj)
		if ok != wantOK {
			t.Fatalf("seed %d, trial %d: solved %v, by vertices %v", seed, trial, ok, wantOK)
		}
		if !ok {
			empty++
			continue
		}
		solved++
		got := 0.0
		for k := range obj {
			got += obj[k] * x[k]
		}
		if math.Abs(got-want) > 1e-6 {
			t.Fatalf("seed %d, trial %d: optimum %.9f, by vertices %.9f", seed, trial, got, want)
		}
	}
	if solved < 100 || empty < 100 {
		t.Fatalf("%d programs solved, %d empty: too few of a kind to say anything", solved, empty)
	}
}

func bestVertex(p *program, obj [unknowns]float64) (best float64, ok bool) {
	best = math.Inf(-1)
	n := p.n
	for a := range n {
		for b := a + 1; b < n; b++ {
			for c := b + 1; c < n; c++ {
				for d := c + 1; d < n; d++ {
					x, regular := meet([unknowns]row{p.rows[a], p.rows[b], p.rows[c], p.rows[d]})
					if !regular || !p.keeps(x) {
						continue
					}
					v := 0.0
					for k := range obj {
						v += obj[k] * x[k]
					}
					best, ok = math.Max(best, v), true
				}
			}
		}
	}
	return best, ok
}

func (p *program) keeps(x [unknowns]float64) bool {
	for i := range p.n {
		if dot4(&p.rows[i], &x) > p.rows[i].b+1e-7 {
			return false
		}
	}
	return true
}

// meet is where four planes meet, by elimination with row pivots.
func meet(m [unknowns]row) (x [unknowns]float64, regular bool) {
	for k := range unknowns {
		pivot := k
		for i := k + 1; i < unknowns; i++ {
			if math.Abs(m[i].a[k]) > math.Abs(m[pivot].a[k]) {
				pivot = i
			}
		}
		if math.Abs(m[pivot].a[k]) < 1e-9 {
			return x, false
		}
		m[k], m[pivot] = m[pivot], m[k]
		for i := k + 1; i < unknowns; i++ {
			f := m[i].a[k] / m[k].a[k]
			for j := k; j < unknowns; j++ {
				m[i].a[j] -= f * m[k].a[j]
			}
			m[i].b -= f * m[k].b
		}
	}
	for k := unknowns - 1; k >= 0; k-- {
		x[k] = m[k].b
		for j := k + 1; j < unknowns; j++ {
			x[k] -= m[k].a[j] * x[j]
		}
		x[k] /= m[k].a[k]
	}
	return x, true
}
