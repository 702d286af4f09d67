package oracle

import (
	"fmt"
	"math"
	"math/rand/v2"

	"kitspan/internal/geom"
	"kitspan/internal/light"
)

// Face is a face to be read: where it is and where it looks.
type Face struct {
	Name string
	P, N geom.Vec
}

// The least room between a panel and a face. Nobody sits nearer to a frame.
const elbowM = 0.3

// Places tried for a piece before the rig goes without.
const tries = 60

// rigger puts a random rig up about a subject, piece by piece, so that no two panels cut through each other and all
// stand on or above the ground.
type rigger struct {
	*rand.Rand
	scene   light.Scene
	faces   []Face
	subject geom.Vec
	key     float64 // bearing of the key face
	turn    float64 // +45 or −45: the key side of the camera's bearing
}

// RandomScene is a rig about a subject, made again from the same seed, and faces to be read: key, fill and back of the
// subject first, then some anywhere in its zone.
func RandomScene(seed uint64) (light.Scene, []Face) {
	g := &rigger{Rand: rand.New(rand.NewPCG(seed, 0))}
	g.stand()
	g.shine()
	g.scene.GroundReflectance = g.in(0.05, 0.9)
	if g.chance(0.85) {
		g.overhead()
	}
	if g.chance(0.2) {
		g.sideCloth()
	}
	for range 1 + g.IntN(3) {
		g.board()
	}
	if g.chance(0.6) {
		g.fill()
	}
	if g.chance(0.3) {
		g.net()
	}
	if g.chance(0.3) {
		g.fedDiffuser()
	}
	if g.chance(0.25) {
		g.lamps()
	}
	return g.scene, g.faces
}

func (g *rigger) in(low, high float64) float64 { return low + (high-low)*g.Float64() }

func (g *rigger) chance(p float64) bool { return g.Float64() < p }

// stand places the subject and its faces.
func (g *rigger) stand() {
	g.subject = geom.Vec{X: g.in(-1, 1), Y: g.in(-1, 1), Z: g.in(0.7, 1.5)}
	camera := g.in(0, 360)
	g.turn = 45
	if g.chance(0.5) {
		g.turn = -45
	}
	g.key = camera + g.turn
	g.faces = []Face{
		{"key", g.subject, geom.Toward(g.key, 0)},
		{"fill", g.subject, geom.Toward(camera-g.turn, 0)},
		{"back", g.subject, geom.Toward(camera+180, 45)},
	}
	for i := range 3 {
		p := g.subject.Add(geom.Vec{X: g.in(-0.5, 0.5), Y: g.in(-0.5, 0.5), Z: g.in(-0.4, 0.4)})
		n := geom.Toward(g.in(0, 360), math.Asin(g.in(-1, 1))*180/math.Pi)
		g.faces = append(g.faces, Face{fmt.Sprintf("any %d", i+1), p, n})
	}
}

// shine chooses the sky, the sun and the floodlights. Levels are round numbers of the right size: a check of light that
// is added up does not hang on them.
func (g *rigger) shine() {
	elevation := g.in(8, 80)
	rise := math.Sin(elevation * math.Pi / 180)
	clear := g.Float64()
	floods := 0
	switch g.IntN(6) {
	case 0: // a hall or a ground at night
		floods = 1 + g.IntN(2)
		g.scene.SkyLx = g.in(0, 60)
	case 1: // a floodlight beside the sun
		floods = 1
		fallthrough
	default:
		if clear > 0.1 { // else overcast
			g.scene.Hard = append(g.scene.Hard, light.Hard{
				Dir: geom.Toward(g.in(0, 360), elevation), NormalLx: 127500 * math.Exp(-0.21/rise) * clear, RadiusDeg: 0.27,
			})
		}
		g.scene.SkyLx = (3000 + 20000*(1-clear)) * rise
	}
	for range floods {
		at := g.subject.Add(geom.Toward(g.in(0, 360), 0).Scale(g.in(6, 20)))
		at.Z = g.in(3, 12)
		d := at.Sub(g.subject)
		lx := math.Exp(g.in(math.Log(300), math.Log(20000)))
		g.scene.Hard = append(g.scene.Hard, light.Hard{At: &at, IntensityCd: lx * d.Dot(d), RadiusDeg: g.in(0.3, 4)})
	}
}

// main is the direction from a point to the first hard source; straight up where there is none.
func (g *rigger) main(from geom.Vec) geom.Vec {
	if len(g.scene.Hard) == 0 {
		return geom.Vec{Z: 1}
	}
	toward, _, _ := source(g.scene.Hard[0], from)
	return toward
}

