package rigging

import "math"

// maxDim is the most unknowns of a [program]: what four stands and eight ropes leave free, and one slack.
const maxDim = 16

// program is a linear program in dim free unknowns x: the least of cost·x over rows a·x ≥ b, of which only those are looked at that
// are broken. It is solved by the dual simplex method (Lemke 1954) from rows that hold the optimum of a box: every step takes in a
// broken row and lets one go, and the value only ever rises.
type program struct {
	dim int
	// inverse is that of the rows in the basis: where row i alone gives way x[k] changes by inverse[k][i] to the unit.
	inverse [maxDim][maxDim]float64
	price   [maxDim]float64 // of each row in the basis, never negative
	rows    [maxDim]row
	x       [maxDim]float64
}

// row is one condition a·x ≥ b; what it stands for is its maker's affair.
type row struct {
	a    [maxDim]float64
	b    float64
	what term
}

// farN is the bound of the box in which programs start, in newtons or newton metres: beyond any force on a set.
const farN = 1e7

// boxed starts at the corner of the box that the cost prefers; no cost may be negative.
func (p *program) boxed(cost []float64) {
	p.dim = len(cost)
	for i := range cost {
		r := &p.rows[i]
		*r = row{b: -farN, what: term{kind: box, of: i}}
		r.a[i] = 1
		p.inverse[i] = [maxDim]float64{}
		p.inverse[i][i] = 1
		p.price[i] = cost[i]
	}
	p.settle()
}

// settle works out x from the bounds of the rows in the basis.
func (p *program) settle() {
	dim := p.dim
	for k := range dim {
		sum, line := 0.0, p.inverse[k][:dim]
		for i, by := range line {
			sum += p.rows[i].b * by
		}
		p.x[k] = sum
	}
}

// short is by how much x breaks a row.
func (p *program) short(r *row) float64 {
	sum := r.b
	for k := range p.dim {
		sum -= r.a[k] * p.x[k]
	}
	return sum
}

// leastPivot is the least share by which a leaving row must answer for the entering one, against dividing by rounding.
const leastPivot = 1e-10

// take lets a broken row in. ok is false where no row can leave for it: the rows contradict each other.
func (p *program) take(r *row, short float64) (ok bool) {
	var room [maxDim]float64
	share := room[:p.dim]
	for k := range p.dim {
		by := r.a[k]
		if by == 0 {
			continue
		}
		line := p.inverse[k][:len(share)]
		for i := range share {
			share[i] += by * line[i]
		}
	}
	out, least := -1, math.Inf(1)
	for i, s := range share {
		if s > leastPivot {
			if ratio := p.price[i] / s; ratio < least || ratio == least && s > share[out] {
				out, least = i, ratio
			}
		}
	}
	if out < 0 {
		return false
	}
	by := 1 / share[out]
	for i, s := range share {
		if i != out && s != 0 {
			p.price[i] = math.Max(0, p.price[i]-least*s)
		}
	}
	share[out] = 0
	for k := range p.dim {
		line := p.inverse[k][:len(share)]
		along := line[out] * by
		if line[out] = along; along == 0 {
			continue
		}
		for i := range share {
			line[i] -= share[i] * along
		}
		p.x[k] += short * along
	}
	p.price[out] = least
	p.rows[out] = *r
	return true
}

// replace writes row i of the basis anew; ok is false where that is too near to rows that depend on each other. Bounds are settled later.
func (p *program) replace(i int, r *row) (ok bool) {
	var room [maxDim]float64
	share := room[:p.dim]
	for k := range p.dim {
		by := r.a[k]
		if by == 0 {
			continue
		}
		line := p.inverse[k][:len(share)]
		for c := range share {
			share[c] += by * line[c]
		}
	}
	if !(math.Abs(share[i]) > leastRewrite) {
		return false
	}
	by := 1 / share[i]
	p.price[i] *= by
	for c, s := range share {
		if c != i {
			p.price[c] -= p.price[i] * s
		}
	}
	share[i] = 0
	for k := range p.dim {
		line := p.inverse[k][:len(share)]
		along := line[i] * by
		if line[i] = along; along == 0 {
			continue
		}
		for c := range share {
			line[c] -= share[c] * along
		}
	}
	p.rows[i] = *r
	return true
}

// leastRewrite is the least share by which a row that is written anew answers for itself.
const leastRewrite = 1e-3

// turnOver takes out the rows in the basis whose prices rows written anew have put under 0, for bounds far on their other side.
func (p *program) turnOver() {
	dim := p.dim
	for i, y := range p.price[:dim] {
		if y > -leastPrice {
			p.price[i] = math.Max(0, y)
			continue
		}
		p.price[i] = -y
		r := &p.rows[i]
		for k := range dim {
			r.a[k] = -r.a[k]
			p.inverse[k][i] = -p.inverse[k][i]
		}
		r.b, r.what = -farN, term{kind: box, of: i}
	}
}

// leastPrice is a price that rounding makes of none.
const leastPrice = 1e-14
