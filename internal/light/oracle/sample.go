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

// points are evenly spread points of the unit square with a random shift, one number after the other.
type points struct {
	at     [2]float64
	second bool
}

func newPoints(r *rand.Rand) *points { return &points{at: [2]float64{r.Float64(), r.Float64()}} }

// Float64 returns the next number of the next point.
func (p *points) Float64() float64 {
	i, step := 0, step1
	if p.second {
		i, step = 1, step2
	}
	p.second = !p.second
	if p.at[i] += step; p.at[i] >= 1 {
		p.at[i]--
	}
	return p.at[i]
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
