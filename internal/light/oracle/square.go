package oracle

import (
	"math"
	"math/rand/v2"

	"kitspan/internal/geom"
	"kitspan/internal/light"
)

// within is by how much of its size a panel is made smaller or larger to see whether two touch or cut: far above rounding,
// far below what one sees.
const within = 1e-6

// SquareScene returns a rig in which all stands square, in line and edge to edge, as planned rigs do and random ones never:
// places lie on a grid of half metres, panels are level, upright or at 45°, the sun is over a quarter of the compass.
// Faces lie in planes of panels, shadows end in corners, a sun grazes boards.
func SquareScene(seed uint64) (light.Scene, []Face) {
	g := &rigger{Rand: rand.New(rand.NewPCG(seed, 1))}
	g.subject = geom.Vec{X: g.half(-1, 1), Y: g.half(-1, 1), Z: g.half(0.5, 2)}
	camera := float64(45 * g.IntN(8))
	g.faces = []Face{
		{"key", g.subject, geom.Toward(camera+45, 0)},
		{"fill", g.subject, geom.Toward(camera-45, 0)},
		{"back", g.subject, geom.Toward(camera+180, 45)},
		{"up", g.subject, geom.Vec{Z: 1}},
		{"down", g.subject, geom.Vec{Z: -1}},
		{"front", g.subject, geom.Toward(camera, 0)},
	}
	g.scene.GroundReflectance = g.in(0.05, 0.9)
	g.scene.SkyLx = g.in(0, 20000)
	if g.chance(0.8) {
		g.scene.Hard = append(g.scene.Hard, light.Hard{
			Dir: geom.Toward(float64(45*g.IntN(8)), float64(15+15*g.IntN(6))), NormalLx: g.in(10000, 90000), RadiusDeg: 0.27,
		})
	}
	if g.chance(0.3) {
		at := geom.Vec{X: g.half(-8, 8), Y: g.half(-8, 8), Z: g.half(0.5, 8)}
		if d := at.Sub(g.subject); d.Len() > 1 {
			g.scene.Hard = append(g.scene.Hard, light.Hard{At: &at, IntensityCd: g.in(300, 20000) * d.Dot(d), RadiusDeg: 1})
		}
	}
	for range 1 + g.IntN(6) {
		g.square()
	}
	if g.chance(0.3) {
		g.lampOnGrid()
	}
	if g.chance(0.6) {
		g.swing(float64(15 * g.IntN(24)))
	}
	return g.scene, g.faces
}

// swing turns the whole rig about the upright through the origin, which leaves every level as it was. What stood square
// then does so but for rounding, heights too, as in rigs that were put where they are by bearings and tilts.
func (g *rigger) swing(degrees float64) {
	sin, cos := math.Sincos(degrees * math.Pi / 180)
	turned := func(v geom.Vec) geom.Vec { return geom.Vec{X: cos*v.X + sin*v.Y, Y: cos*v.Y - sin*v.X, Z: v.Z} }
	for i := range g.scene.Panels {
		for j, c := range g.scene.Panels[i].Corners {
			c = turned(c)
			c.Z += float64(g.IntN(5)-2) * 0x1p-53
			g.scene.Panels[i].Corners[j] = c
		}
	}
	for i := range g.scene.Hard {
		h := &g.scene.Hard[i]
		h.Dir = turned(h.Dir)
		if h.At != nil {
			at := turned(*h.At)
			h.At = &at
		}
	}
	for i := range g.scene.Lamps {
		g.scene.Lamps[i].At, g.scene.Lamps[i].Aim = turned(g.scene.Lamps[i].At), turned(g.scene.Lamps[i].Aim)
	}
	for i := range g.faces {
		g.faces[i].P, g.faces[i].N = turned(g.faces[i].P), turned(g.faces[i].N)
	}
}

