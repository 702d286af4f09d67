package oracle

import (
	"math"

	rays "kitspan/internal/light/oracle"
)

// latticeOf are so many points across, in depth and in height of a zone, corners among them.
func latticeOf(z *Zone, across, deep, high int) []vec {
	var list []vec
	at := func(i, n int) float64 { return float64(i) / float64(n-1) }
	for i := range across {
		for j := range deep {
			for k := range high {
				list = append(list, z.at(2*at(i, across)-1, 2*at(j, deep)-1, at(k, high)))
			}
		}
	}
	return list
}

// spread is by how many stops the key face's level differs over points, and its standard error.
func (l *lights) spread(look *rays.Scene, points []vec) (stops, err float64) {
	key, _, _ := faces(l.s)
	least, most := estimate{lx: math.Inf(1)}, estimate{}
	for _, p := range points {
		r := look.Face(toGeom(p), key)
		e := estimate{lx: math.Max(r.Level.Total(), noLightLx), err: r.TotalError}
		if e.lx < least.lx {
			least = e
		}
		if e.lx > most.lx {
			most = e
		}
	}
	return math.Log2(most.lx / least.lx), math.Hypot(least.err/least.lx, most.err/most.lx) / math.Ln2
}

// checkSpread holds the stated spread of every zone to that over a coarse lattice of other points; where it is stated to be much
// greater, to a fine one, which finds the shadow of a board's edge as well.
func (l *lights) checkSpread() []Violation {
	var bad []Violation
	scene := lit(l.s, l.o.Pieces, l.stock)
	look := rays.Look(&scene, l.n.Lattice, l.seed)
	for i, z := range l.s.zones() {
		told := l.o.Levels.UniformityStops
		if i > 0 {
			if i > len(l.o.Levels.OtherZones) {
				break
			}
			told = l.o.Levels.OtherZones[i-1].UniformityStops
		}
		own, err := l.spread(look, latticeOf(z, 4, 2, 3))
		if own < told-spreadUnderStops-levelErrors*err {
			own, err = l.spread(look, latticeOf(z, 17, 5, 5))
			if own > told {
				own = told // more may be between the points
			}
		}
		if own > unevenStops && told > unevenStops {
			continue
		}
		if own > told+spreadOverStops+levelErrors*err || own < told-spreadUnderStops-levelErrors*err || math.IsNaN(told) {
			bad = append(bad, broken(RuleEven, math.Abs(own-told), "%s: zone %s is told even to %.3f stops, by rays over other points it is to %.3f ± %.3f",
				l.o.Label, z.label, told, own, err))
		}
	}
	return bad
}
