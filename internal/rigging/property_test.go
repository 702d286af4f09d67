package rigging

import (
	"math"
	"math/rand/v2"
	"testing"
)

// eachPiece draws pieces as they stand on a set, and some that nobody would build. A failure prints seed and piece.
func eachPiece(t *testing.T, seed uint64, f func(p *Piece, g *Guys, r *rand.Rand)) {
	t.Helper()
	r := rand.New(rand.NewPCG(seed, 12))
	for i := range 3000 {
		p := randomPiece(r)
		g := Guys{AngleDeg: 25 + 35*r.Float64(), Factor: 1 + r.Float64(), LineSafePullN: 500 + 4500*r.Float64()}
		if r.IntN(2) == 0 {
			g.StakeSafePullN = 500 + 2000*r.Float64()
		} else {
			g.WeightKg, g.Weights = 50+200*r.Float64(), 1+r.IntN(4)
		}
		f(&p, &g, r)
		if t.Failed() {
			t.Fatalf("piece %d of seed %d: %+v, %+v", i, seed, p, g)
		}
	}
}

func randomPiece(r *rand.Rand) Piece {
	width, height := 0.3+6*r.Float64()*r.Float64(), 0.3+6*r.Float64()*r.Float64()
	tilt := [...]float64{0, 30, 90, 90 * r.Float64(), 90 * r.Float64()}[r.IntN(5)]
	half := height / 2 * math.Sin(tilt*math.Pi/180)
	lowest := 3 * r.Float64()
	p := Piece{
		Panel:    Panel{WidthM: width, HeightM: height, TiltDeg: tilt, MiddleM: lowest + half, LowestM: lowest, Solidity: r.Float64() * 1.5},
		MassKg:   1 + 30*r.Float64(),
		Friction: 0.05 + 0.5*r.Float64(), SafetyFactor: 1 + r.Float64(),
	}
	s := Support{MassKg: 3 + 40*r.Float64(), FootprintM: 0.4 + 0.6*r.Float64(), Legs: 3 + r.IntN(2), HeightM: p.Panel.MiddleM,
		SafeLoadKg: 60 + 100*r.Float64()}
	if r.IntN(2) == 0 {
		s.ArmM = 2 * r.Float64()
	}
	n := [...]int{1, 2, 4}[r.IntN(3)]
	for i := range n {
		s := s
		if n == 4 {
			s.HeightM += half * float64(1-2*(i/2))
		}
		if r.IntN(4) == 0 {
			s.FootprintM *= 1.3
		}
		p.Supports = append(p.Supports, s)
	}
	return p
}

// both goes through a piece without lines and with them.
func both(g *Guys, f func(g *Guys)) {
	f(nil)
	f(g)
}

func randomBallast(r *rand.Rand) (kg [MaxSupports]float64) {
	for i := range kg {
		kg[i] = 150 * r.Float64()
	}
	return kg
}

func TestMoreGustNeverLessBallast(t *testing.T) {
	eachPiece(t, 1, func(p *Piece, g *Guys, r *rand.Rand) {
		both(g, func(g *Guys) {
			last, lastOK := [MaxSupports]int{}, true
			for gust := 0.0; gust < 25; gust += 3 * r.Float64() {
				bags, ok := p.Bags(gust, 10, g)
				if ok && !lastOK {
					t.Errorf("%v m/s holds again", gust)
				}
				for i := range bags {
					if bags[i] < last[i] {
						t.Errorf("%v m/s: %v after %v", gust, bags, last)
					}
				}
				last, lastOK = bags, ok
			}
		})
		// All that Rig asks for grows, too, up to where nothing holds.
		var last Rig
		for gust := 0.0; gust < 25; gust += 2 * r.Float64() {
			rig := p.Rig(gust, 10, 0, g)
			if !rig.Holds {
				break
			}
			if last.Guyed && !rig.Guyed || rig.Weights < last.Weights {
				t.Errorf("%v m/s: %+v after %+v", gust, rig, last)
			}
			for i := range rig.Bags {
				if rig.Bags[i] < last.Bags[i] {
					t.Errorf("%v m/s: %+v after %+v", gust, rig, last)
				}
			}
			last = rig
		}
	})
}

