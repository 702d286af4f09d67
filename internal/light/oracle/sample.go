package oracle

import (
	"math"
	"math/rand/v2"

	"kitspan/internal/geom"
)

// R2 sequence of M. Roberts, "The Unreasonable Effectiveness of Quasirandom Sequences" (2018), from memory: steps of
// 1/p and 1/p², p the real root of p³ = p + 1. Its points stay evenly spread under any shift that wraps around.
const (
	step1 = 0.7548776662466927
	step2 = 0.5698402909980532
)

// points are evenly spread points of the unit square with a random shift.
type points struct{ u, v float64 }

func newPoints(r *rand.Rand) points { return points{r.Float64(), r.Float64()} }

func (p *points) next() (u, v float64) {
	p.u, p.v = p.u+step1, p.v+step2
	if p.u >= 1 {
		p.u--
	}
	if p.v >= 1 {
		p.v--
	}
	return p.u, p.v
}

// frame are two unit vectors square to n and to each other.
func frame(n geom.Vec) (a, b geom.Vec) {
	least := geom.Vec{X: 1}
	if math.Abs(n.X) > math.Abs(n.Y) {
		least = geom.Vec{Y: 1}
	}
	if math.Abs(n.Z) < math.Min(math.Abs(n.X), math.Abs(n.Y)) {
		least = geom.Vec{Z: 1}
	}
	a = n.Cross(least).Unit()
	return a, n.Cross(a)
}

// disc is a point of the unit disc, evenly spread where u and v are.
func disc(u, v float64) (x, y float64) {
	s, c := math.Sincos(2 * math.Pi * v)
	r := math.Sqrt(u)
	return r * c, r * s
}

// cosine is a direction about n with a density that goes as the cosine from it (Malley: lift the disc to the dome).
func cosine(n, a, b geom.Vec, u, v float64) geom.Vec {
	x, y := disc(u, v)
	return n.Scale(math.Sqrt(1 - u)).Add(a.Scale(x)).Add(b.Scale(y))
}

// node is a point of a quadrature over [0, 1] and its weight.
type node struct{ at, weight float64 }

// Gauss–Legendre, Abramowitz and Stegun table 25.4, moved from [−1, 1] to [0, 1].
var (
	gauss3 = []node{
		{0.5 - 0.774596669241483/2, 0.555555555555556 / 2},
		{0.5, 0.888888888888889 / 2},
		{0.5 + 0.774596669241483/2, 0.555555555555556 / 2},
	}
	gauss4 = []node{
		{0.5 - 0.861136311594053/2, 0.347854845137454 / 2},
		{0.5 - 0.339981043584856/2, 0.652145154862546 / 2},
		{0.5 + 0.339981043584856/2, 0.652145154862546 / 2},
		{0.5 + 0.861136311594053/2, 0.347854845137454 / 2},
	}
)

// mean is the weighted mean of f over the sheet at the nodes along both edges.
func (s *sheet) mean(nodes []node, f func(p geom.Vec) float64) float64 {
	sum := 0.0
	for _, a := range nodes {
		for _, b := range nodes {
			sum += a.weight * b.weight * f(s.at(a.at, b.at))
		}
	}
	return sum
}
