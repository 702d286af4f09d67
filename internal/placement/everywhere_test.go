//go:build !race

// Arithmetic in one goroutine, where the race detector finds nothing and takes eight times as long: deploy/tests.sh runs this without it.

package placement

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"kitspan/internal/geom"
	"kitspan/internal/scene"
	"kitspan/internal/shot"
	"kitspan/internal/shot/shottest"
)

// randomSearch is a finder for a shot of an afternoon from anywhere, a frame and what supports it, all by chance; ok is false
// where no sun has to be kept off.
func randomSearch(t *testing.T, rng *rand.Rand) (fd *Finder, sh Size, ho SupportLimits, ok bool) {
	t.Helper()
	in := func(lo, hi float64) float64 { return lo + (hi-lo)*rng.Float64() }
	d := shottest.Bare()
	hour := 10 + rng.IntN(9)
	d.Window.Start, d.Window.End = new(fmt.Sprintf("%02d:00", hour)), new(fmt.Sprintf("%02d:%02d", hour, 10+rng.IntN(49)))
	d.Camera = shot.DraftCamera{BearingDeg: new(in(0, 360)), HeightM: new(in(0.4, 2.6)), AimHeightM: new(in(0.8, 1.5))}
	d.Framing = shot.DraftFraming{WidthM: new(in(0.5, 4)), DistanceM: new(in(1.2, 8)), AspectRatio: new(in(0.8, 2.4))}
	base := in(0, 1)
	d.Zone = shot.DraftZone{WidthM: new(in(0.5, 6)), DepthM: new(in(0.3, 1)), BaseM: new(base), TopM: new(base + in(0.3, 1))}
	shot := shottest.Resolve(t, d)
	st := scene.NewStage(&shot)
	for rng.IntN(3) == 0 {
		st.Others = append(st.Others, geom.Box{Mid: geom.Vec{X: in(-5, 5), Y: in(-5, 5), Z: 0.9}, Half: geom.Vec{X: in(0.2, 2), Y: in(0.2, 2), Z: 0.9}})
	}
	hard := scene.HardOf(scene.Sources(&shot, st, scene.NewSky(&shot, shot.Window.From, shot.Window.To)))
	if len(hard) == 0 {
		return nil, sh, ho, false
	}
	u, v := in(0.6, 4), in(0.6, 4)
	sh = Size{u, v, u + 0.05, v + 0.05}
	ho = SupportLimits{LowestM: in(0.5, 1.5), HighestM: in(3, 7), TopM: math.Inf(1), Count: 2 + 2*rng.IntN(2), Stances: []Stance{{in(0, 2), in(0.3, 1)}}}
	ho.Anywhere = rng.IntN(4) == 0
	return NewFinder(t.Context(), st, scene.RaysOf(st, hard)), sh, ho, true
}

// TestNothingFitsInCellsLeftOut turns frames at random within cells that the search leaves out: none may fit. Cells are
// taken about turns where a frame nearly fits or just fits, which are those that could be left out wrongly.
func TestNothingFitsInCellsLeftOut(t *testing.T) {
	const seed = 29
	rng := rand.New(rand.NewPCG(seed, 0))
	left, kept, fitting, bounded := 0, 0, 0, 0
	const enough = 4000
	for left < enough {
		fd, sh, ho, ok := randomSearch(t, rng)
		if !ok {
			continue
		}
		for range 40 {
			step := GridStepRad / float64(int(1)<<rng.IntN(4))
			c := cell{square: &square{yaw: math.Pi * rng.Float64(), tilt: math.Pi * (rng.Float64() - 0.5)}}
			for range 30 { // toward where it fits, if anywhere
				at := square{yaw: math.Pi * rng.Float64(), tilt: math.Pi * (rng.Float64() - 0.5)}
				if _, fits := fd.At(t.Context(), at.yaw, at.tilt, EnoughSlackQuery(sh, &ho, YieldCover, -0.3)); fits {
					c.yaw, c.tilt = at.yaw+(4*rng.Float64()-2)*step, at.tilt+(4*rng.Float64()-2)*step
					break
				}
			}
			out := shadowIn(fd.Stage, fd.Rays, c.yaw, c.tilt, step).under(&sh, fd.Stage.CoverM)
			if !out {
				var f *Facing
				if TurnTo(fd.Stage, &fd.scrap, fd.Rays, c.yaw, c.tilt) {
					f = &fd.scrap
				}
				if f == nil && step <= steepStep {
					continue // omitted as a whole, as the bound claims
				}
				out = !fd.mayFit(t.Context(), &c, f, &sh, &ho, step)
				if f != nil && under(ampleIn(fd.placer, f, &sh, step), &sh, step) {
					bounded++
					if !out {
						t.Errorf("seed %d: at yaw %.3f, tilt %.3f of ±%.2f° a frame %v is under the bound, and may fit", seed, c.yaw, c.tilt, step*180/math.Pi, sh)
					}
				}
			}
			if !out {
				kept++
				continue
			}
			left++
			for range 25 {
				yaw, tilt := c.yaw+(2*rng.Float64()-1)*step, c.tilt+(2*rng.Float64()-1)*step
				if got, fits := fd.At(t.Context(), yaw, tilt, CoverQuery(sh, &ho, nil)); fits && got.Slack > 0 {
					fitting++
					t.Errorf("seed %d: cell at yaw %.3f, tilt %.3f of ±%.2f° is left out; at %.3f, %.3f a frame %v on %+v fits with %.4f m of slack",
						seed, c.yaw, c.tilt, step*180/math.Pi, yaw, tilt, sh, ho, got.Slack)
					break
				}
			}
		}
	}
	t.Logf("%d cells left out, %d by the bound for all frames, %d kept", left, bounded, kept)
	if kept < enough/10 {
		t.Errorf("only %d cells were kept: too many are hopeless to try the others", kept)
	}
}

func under(a ample, sh *Size, step float64) bool { return a.under(sh, step) }
