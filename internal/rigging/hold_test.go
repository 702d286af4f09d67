package rigging

import (
	"math"
	"testing"
)

// board is the worked example of the collected checks, section 7: a panel of 2.4 × 2.4 m, its middle 3 m up, on one stand
// without weight of its own whose tipping edge is lever away.
func board(lever, friction, factor float64) Piece {
	return Piece{
		Panel:    Panel{WidthM: 2.4, HeightM: 2.4, TiltDeg: 90, MiddleM: 3, LowestM: 1.8},
		Supports: []Support{{FootprintM: 2 * lever, Legs: 3, HeightM: 3, SafeLoadKg: 1000}},
		Friction: friction, SafetyFactor: factor,
	}
}

// The mast of that stand, which the example leaves out: 0.05 m wide, 3 m high, coefficient 1.2, 90 Pa.
const (
	mastN  = 1.2 * 0.05 * 3 * 90
	mastNM = mastN * 1.5
)

// TestBallastExample: at 12 m/s 90 Pa, 933.12 N and 2799.36 N·m; ballast γ·M/lever, 456.73, 494.79 and 570.91 kg at 0.75 m with
// γ 1.2, 1.3 and 1.5, and 342.55, 371.09, 428.18 kg at 1 m. Sliding, γ·F/μ with γ 1.2: 570.91, 380.61, 285.46, 228.36,
// 190.30 kg for μ 0.2 to 0.6. The mast adds its own.
func TestBallastExample(t *testing.T) {
	p := board(0.75, 1, 1.2)
	near(t, "force", p.Panel.ForceN(12), 933.12, 1e-9)
	const grain = 0.01
	check := func(what string, p Piece, want float64) {
		t.Helper()
		h := p.Hold([MaxSupports]float64{want}, nil)
		near(t, what, VelocityPressure(h.SafeToMS)/90*want, want, 0.005)
		bags, ok := p.Bags(12, grain, nil)
		if !ok {
			t.Error("nothing holds the example")
		}
		// Nothing but ballast stands, so that it goes with the factor: 1.5625 at least.
		near(t, what+", in bags", float64(bags[0])*grain, want*math.Max(1, 1.5625/p.SafetyFactor), 0.01+grain)
	}
	for _, test := range []struct{ lever, factor, kg float64 }{
		{0.75, 1.2, 456.73}, {0.75, 1.3, 494.79}, {0.75, 1.5, 570.91}, {1, 1.2, 342.55}, {1, 1.3, 371.09}, {1, 1.5, 428.18},
	} {
		mast := test.factor * mastNM / test.lever / GravityMS2
		check("tipping", board(test.lever, 1, test.factor), test.kg+mast)
	}
	for friction, want := range map[float64]float64{0.2: 570.91, 0.3: 380.61, 0.4: 285.46, 0.5: 228.36, 0.6: 190.30} {
		mast := 1.2 * mastN / friction / GravityMS2
		p := board(50, friction, 1.2) // feet far out: nothing tips
		check("sliding", p, want+mast)
		if h := p.Hold([MaxSupports]float64{want}, nil); h.Governs != GovernsSliding {
			t.Errorf("%v governs", h.Governs)
		}
	}
}

// TestMarketCanopy: 10 × 10 ft level at 15 m/s with nothing under it lifts 653 N, 163 N on each of four legs: 37 lb, the folk
// rule of a market (cfgrower.com). With the space under it blocked it is 2.6 times that, one leg of four takes half, and
// the factor is 1.5: 2.6 × 2 × 1.5 of the folk rule against lifting alone, and tipping asks for more still.
func TestMarketCanopy(t *testing.T) {
	const side, lb = 10 * 0.3048, 0.45359237
	near(t, "the folk rule", canopy[0].upClear*side*side*140.625/4/GravityMS2/lb, 37, 0.5)
	p := Piece{Panel: Panel{WidthM: side, HeightM: side, MiddleM: 2.2, LowestM: 2.2}, Friction: 0.5,
		Supports: make([]Support, 4)}
	for i := range p.Supports {
		p.Supports[i] = Support{FootprintM: 0.7, Legs: 3, HeightM: 2.2, SafeLoadKg: 100}
	}
	bags, ok := p.Bags(15, lb, nil)
	if least := 36.6 * 2.6 * 2 * 1.5; !ok || float64(bags[0]) < least {
		t.Errorf("%v bags of a pound, lifting alone asks for %v", bags, least)
	}
}

