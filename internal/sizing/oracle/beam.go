package oracle

import (
	"math"
	"slices"

	"kitspan/internal/finding"
)

// beam is what a mirror-like sheet throws of a source: the way it comes from, seen from where it falls.
type beam struct {
	from  plate
	u     vec     // toward the sheet along the beam, at its middle
	slope float64 // radius of the spread per metre
	of    shining
}

func beamOf(s *Scene, p standing, label string) (beam, bool) {
	lobe, ok := p.found.throws(p.Piece)
	if !ok {
		return beam{}, false
	}
	h := s.hardFrom(label, s.mid())
	b := beam{from: p.plate, slope: math.Tan((lobe + h.RadiusDeg) * math.Pi / 180), of: h}
	b.u = b.toward(p.plate.centre)
	return b, true
}

// toward is the direction in which a point before the sheet sees the source's image in it.
func (b beam) toward(p vec) vec {
	n := b.from.normal
	dir, _ := b.of.toward(p.along(n, -2*p.minus(b.from.centre).dot(n))) // as the point's own image sees the source
	return dir.along(n, -2*n.dot(dir))
}

// beamSpots is the number of spots along each side of a sheet from which its light is looked for.
const beamSpots = 17

// reaches reports whether some of the beam falls on a point: the light on some spot of the sheet goes from there within the
// spread of the way of a mirror, and nothing of those that let no light through stands between the spot and the source or
// between the spot and the point.
func (b beam) reaches(p vec, past []standing) bool {
	n := b.from.normal
	u := b.toward(p)
	across := u.dot(n)
	if across >= 0 || p.minus(b.from.centre).dot(n) <= 0 { // from behind
		return false
	}
	open := func(at, dir vec, far float64) bool {
		return !slices.ContainsFunc(past, func(q standing) bool { return q.plate != b.from && q.plate.dims(at, dir, far) })
	}
	lit := func(at1, at2 float64) bool {
		spot := b.from.centre.along(b.from.e1, at1).along(b.from.e2, at2)
		source, far := b.of.toward(spot)
		mirrored := n.times(2 * n.dot(source)).minus(source)
		out := p.minus(spot)
		if ahead := out.dot(mirrored); n.dot(source) <= 0 || ahead <= 0 || out.along(mirrored, -ahead).length() > ahead*b.slope {
			return false
		}
		return open(p, out.unit().times(-1), out.length()-trimM) && open(spot, source, far)
	}
	image := p.along(u, b.from.centre.minus(p).dot(n)/across).minus(b.from.centre)
	within := func(x, half float64) float64 { return math.Max(-half, math.Min(half, x)) }
	if lit(within(image.dot(b.from.e1), b.from.half1), within(image.dot(b.from.e2), b.from.half2)) {
		return true
	}
	for i := range beamSpots * beamSpots {
		side := func(k int) float64 { return 2*float64(k)/(beamSpots-1) - 1 }
		if lit(b.from.half1*side(i%beamSpots), b.from.half2*side(i/beamSpots)) {
			return true
		}
	}
	return false
}

// width is half the width of the beam so far from its sheet: of a lamp near by it grows with the distance from the lamp's
// image.
func (b beam) width(far float64) float64 {
	half := math.Max(b.from.half1, b.from.half2)
	if _, off := b.of.toward(b.from.centre); !math.IsInf(off, 1) {
		half *= 1 + far/off
	}
	return half + far*b.slope
}

// checkBeams holds the beams on a zone: each goes through it (or through the diffusing frame before its reflectors),
// grown by half the beam's width there; without such a frame every corner gets some of all together, past what stands.
func checkBeams(s *Scene, pieces []standing, z *Zone, label string) []Violation {
	var bad []Violation
	var veil *plate
	for i := range pieces {
		if pieces[i].Role == finding.RoleReflectorDiffuser && pieces[i].Serves == z.label {
			veil = &pieces[i].plate
		}
	}
	var beams []beam
	for _, p := range pieces {
		if p.Role != finding.RoleReflector || p.Serves != z.label {
			continue
		}
		b, ok := beamOf(s, p, label)
		if !ok {
			return bad // what glows lights everything
		}
		beams = append(beams, b)
		middle := p.plate.centre
		switch {
		case veil != nil:
			r := veil.centre.minus(middle).dot(veil.normal) / b.u.times(-1).dot(veil.normal)
			at := middle.along(b.u, -r).minus(veil.centre)
			miss := math.Max(math.Abs(at.dot(veil.e1))-veil.half1, math.Abs(at.dot(veil.e2))-veil.half2)
			if !(r > 0) || miss > b.width(r) {
				bad = append(bad, broken(RuleMirror, miss, "the beam of the reflector of %v passes the diffusing frame before it by %.3f m", p.plate, miss))
			}
		default:
			far := z.middle.far(middle)
			if !z.grown(b.width(far)).crossed(middle, b.u.times(-1)) {
				bad = append(bad, broken(RuleMirror, 1, "the beam of the reflector of %v misses zone %s, grown by half its width of %.3f m", p.plate, z.label, b.width(far)))
			}
		}
	}
	if veil != nil || len(beams) == 0 {
		return bad
	}
	var opaque []standing
	for _, p := range pieces {
		if p.sheet() && p.found.panel(p.Piece).Transmittance < clothLets {
			opaque = append(opaque, p)
		}
	}
	for _, c := range z.corners() {
		if !slices.ContainsFunc(beams, func(b beam) bool { return b.reaches(c, opaque) }) {
			bad = append(bad, broken(RuleMirror, 1, "no beam reaches the corner (%.3f, %.3f, %.3f) of zone %s", c.x, c.y, c.z, z.label))
		}
	}
	return bad
}

// grown is a zone larger by so much on all sides.
func (z Zone) grown(by float64) Zone {
	z.halfW, z.halfD, z.base, z.top = z.halfW+by, z.halfD+by, z.base-by, z.top+by
	return z
}

// crossed reports whether a ray passes through the zone.
func (z Zone) crossed(from, dir vec) bool {
	lo, hi := 0.0, math.Inf(1)
	at := from.minus(z.over)
	for _, ax := range [3]struct{ at, rate, low, high float64 }{
		{at.dot(z.right), dir.dot(z.right), -z.halfW, z.halfW},
		{at.dot(z.ahead), dir.dot(z.ahead), -z.halfD, z.halfD},
		{at.z, dir.z, z.base, z.top},
	} {
		if math.Abs(ax.rate) < 1e-12 {
			if ax.at < ax.low || ax.at > ax.high {
				return false
			}
			continue
		}
		a, b := (ax.low-ax.at)/ax.rate, (ax.high-ax.at)/ax.rate
		lo, hi = math.Max(lo, math.Min(a, b)), math.Min(hi, math.Max(a, b))
	}
	return lo <= hi
}
