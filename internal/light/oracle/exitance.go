package oracle

import (
	"math"
	"math/rand/v2"

	"kitspan/internal/geom"
	"kitspan/internal/light"
)

// view is one of the independent readings of a scene, by its own points.
type view struct {
	*Scene
	shifts *rand.Rand
}

// leaving is what leaves a side of a sheet at the point x of it, given back or let through, in lux: π times the luminance.
// Each point has its own light: hard sources shine on it from where they are, past everything that stands between.
func (v *view) leaving(s *sheet, side int, x geom.Vec) tinted {
	f, other := s.side[side], 1-side
	// The beam's share of the sky comes back from all over the dome, so it counts as spread; the beam's share of hard
	// light does not.
	out := tinted{lx: v.domeOn(s, side)}.by(f.Diffuse+f.Specular, f.ShiftMired).plus(tinted{lx: v.domeOn(s, other)}.by(s.scattered, s.mired))
	if f.Diffuse > 0 {
		out = out.plus(v.falling(s, side, x).by(f.Diffuse, f.ShiftMired))
	}
	if s.scattered > 0 {
		out = out.plus(v.falling(s, other, x).by(s.scattered, s.mired))
	}
	return out
}

// domeOn is the sky's light on a side of a sheet, which counts as open.
func (v *view) domeOn(s *sheet, side int) float64 {
	return v.light.SkyLx * (1 + s.facing(side).Z) / 2
}

// falling is the light of hard sources and lamps on a side of a sheet at a point of it, and on a fed one that of the unfed
// around it. The lamps' shadows on sheets are left out.
func (v *view) falling(s *sheet, side int, x geom.Vec) tinted {
	n := s.facing(side)
	var all tinted
	for _, h := range v.light.Hard {
		toward, normal, far := source(h, x)
		if cos := n.Dot(toward); cos > 0 {
			all = all.plus(through(v.sheets, s, x, toward, far).of(tinted{lx: normal * cos}))
		}
	}
	for _, l := range v.light.Lamps {
		toward, normal, _ := lampAt(l, x)
		all.lx += normal * math.Max(0, n.Dot(toward))
	}
	if s.fed {
		_, _, glow := v.scan(v.unfed, x, n, v.shifts, fedRays, false)
		all = all.plus(glow).plus(v.beams(v.unfed, x, n, v.shifts, fedRays))
	}
	return all
}

// fedRays are thrown from each point of a fed sheet that a ray from the face meets. The points are many, so that these
// may be few.
const fedRays = 4

// chance is where a ray's two numbers come from: evenly spread ones for the rays of a face, plain random ones for those
// that start where such a ray ends, as two evenly spread sequences keep step.
type chance interface{ Float64() float64 }

// pair is the next point of the unit square.
func pair(c chance) (u, v float64) { return c.Float64(), c.Float64() }

// lobe is the light that a side throws of a hard source: for each point of the sheet a cone about the way that a mirror
// there would send it.
type lobe struct {
	s      *sheet
	facing geom.Vec
	h      light.Hard
	share  float64 // of the light that falls on the side
	mired  float64 // by which the side shifts it
	tan    float64 // of the half-angle of the cone
}

// widestCone is the widest half-angle of a cone in degrees.
const widestCone = 89

// beams is the light that the given sheets throw on a face from the hard sources, with about so many rays each.
func (v *view) beams(sheets []*sheet, p, n geom.Vec, c chance, rays int) tinted {
	var sum tinted
	for _, s := range sheets {
		for side, f := range s.side {
			if f.Specular <= 0 {
				continue
			}
			for _, h := range v.light.Hard {
				l := lobe{s: s, facing: s.facing(side), h: h, share: f.Specular, mired: f.ShiftMired,
					tan: math.Tan(math.Min(math.Max(0, f.LobeDeg)+math.Max(0, h.RadiusDeg), widestCone) * math.Pi / 180)}
				sum = sum.plus(v.thrown(&l, p, n, c, rays))
			}
		}
	}
	return sum
}