func TestLever(t *testing.T) {
	for legs, share := range map[int]float64{3: 0.5, 4: math.Sqrt2 / 2, 6: math.Sqrt(3) / 2, 2: 0, 0: 0} {
		s := Support{FootprintM: 2, Legs: legs}
		near(t, "lever", s.LeverM(), 2*share, 1e-12)
	}
}

func TestHoldEdges(t *testing.T) {
	p := board(0.75, 0.3, 1.5)
	p.Supports[0].MassKg = 20
	hold := func(p *Piece, kg float64) Hold { return p.Hold([MaxSupports]float64{kg}, nil) }

	t.Run("calm asks for nothing", func(t *testing.T) {
		if bags, ok := p.Bags(0, 10, nil); !ok || bags != [MaxSupports]int{} {
			t.Errorf("%v %v", bags, ok)
		}
	})
	t.Run("the house's limit goes before", func(t *testing.T) {
		q := p
		q.HouseLimitMS = 5
		if h, free := hold(&q, 5000), hold(&p, 5000); h.LowerAtMS != 5 || h.WatchAtMS != 3.75 || h.Governs != GovernsHouseLimit || h.Support != -1 ||
			h.SafeToMS != free.SafeToMS || h.GoesAtMS != free.GoesAtMS {
			t.Errorf("%+v", h)
		}
		if _, ok := q.Bags(6, 10, nil); ok {
			t.Error("bags beat the house's limit")
		}
	})
	t.Run("a machine's limit goes before", func(t *testing.T) {
		q := p
		q.Supports = []Support{p.Supports[0]}
		q.Supports[0].OwnLimitMS = 4
		if h := hold(&q, 5000); h.LowerAtMS != 4 || h.Governs != GovernsSupport || h.Support != 0 {
			t.Errorf("%+v", h)
		}
		if _, ok := q.Bags(4.1, 10, nil); ok {
			t.Error("bags beat the machine's limit")
		}
	})
	t.Run("nothing in the wind has no limit", func(t *testing.T) {
		q := p
		q.Panel, q.Supports = Panel{TiltDeg: 90}, []Support{{MassKg: 20, FootprintM: 1, Legs: 3, SafeLoadKg: 10}}
		if h := hold(&q, 0); h.SafeToMS != 60 || h.GoesAtMS != 60 || h.LowerAtMS != 48 || h.Governs != GovernsNone {
			t.Errorf("%+v", h)
		}
	})
	t.Run("no supports hold nothing", func(t *testing.T) {
		q := p
		q.Supports = nil
		if h := hold(&q, 100); h.LowerAtMS != 0 || h.GoesAtMS != 0 || h.Holds(0) {
			t.Errorf("%+v", h)
		}
		if _, ok := q.Bags(1, 10, nil); ok {
			t.Error("bags hold it")
		}
		if r := q.Rig(1, 10, 0, nil); r.Holds {
			t.Errorf("%+v", r)
		}
	})
	t.Run("too heavy for its stand in calm air", func(t *testing.T) {
		q := p
		q.MassKg, q.Supports = 30, []Support{p.Supports[0]}
		q.Supports[0].SafeLoadKg = 44                                                                  // 1.5 × 30 kg is 45
		if h := hold(&q, 5000); h.SafeToMS != 0 || h.LowerAtMS != 0 || h.Holds(0) || h.GoesAtMS <= 0 { // without the factor it stands
			t.Errorf("%+v", h)
		}
		q.Supports[0].SafeLoadKg = 29
		if h := hold(&q, 5000); h.GoesAtMS != 0 || h.Governs != GovernsSupport {
			t.Errorf("%+v", h)
		}
		q.Supports[0].SafeLoadKg = 45
		if h := hold(&q, 5000); h.Governs == GovernsSupport || !h.Holds(0) {
			t.Errorf("%+v", h)
		}
	})
	t.Run("feet on ice slide whatever lies on them", func(t *testing.T) {
		q := p
		q.Friction = 0
		if _, ok := q.Bags(3, 10, nil); ok {
			t.Error("bags hold without friction")
		}
		if h := hold(&q, 5000); h.GoesAtMS != 0 || h.LowerAtMS != 0 || h.Governs != GovernsSliding {
			t.Errorf("%+v", h)
		}
	})
	t.Run("no bags, or bags of nothing", func(t *testing.T) {
		if _, ok := p.Bags(12, 0, nil); ok {
			t.Error("empty bags hold")
		}
	})
	t.Run("what is no number holds nothing", func(t *testing.T) {
		nan := math.NaN()
		for i, spoil := range []func(q *Piece, g *Guys){
			func(q *Piece, _ *Guys) { q.Panel.WidthM = nan }, func(q *Piece, _ *Guys) { q.Panel.HeightM = nan },
			func(q *Piece, _ *Guys) { q.MassKg = nan }, func(q *Piece, _ *Guys) { q.Friction = nan },
			func(q *Piece, _ *Guys) { q.SafetyFactor = nan }, func(q *Piece, _ *Guys) { q.Supports[0].HeightM = nan },
			func(q *Piece, _ *Guys) { q.Supports[0].FootprintM = nan }, func(q *Piece, _ *Guys) { q.Supports[0].SafeLoadKg = nan },
			func(_ *Piece, g *Guys) { g.AngleDeg = nan }, func(_ *Piece, g *Guys) { g.LineSafePullN = nan },
		} {
			q, g := p, Guys{LineSafePullN: 1e6, StakeSafePullN: 1e6}
			q.Supports = []Support{p.Supports[0]}
			spoil(&q, &g)
			if h := q.Hold([MaxSupports]float64{5000}, &g); h.LowerAtMS != 0 || h.Holds(0) {
				t.Errorf("%d: %+v", i, h)
			}
			if _, ok := q.Bags(5, 10, &g); ok {
				t.Errorf("%d: bags hold it", i)
			}
		}
	})
	t.Run("an arm beyond the feet tips in calm air", func(t *testing.T) {
		q := p
		q.MassKg, q.Supports = 20, []Support{{MassKg: 10, FootprintM: 0.6, Legs: 3, HeightM: 3, ArmM: 1.3, SafeLoadKg: 100}}
		// By hand: 10 kg at 0.3 m against 1.5 · 20 kg at 1 m, 27 kg·m short: 90 kg at 0.3 m.
		if h := hold(&q, 89.9); h.SafeToMS != 0 || h.Holds(0) || h.Governs != GovernsOverturning {
			t.Errorf("%+v", h)
		}
		if h := hold(&q, 90.1); h.SafeToMS <= 0 || !h.Holds(0) {
			t.Errorf("%+v", h)
		}
		if bags, ok := q.Bags(0, 10, nil); !ok || bags[0] != 9 && bags[0] != 10 {
			t.Errorf("%v %v", bags, ok)
		}
	})
	t.Run("a factor under 1 is none, and none is the default", func(t *testing.T) {
		limit := func(factor float64) float64 {
			q := p
			q.SafetyFactor = factor
			return hold(&q, 300).SafeToMS
		}
		if limit(0.5) != limit(1) || limit(0) != limit(1.5) || limit(2) >= limit(1.5) {
			t.Errorf("%v %v %v %v %v", limit(0), limit(0.5), limit(1), limit(1.5), limit(2))
		}
	})
}

