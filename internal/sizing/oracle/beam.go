package oracle

import (
	"math"
	"slices"

	"kitspan/internal/sizing"
)

// beam is what a mirror-like sheet throws of a source: the way it comes from, seen from where it falls.
type beam struct {
	from  plate
	u     vec     // toward the sheet along the beam, at its middle
	slope float64 // radius of the spread per metre
	of    shining
}

func (s *Scene) beamOf(p standing, label string) (beam, bool) {
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
const beamSpots = 9

// reaches says whether some of the beam falls on a point: some spot of the sheet lies within the spread about the source's
// image, and nothing of those that let no light through stands between.
func (b beam) reaches(p vec, past []standing) bool {
	u := b.toward(p)
	across := u.dot(b.from.normal)
	if across >= 0 || p.minus(b.from.centre).dot(b.from.normal) <= 0 { // from behind
		return false
	}
	lit := func(at1, at2 float64) bool {
		d := b.from.centre.along(b.from.e1, at1).along(b.from.e2, at2).minus(p)
		ahead := d.dot(u)
		return ahead > 0 && d.along(u, -ahead).length() <= ahead*b.slope &&
			!slices.ContainsFunc(past, func(q standing) bool { return q.plate != b.from && q.plate.dims(p, d.unit(), d.length()-trimM) })
	}
	image := p.along(u, b.from.centre.minus(p).dot(b.from.normal)/across).minus(b.from.centre)
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

// checkBeams holds the beams on a zone: each goes through it (or through the diffusing frame before its reflectors),
// grown by half the beam's width there; without such a frame every corner gets some of all together, past what stands.
func checkBeams(s *Scene, pieces []standing, z *Zone, label string) []Violation {
	var bad []Violation
	var veil *plate
	for i := range pieces {
		if pieces[i].Role == sizing.RoleReflectorDiffuser && pieces[i].Serves == z.label {
			veil = &pieces[i].plate
		}
	}
	var beams []beam
	for _, p := range pieces {
		if p.Role != sizing.RoleReflector || p.Serves != z.label {
			continue
		}
		b, ok := s.beamOf(p, label)
		if !ok {
			return bad // what glows lights everything
		}
		beams = append(beams, b)
		middle := p.plate.centre
		half := math.Max(p.plate.half1, p.plate.half2)
		switch {
		case veil != nil:
			r := veil.centre.minus(middle).dot(veil.normal) / b.u.times(-1).dot(veil.normal)
			at := middle.along(b.u, -r).minus(veil.centre)
			miss := math.Max(math.Abs(at.dot(veil.e1))-veil.half1, math.Abs(at.dot(veil.e2))-veil.half2)
			if !(r > 0) || miss > half+r*b.slope {
				bad = append(bad, broken(RuleMirror, miss, "the beam of the reflector of %v passes the diffusing frame before it by %.3f m", p.plate, miss))
			}
		default:
			far := z.middle.far(middle)
			if !z.grown(half+far*b.slope).crossed(middle, b.u.times(-1)) {
				bad = append(bad, broken(RuleMirror, 1, "the beam of the reflector of %v misses zone %s, grown by half its width of %.3f m", p.plate, z.label, half+far*b.slope))
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

// crossed says whether a ray passes through the zone.
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