// thrown looks from p for the light of a lobe: at points all over the sheet or, where less than the sheet can shine on p,
// in directions all over the cone about the source's mirror image. Every way has two legs, each past all sheets.
func (v *view) thrown(l *lobe, p, n geom.Vec, c chance, rays int) tinted {
	s := l.s
	if l.facing.Dot(p.Sub(s.origin)) <= 0 {
		return tinted{}
	}
	var axis geom.Vec
	if l.h.At == nil {
		axis = l.h.Dir.Sub(l.facing.Scale(2 * l.facing.Dot(l.h.Dir)))
	} else {
		axis = l.h.At.Sub(l.facing.Scale(2 * l.facing.Dot(l.h.At.Sub(s.origin)))).Sub(p).Unit()
	}
	a, b := frame(axis)
	area := s.along.Cross(s.across).Len()
	far, _ := s.meet(p, axis)
	cone := math.Pi * l.tan * l.tan
	byCone := far > 0 && cone*far*far < area*math.Abs(s.normal.Dot(axis))
	var sum tinted
	for range rays {
		var x geom.Vec
		var spread float64 // solid angle that the ray stands for
		if byCone {
			q, r := disc(pair(c))
			d := axis.Add(a.Scale(q * l.tan)).Add(b.Scale(r * l.tan))
			along, inside := s.meet(p, d)
			if !inside || along <= 0 {
				continue
			}
			x = p.Add(d.Scale(along))
			spread = cone / math.Pow(d.Len(), 3)
		} else {
			x = s.at(pair(c))
			d := p.Sub(x)
			spread = area * l.facing.Dot(d) / math.Pow(d.Len(), 3)
		}
		sum = sum.plus(v.along(l, x, p, n).times(spread))
	}
	return sum.times(1 / float64(rays))
}

// along is what comes by way of the point x of a lobe's sheet to a face at p that looks along n, in lux a steradian.
//
// The sheet sends the light that falls on x evenly over the disc that the cone cuts out of a plane square to its axis, so
// that the luminance goes as 1/cos⁴ of the angle off the axis.
func (v *view) along(l *lobe, x, p, n geom.Vec) tinted {
	out := p.Sub(x)
	far := out.Len()
	out = out.Scale(1 / far)
	cos := -n.Dot(out)
	toward, lx, off := source(l.h, x)
	square := l.facing.Dot(toward)
	if cos <= 0 || square <= 0 {
		return tinted{}
	}
	mirrored := l.facing.Scale(2 * square).Sub(toward)
	turned := mirrored.Dot(out)
	// The sine from the vector product keeps its digits where the cone is narrow.
	if turned <= 0 || mirrored.Cross(out).Len() > l.tan*turned {
		return tinted{}
	}
	in := through(v.sheets, l.s, x, toward, off)
	if in.share == 0 {
		return tinted{}
	}
	on := through(v.sheets, l.s, x, out, far)
	if on.share == 0 {
		return tinted{}
	}
	lit := on.of(in.of(tinted{lx: lx}).by(l.share, l.mired))
	return lit.times(kept(square, l.tan) / (math.Pi * l.tan * l.tan * math.Pow(turned, 4)) * cos)
}

// kept is the factor by which a cone that reaches behind its own sheet is dimmed, so that no more leaves the sheet than
// falls on it: the cone's light through the plane, added up over its disc.
func kept(square, tan float64) float64 {
	slope := math.Sqrt(math.Max(0, 1-square*square))
	if tan*slope <= square {
		return 1
	}
	const rings, spokes = 24, 24
	sum := 0.0
	for i := range rings {
		r := math.Sqrt((float64(i) + 0.5) / rings)
		for k := range spokes {
			sum += math.Max(0, square+slope*tan*r*math.Cos(2*math.Pi*(float64(k)+0.5)/spokes))
		}
	}
	return math.Min(1, square*rings*spokes/sum)
}
