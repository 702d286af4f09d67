package rigging

import (
	"math"
	"math/rand/v2"
	"testing"
)

// TestLevelFrameByHand: 2 × 2 m level on two stands at 8 m/s, 40 Pa. Lift 1.3 · 4 m² · 40 = 208 N, drag 16 N, a quarter off the
// middle, three quarters of it on one stand. Tipping moment 0.75 · (16 · 3 + 208 · 0.5) = 114, the mast 7.2 N at 1.5 m 10.8,
// the lift at the lever 0.75 · 208 · 0.4 = 62.4: 187.2 N·m, 280.8 with the factor. To be lowered at 8 m/s it must not go under 10
// without the factor: 292.5, which is more. The stand and half the frame, 25 kg at 0.4 m, stand against it with 98.0665: 49.6 kg
// are missing, four bags of 16.
func TestLevelFrameByHand(t *testing.T) {
	s := Support{MassKg: 20, FootprintM: 0.8, Legs: 3, HeightM: 3, SafeLoadKg: 30}
	p := Piece{Panel: Panel{WidthM: 2, HeightM: 2, MiddleM: 3, LowestM: 3}, MassKg: 10, Supports: []Support{s, s}, Friction: 0.3}
	if bags, ok := p.Bags(8, 16, nil); !ok || bags != [MaxSupports]int{4, 4} {
		t.Errorf("%v %v", bags, ok)
	}
	grains, _ := p.Bags(8, 0.001, nil)
	near(t, "ballast", float64(grains[0])*0.001, (292.5-98.0665)/(0.4*9.80665), 1.1e-3)
	// On four at the corners one takes half of the force and a sixth of the weight, and is not turned:
	// 0.5 · 16 · 3 + 10.8 + 0.5 · 208 · 0.4 = 76.4, 119.375 at 10 m/s; 21.6667 kg at 0.4 m stand against it.
	p.Supports = []Support{s, s, s, s}
	grains, _ = p.Bags(8, 0.001, nil)
	near(t, "ballast on four", float64(grains[0])*0.001, 119.375/(0.4*9.80665)-21.66667, 1.1e-3)
	// On one in the middle all of it, and it is turned sideways as well: 16 · 3 + 208 · (0.5 + 0.5) + 10.8 + 208 · 0.4 = 350,
	// 546.875 at 10 m/s, less 30 kg at 0.4 m.
	p.Supports = []Support{s}
	grains, _ = p.Bags(8, 0.001, nil)
	near(t, "ballast on one", float64(grains[0])*0.001, 546.875/(0.4*9.80665)-30, 1.1e-3)
}

// TestGuyedFrameByHand: the same frame upright: 1.8 · 4 · 40 = 288 N, 216 of it and half the mast's 7.2 N on one line, 219.6 N
// level, 310.56 N in a line at 45° straight against it, 485.25 at 10 m/s, of which 8 is 80 %. Dead weights on μ 0.3 there: 343.125 ·
// (1/0.3 + 1) = 1486.9 N, 151.6 kg. A mast carries 5 kg and 343.125 N, 39.99 kg.
func TestGuyedFrameByHand(t *testing.T) {
	s := Support{MassKg: 20, FootprintM: 0.8, Legs: 3, HeightM: 3, SafeLoadKg: 40.05}
	p := Piece{Panel: Panel{WidthM: 2, HeightM: 2, TiltDeg: 90, MiddleM: 3, LowestM: 2}, MassKg: 10, Supports: []Support{s, s}, Friction: 0.3}
	g := Guys{Factor: 1, LineSafePullN: 490, WeightKg: 1, MaxWeights: 200}
	near(t, "tension", p.PullN(8, 1, &g), 310.561, 1e-3)
	if n, ok := p.WeightsFor(8, &g); !ok || n != 152 {
		t.Errorf("%d weights of 1 kg, %v", n, ok)
	}
	rig := p.Rig(8, 16, 1, &g)
	if !rig.Guyed || !rig.Holds || rig.Weights != 152 || rig.Hold.Governs != GovernsSupport || rig.Bags != [MaxSupports]int{1, 1} {
		t.Errorf("%+v", rig)
	}
	g.LineSafePullN = 485
	if rig := p.Rig(8, 16, 1, &g); rig.Holds || rig.Hold.Governs != GovernsLine {
		t.Errorf("%+v", rig)
	}
	g.LineSafePullN = 490
	p.Supports[1].SafeLoadKg = 39.95
	if rig := p.Rig(8, 16, 1, &g); rig.Holds || rig.Hold.Governs != GovernsSupport || rig.Hold.Support != 1 {
		t.Errorf("%+v", rig)
	}
}

