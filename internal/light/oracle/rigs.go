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

// RandomScene returns a rig about a subject, made again from the same seed, and faces to be read: key, fill and back of the
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