// lampOnGrid puts a lamp up that looks at the subject, where no panel is near.
func (g *rigger) lampOnGrid() {
	l := light.Lamp{
		At:  geom.Vec{X: g.half(-4, 4), Y: g.half(-4, 4), Z: g.half(0.5, 4)},
		Aim: g.subject, IntensityCd: g.in(10000, 300000), BeamDeg: g.in(10, 100),
	}
	if l.At.Sub(l.Aim).Len() < 1 {
		return
	}
	for _, p := range g.scene.Panels {
		if newSheet(p).away(l.At) < elbowM {
			return
		}
	}
	g.scene.Lamps = append(g.scene.Lamps, l)
}

// half is a multiple of half a metre.
func (g *rigger) half(low, high float64) float64 {
	return low + 0.5*float64(g.IntN(int(2*(high-low))+1))
}

// square puts up a panel of any kind on the grid.
func (g *rigger) square() {
	p := g.cloth()
	switch g.IntN(4) {
	case 0:
		p = light.Panel{A: light.Surface{Diffuse: 0.8}, B: light.Surface{Diffuse: 0.05}}
	case 1:
		p = light.Panel{A: light.Surface{Diffuse: 0.1, Specular: 0.7, LobeDeg: g.in(0.1, 15)}, B: light.Surface{Diffuse: 0.05}}
	case 2:
		p.Fed = g.chance(0.5)
	}
	axes := []geom.Vec{{X: 1}, {Y: 1}, {Z: 1}, {X: 1, Z: 1}, {X: 1, Z: -1}, {Y: 1, Z: 1}, {Y: 1, Z: -1}}
	for range tries {
		a, b := axes[g.IntN(len(axes))], axes[g.IntN(len(axes))]
		if a.Dot(b) != 0 {
			continue
		}
		q := geom.Vec{X: g.half(-3, 3), Y: g.half(-3, 3), Z: g.half(0, 3)}
		a, b = a.Scale(g.half(0.5, 3)), b.Scale(g.half(0.5, 3))
		corners := [4]geom.Vec{q, q.Add(a), q.Add(a).Add(b), q.Add(b)}
		low, high := math.Inf(1), 0.0
		for _, c := range corners {
			low, high = math.Min(low, c.Z), math.Max(high, c.Z)
		}
		// Whether a cloth on the ground dims it once or twice nobody has said.
		if low < 0 || high == 0 && p.Transmittance > 0 || !g.touches(corners) {
			continue
		}
		p.Corners = corners
		g.scene.Panels = append(g.scene.Panels, p)
		return
	}
}

// touches reports whether a panel keeps off the subject and the sources and meets other panels edge to edge at most. One that
// stands with an edge on the middle of another is left out: a node of that one may lie on the edge, and sees either side.
func (g *rigger) touches(q [4]geom.Vec) bool {
	s := newSheet(light.Panel{Corners: q})
	if !g.keepsOff(s) {
		return false
	}
	small, large := sized(q, 1-within), sized(q, 1+within)
	for _, p := range g.scene.Panels {
		if cut(small, sized(p.Corners, 1+within)) || cut(large, sized(p.Corners, 1-within)) {
			return false
		}
		o := newSheet(p)
		inPlane := o.normal.Cross(s.normal).Len() < within && math.Abs(q[0].Sub(o.origin).Dot(o.normal)) < within
		if inPlane && o.overlaps(small) {
			return false
		}
	}
	return true
}

// sized is a rectangle so many times as large about its middle.
func sized(q [4]geom.Vec, times float64) [4]geom.Vec {
	middle := q[0].Add(q[2]).Scale(0.5)
	for i, c := range q {
		q[i] = middle.Add(c.Sub(middle).Scale(times))
	}
	return q
}

// overlaps reports whether a rectangle in the sheet's own plane covers some of it: one of the points of a fine grid over the
// one lies in the other.
func (s *sheet) overlaps(q [4]geom.Vec) bool {
	o := newSheet(light.Panel{Corners: q})
	const fine = 24
	for i := range fine + 1 {
		for j := range fine + 1 {
			p := o.at(float64(i)/fine, float64(j)/fine).Sub(s.origin)
			u, v := p.Dot(s.along)*s.perLong, p.Dot(s.across)*s.perWide
			if u > 0 && u < 1 && v > 0 && v < 1 {
				return true
			}
		}
	}
	return false
}
