package light

import (
	"math"

	"kitspan/internal/geom"
)

// onGround is the light of a near source on the level ground at x, in lux: by the inverse square law and the cosine,
// I·H/ℓ³ at the distance ℓ from a source at the height H.
func (h *source) onGround(x geom.Vec) float64 {
	d := h.at.Sub(x)
	d2 := d.Dot(d)
	return h.candela * math.Max(0, d.Z) / (d2 * math.Sqrt(d2))
}

// everySource stands for all of the ground's light, the sky's too, in place of one hard source.
const everySource = -1

const (
	// patchShare is what a patch of ground taken for evenly lit may be off by, against the ground's exitance below the
	// point: so much of it fills the point's view. mostHalvings bounds the patches of one outline to 1024.
	patchShare   = 0.0002
	mostHalvings = 10
)

// darken adds a part of the view below the horizon as what takes a share of the ground's light there: of all of it, or of
// that of one hard source. Under near sources the part is halved until each patch is lit evenly.
func darken(g *sight, l *Lit, src int, share float64, f form, halvings int) {
	middle, corners, area := geom.Vec{}, 0.0, geom.Vec{}
	least, most := math.Inf(1), 0.0
	last := f.corner[len(f.corner)-1].Unit()
	for _, v := range f.corner {
		v = v.Unit()
		middle, area, last = middle.Add(v), area.Add(last.Cross(v)), v
		lx := exitance(g, l, src, v)
		corners += lx
		least, most = math.Min(least, lx), math.Max(most, lx)
	}
	corners /= float64(len(f.corner))
	center := exitance(g, l, src, middle)
	if halvings > 0 && least != most {
		off := math.Max(math.Abs(center-corners)/2, (most-least)/8)
		if off*area.Len()/(2*math.Pi) > patchShare*(g.below+g.open[ofSky]) { // half of area is what fills of the view, about
			halves := f
			n := across(f.corner)
			for range 2 {
				if halves.corner = clip(&g.buf, f.corner, n, 0); len(halves.corner) >= 3 {
					darken(g, l, src, share, halves, halvings-1)
				}
				n = n.Scale(-1)
			}
			return
		}
	}
	// Over a triangle this is exact through the second degree.
	f.lux[ofGround] = -share * (0.75*center + 0.25*corners)
	if f.lux[ofGround] != 0 {
		g.forms = append(g.forms, f)
	}
}

// across is the normal of the plane through the point that halves a polygon between the two corners that look farthest
// apart.
func across(corner []geom.Vec) geom.Vec {
	least, n := math.Inf(1), geom.Vec{}
	for i, a := range corner {
		a = a.Unit()
		for _, b := range corner[:i] {
			b = b.Unit()
			if d := a.Dot(b); d < least {
				least, n = d, a.Sub(b)
			}
		}
	}
	return n
}

// exitance is that of the bare ground in a direction from the point: all of it, or what one hard source makes.
func exitance(g *sight, l *Lit, src int, dir geom.Vec) float64 {
	if src != everySource && !l.hard[src].near {
		return l.ground * l.hard[src].normalLx * math.Max(0, l.hard[src].dir.Z)
	}
	sum := 0.0
	x := geom.Vec{}
	seen := dir.Z < 0 // at the horizon no near source shines
	if seen {
		x = g.at.Add(dir.Scale(-g.at.Z / dir.Z))
	}
	if src == everySource {
		sum = g.open[ofGround]
	}
	for h := range l.hard {
		if l.hard[h].near && seen && (src == everySource || src == h) {
			sum += l.ground * l.hard[h].onGround(x)
		}
	}
	return sum
}

// plainKey is a face over the ground.
type plainKey struct{ at, normal geom.Vec }

// mostPlain bounds how many faces the light of the bare ground is kept for: those of a planner's zones, several times.
const mostPlain = 1024

// plainGround is what a face gets of the ground under the near sources where nothing stands. It depends on the sources
// alone, so that it is kept while they stay.
func plainGround(l *Lit, at, n geom.Vec) float64 {
	key := plainKey{at, n}
	if lx, ok := l.plain[key]; ok {
		return lx
	}
	lx := 0.0
	for h := range l.hard {
		if l.hard[h].near {
			lx += l.ground * l.hard[h].groundLight(at, n)
		}
	}
	if l.plain == nil {
		l.plain = map[plainKey]float64{}
	}
	if len(l.plain) >= mostPlain {
		clear(l.plain)
	}
	l.plain[key] = lx
	return lx
}

// plainSpokes is how many spokes the quadrature over the ground has about each of its two places, each with gauss8 rings.
// Over faces 0.3 to 2.3 m up, and sources 1 to 12 m up and up to 20 m off, it is within 0.7 % of one of two million places,
// half of the time within 0.1 %.
const plainSpokes = 48

// groundLight is what a face at p that looks along n gets of a bare white ground that the source lights:
//
//	(1/π) ∫ I·H/ℓ³ · (n·ω) · z/R³ dA
//
// over the ground above the face's horizon, with ω and R the direction and distance of a place of it from p, z the height
// of p. Both z/R³ and H/ℓ³ are, over 2π, densities of points on the ground: of those that look from p and from the source
// alike in all directions. So the integral is split among the two by the balance heuristic (Veach 1997), and each part,
// which is smooth where its points lie, is summed on rings and spokes about the place below.
func (h *source) groundLight(p, n geom.Vec) float64 {
	z := math.Max(p.Z, lowestM)
	if h.at.Z <= 0 {
		return 0
	}
	eye := geom.Vec{X: p.X, Y: p.Y, Z: z}
	turn := math.Atan2(n.Y, n.X)
	sum := 0.0
	for _, foot := range [2]geom.Vec{eye, h.at} {
		start := n.X*(foot.X-eye.X) + n.Y*(foot.Y-eye.Y) - n.Z*z
		for k := range plainSpokes {
			sin, cos := math.Sincos(turn + 2*math.Pi*(float64(k)+0.5)/plainSpokes)
			low, high := seenShares(start, n.X*cos+n.Y*sin, foot.Z)
			for _, ring := range gauss8 {
				c := 1 - (low + (high-low)*ring[0])
				radius := foot.Z * math.Sqrt(1/(c*c)-1)
				x := geom.Vec{X: foot.X + radius*cos, Y: foot.Y + radius*sin}
				way, d := x.Sub(eye), h.at.Sub(x)
				r2, l2 := way.Dot(way), d.Dot(d)
				r := math.Sqrt(r2)
				near, far := z/(r2*r), h.at.Z/(l2*math.Sqrt(l2))
				sum += (high - low) * ring[1] * math.Max(0, n.Dot(way)) / r * near * far / (near + far)
			}
		}
	}
	return h.candela * sum * 2 / plainSpokes
}

// seenShares is the part of a spoke from a foot at a height that lies above a face's horizon, in shares of the light on the
// spoke: where start + slope·s > 0 at the distance s from the foot.
func seenShares(start, slope, height float64) (low, high float64) {
	share := func(s float64) float64 { return 1 - height/math.Hypot(height, s) }
	switch {
	case start >= 0 && slope >= 0:
		return 0, 1
	case start <= 0 && slope <= 0:
		return 0, 0
	case slope > 0:
		return share(-start / slope), 1
	}
	return 0, share(-start / slope)
}

// lowestM is the height of a face under which the ground about its foot is all that it sees.
const lowestM = 1e-6
