package oracle

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"kitspan/internal/geom"
	"kitspan/internal/rigging"
)

const g = 9.80665

// board is an upright panel of 1 × 1 m on one stand, its middle at 2 m; the wind first blows along X.
func board(friction float64) *rigging.Structure {
	middle := geom.Vec{Z: 2}
	return &rigging.Structure{
		Frame:  geom.Rect{Center: middle, U: geom.Vec{Y: 1}, V: geom.Vec{Z: 1}, HalfU: 0.5, HalfV: 0.5},
		MassKg: 3, Friction: friction, SafetyFactor: 1.5,
		Stands: []rigging.Stand{{Held: middle, FootprintM: 0.6, Legs: 3, MassKg: 10, SafeLoadKg: 40}},
	}
}

// gustAt is the gust whose pressure in pascals, with the factor, is a number.
func gustAt(pa, factor float64) float64 { return math.Sqrt(pa / factor / 0.625) }

func TestBoardTipsAndSlidesAsByHand(t *testing.T) {
	const weightN = (10 + 20 + 3) * g
	const mastM2 = 1.2 * 0.05 * 2
	tips := weightN * 0.6 * math.Cos(math.Pi/3) / (1.8*2 + mastM2*1)
	near(t, "tips", SafeTo(board(10), []float64{20}, 1.5), gustAt(tips, 1.5), 1e-3*gustAt(tips, 1.5))
	near(t, "tips, no factor", SafeTo(board(10), []float64{20}, 1), gustAt(tips, 1), 1e-3*gustAt(tips, 1))
	// A quarter of the width off the middle the push turns the board in its head and not the stand.
	slides := 0.05 * weightN / (1.8 + mastM2)
	near(t, "slides", SafeTo(board(0.05), []float64{20}, 1.5), gustAt(slides, 1.5), 1e-3*gustAt(slides, 1.5))
}

func TestTwoStandsShareByTheirEars(t *testing.T) {
	s := board(10)
	for _, y := range []float64{0.5, -0.5} {
		st := s.Stands[0]
		st.Held = geom.Vec{Y: y, Z: 2}
		st.Foot = geom.Vec{Y: y}
		s.Stands = append(s.Stands, st)
	}
	s.Stands = s.Stands[1:]
	const weightN = (10 + 10 + 20 + 20 + 3) * g
	// Although the push is off the middle: the frame turns on the bar what one stand has too much.
	tips := weightN * 0.6 * math.Cos(math.Pi/3) / (1.8*2 + 2*1.2*0.05*2*1)
	near(t, "tips", SafeTo(s, []float64{20, 20}, 1.5), gustAt(tips, 1.5), 1e-3*gustAt(tips, 1.5))
	// Friction is not shared: the nearer stand takes three quarters.
	s.Friction = 0.05
	slides := 0.05 * weightN / 2 / (1.8*0.75 + 1.2*0.05*2)
	near(t, "slides", SafeTo(s, []float64{20, 20}, 1.5), gustAt(slides, 1.5), 1e-3*gustAt(slides, 1.5))
}

func TestRopeToWindwardAsByHand(t *testing.T) {
	s := board(10)
	for deg := 0.0; deg < 360; deg += 30 { // one to windward of every wind
		s.Ropes = append(s.Ropes, rigging.Rope{Stand: 0, From: geom.Vec{Z: 2}, To: turned(geom.Vec{X: 2}, deg), SafePullN: 5000, AnchorN: 400})
	}
	tips := func(pulls ...float64) float64 {
		levelN, downN := 0.0, 0.0
		for i, n := range pulls {
			levelN += n * math.Sqrt(0.5) * []float64{1, math.Cos(math.Pi / 6), math.Cos(math.Pi / 6)}[i]
			downN += n * math.Sqrt(0.5)
		}
		return (levelN*2 + (33*g+downN)*0.3) / (1.8*2 + 0.12)
	}
	// All that lie within 90° of against the wind pull, as far as no stand is pushed against it.
	low := gustAt(tips(400, 400, 400), 1.5)
	got := SafeTo(s, []float64{20}, 1.5)
	if got < low*0.999 {
		t.Errorf("stands up to %g m/s, by three ropes alone to %g", got, low)
	}
	s.Ropes = []rigging.Rope{s.Ropes[6], s.Ropes[0]} // fore and aft
	want := gustAt(tips(400), 1.5)
	near(t, "two ropes", SafeTo(s, []float64{20}, 1.5), want, 1e-3*want)
	for i := range s.Ropes {
		s.Ropes[i].SafePullN = 200 // meets the load without factor
	}
	want = gustAt(tips(300), 1.5)
	near(t, "two weak ropes", SafeTo(s, []float64{20}, 1.5), want, 1e-3*want)
	for i := range s.Ropes {
		s.Friction, s.Ropes[i].AnchorN, s.Ropes[i].WeightKg = 2, 0, 30
	}
	want = gustAt(tips(2*30*g/(math.Sqrt(0.5)*(1+2))), 1.5)
	near(t, "two ropes to weights", SafeTo(s, []float64{20}, 1.5), want, 1e-3*want)
}

