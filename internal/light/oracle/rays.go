package oracle

import (
	"math"

	"kitspan/internal/geom"
)

// rounding is far more than that of the two ways to reckon how far a point is, and far less than any panel is thick.
const rounding = 1e-9

// crossing is where a ray goes through a sheet.
type crossing struct {
	far float64
	s   *sheet
}

// scan throws rays from a face and returns what comes along them from the sky, the ground and the given sheets. A ray
// that meets a cloth goes on with the straight share; what the cloth itself sends this way is its glow. With open false
// only the glow of sheets that reflect counts.
func (v *view) scan(sheets []*sheet, p, n geom.Vec, rays int, open bool) (sky, ground, glow float64) {
	a, b := frame(n)
	at := newPoints(v.shifts)
	var room [32]crossing
	for range rays {
		x, y := at.next()
		d := cosine(n, a, b, x, y)
		toGround := math.Inf(1)
		if d.Z < 0 {
			toGround = -p.Z / d.Z
		}
		path := room[:0]
		for _, s := range sheets {
			l, inside := s.meet(p, d)
			if !inside || l <= 0 || l > toGround*(1+rounding) { // a board that lies on the ground hides it
				continue
			}
			path = append(path, crossing{l, s})
			for i := len(path) - 1; i > 0 && path[i].far < path[i-1].far; i-- {
				path[i], path[i-1] = path[i-1], path[i]
			}
		}
		share := 1.0
		for _, c := range path {
			if open || c.s.reflects {
				seen := 0
				if c.s.normal.Dot(d) > 0 {
					seen = 1
				}
				glow += share * v.exitance[c.s.index][seen]
			}
			share *= c.s.straight
			if share == 0 {
				break
			}
		}
		switch {
		case !open || share == 0:
		case d.Z > 0:
			sky += share * v.light.SkyLx
		case d.Z < 0:
			ground += share * v.onGround(p, p.Add(d.Scale(toGround)))
		}
	}
	each := 1 / float64(rays)
	return sky * each, ground * each, glow * each
}

// onGround is the exitance of the ground at g. A source at a place lights all of it as it does below the face at p, but
// its shadows fall where they do.
func (v *view) onGround(p, g geom.Vec) float64 {
	lx := v.light.SkyLx
	for _, h := range v.light.Hard {
		toward, normal, _ := source(h, p)
		level := normal * math.Max(0, toward.Z)
		if level == 0 {
			continue
		}
		toward, _, far := source(h, g)
		lx += level * through(v.sheets, nil, g, toward, far)
	}
	return v.light.GroundReflectance * lx
}

// beams is the light that the given sheets throw on a face from the hard sources.
func (v *view) beams(sheets []*sheet, p, n geom.Vec) float64 {
	sum := 0.0
	for _, s := range sheets {
		for side, f := range s.side {
			if f.Specular <= 0 {
				continue
			}
			for i, h := range v.light.Hard {
				facing := s.facing(side)
				toward, lx, _ := source(h, s.at(0.5, 0.5))
				square := facing.Dot(toward)
				if square <= 0 {
					continue
				}
				// The light goes the way that the source's direction has when turned over about the normal; u looks
				// back along it.
				u := toward.Sub(facing.Scale(2 * square))
				cos := n.Dot(u)
				if cos <= 0 {
					continue
				}
				far, inside := s.meet(p, u)
				if far <= 0 {
					continue
				}
				radius := far * math.Tan((f.LobeDeg+h.RadiusDeg)*math.Pi/180)
				share := f.Specular * lx * v.lit[s.index][i] * through(sheets, s, p, u, far) * cos
				if share == 0 {
					continue
				}
				if radius > 0 {
					share *= v.covered(s, p, u, radius)
				} else if !inside {
					share = 0
				}
				sum += share
			}
		}
	}
	return sum
}

// covered is the share of the disc of a radius about p, square to u, from which the line along u meets the sheet.
func (v *view) covered(s *sheet, p, u geom.Vec, radius float64) float64 {
	a, b := frame(u)
	at := newPoints(v.shifts)
	hits := 0
	for range v.areaPoints {
		x, y := disc(at.next())
		if _, inside := s.meet(p.Add(a.Scale(x*radius)).Add(b.Scale(y*radius)), u); inside {
			hits++
		}
	}
	return float64(hits) / float64(v.areaPoints)
}

// straight is what reaches a face from the hard sources and from the placed lamps by the straight way.
func (v *view) straight(p, n geom.Vec) (direct, lamps float64) {
	for _, h := range v.light.Hard {
		toward, lx, far := source(h, p)
		if cos := n.Dot(toward); cos > 0 {
			direct += lx * cos * through(v.sheets, nil, p, toward, far)
		}
	}
	for _, l := range v.light.Lamps {
		toward, lx, far := lampAt(l, p)
		if cos := n.Dot(toward); cos > 0 {
			lamps += lx * cos * through(v.sheets, nil, p, toward, far)
		}
	}
	return direct, lamps
}
