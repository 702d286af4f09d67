package rigging

import (
	"testing"
)

// TestLiftingEquation: the example of homeworksource.com prints 15.72 kg with one multiplier rounded, 15.677094 unrounded;
// the ideal lift is the constant itself; the other two are worked out apart from the equation as CCOHS prints it. The NIOSH
// manual's first example is 16.031 lb by its formula in inches (from memory), whose constants are rounded otherwise.
func TestLiftingEquation(t *testing.T) {
	for _, test := range []struct {
		lift Lift
		kg   float64
	}{
		{Lift{25, 55, 95, 0, 0.88, 0.95}, 15.677094},
		{Lift{25, 75, 25, 0, 1, 1}, 23},
		{Lift{10, 75, 10, 0, 1, 1}, 23}, // nearer and shorter gain nothing
		{Lift{40, 0, 100, 0, 1, 0.95}, 9.154809},
		{Lift{40, 150, 75, 45, 1, 0.95}, 7.972409},
	} {
		near(t, "limit", test.lift.LimitKg(), test.kg, 5e-7)
	}
	near(t, "the manual's first", Lift{58.42, 38.1, 121.92, 0, 1, 0.95}.LimitKg()/0.45359237, 16.031, 0.35)
	for _, beyond := range []Lift{{64, 75, 25, 0, 1, 1}, {25, 176, 25, 0, 1, 1}, {25, 75, 176, 0, 1, 1}, {25, 75, 25, 136, 1, 1}, {25, -1, 25, 0, 1, 1}} {
		if kg := beyond.LimitKg(); kg != 0 {
			t.Errorf("%+v lifts %v", beyond, kg)
		}
	}
}

// TestTeam: HSE L23; Network Rail's example, two who lift 20 kg each lift 26.6 kg; with 25 kg each 33.333 and 37.5 kg.
func TestTeam(t *testing.T) {
	near(t, "two of 20 kg", TeamKg(2, 20), 26.667, 5e-4)
	near(t, "two of 25 kg", TeamKg(2, 25), 33.333, 5e-4)
	near(t, "three of 25 kg", TeamKg(3, 25), 37.5, 0)
	near(t, "one", TeamKg(1, 25), 25, 0)
	near(t, "nobody", TeamKg(0, 25), 0, 0)
	for n := range 12 {
		if TeamKg(n+1, 10) < TeamKg(n, 10) {
			t.Errorf("%d lift less than %d", n+1, n)
		}
	}
}

// TestBallastByHand: 33.333 kg for two of 25 kg and 37.5 for three (HSE L23), so that a block of 50 kg is beyond both; with the 23 kg
// that is reckoned with here, three carry 34.5 kg.
func TestBallastByHand(t *testing.T) {
	for _, kg := range []float64{7, 16, 25, 33.3, 34.5} {
		if !HandCarried(kg) {
			t.Errorf("a team may not carry %v kg", kg)
		}
	}
	for _, kg := range []float64{34.6, 37.6, 50, 250} {
		if HandCarried(kg) {
			t.Errorf("a team may carry %v kg", kg)
		}
	}
	// By hand: 23; 2/3 · 46 = 30.667; 1/2 · 69 = 34.5.
	for kg, want := range map[float64]int{16: 1, 23: 1, 23.1: 2, 25: 2, 30.6: 2, 30.7: 3, 34.5: 3, 34.6: 2, 50: 2} {
		if got := CarryHands(kg); got != want {
			t.Errorf("%v kg take %d, want %d", kg, got, want)
		}
	}
	for _, n := range []int{2, 3} {
		if TeamKg(n, 25) >= 50 {
			t.Errorf("%d carry a block of 50 kg", n)
		}
	}
}

// TestLifters: by hand from the equation at 1.4 m, 65 cm up: 23 · 0.805 · 0.889231 = 16.464 kg alone, 21.952 two, 24.696
// three, 32.928 four. None of it is over the reference mass.
func TestLifters(t *testing.T) {
	for _, test := range []struct {
		kg   float64
		want int
	}{{0, 1}, {16.46, 1}, {16.47, 2}, {21.95, 2}, {21.96, 3}, {24.69, 3}, {24.70, 4}, {32.92, 4}, {32.94, 5}, {57, 7}} {
		if got := Lifters(test.kg, 1); got != test.want {
			t.Errorf("%v kg take %d, want %d", test.kg, got, test.want)
		}
	}
	// HSE's filter at shoulder height is 10 kg at the body for men and 7 kg for women (from memory): the equation with half
	// of it for three and more stays between.
	if each := TeamKg(4, 16.464) / 4; each < 7 || each > 10 {
		t.Errorf("one of four lifts %v", each)
	}
	for to := 0.0; to < 3; to += 0.1 {
		if Lifters(40, to+0.1) < Lifters(40, to) {
			t.Errorf("higher than %v m takes fewer", to)
		}
	}
	if Lifters(40, 1.75) != Lifters(40, 5) {
		t.Error("over 1.75 m the stands lift")
	}
}

func TestHandHeld(t *testing.T) {
	// By hand: 7 kgf is 68.647 N; a board of 1 m² draws 1.8 N for each pascal: 25.425 Pa with the factor 1.5, 6.378 m/s.
	board := Panel{WidthM: 1, HeightM: 1, TiltDeg: 90, MiddleM: 1.2, LowestM: 0.7}
	h := HandHeld(&board, 1, 1.5)
	near(t, "safe to", h.SafeToMS, 6.378, 5e-4)
	near(t, "goes at", h.GoesAtMS, 7.8115, 5e-5)                                                                                                        // 38.137 Pa
	near(t, "lower", h.LowerAtMS, HandGustMS, 0)                                                                                                        // before 6.2492 m/s, by the balance
	near(t, "lower, twice as large", HandHeld(&Panel{WidthM: 2, HeightM: 1, TiltDeg: 90, MiddleM: 1.2, LowestM: 0.7}, 1, 1.5).LowerAtMS, 4.41885, 5e-5) // 6.2492 over √2
	near(t, "four hands", HandHeld(&board, 4, 1.5).SafeToMS, 2*h.SafeToMS, 1e-9)
	if h := HandHeld(&board, 0, 1.5); h.LowerAtMS != 0 || h.GoesAtMS != 0 {
		t.Errorf("no hands: %+v", h)
	}
	if h := HandHeld(&Panel{}, 1, 0); h.SafeToMS != CeilingMS || h.LowerAtMS != HandGustMS {
		t.Errorf("no board: %+v", h)
	}
	near(t, "one hand", HandPullN(), 68.64655, 1e-5)
}
