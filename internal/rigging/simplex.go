package rigging

import "math"

// maxDim is the most unknowns of a [program]: what four stands and eight ropes leave free, and one slack.
const maxDim = 16

// program is a linear program in dim free unknowns x: the least of cost·x over rows a·x ≥ b, of which only those are looked at that
// are broken. It is solved by the dual simplex method (Lemke 1954) from rows that hold the optimum of a box, or of a place to stay near:
// every step takes in a broken row and lets one go, and the value only ever rises.
type program struct {
	dim int
	// inverse is that of the rows in the basis: where row i alone gives way x[k] changes by inverse[k][i] to the unit.
	inverse [maxDim][maxDim]float64
	price   [maxDim]float64 // of each row in the basis, never negative but for those of a place
	pull    float64         // what it costs to leave the place, to the unit; 0 for a box
	rows    [maxDim]row
	x       [maxDim]float64
	value   float64 // of cost that the prices have proved since the start
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
	p.dim, p.pull, p.value = len(cost), 0, 0
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

// around starts at a place that x leaves only where rows ask for it: the cost is the last unknown, which is 0 at least, and pull·|x − place| over
// the others. Where x[k] is still at the place, what a unit of it costs lies between −pull and pull, and so does the price of its row;
// once it leaves, it costs that on the side on which it left.
func (p *program) around(place *[maxDim]float64, dim int, pull float64) {
	p.dim, p.pull, p.x, p.value = dim, pull, *place, 0
	last := dim - 1
	p.x[last] = 0
	for i := range dim {
		p.rows[i] = row{b: p.x[i], what: term{kind: box, of: i}}
		p.rows[i].a[i] = 1
		p.inverse[i] = [maxDim]float64{}
		p.inverse[i][i], p.price[i] = 1, 0
	}
	p.rows[last].what, p.price[last] = term{kind: slack}, 1
}

// atPlace reports whether row i of the basis keeps an unknown at the place that the program started from.
func (p *program) atPlace(i int) bool { return p.pull > 0 && p.rows[i].what.kind == box }

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
		price := p.price[i]
		if p.atPlace(i) { // it may be left on either side
			if s < 0 {
				s, price = -s, -price
			}
			price += p.pull
		}
		if s > leastPivot {
			if ratio := price / s; ratio < least || ratio == least && s > math.Abs(share[out]) {
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
			if p.price[i] -= least * s; p.price[i] < 0 && !p.atPlace(i) {
				p.price[i] = 0
			}
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
	p.value += least * short
	return true
}