// TestTippingAgainstVectors is the slow second way for one stand: its feet one by one, wind and arm to all sides, every edge of
// the polygon of feet, moments by vectors. Nothing may tip before the limit says so, and it may say so no earlier than the
// worst direction, where feet, arm and wind lie as badly as they can.
func TestTippingAgainstVectors(t *testing.T) {
	for _, c := range []struct {
		tilt, arm, load, ballast float64
		legs                     int
	}{{90, 0, 8, 60, 3}, {0, 0, 8, 60, 3}, {20, 0, 8, 60, 4}, {35, 0.6, 8, 120, 3}, {35, 0.2, 30, 50, 4}, {65, 1.2, 3, 200, 3},
		{10, 2, 12, 300, 4}, {50, 0.35, 20, 80, 6}} {
		p := Piece{
			Panel:  Panel{WidthM: 1.2, HeightM: 2, TiltDeg: c.tilt, MiddleM: 2.5, LowestM: 1.5},
			MassKg: c.load, Friction: 10, SafetyFactor: 1.5,
			Supports: []Support{{MassKg: 15, FootprintM: 0.8, Legs: c.legs, HeightM: 2.5, ArmM: c.arm, SafeLoadKg: 1e6}},
		}
		h := p.Hold([MaxSupports]float64{c.ballast}, nil)
		worst := math.Inf(1)
		for wind := 0.0; wind < 360; wind += 15 {
			for arm := 0.0; arm < 360; arm += 15 {
				for edge := range c.legs {
					worst = math.Min(worst, tipMoment(&p, c.ballast, wind, arm, (float64(edge)+0.5)*360/float64(c.legs)))
				}
			}
		}
		if h.Governs != GovernsOverturning {
			t.Fatalf("%+v: %v governs", c, h.Governs)
		}
		near(t, "safe to", h.SafeToMS, worst, 1e-9*worst)
	}
}