func TestRigChoices(t *testing.T) {
	s := Support{MassKg: 30, FootprintM: 0.85, Legs: 4, HeightM: 3.5, SafeLoadKg: 400}
	p := Piece{Panel: Panel{WidthM: 3.6, HeightM: 3.6, TiltDeg: 90, MiddleM: 3.5, LowestM: 1.7}, MassKg: 18, Supports: []Support{s, s}, Friction: 0.3}
	strong := Guys{Factor: 1, LineSafePullN: 1e5, WeightKg: 100}
	t.Run("bags alone where they do", func(t *testing.T) {
		if r := p.Rig(3, 16, 0, &strong); r.Guyed || !r.Holds || r.Weights != 0 {
			t.Errorf("%+v", r)
		}
	})
	t.Run("no lines, no more than the bags hold", func(t *testing.T) {
		r := p.Rig(8, 16, 0, nil)
		if r.Guyed || r.Holds || r.Bags != [MaxSupports]int{6, 6} { // six bags is what one stand takes
			t.Errorf("%+v", r)
		}
		near(t, "lower", r.Hold.LowerAtMS, p.Hold([MaxSupports]float64{96, 96}, nil).LowerAtMS, 0)
	})
	t.Run("at least one weight to a line, at most what it may have", func(t *testing.T) {
		heavy := strong
		heavy.WeightKg = 1e6
		if r := p.Rig(8, 16, 0, &heavy); !r.Holds || r.Weights != 1 {
			t.Errorf("%+v", r)
		}
		if r := p.Rig(14, 16, 0, &strong); r.Holds || r.Weights != 4 || r.Hold.Governs != GovernsAnchor {
			t.Errorf("%+v", r)
		}
		strong.MaxWeights = 30
		if r := p.Rig(14, 16, 0, &strong); !r.Holds || r.Weights <= 4 {
			t.Errorf("%+v", r)
		}
	})
	t.Run("stakes have no weights", func(t *testing.T) {
		if r := p.Rig(8, 16, 0, &Guys{Factor: 1, LineSafePullN: 1e5, StakeSafePullN: 1800}); !r.Holds || !r.Guyed || r.Weights != 0 {
			t.Errorf("%+v", r)
		}
	})
	t.Run("lines that hold less than none are left out", func(t *testing.T) {
		if r := p.Rig(8, 16, 0, &Guys{Factor: 1, LineSafePullN: 1, StakeSafePullN: 1800}); r.Guyed || r.Holds {
			t.Errorf("%+v", r)
		}
	})
	t.Run("a line that never answers the pull", func(t *testing.T) {
		if r := p.Rig(8, 16, 0, &Guys{Factor: math.Inf(1), LineSafePullN: 1e9, WeightKg: 1e6}); r.Guyed || r.Holds {
			t.Errorf("%+v", r)
		}
	})
}

// standsTo is the greatest gust up to 60 m/s at which a piece stands, 0 where it does in none.
func standsTo(p *Piece, kg [MaxSupports]float64, g *Guys) float64 {
	lo, hi := 0.0, 60.0
	switch {
	case !stands(p, kg, g, lo):
		return 0
	case stands(p, kg, g, hi):
		return hi
	}
	for range 60 {
		if mid := (lo + hi) / 2; stands(p, kg, g, mid) {
			lo = mid
		} else {
			hi = mid
		}
	}
	return lo
}

// TestLimitAgainstFreeBodies is the slow second way for whole pieces: forces in newtons at one gust after another, the free
// body of each support, a bisection.
func TestLimitAgainstFreeBodies(t *testing.T) {
	governed := map[Governs]int{}
	eachPiece(t, 9, func(p *Piece, g *Guys, r *rand.Rand) {
		kg := randomBallast(r)
		if r.IntN(3) == 0 { // held below its middle
			for i := range p.Supports {
				p.Supports[i].HeightM *= r.Float64()
			}
		}
		both(g, func(g *Guys) {
			h := p.Hold(kg, g)
			governed[h.Governs]++
			plain := *p
			plain.SafetyFactor = 1
			near(t, "safe to", h.SafeToMS, standsTo(p, kg, g), 1e-6)
			near(t, "goes at", h.GoesAtMS, standsTo(&plain, kg, g), 1e-6)
		})
	})
	for _, by := range []Governs{GovernsOverturning, GovernsSliding, GovernsUplift, GovernsLine, GovernsAnchor, GovernsSupport} {
		if governed[by] == 0 {
			t.Errorf("%v never governs: %v", by, governed)
		}
	}
}

