package oracle

import (
	"math"
	"math/rand/v2"

	"kitspan/internal/geom"
	"kitspan/internal/light"
)

// RowScene returns a rig of mirroring boards side by side, each aimed at the subject or at a diffusing frame before it, as
// planned rigs have and random ones rarely do: neighbours hide part of one another, a frame or a flag takes part of the
// sun off some, cloths stand in the way of beams. In half of the rigs the boards work by a lamp at a place instead of the
// sun.
func RowScene(seed uint64) (light.Scene, []Face) {
	g := &rigger{Rand: rand.New(rand.NewPCG(seed, 2))}
	g.stand()
	g.scene.GroundReflectance = g.in(0.05, 0.6)
	g.scene.SkyLx = g.in(500, 8000)
	if g.chance(0.5) {
		g.scene.Hard = []light.Hard{{Dir: geom.Toward(g.in(0, 360), g.in(5, 60)), NormalLx: g.in(20000, 90000), RadiusDeg: 0.27}}
	} else {
		flood(g)
	}
	if g.chance(0.6) {
		g.overhead()
	}
	for range 1 + g.IntN(2) {
		row(g)
	}
	if g.chance(0.4) {
		flag(g)
	}
	if g.chance(0.3) {
		g.fedDiffuser()
	}
	if g.chance(0.4) {
		g.sideCloth()
	}
	return g.scene, g.faces
}

// flood stands a lamp near enough for its light to fall off over a board.
func flood(g *rigger) {
	at := g.subject.Add(geom.Toward(g.in(0, 360), 0).Scale(g.in(4, 9)))
	at.Z = g.in(2, 5)
	d := at.Sub(g.subject)
	g.scene.Hard = append(g.scene.Hard, light.Hard{At: &at, IntensityCd: g.in(3000, 30000) * d.Dot(d), RadiusDeg: g.in(0, 1)})
}

// row stands two to six boards of a kind side by side, square to the way to the subject.
func row(g *rigger) {
	p := light.Panel{B: light.Surface{Diffuse: g.in(0.02, 0.1)}}
	p.A = light.Surface{Diffuse: g.in(0.05, 0.3), Specular: g.in(0.4, 0.65), LobeDeg: math.Exp(g.in(math.Log(0.1), math.Log(18)))}
	way := geom.Toward(g.key+g.in(-50, 50), 0)
	along := geom.Vec{X: -way.Y, Y: way.X}
	middle := g.subject.Add(way.Scale(g.in(1.5, 7)))
	middle.Z = g.in(0.6, 2)
	width, height := g.in(0.5, 1.5), g.in(0.5, 1.5)
	pitch := width + g.in(0, 0.3)
	n := 2 + g.IntN(5)
	spread := g.in(0, 0.5)
	for i := range n {
		k := float64(i) - float64(n-1)/2
		c := middle.Add(along.Scale(k * pitch))
		goal := g.subject.Add(along.Scale(k * spread))
		g.place(func() (geom.Vec, geom.Vec, float64, float64) {
			return c, g.main(c).Add(goal.Sub(c).Unit()), width, height
		}, p)
	}
}

// flag stands a panel between the source and one of the boards.
func flag(g *rigger) {
	if len(g.scene.Panels) == 0 {
		return
	}
	b := g.scene.Panels[g.IntN(len(g.scene.Panels))]
	c := b.Corners[0].Add(b.Corners[2]).Scale(0.5)
	p := g.cloth()
	if g.chance(0.5) {
		p = light.Panel{A: light.Surface{Diffuse: 0.03}, B: light.Surface{Diffuse: 0.03}}
	}
	g.place(func() (geom.Vec, geom.Vec, float64, float64) {
		s := g.main(c)
		off := geom.Vec{X: g.in(-0.5, 0.5), Y: g.in(-0.5, 0.5), Z: g.in(-0.5, 0.5)}
		return c.Add(s.Scale(g.in(0.5, 1.5))).Add(off), s, g.in(0.4, 1.5), g.in(0.4, 1.5)
	}, p)
}
