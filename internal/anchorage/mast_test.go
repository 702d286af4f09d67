package anchorage

import (
	"math"
	"math/rand/v2"
	"testing"

	"kitspan/internal/catalog"
	"kitspan/internal/geom"
	"kitspan/internal/placement"
	"kitspan/internal/scene"
	"kitspan/internal/shot"
	"kitspan/internal/shot/shottest"
)

// TestABaseStandsOffPeopleAndOutOfThePicture puts bases under points held at random, and walks around the feet, up the mast
// and along the arm of each that finds room.
func TestABaseStandsOffPeopleAndOutOfThePicture(t *testing.T) {
	const sampled = 1e-3 // between points sampled and the outline, in metres
	stood, armed := 0, 0
	for seed := range uint64(3000) {
		rng := rand.New(rand.NewPCG(seed, 1))
		in := func(lo, hi float64) float64 { return lo + (hi-lo)*rng.Float64() }
		d := shottest.Bare()
		d.Camera = shot.DraftCamera{BearingDeg: new(in(0, 360)), HeightM: new(in(0.4, 2.6)), AimHeightM: new(in(0.8, 1.5))}
		d.Framing = shot.DraftFraming{WidthM: new(in(0.5, 4)), DistanceM: new(in(1.2, 8))}
		s := shottest.Resolve(t, d)
		st := scene.NewStage(&s)
		st.Others = append(st.Others, geom.Box{Mid: geom.Vec{X: in(-4, 4), Y: in(1, 5), Z: 0.9}, Half: geom.Vec{X: 0.5, Y: 0.4, Z: 0.9}})
		foot := in(0.3, 1)
		w := Support{
			Item: &catalog.Item{SKU: "stand"}, Spec: &catalog.Support{Class: catalog.ClassStand, FootprintM: foot, Legs: 3},
			Limits: placement.SupportLimits{LowestM: 0.5, HighestM: 6, TopM: math.Inf(1), Count: 2, Stances: []placement.Stance{{ArmM: in(0, 2), FootM: foot}}},
		}
		outer := geom.Rect{Center: geom.Vec{X: in(-4, 4), Y: in(-4, 6), Z: in(2.3, 5)}, U: geom.Vec{X: 1}, V: geom.Vec{Y: 1}, HalfU: in(0.5, 2), HalfV: in(0.5, 2)}
		held := outer.Center.Add(outer.U.Scale(outer.HalfU))
		m, ok := PutBase(st, held, &w, &outer, nil)
		if !ok {
			continue
		}
		stood++
		if m.ArmM() > 0.01 {
			armed++
		}
		if arm := math.Hypot(m.Base.X-held.X, m.Base.Y-held.Y); arm > w.Limits.Stances[0].ArmM+1e-6 {
			t.Errorf("seed %d: an arm of %.3f m reaches %.3f m", seed, w.Limits.Stances[0].ArmM, arm)
		}
		inZone := func(z geom.Box, p geom.Vec) bool {
			return math.Abs(p.X-z.Mid.X) < z.Half.X-sampled && math.Abs(p.Y-z.Mid.Y) < z.Half.Y-sampled
		}
		for k := range 72 {
			p := m.Base.Add(geom.Toward(float64(k)*5, 0).Scale(foot))
			for _, z := range append([]geom.Box{st.Zone()}, st.Others...) {
				if inZone(z, p) {
					t.Errorf("seed %d: a foot at %v among the people about %v", seed, p, z.Mid)
				}
			}
			along := float64(k) / 71
			for _, q := range [3]geom.Vec{p, m.Base.Add(m.Top().Sub(m.Base).Scale(along)), m.Top().Add(m.Held.Sub(m.Top()).Scale(along))} {
				if c := st.View.Clearance(q); c < st.ViewM-sampled {
					t.Errorf("seed %d: %v is %.4f m from the picture, %.4f are asked", seed, q, c, st.ViewM)
				}
			}
		}
	}
	if stood < 500 || armed < 100 {
		t.Errorf("only %d bases stood, %d of them with an arm", stood, armed)
	}
}