// cloth is a random diffusing cloth; a few let nothing through.
func (g *rigger) cloth() light.Panel {
	p := light.Panel{Transmittance: g.in(0.15, 0.85), BeamShare: g.in(0, 0.6)}
	if g.chance(0.1) {
		p.Transmittance = 0
	}
	p.A.Diffuse = g.in(0.05, 1) * (1 - p.Transmittance) * 0.9
	p.B = p.A
	if g.chance(0.3) { // one side darker than the other
		p.B.Diffuse *= 0.3
	}
	return p
}

// overhead hangs a cloth between the first hard source and the subject.
func (g *rigger) overhead() {
	p := g.cloth()
	g.place(func() (geom.Vec, geom.Vec, float64, float64) {
		s := g.main(g.subject)
		lean := s
		lean.Z = 0
		up := g.in(1.5, 4)
		shift := math.Min(2.5, (up-g.subject.Z)*lean.Len()/math.Max(0.1, s.Z))
		c := g.subject.Add(lean.Unit().Scale(shift * g.in(0.3, 1.2)))
		c.Z = up
		return c, geom.Toward(s.Bearing()+g.in(-50, 50), 90-g.in(0, 60)), g.in(0.9, 6), g.in(0.9, 6)
	}, p)
}

// sideCloth stands a cloth upright between the source and the subject, nearly.
func (g *rigger) sideCloth() {
	p := g.cloth()
	g.place(func() (geom.Vec, geom.Vec, float64, float64) {
		bearing := g.main(g.subject).Bearing() + g.in(-60, 60)
		c := g.subject.Add(geom.Toward(bearing, 0).Scale(g.in(1, 3)))
		return c, geom.Toward(bearing, g.in(-10, 40)), g.in(0.9, 3), g.in(0.9, 3)
	}, p)
}

// board sets a key board up so that it sends the first hard source to the subject.
func (g *rigger) board() {
	p := light.Panel{B: light.Surface{Diffuse: g.in(0.02, 0.1)}}
	switch g.IntN(3) {
	case 0:
		p.A = light.Surface{Diffuse: g.in(0.7, 0.9)}
	case 1:
		p.A = light.Surface{Diffuse: g.in(0.1, 0.3), Specular: g.in(0.4, 0.65), LobeDeg: g.in(5, 18)}
		if g.chance(0.3) {
			p.B = light.Surface{Diffuse: 0.85}
		}
	case 2:
		p.A = light.Surface{Diffuse: 0.02, Specular: g.in(0.8, 0.93), LobeDeg: 0.1}
	}
	g.place(func() (geom.Vec, geom.Vec, float64, float64) {
		c := g.subject.Add(geom.Toward(g.key+g.in(-50, 50), 0).Scale(g.in(1.5, 8)))
		c.Z = g.in(0.2, 3)
		n := g.main(c).Add(g.subject.Sub(c).Unit())
		return c, n, g.in(0.5, 2.4), g.in(0.5, 2.4)
	}, p)
}

// fill stands a white or a black panel on the fill side.
func (g *rigger) fill() {
	p := light.Panel{A: light.Surface{Diffuse: 0.03}, B: light.Surface{Diffuse: 0.03}}
	if g.chance(0.5) {
		p.A.Diffuse = g.in(0.7, 0.9)
	}
	g.place(func() (geom.Vec, geom.Vec, float64, float64) {
		bearing := g.key - 2*g.turn + g.in(-30, 30)
		c := g.subject.Add(geom.Toward(bearing, 0).Scale(g.in(0.7, 2.5)))
		return c, geom.Toward(bearing+180, g.in(-15, 25)), g.in(0.8, 2.4), g.in(0.8, 2.4)
	}, p)
}

// net hangs a net cloth behind the subject.
func (g *rigger) net() {
	p := light.Panel{Transmittance: g.in(0.3, 0.8), BeamShare: g.in(0.85, 1)}
	p.A.Diffuse = g.in(0.02, 0.1)
	p.B = p.A
	g.place(func() (geom.Vec, geom.Vec, float64, float64) {
		bearing := g.key - g.turn + 180
		c := g.subject.Add(geom.Toward(bearing, 0).Scale(g.in(1.5, 5)))
		return c, geom.Toward(bearing, 0), g.in(2.4, 6), g.in(2, 4)
	}, p)
}

// fedDiffuser puts a frame between one of the boards and the subject.
func (g *rigger) fedDiffuser() {
	var boards []geom.Vec
	for _, p := range g.scene.Panels {
		if p.Transmittance == 0 {
			boards = append(boards, p.Corners[0].Add(p.Corners[2]).Scale(0.5))
		}
	}
	if len(boards) == 0 {
		return
	}
	g.before(boards[g.IntN(len(boards))])
}

