//go:build !race

// Arithmetic in one goroutine, where the race detector finds nothing and takes eight times as long: deploy/tests.sh runs this without it.

package lighting

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"kitspan/internal/geom"
	"kitspan/internal/scene"
	"kitspan/internal/shot/shottest"
)

// TestWhatArraysGiveAloneIsWhatTheyGive lights whole shots and works out again, by a search of its own, all that the searches have kept
// about arrays by themselves: it must not hang on what stood, or on what was asked.
func TestWhatArraysGiveAloneIsWhatTheyGive(t *testing.T) {
	t.Parallel()
	levels, corners, clear := 0, 0, 0
	for _, c := range []struct {
		house     string
		widthM    float64
		condition string
		by        Means
	}{
		{"quayside", 1, "clear", ByReflectors}, {"quayside", 3, "clear", ByReflectors}, {"northpier", 2, "clear", ByReflectors},
		{"quayside", 2, "clear", ByLamps}, {"quayside", 1, "overcast", ByReflectors},
	} {
		d := shottest.Bare()
		d.Framing.WidthM, d.Sky.Condition, d.Look.ContrastStops = new(c.widthM), new(c.condition), new(1.0)
		pl, a := bareOf(t, c.house, d)
		pl.Arrange(t.Context(), a.Light, nil, c.by, Omit{})
		pl.Preferring("cheapest").Arrange(t.Context(), a.Light, nil, c.by, Omit{})
		for _, k := range *pl.known {
			to := k.to
			q := newSearch(a.Setup, asking(&to, 1, k.dims))
			for array, g := range k.gives {
				levels++
				q.shine(&array)
				if now := q.lit.Face(to.mid, to.face); now != g.middle {
					t.Errorf("%+v: %d of %s gives %+v, kept %+v", c, array.n, array.of.item.SKU, now, g.middle)
				}
				for i, at := range g.corners {
					corners++
					if now := q.lit.Face(to.corner(i), to.face); now != at {
						t.Errorf("%+v: %d of %s gives corner %d %+v, kept %+v", c, array.n, array.of.item.SKU, i, now, at)
					}
				}
			}
			for array, r := range k.clear {
				clear++
				for array.r <= scene.FarM {
					if q.layOut(&array); q.fits(&array) {
						break
					}
					array.r *= fitStep
				}
				if math.Abs(array.r-r) > 0 {
					t.Errorf("%+v: %d of %s is clear from %v m, kept %v", c, array.n, array.of.item.SKU, array.r, r)
				}
			}
		}
	}
	if levels < 200 || corners < 200 || clear < 100 {
		t.Errorf("%d levels, %d at corners and %d distances are kept: too few to say anything", levels, corners, clear)
	}
}

// TestWaysThatPassAZoneDoNotCrossIt: what is ruled out in plan at once is what no way cuts.
func TestWaysThatPassAZoneDoNotCrossIt(t *testing.T) {
	t.Parallel()
	rng := rand.New(rand.NewPCG(1, 2))
	at := func(m float64) geom.Vec {
		return geom.Vec{X: m * (rng.Float64() - 0.5), Y: m * (rng.Float64() - 0.5), Z: 2 * rng.Float64()}
	}
	passed, cut := 0, 0
	for range 2000 {
		z := geom.Box{Mid: at(8), Half: geom.Vec{X: 0.1 + rng.Float64(), Y: 0.1 + rng.Float64(), Z: 0.1 + rng.Float64()}}
		near, far := at(8), at(8)
		var from, goals []geom.Vec
		for range 4 {
			from, goals = append(from, near.Add(at(1))), append(goals, far.Add(at(2)))
		}
		past := passes(&z, from, goals)
		cuts := slices.ContainsFunc(from, func(p geom.Vec) bool {
			return slices.ContainsFunc(goals, func(q geom.Vec) bool { return z.CutBy(p, q) })
		})
		if past && cuts {
			t.Fatalf("ways from %v to %v are said to pass %+v, which one cuts", from, goals, z)
		}
		if past {
			passed++
		}
		if cuts {
			cut++
		}
	}
	if passed < 200 || cut < 200 {
		t.Errorf("%d pass and %d cut: too few to say anything", passed, cut)
	}
}
