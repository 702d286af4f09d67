package anchorage

import (
	"math/rand/v2"
	"testing"

	"kitspan/internal/geom"
	"kitspan/internal/shot"
)

// TestRopesCostNoLessThanTheirBound ties random frames to every kind of anchor, with the statics, and compares what that costs with what it
// was said to cost at least: a bound too high would pass over the cheapest.
func TestRopesCostNoLessThanTheirBound(t *testing.T) {
	_, st := onGround(t, "concrete", "ballast")
	at := st.ToWorld(geom.Vec{X: -12, Y: 7, Z: 1})
	point := shot.DraftAnchor{Label: ptr("railing"), PositionM: []float64{at.X, at.Y, at.Z}, SafePullN: ptr(3000.0)}
	tied, byBound := 0, 0
	for seed := range uint64(60) {
		rng := rand.New(rand.NewPCG(seed, 1))
		ground, anchor := "grass", "stakes"
		if rng.IntN(2) == 0 {
			ground, anchor = "concrete", "ballast"
		}
		var points []shot.DraftAnchor
		if rng.IntN(3) == 0 {
			points = append(points, point)
		}
		pl, st := onGround(t, ground, anchor, points...)
		sku := []string{"QG-STAND-COMBO", "QG-STAND-CRANK-37", "QG-STAND-ROLLER-LOW-ARM-10"}[rng.IntN(3)]
		p := frameOf(t, pl, 2+2*rng.IntN(2), 1+3*rng.Float64(), 90*rng.Float64(), 2.2+2*rng.Float64(), sku)
		q := pl.attempt(p, 3+6*rng.Float64(), pl.Owned)
		free := q.free()
		for _, set := range q.layouts(p, nothingAround(st)) {
			if !q.withItems(set) {
				continue
			}
			for _, at := range q.anchors(tiedOf(set)) {
				for stakes := 1; stakes <= mostStakes && (stakes == 1 || at != nil && at.pullN > 0); stakes++ {
					least := q.leastRoped(set, at, stakes)
					f, ok := q.anchored(set, at, tiedOf(set), stakes, false)
					if !ok {
						continue
					}
					if tied++; f.Minor+f.EffortMinor < least {
						t.Errorf("seed %d: ropes cost %d and %d of hands, said to be %d at least", seed, f.Minor, f.EffortMinor, least)
					}
					if free.cheaper(least) {
						byBound++
					}
				}
			}
		}
	}
	if tied < 30 || byBound < 5 {
		t.Errorf("%d sets of ropes hold, and the bound spares %d of them: too few to mean anything", tied, byBound)
	}
}
