package oracle

import (
	"fmt"
	"math"
	"math/rand/v2"

	"kitspan/internal/shot"
)

// DrivenScenes makes n shots whose key takes several boards side by side, or boards that work by lamps near by: every other
// one a sunlit group wider than a board, under a sun from behind, every other one in a hall whose lamps stand 4 to 9 m from the
// subject, as near as their light still falls off over a board. The i-th is of the seed first+i.
func DrivenScenes(first uint64, n int) []Shoot {
	list := make([]Shoot, n)
	for i := range list {
		seed := first + uint64(i)
		g := &maker{rng: rand.New(rand.NewPCG(seed, 0xb0a2d))}
		kind := "boards side by side"
		if seed%2 == 0 {
			g.sunlit(8, 45, 0, 60)
			g.picture(2, 5)
			if g.one(2) {
				g.d.Site.Ground = ptr("grass")
			}
		} else {
			kind = "lamps to work by"
			g.at(northern[0])
			g.d.Site.Roofed = ptr(true)
			g.d.Window = shot.DraftWindow{Date: ptr("2027-11-05"), Start: ptr("19:00"), End: ptr("20:00")}
			g.d.Camera.BearingDeg = ptr(g.in(0, 360))
			g.picture(0.8, 2.5)
			g.nearLamps()
		}
		g.finish()
		g.d.Look.KeyStops, g.d.Look.ContrastStops = ptr(g.in(-0.5, 1)), ptr(g.in(1, 2.5))
		g.d.Name = kind
		list[i] = Shoot{Kind: kind, Seed: seed, Draft: g.d}
	}
	return list
}

// nearLamps stands one or two lamps near the subject, most behind it.
func (g *maker) nearLamps() {
	for i := range 1 + g.rng.IntN(2) {
		far := g.in(4, 9)
		p := toward(*g.d.Camera.BearingDeg+g.in(-100, 100), 0).times(far)
		p.z = g.in(2, 4.5)
		g.d.Lamps = append(g.d.Lamps, shot.DraftLamp{
			Label:            ptr(fmt.Sprintf("lamp %d", i+1)),
			PositionM:        []float64{math.Round(p.x*1000) / 1000, math.Round(p.y*1000) / 1000, p.z},
			IntensityCd:      ptr(math.Round(g.in(1000, 20000) * far * far)),
			AngularRadiusDeg: ptr(g.in(0, 0.5)),
		})
	}
}
