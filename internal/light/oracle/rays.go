package oracle

import (
	"math"

	"kitspan/internal/geom"
)

// rounding is far more than that of the two ways to compute how far a point is, and far less than any panel is thick.
const rounding = 1e-9

// crossing is where a ray goes through a sheet.
type crossing struct {
	far float64
	s   *sheet
}

// scan throws rays from a face and returns what comes along them from the sky, the ground and the given sheets. A ray
// that meets a cloth goes on with the straight share; what the cloth itself sends this way is its glow. With open false
// only the glow of sheets that reflect counts.
func (v *view) scan(sheets []*sheet, p, n geom.Vec, c chance, rays int, open bool) (sky, ground, glow tinted) {
	a, b := frame(n)
	var room [32]crossing
	for range rays {
		x, y := pair(c)
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
		way := passage{share: 1}
		for _, m := range path {
			if open || m.s.reflects {
				seen := 0
				if m.s.normal.Dot(d) > 0 {
					seen = 1
				}
				glow = glow.plus(way.of(v.leaving(m.s, seen, p.Add(d.Scale(m.far)))))
			}
			if way = way.past(m.s); way.share == 0 {
				break
			}
		}
		switch {
		case !open || way.share == 0:
		case d.Z > 0:
			sky = sky.plus(way.of(tinted{lx: v.light.SkyLx}))
		case d.Z < 0:
			ground = ground.plus(way.of(v.onGround(p.Add(d.Scale(toGround)))))
		}
	}
	each := 1 / float64(rays)
	return sky.times(each), ground.times(each), glow.times(each)
}

// onGround is the exitance of the ground at g.
func (v *view) onGround(g geom.Vec) tinted {
	all := tinted{lx: v.light.SkyLx}
	for _, h := range v.light.Hard {
		toward, normal, far := source(h, g)
		if toward.Z > 0 {
			all = all.plus(through(v.sheets, nil, g, toward, far).of(tinted{lx: normal * toward.Z}))
		}
	}
	return all.times(v.light.GroundReflectance)
}

// straight is what reaches a face from the hard sources and from the placed lamps by the straight way.
func (v *view) straight(p, n geom.Vec) (direct, lamps tinted) {
	for _, h := range v.light.Hard {
		toward, lx, far := source(h, p)
		if cos := n.Dot(toward); cos > 0 {
			direct = direct.plus(through(v.sheets, nil, p, toward, far).of(tinted{lx: lx * cos}))
		}
	}
	for _, l := range v.light.Lamps {
		toward, lx, far := lampAt(l, p)
		if cos := n.Dot(toward); cos > 0 {
			lamps = lamps.plus(through(v.sheets, nil, p, toward, far).of(tinted{lx: lx * cos}))
		}
	}
	return direct, lamps
}
