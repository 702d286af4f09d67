package light

import (
	"math"

	"kitspan/internal/geom"
)

// cell is a part of a panel that is lit unevenly, by a near source or lamp or by other panels. Each gives its own light,
// evenly: the mean of its own area.
//
// A panel has 4 × 4 cells, 8 × 8 where the light differs strongly over it, as wide and as high as the weights of the
// Gauss-Legendre points on it, so that each cell has one of them and the light that is taken at these points alone is in all
// what the quadrature makes it.
type cell struct {
	corner   [4]geom.Vec
	center   geom.Vec
	radius   float64
	area     float64
	got      [2]float64
	exitance [2]float64
}

const (
	// evenShare is the most by which what cells give may differ from the mean, against what the brighter side gives, for a
	// panel to count as lit evenly. Light that rises evenly across by so much to one end, and falls to the other, moves
	// what a face gets, which sees both ends, by a small part of that.
	evenShare = 0.05
	// strongShare is by how much of what falls on a panel its light differs, half the way from the least to the most,
	// for the finer cells.
	strongShare = 0.5
)

// cellsOf are the cells of a panel, none where it is lit evenly.
func (l *Lit) cellsOf(p *panel) []cell {
	if p.cells < 0 {
		return nil
	}
	return l.cells[p.cells : p.cells+p.across*p.across]
}

// divide gives a panel cells by a rule, on which nothing falls yet.
func (l *Lit) divide(p *panel, rule [][2]float64) []cell {
	p.cells, p.across = len(l.cells), len(rule)
	v := 0.0
	for i := range rule {
		u, high := 0.0, v+rule[i][1]
		for k := range rule {
			wide := u + rule[k][1]
			c := cell{
				corner: [4]geom.Vec{p.at(u, v), p.at(wide, v), p.at(wide, high), p.at(u, high)},
				center: p.at((u+wide)/2, (v+high)/2), area: rule[i][1] * rule[k][1] * p.area,
			}
			c.radius = math.Max(c.corner[0].Sub(c.center).Len(), c.corner[1].Sub(c.center).Len())
			l.cells = append(l.cells, c)
			u = wide
		}
		v = high
	}
	return l.cellsOf(p)
}

// merge takes the means of a panel's cells.
func (l *Lit) merge(p *panel) {
	cells := l.cellsOf(p)
	if cells == nil {
		return
	}
	p.got = [2]float64{}
	for i := range cells {
		for side := range p.got {
			p.got[side] += cells[i].got[side] * cells[i].area / p.area
		}
	}
	p.even = p.got
}

// settle takes the cells away of a panel that gives its light evenly enough.
func (l *Lit) settle(p *panel) {
	cells := l.cellsOf(p)
	if cells == nil {
		return
	}
	most := evenShare * math.Max(p.exitance[0], p.exitance[1])
	for i := range cells {
		for side, lx := range cells[i].exitance {
			if math.Abs(lx-p.exitance[side]) > most {
				return
			}
		}
	}
	if p.cells+len(cells) == len(l.cells) {
		l.cells = l.cells[:p.cells]
	}
	p.cells = -1
}