// tips is the gust at which a piece on one stand tips over the edge whose normal has a bearing, γ on what tips.
func tipMoment(p *Piece, ballastKg, windDeg, armDeg, edgeDeg float64) float64 {
	s, w := &p.Supports[0], p.Panel.Wind()
	along := func(deg float64) float64 { return math.Cos((deg - edgeDeg) * math.Pi / 180) }
	lever := s.FootprintM * math.Cos(math.Pi/float64(s.Legs)) // of the mast from the edge
	hang := lever - s.ArmM*along(armDeg)                      // of the load from it
	lowest := math.Inf(1)
	for _, sign := range []float64{1, -1} { // pressed down, lifted
		push := w.Down
		if sign < 0 {
			push = w.Up
		}
		// Per pascal: level force at its height, turning of the force off the middle, the mast's own.
		tip := math.Max(0, along(windDeg)) * (push.Level*(s.HeightM+w.RaiseM) + push.Normal*w.OffSlopeM + push.Vertical*w.OffWidthM +
			1.2*0.05*s.HeightM*s.HeightM/2)
		tip += math.Max(0, -sign*push.Vertical*hang) // what the vertical part does that is bad
		stands := (s.MassKg + ballastKg) * 9.80665 * lever
		if dead := p.MassKg * 9.80665 * hang; dead > 0 {
			stands += dead
		} else {
			stands += 1.5 * dead
		}
		if stands < 0 {
			return 0
		}
		if tip > 0 {
			lowest = math.Min(lowest, math.Sqrt(stands/(1.5*tip)/0.625))
		}
	}
	return lowest
}

func TestSharing(t *testing.T) {
	for n := 1; n <= MaxSupports; n++ {
		s := sharingOf(n)
		// Whatever one takes, all together take the whole at least, the worst most and the best least.
		if float64(n)*s.wind < 1 || float64(n)*s.most < 1 || float64(n)*s.least > 1+1e-12 || s.line < s.wind {
			t.Errorf("%d supports: %+v", n, s)
		}
	}
	// Two by statics: force a quarter of the side off the middle, 3/4 on one. Four-legged slings are rated for three legs
	// (Certex, technical information on chain slings): 4/3 of the even share, here inside a pair with 3/4 of the force.
	near(t, "two", sharingOf(2).wind, 0.5+0.25, 0)
	near(t, "four", sharingOf(4).wind, 0.75*0.5*4/3, 1e-12)
	near(t, "four, dead", sharingOf(4).most, 0.25*4/3, 1e-12)
}

func TestOverLegs(t *testing.T) {
	for _, c := range []struct{ bags, legs, each, mast int }{{0, 3, 0, 0}, {7, 3, 2, 1}, {6, 3, 2, 0}, {5, 4, 1, 1}, {2, 0, 0, 2}} {
		if each, mast := OverLegs(c.bags, c.legs); each != c.each || mast != c.mast {
			t.Errorf("%+v: %d on each leg, %d at the mast", c, each, mast)
		}
	}
}
