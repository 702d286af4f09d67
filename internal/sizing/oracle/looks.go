package oracle

import (
	"math"
	"math/rand/v2"

	"kitspan/internal/shot"
)

// looked varies what the picture should look like, by numbers of its own, so that a shot stands where it stood.
func (g *maker) looked(seed uint64) {
	g.rng = rand.New(rand.NewPCG(seed, 0x100c))
	l := &g.d.Look
	if g.one(3) {
		l.KeySide = ptr([]string{shot.SideLeft, shot.SideRight}[g.rng.IntN(2)])
	}
	if !g.one(4) {
		l.KeyStops, l.ContrastStops = ptr(g.in(-2, 0.5)), ptr(g.in(0.5, 3))
	}
	if g.one(6) {
		l.NetStops = ptr([]float64{0.5, 1, 1.5}[g.rng.IntN(3)])
	}
	if g.one(6) {
		l.BackStops = ptr(g.in(-1.5, 1))
	}
	switch g.rng.IntN(20) {
	case 0:
		l.Soften = ptr(shot.SoftenOff)
	case 1, 2:
		l.Soften = ptr(shot.SoftenPreferred)
	}
	switch g.rng.IntN(4) {
	case 0:
		g.d.Site.Ground = ptr([]string{"grass", "soil", "sand", "concrete", "asphalt", "snow", "water"}[g.rng.IntN(7)])
	case 1:
		g.d.Site.GroundReflectance = ptr(g.in(0.05, 0.6))
	}
	if g.one(6) {
		g.d.Background.Reflectance = ptr(g.in(0.08, 0.5))
	}
	if g.one(4) {
		g.d.Exposure.ISO, g.d.Exposure.TStop = ptr(g.in(100, 3200)), ptr(g.in(1.4, 11))
		g.d.Exposure.FrameRateFPS, g.d.Exposure.ShutterAngleDeg = ptr(g.in(24, 120)), ptr(g.in(45, 180))
		g.d.Background.PlacementStops = ptr(g.in(-1, 2))
	}
	if g.one(8) {
		g.d.Prefer = ptr([]string{shot.PreferCheapest, shot.PreferLightest, shot.PreferFewestHands}[g.rng.IntN(3)])
	}
	if g.behind {
		for range 1 + g.rng.IntN(2) {
			g.someBehind()
		}
	}
	if g.one(4) {
		l.Colour = ptr(shot.ColourWarm)
	}
}

// windy varies the wind and what holds a line in the ground, by numbers of its own, so that a shot stands and is lit as it
// was: where a ground is named, its light stays that of the ground that was.
func (g *maker) windy(seed uint64) {
	g.rng = rand.New(rand.NewPCG(seed, 0x817d))
	g.d.GustMS = ptr([]float64{0, 4, 8, 8, 12, 15}[g.rng.IntN(6)])
	if g.one(3) {
		g.d.GroundAnchor = ptr(shot.AnchorStakes)
		if site := &g.d.Site; site.Ground == nil {
			site.Ground = ptr([]string{"grass", "soil"}[g.rng.IntN(2)])
			if site.GroundReflectance == nil {
				site.GroundReflectance = ptr(concreteReflects)
			}
		}
	}
}

// faced varies what the lens sees of the background, by numbers of its own too: sunlit ground for the most part, against which there is a
// key to lift.
func (g *maker) faced(seed uint64) {
	g.rng = rand.New(rand.NewPCG(seed, 0xface))
	if words := []string{shot.FacesLevel, shot.FacesLevel, shot.FacesLevel, shot.FacesSky, "", shot.FacesUpright}; g.d.Background.EV100 == nil {
		if word := words[g.rng.IntN(len(words))]; word != "" {
			g.d.Background.Faces = ptr(word)
		}
	}
}

// concreteReflects is what a shot's ground reflects where nothing is said.
const concreteReflects = 0.25

// one is true once in so many times.
func (g *maker) one(in int) bool { return g.rng.IntN(in) == 0 }

// someBehind adds a further zone in the picture behind the main one and those before it.
func (g *maker) someBehind() {
	w, d := *g.d.Framing.WidthM, *g.d.Framing.DistanceM
	n := float64(len(g.d.OtherZones))
	back := *g.d.Zone.DepthM/2 + 1 + 1.8*n + g.in(0, 0.8)
	half := w / 2 * (d + back) / d
	wide := g.in(0.4, 1)
	g.d.OtherZones = append(g.d.OtherZones, shot.DraftOtherZone{
		Label: ptr([]string{"mates", "friends"}[len(g.d.OtherZones)]), WidthM: ptr(wide), DepthM: ptr(g.in(0.3, 0.8)),
		CenterM:  g.beside(g.in(-1, 1)*math.Max(0, half-wide/2), back+0.4),
		BaseM:    ptr(g.in(0, 0.9)),
		TopM:     ptr(g.in(1.2, 1.85)),
		KeyStops: ptr(g.in(-2, 0)),
	})
}

// beside is a point of the ground so far to the right of the lens and behind the origin.
func (g *maker) beside(right, back float64) []float64 {
	b := *g.d.Camera.BearingDeg
	p := toward(b+90, 0).times(right).plus(toward(b, 0).times(back))
	return []float64{math.Round(p.x*1000) / 1000, math.Round(p.y*1000) / 1000}
}

// overcast hides the sun; now and then a meter was read.
func (g *maker) overcast() {
	g.d.Sky.Condition = ptr("overcast")
	if g.one(3) {
		g.d.Sky.SkyLx = ptr(math.Round(g.in(1500, 20000)))
	}
}

// readings gives what a meter read in mid-window: sun, sky or both, about as any sky may have it.
func (g *maker) readings() {
	g.d.Sky.Condition = ptr([]string{"clear", "partly_cloudy", "overcast"}[g.rng.IntN(3)])
	which := g.rng.IntN(3)
	if which != 0 {
		g.d.Sky.SkyLx = ptr(math.Round(g.in(4000, 25000)))
	}
	if which != 1 {
		g.d.Sky.SunLx = ptr(math.Round(g.in(20000, 95000)))
	}
}

// dark is a roofed place without lamps of its own; most know how bright the background will be.
func (g *maker) dark() {
	g.at(northern[0])
	g.d.Site.Roofed = ptr(true)
	g.d.Window = shot.DraftWindow{Date: ptr("2027-11-05"), Start: ptr("19:00"), End: ptr("20:00")}
	g.d.Camera.BearingDeg = ptr(g.in(0, 360))
	if !g.one(4) {
		g.d.Background.EV100 = ptr(g.in(4, 9))
	}
}
