package oracle

import "math"

// orient is one way to turn a frame, with what the rays then ask of its middle. e1 is level, e2 rises along the slope, n
// is their normal, on the side of every source.
//
// A ray from a point p along d crosses the plane through c after t = (c-p)·n / d·n, at p + t·d. Wanting that crossing
// inside an edge by the margin and the penumbra, t·|d|·tan(radius), is linear in c:
//
//	-σ e·c + κ n·c <= half - margin - σ e·p + κ n·p,   κ = (σ d·e + |d| tan radius) / d·n
//
// for the edge on the side σ of the direction e. That holds for parallel rays and, with d the whole way to the lamp
// and t under 1, for those toward a lamp near by.
type orient struct {
	yawDeg, tiltDeg float64
	e1, e2, n       vec
	edges           [4]edge // +e1, -e1, +e2, -e2
	low, high       float64 // n·c beyond every point of the zone, and before every lamp near by
	// most1 and most2 bound the slack of any middle from above, for an opening of no size and no margin, along e1 and e2.
	most1, most2 float64
}

// edge is the rays' bounds for one edge of the opening, those alone that may bind.
type edge struct {
	e      vec // σ times the direction
	bounds []bound
}

type bound struct{ kappa, b float64 }

// aim is the rays of one set of sources, thinned to the instants that the search looks at.
type aim struct {
	from []vec
	dirs []aimRay
}

type aimRay struct {
	dir      vec
	penumbra float64 // per unit of t
	from     int     // the zone's corner, or -1 for all of them
	limit    float64 // greatest t
}

// searchInstants is how many instants of a moving source the search looks at: one in ten minutes, 3 to 25. Between two
// of them the sun's path bulges by less than the slack that a find must have, and every find is cast again in full.
func searchInstants(minutes float64) int {
	return min(max(int(minutes/10)+1, 3), 25)
}

// leastFacing is the least cosine between a source and the frame's normal worth looking at: flatter than 6° to the
// rays a frame needs ten times the zone's section.
const leastFacing = 0.1

func newAim(s *Scene, sources []Source) aim {
	corners := s.Zone.corners()
	a := aim{from: corners[:]}
	for i := range sources {
		src := &sources[i]
		if src.Position != nil {
			for k, p := range corners {
				d := src.Position.minus(p)
				a.dirs = append(a.dirs, aimRay{d, d.length() * src.TanRadius, k, 1})
			}
			continue
		}
		var due []Moment
		for _, m := range src.Moments {
			if m.Counts {
				due = append(due, m)
			}
		}
		if len(due) == 0 {
			continue
		}
		n := 1
		if len(due) > 1 {
			n = searchInstants(due[len(due)-1].At.Sub(due[0].At).Minutes())
		}
		for k := range n {
			m := due[0]
			if n > 1 {
				m = due[k*(len(due)-1)/(n-1)]
			}
			a.dirs = append(a.dirs, aimRay{m.Toward, src.TanRadius, -1, math.Inf(1)})
		}
	}
	return a
}

// newOrient turns a frame so that its normal's azimuth and angle from the vertical are as given; ok is false where no
// middle lets it stop the rays.
func (a *aim) newOrient(yawDeg, tiltDeg float64) (o orient, ok bool) {
	o.yawDeg, o.tiltDeg = yawDeg, tiltDeg
	o.n = toward(yawDeg, 90-tiltDeg)
	o.e1 = toward(yawDeg+90, 0)
	o.e2 = o.n.cross(o.e1)
	facing := a.dirs[0].dir.dot(o.n)
	if facing < 0 {
		o.n = o.n.times(-1)
	}
	o.low, o.high = math.Inf(-1), math.Inf(1)
	for _, p := range a.from {
		o.low = math.Max(o.low, p.dot(o.n))
	}
	for _, r := range a.dirs {
		if across := r.dir.dot(o.n); across < leastFacing*r.dir.length() {
			return o, false
		} else if r.from >= 0 {
			o.high = math.Min(o.high, a.from[r.from].dot(o.n)+r.limit*across)
		}
	}
	if o.high-o.low < 0.05 {
		return o, false
	}
	for i, e := range []vec{o.e1, o.e1.times(-1), o.e2, o.e2.times(-1)} {
		o.edges[i] = edge{e: e, bounds: a.bounds(&o, e)}
	}
	o.most1, o.most2 = o.most(o.edges[0], o.edges[1]), o.most(o.edges[2], o.edges[3])
	return o, true
}

// most adds up the bounds of two opposite edges, in which the middle's place between them drops out, at the nearest and
// the farthest plane: as every bound is linear in between, no plane leaves more slack than the greater of the two.
func (o *orient) most(a, b edge) float64 {
	far := math.Min(o.high, o.low+2*reachM)
	least := math.Inf(1)
	for _, p := range a.bounds {
		for _, q := range b.bounds {
			both := func(plane float64) float64 { return (p.b + q.b - (p.kappa+q.kappa)*plane) / 2 }
			least = math.Min(least, math.Max(both(o.low), both(far)))
		}
	}
	return least
}

// Heights of the plane over the zone at which the bounds are compared: a bound that is never the tightest there is left
// out. What that drops binds between two of them by millimetres at most, and finds are cast again in full.
var envelopeM = [...]float64{0.05, 0.5, 1, 1.5, 2, 3, 4, 6, 9, 14}

func (a *aim) bounds(o *orient, e vec) []bound {
	var least [len(envelopeM)]bound
	var value [len(envelopeM)]float64
	for i := range value {
		value[i] = math.Inf(1)
	}
	try := func(b bound) {
		for i, h := range envelopeM {
			if v := b.b - b.kappa*(o.low+h); v < value[i] {
				value[i], least[i] = v, b
			}
		}
	}
	for _, r := range a.dirs {
		kappa := (r.dir.dot(e) + r.penumbra) / r.dir.dot(o.n)
		for i, p := range a.from {
			if r.from < 0 || r.from == i {
				try(bound{kappa, kappa*p.dot(o.n) - p.dot(e)})
			}
		}
	}
	var kept []bound
	for i, b := range least {
		if i == 0 || b != least[i-1] {
			kept = append(kept, b)
		}
	}
	return kept
}
