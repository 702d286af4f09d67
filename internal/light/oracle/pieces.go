package oracle

import (
	"math"

	"kitspan/internal/geom"
	"kitspan/internal/light"
)

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
