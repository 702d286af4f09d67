package oracle_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"kitspan/internal/geom"
	"kitspan/internal/light"
	"kitspan/internal/light/oracle"
)

// largestShift is the largest shift that a random cloth or face has, either way, in mired, and shiftShare what of it a shift may be off by
// for what the levels are off by which the ways count; the worst of 300 rigs was off by 0.015 of it.
const (
	largestShift = 100.0
	shiftShare   = 0.02
)

// TestShiftsAgainstMonteCarlo holds the shift of the light on key and fill face to rays, each of which adds up what shifts it on its way.
func TestShiftsAgainstMonteCarlo(t *testing.T) {
	for _, g := range generators {
		t.Run(g.name, func(t *testing.T) {
			t.Parallel()
			shifted := 0
			for seed := range uint64(seeds() / 2) {
				scene, faces := g.make(seed)
				tint(&scene, seed)
				lit := light.Light(&scene)
				by := oracle.Look(&scene, rays, seed)
				for _, f := range faces {
					if f.Name != "key" && f.Name != "fill" {
						continue
					}
					lx := lit.Face(f.P, f.N).Total()
					if lx < darkLx {
						continue
					}
					got, _ := light.ShiftMired(new(light.Lit), &scene, f.P, f.N, lx)
					want := by.Face(f.P, f.N)
					if off := math.Abs(got - want.ShiftMired); !(off <= partErrors*want.ShiftError+shiftShare*largestShift) {
						t.Errorf("seed %d, %s: %.3f mired, by rays %.3f ± %.3f", seed, f.Name, got, want.ShiftMired, want.ShiftError)
					}
					if math.Abs(want.ShiftMired) > 2*shiftShare*largestShift {
						shifted++
					}
				}
			}
			if shifted < seeds()/20 {
				t.Errorf("%d faces with a shift to speak of: too few to say anything", shifted)
			}
		})
	}
}

// tint gives each cloth and each face of a scene a shift.
func tint(s *light.Scene, seed uint64) {
	r := rand.New(rand.NewPCG(seed, 0xc01))
	mired := func() float64 { return math.Round(largestShift * (2*r.Float64() - 1)) }
	for i := range s.Panels {
		p := &s.Panels[i]
		p.ShiftMired, p.A.ShiftMired, p.B.ShiftMired = mired(), mired(), mired()
	}
}

// TestShiftByHand compares rays and formula with what can be computed by hand.
func TestShiftByHand(t *testing.T) {
	sun := light.Hard{Dir: up, NormalLx: 50000, RadiusDeg: 0.27}
	cloth := with(flat(0, 0, 3, 4000, 4000), light.Surface{}, light.Surface{}, 0.5, 0.2)
	cloth.ShiftMired = 30
	floor := with(flat(0, 0, 1, 4000, 4000), light.Surface{}, light.Surface{Diffuse: 0.6, ShiftMired: 80}, 0, 0)
	floor.A, floor.B = floor.B, floor.A // looks up
	for _, c := range []struct {
		name string
		sky  float64
		over []light.Panel
		n    geom.Vec
		want float64
	}{
		{"straight and spread through a cloth both have its shift", 0, []light.Panel{cloth}, up, 30},
		{"a face below has that of the gold under it alone", 0, []light.Panel{floor}, up.Scale(-1), 80},
		{"through the cloth and off the gold both add up; rays that are spread twice do not count", 0, []light.Panel{cloth, floor}, up.Scale(-1), 110},
		// From the sky comes through the cloth 0.5 × 10000 lx, all by it.
		{"the sky through the cloth has it, too", 10000, []light.Panel{cloth}, up, 30},
		{"with nothing that shifts there is none", 10000, nil, up, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			scene := light.Scene{SkyLx: c.sky, Hard: []light.Hard{sun}, Panels: c.over}
			lx := light.Light(&scene).Face(eyes, c.n).Total()
			got, ok := light.ShiftMired(new(light.Lit), &scene, eyes, c.n, lx)
			if math.Abs(got-c.want) > 0.01 || ok != (c.want != 0) {
				t.Errorf("%.4f mired, %v, wanted %.0f", got, ok, c.want)
			}
			if r := oracle.Look(&scene, rays, 1).Face(eyes, c.n); math.Abs(r.ShiftMired-c.want) > 0.01 {
				t.Errorf("by rays %.4f ± %.4f mired, wanted %.0f", r.ShiftMired, r.ShiftError, c.want)
			}
		})
	}
}