func TestCalmAndSlope(t *testing.T) {
	s := board(0.3)
	s.Frame.Center.Z, s.Stands[0].Held.Z = 0.6, 0.6
	s.Stands[0].Foot.Y = 0.9 // an arm of 0.9 m, three times the lever
	need := 1.5*3*(0.9-0.3)/0.3 - 10
	calm, _ := LeastBallast(s, 0, 1.5, []float64{0})
	sin, cos := math.Sincos(10 * math.Pi / 180)
	slope := (3*(0.6*sin+(0.9-0.3)*cos)+10*0.3*sin)/(0.3*cos) - 10
	near(t, "ballast in calm", calm[0], math.Max(0, math.Max(need, slope)), 5e-3*13)
	s.MassKg, s.Stands[0].SafeLoadKg = 41, 40
	if got := SafeTo(s, []float64{500}, 1.5); got != -1 {
		t.Errorf("an overloaded stand stands up to %g m/s", got)
	}
}

// Where one stand has no ropes all its forces are determined. They are worked out here without a program, with round cones.
func TestOneStandAsByItsForces(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	lifted := 0
	for n := 0; n < 60; {
		s := Random(rng)
		if len(s.Stands) > 1 || s.Ropes != nil {
			continue
		}
		n++
		ballastKg := RandomBallast(rng, &s)
		got := SafeTo(&s, ballastKg, s.SafetyFactor)
		if got < 0 {
			continue
		}
		if got > 0.1 && !direct(&s, ballastKg[0], got*0.9985) {
			t.Errorf("%+v\nballast %.1f: up to %.3f m/s, falls before by its forces", s, ballastKg, got)
		}
		if got < 59 && direct(&s, ballastKg[0], got*1.006) {
			t.Errorf("%+v\nballast %.1f: up to %.3f m/s, stands beyond by its forces", s, ballastKg, got)
		}
		if math.Abs(s.Frame.U.Cross(s.Frame.V).Z) > 0.8 {
			lifted++
		}
	}
	if lifted < 10 {
		t.Errorf("%d frames are lifted", lifted)
	}
}

// direct reports whether a structure on one stand without ropes bears the wind at a gust.
func direct(s *rigging.Structure, ballastKg, gustMS float64) bool {
	st, q := s.Stands[0], 0.625*gustMS*gustMS*s.SafetyFactor
	heldM := st.Held.Z
	for _, b := range blows(s) {
		onFrame := b.push.Add(b.drag).Scale(q).Sub(geom.Vec{Z: s.MassKg * g})
		mast := b.along.Scale(q * 0.06 * heldM)
		about := b.pushAt.Sub(st.Foot).Cross(b.push.Scale(q)).
			Add(s.Frame.Center.Sub(st.Foot).Cross(geom.Vec{Z: -s.MassKg * g}).Add(b.dragAt.Sub(st.Foot).Cross(b.drag.Scale(q)))).
			Add(geom.Vec{Z: heldM / 2}.Cross(mast))
		ownN := (st.MassKg + ballastKg) * g
		feetN := ownN - onFrame.Z
		tilting := math.Hypot(about.X, about.Y)
		pushed := level(onFrame.Add(mast)).Len()
		twist := math.Abs(level(st.Held.Sub(st.Foot)).Cross(level(onFrame)).Z)
		if onFrame.Z > 0 {
			twist *= ownN / feetN
		}
		grip := pushed + twist/(st.FootprintM*math.Sin(math.Pi/float64(st.Legs)))
		addedN := -onFrame.Z - s.MassKg*g
		if feetN < 0 || tilting > st.FootprintM*math.Cos(math.Pi/float64(st.Legs))*feetN ||
			grip > s.Friction*feetN || grip > s.Friction*(ownN+s.MassKg*g) ||
			s.MassKg*g+addedN/s.SafetyFactor > st.SafeLoadKg*g {
			return false
		}
	}
	return true
}

func TestLeastBallastIsWhatItTakes(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	for n := 0; n < 5; {
		s := Random(rng)
		if len(s.Stands) == 4 {
			continue
		}
		gust := SafeTo(&s, make([]float64, len(s.Stands)), s.SafetyFactor)
		if gust < 1 || gust > 50 {
			continue
		}
		gust *= 1.3
		ballastKg, sumKg := LeastBallast(&s, gust, s.SafetyFactor, make([]float64, len(s.Stands)))
		if ballastKg == nil {
			continue
		}
		n++
		if ok, slack := Stands(&s, ballastKg, gust, s.SafetyFactor); !ok {
			t.Errorf("%+v\n%.1f kg are said to do for %.2f m/s and lack %g N", s, ballastKg, gust, -slack)
		}
		less := append([]float64(nil), ballastKg...)
		for i := range less {
			less[i] *= 0.98
		}
		if ok, _ := Stands(&s, less, gust, s.SafetyFactor); ok {
			t.Errorf("%+v\n%.1f kg are said to be the least for %.2f m/s, and a fiftieth less does (of %.1f)", s, ballastKg, gust, sumKg)
		}
	}
}

func TestMoreWindNeverStandsBetter(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 8))
	for range 8 {
		s := Random(rng)
		if len(s.Stands) == 4 {
			continue
		}
		ballastKg := RandomBallast(rng, &s)
		safe, goes := SafeTo(&s, ballastKg, s.SafetyFactor), SafeTo(&s, ballastKg, 1)
		if goes < safe*0.999 {
			t.Errorf("%+v\n%v: %g m/s with the factor and %g without", s, fmt.Sprint(ballastKg), safe, goes)
		}
		if safe > 0.1 && safe < 59 {
			if ok, slack := Stands(&s, ballastKg, safe*1.002, s.SafetyFactor); ok {
				t.Errorf("%+v\nstands up to %g m/s and a little further (%g N)", s, safe, slack)
			}
		}
	}
}