func TestBallastAppliedHoldsAndOneBagFewerDoesNot(t *testing.T) {
	held := 0
	eachPiece(t, 2, func(p *Piece, g *Guys, r *rand.Rand) {
		gust, bagKg := 20*r.Float64(), 1+20*r.Float64()
		both(g, func(g *Guys) {
			bags, ok := p.Bags(gust, bagKg, g)
			if !ok {
				return
			}
			held++
			kg := func(less int) (kg [MaxSupports]float64) {
				for i, n := range bags {
					if i == less {
						n--
					}
					kg[i] = float64(n) * bagKg
				}
				return kg
			}
			full := p.Hold(kg(-1), g)
			if full.LowerAtMS < gust {
				t.Errorf("%v bags hold %v of %v m/s", bags, full.LowerAtMS, gust)
			}
			for i, n := range bags {
				if n == 0 {
					continue
				}
				if one := p.Hold(kg(i), g); one.LowerAtMS >= gust || one.LowerAtMS >= full.LowerAtMS {
					t.Errorf("%v bags less one on %d hold %+v of %v m/s", bags, i, one, gust)
				}
			}
		})
		if rig := p.Rig(gust, bagKg, 0, g); rig.Holds != (rig.Hold.LowerAtMS >= gust && rig.Hold.LowerAtMS > 0) {
			t.Errorf("%v m/s: %+v", gust, rig)
		}
	})
	if held < 1000 {
		t.Errorf("only %d held: the draws are too wild", held)
	}
}

// TestSmallerOrLowerNeverHoldsLess: standing by ballast alone. A guyed piece that is turned by a force off its middle has a
// shorter lever when it is lower, and may hold less; upright and on four corners it is not turned.
func TestSmallerOrLowerNeverHoldsLess(t *testing.T) {
	eachPiece(t, 3, func(p *Piece, g *Guys, r *rand.Rand) {
		kg := randomBallast(r)
		check := func(what string, g *Guys, q Piece) {
			if a, b := p.Hold(kg, g), q.Hold(kg, g); less(b, a) {
				t.Errorf("%s: %+v, before %+v; %+v", what, b, a, q.Panel)
			}
		}
		resized := func(width, height float64) Piece { // about its middle
			q := *p
			q.Panel.WidthM *= width
			q.Panel.LowestM += q.Panel.HeightM * (1 - height) / 2 * math.Sin(q.Panel.TiltDeg*math.Pi/180)
			q.Panel.HeightM *= height
			return q
		}
		lowered := *p
		by := r.Float64() * p.Panel.LowestM
		lowered.Panel.LowestM -= by
		lowered.Panel.MiddleM -= by
		lowered.Supports = append([]Support(nil), p.Supports...)
		for i := range lowered.Supports {
			lowered.Supports[i].HeightM -= math.Min(by, lowered.Supports[i].HeightM)
		}
		check("lower", nil, lowered)
		both(g, func(g *Guys) {
			check("narrower", g, resized(r.Float64(), 1))
			check("shorter", g, resized(1, r.Float64()))
			open := *p
			if open.Panel.Solidity > 0 {
				open.Panel.Solidity *= r.Float64()
				check("more open", g, open)
			}
			lighter := *p
			if lighter.Supports[0].ArmM == 0 {
				lighter.SafetyFactor = 1 + (p.SafetyFactor-1)*r.Float64()
				check("with a smaller factor", g, lighter)
			}
		})
	})
}

// less reports whether a piece bears less than another by either measure.
func less(a, b Hold) bool {
	const rounding = 1e-9
	return a.SafeToMS < b.SafeToMS-rounding || a.GoesAtMS < b.GoesAtMS-rounding || a.LowerAtMS < b.LowerAtMS-rounding
}