// before puts a fed frame between a place that light comes from and the subject.
func (g *rigger) before(from geom.Vec) {
	p := g.cloth()
	p.Fed = true
	g.place(func() (geom.Vec, geom.Vec, float64, float64) {
		way := from.Sub(g.subject)
		return g.subject.Add(way.Scale(g.in(0.3, 0.7))), way, g.in(0.9, 2.4), g.in(0.9, 2.4)
	}, p)
}

// lamps puts one or two up, the first behind a fed frame.
func (g *rigger) lamps() {
	for i := range 1 + g.IntN(2) {
		at := g.subject.Add(geom.Toward(g.key+g.in(-60, 60), 0).Scale(g.in(2, 6)))
		at.Z = g.in(1, 4)
		aim := g.subject.Add(geom.Vec{X: g.in(-0.3, 0.3), Y: g.in(-0.3, 0.3), Z: g.in(-0.3, 0.3)})
		g.scene.Lamps = append(g.scene.Lamps, light.Lamp{At: at, Aim: aim, IntensityCd: g.in(10000, 300000), BeamDeg: g.in(10, 100)})
		if i == 0 {
			g.before(at)
		}
	}
}

// place tries to put the panel up at a centre, square to a direction, so long and so wide; side A looks along the
// direction, and in half of the cases what is written as A and B is exchanged with the order of the corners.
func (g *rigger) place(draw func() (center, normal geom.Vec, long, wide float64), p light.Panel) {
	for range tries {
		c, n, long, wide := draw()
		if n.Len() < 0.05 {
			continue
		}
		a, b := frame(n.Unit())
		if n.Unit().Z < 0.99 { // edges level and down the slope, as stands hold them, at times turned
			a = geom.Vec{Z: 1}.Cross(n).Unit()
			b = n.Unit().Cross(a)
		}
		if g.chance(0.2) {
			s, co := math.Sincos(g.in(0, math.Pi))
			a, b = a.Scale(co).Add(b.Scale(s)), b.Scale(co).Sub(a.Scale(s))
		}
		low := c.Z - (math.Abs(a.Z)*long+math.Abs(b.Z)*wide)/2
		switch {
		case low < 0: // stand it on the ground, or a little above
			c.Z -= low
			if g.chance(0.5) {
				c.Z += g.in(0, 0.4)
			}
		case low < 0.3 && g.chance(0.5):
			c.Z -= low
		}
		la, wb := a.Scale(long/2), b.Scale(wide/2)
		q := [4]geom.Vec{c.Sub(la).Sub(wb), c.Add(la).Sub(wb), c.Add(la).Add(wb), c.Sub(la).Add(wb)}
		if !g.clear(q) {
			continue
		}
		if g.chance(0.5) {
			q[1], q[3] = q[3], q[1]
			p.A, p.B = p.B, p.A
		}
		p.Corners = q
		g.scene.Panels = append(g.scene.Panels, p)
		return
	}
}

// clear says that a panel keeps off faces, lamps and sources and cuts through no other panel.
func (g *rigger) clear(q [4]geom.Vec) bool {
	if !g.keepsOff(newSheet(0, light.Panel{Corners: q})) {
		return false
	}
	for _, o := range g.scene.Panels {
		if cut(q, o.Corners) {
			return false
		}
	}
	return true
}

// keepsOff says that no face, lamp or source at a place is near the sheet.
func (g *rigger) keepsOff(s *sheet) bool {
	for _, f := range g.faces {
		if s.away(f.P) < elbowM {
			return false
		}
	}
	for _, l := range g.scene.Lamps {
		if s.away(l.At) < elbowM {
			return false
		}
	}
	for _, h := range g.scene.Hard {
		if h.At != nil && s.away(*h.At) < elbowM {
			return false
		}
	}
	return true
}

// away is how far a point is from the sheet.
func (s *sheet) away(p geom.Vec) float64 {
	d := p.Sub(s.origin)
	u := math.Min(1, math.Max(0, d.Dot(s.along)*s.perLong))
	v := math.Min(1, math.Max(0, d.Dot(s.across)*s.perWide))
	return p.Sub(s.at(u, v)).Len()
}

// cut says that two rectangles go through each other.
func cut(q, r [4]geom.Vec) bool {
	return newSheet(0, light.Panel{Corners: q}).cutBy(r) || newSheet(0, light.Panel{Corners: r}).cutBy(q)
}

// cutBy says that an edge of the rectangle q goes through the sheet.
func (s *sheet) cutBy(q [4]geom.Vec) bool {
	for i := range q {
		edge := q[(i+1)%4].Sub(q[i])
		if l, inside := s.meet(q[i], edge); inside && l >= 0 && l <= 1 {
			return true
		}
	}
	return false
}