func stands(p *Piece, kg [MaxSupports]float64, g *Guys, gust float64) bool {
	const free = 9.80665
	share, n := sharingOf(len(p.Supports)), float64(len(p.Supports))
	wind, middle := p.Panel.Wind(), 0.0
	for _, s := range p.Supports {
		middle += s.HeightM / n
	}
	for i, s := range p.Supports {
		for face, push := range [2]Push{wind.Down.At(gust), wind.Up.At(gust)} {
			level, lift := p.SafetyFactor*push.Level, p.SafetyFactor*push.Vertical // design values
			if face == 0 {
				lift = -lift
			}
			turn := 0.0 // of the force off the middle
			if n <= 2 {
				turn += wind.OffSlopeM * p.SafetyFactor * push.Normal
			}
			if n == 1 {
				turn += wind.OffWidthM * math.Abs(lift)
			}
			at := s.HeightM + wind.RaiseM + math.Max(0, p.Panel.MiddleM-middle)
			mast := p.SafetyFactor * 1.2 * 0.05 * s.HeightM * 0.625 * gust * gust
			dead := free * (s.MassKg + kg[i])
			hangs := free * p.MassKg
			lever := s.FootprintM * math.Cos(math.Pi/float64(s.Legs))

			if g == nil {
				for _, out := range []float64{s.ArmM, -s.ArmM} { // the load toward the edge, and away from it
					tip := share.wind*(level*at+turn) + mast*s.HeightM/2
					stand := dead * lever
					if inside := lever - out; inside >= 0 {
						stand += share.least * hangs * inside
						tip += share.wind * math.Max(0, lift) * inside
					} else {
						tip += (share.wind*math.Max(0, -lift) + p.SafetyFactor*share.most*hangs) * -inside
					}
					if tip > stand {
						return false
					}
				}
				presses := dead + share.least*hangs - share.wind*math.Max(0, lift)
				if presses < 0 || share.wind*level+mast > p.Friction*presses {
					return false
				}
				if math.Max(p.SafetyFactor/n, share.most)*hangs+share.wind*math.Max(0, -lift)/p.SafetyFactor > free*s.SafeLoadKg {
					return false
				}
				continue
			}

			// Before the lines are fast.
			if out := s.ArmM - lever; out > 0 && p.SafetyFactor*share.most*hangs*out > dead*lever {
				return false
			}
			// Moments about the foot give the head's pull, level forces what is left for the foot.
			height := math.Max(s.HeightM, 0.2)
			head := (share.line*level*height + share.wind*(level*(at-s.HeightM)+turn+math.Abs(lift)*s.ArmM) + mast*s.HeightM/2) / height
			foot := head - share.line*level
			slope := g.AngleDeg * math.Pi / 180
			tension := g.Factor * head / math.Cos(slope)
			if tension > g.LineSafePullN {
				return false
			}
			if g.StakeSafePullN > 0 {
				if tension > g.StakeSafePullN {
					return false
				}
			} else {
				weight := free*g.WeightKg*float64(g.Weights) - tension*math.Sin(slope)
				if weight < 0 || tension*math.Cos(slope) > p.Friction*weight {
					return false
				}
			}
			if tension*math.Sin(slope)/p.SafetyFactor+share.wind*math.Max(0, -lift)/p.SafetyFactor+
				math.Max(p.SafetyFactor/n, share.most)*hangs > free*s.SafeLoadKg {
				return false
			}
			if face == 0 {
				if foot > p.Friction*(dead+share.least*hangs) {
					return false
				}
				continue
			}
			square := math.Sin(p.Panel.TiltDeg*math.Pi/180) * p.SafetyFactor * push.Normal
			up := math.Max(share.slack*lift, share.wind*(lift-square*math.Tan(slope)))
			presses := dead + share.least*hangs - math.Max(0, up)
			if presses < 0 || foot > p.Friction*presses {
				return false
			}
		}
	}
	return true
}