func TestMoreNeverHoldsLess(t *testing.T) {
	eachPiece(t, 4, func(p *Piece, g *Guys, r *rand.Rand) {
		kg := randomBallast(r)
		both(g, func(g *Guys) {
			before := p.Hold(kg, g)
			check := func(what string, q *Piece, kg [MaxSupports]float64, g *Guys) {
				if h := q.Hold(kg, g); less(h, before) {
					t.Errorf("%s: %+v, before %+v", what, h, before)
				}
			}
			more := kg
			more[r.IntN(4)] += 20
			check("more ballast", p, more, g)
			q := *p
			q.Friction *= 1 + r.Float64()
			check("more friction", &q, kg, g)
			q = *p
			q.Supports = append([]Support(nil), p.Supports...)
			q.Supports[0].FootprintM *= 1 + r.Float64()
			q.Supports[0].SafeLoadKg *= 1 + r.Float64()
			q.Supports[0].MassKg *= 1 + r.Float64()
			check("a better stand", &q, kg, g)
			q.Supports[0] = p.Supports[0]
			q.Supports[0].ArmM *= r.Float64()
			check("a shorter arm", &q, kg, g)
			if g != nil {
				better := *g
				better.LineSafePullN *= 2
				better.StakeSafePullN *= 2
				better.Weights *= 2
				better.Factor = 1
				check("better lines", p, kg, &better)
			}
		})
	})
}

// TestScaling: the force goes with area and with the square of the wind, the tipping moment with the height as well, and the
// limit is the inverse of them.
func TestScaling(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 12))
	for range 2000 {
		p := randomPiece(r).Panel
		gust, k := 1+20*r.Float64(), 0.2+3*r.Float64()
		near(t, "v²", p.ForceN(k*gust)/p.ForceN(gust), k*k, 1e-9*k*k)
		q := p
		q.WidthM *= k
		q.HeightM /= 2
		near(t, "area", q.ForceN(gust)/p.ForceN(gust), k/2, 1e-9*k)
		for _, u := range [2]Push{p.Wind().Down, p.Wind().Up} {
			sin, cos := math.Sincos(p.TiltDeg * math.Pi / 180)
			near(t, "parts", math.Hypot(u.Vertical, u.Level-alongPanel*p.AreaM2()*Relief(p.Solidity)*cos), u.Normal, 1e-9*u.Normal)
			if u.Level < u.Normal*sin || u.Vertical > u.Normal {
				t.Fatalf("%+v: %+v", p, u)
			}
		}
	}
	// An upright panel over a quarter of its height up, on stands whose masts are taken out of the account: the bags that
	// hold it go with the height of its middle and with v².
	const grain = 0.001
	kg := func(heightM, gust float64) float64 {
		p := board(0.75, 100, 1.5)
		p.Panel.MiddleM, p.Panel.LowestM, p.Supports[0].HeightM = heightM, heightM-1.2, heightM
		bags, _ := p.Bags(gust, grain, nil)
		mast := 1.5625 * 1.2 * 0.05 * heightM * heightM / 2 * VelocityPressure(gust) / 0.75 / GravityMS2
		return float64(bags[0])*grain - mast
	}
	near(t, "height", kg(5, 10)/kg(2.5, 10), 2, 1e-4)
	near(t, "wind", kg(3, 14)/kg(3, 7), 4, 1e-4)
}

// TestLimitAgreesWithSearch is the slow inverse: the limit is where the ballast for a gust passes what lies there.
func TestLimitAgreesWithSearch(t *testing.T) {
	eachPiece(t, 6, func(p *Piece, g *Guys, r *rand.Rand) {
		kg := randomBallast(r)
		both(g, func(g *Guys) {
			h := p.Hold(kg, g)
			holds := func(gust float64) bool {
				bags, ok := p.Bags(gust, 0.01, g)
				for i, n := range bags {
					ok = ok && float64(n)*0.01 <= kg[i]+0.01
				}
				return ok
			}
			if h.LowerAtMS > 0.1 && !holds(h.LowerAtMS-1e-6) {
				t.Errorf("%+v: less is said not to hold", h)
			}
			if h.LowerAtMS < LowerShare*CeilingMS-0.1 && holds(h.LowerAtMS+0.1) {
				t.Errorf("%+v: more is said to hold", h)
			}
		})
	})
}

func TestSameAgain(t *testing.T) {
	eachPiece(t, 7, func(p *Piece, g *Guys, _ *rand.Rand) {
		if a, b := p.Rig(9, 16, 0, g), p.Rig(9, 16, 0, g); a != b {
			t.Errorf("%+v, then %+v", a, b)
		}
	})
}
