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
	near(t, "goes at", h.GoesAtMS, 7.8115, 5e-5) // 38.137 Pa
	near(t, "lower", h.LowerAtMS, 6.2492, 5e-5)
	near(t, "four hands", HandHeld(&board, 4, 1.5).SafeToMS, 2*h.SafeToMS, 1e-9)
	if h := HandHeld(&board, 0, 1.5); h.LowerAtMS != 0 || h.GoesAtMS != 0 {
		t.Errorf("no hands: %+v", h)
	}
	if h := HandHeld(&Panel{}, 1, 0); h.SafeToMS != CeilingMS || h.Governs != GovernsNone {
		t.Errorf("no board: %+v", h)
	}
	near(t, "one hand", HandPullN(), 68.64655, 1e-5)
}

func TestCrew(t *testing.T) {
	frame := Task{MassKg: 20, LiftToM: 1.4, AreaM2: 13.4, Supports: 4, Bags: 16, Lines: 8} // two lift, four walk it up
	small := Task{MassKg: 6, LiftToM: 1.4, AreaM2: 1.5, Supports: 1, Bags: 4, ByHand: true}
	lamp := Task{MassKg: 32, LiftToM: 1.2, Supports: 1, Mains: true} // four lift
	lift := Task{MassKg: 58, AreaM2: 37, Supports: 2, Machines: 2, Lines: 4}
	for _, test := range []struct {
		name  string
		tasks []Task
		gust  float64
		want  Crew
	}{
		{"nothing to do", nil, 8, Crew{}},
		{"a board in calm air: one raises, one is in charge", []Task{{MassKg: 6, Supports: 1}}, 0, Crew{Raise: 2, Work: 1, Total: 2}},
		{"a frame in a calm", []Task{frame}, 4.9, Crew{Raise: 5, Work: 1, Total: 5}},
		{"a guyed frame in wind keeps a hand", []Task{frame}, 5, Crew{Raise: 5, Hold: 1, Work: 2, Total: 5}},
		{"what stands is held while the next goes up", []Task{frame, frame}, 8, Crew{Raise: 6, Hold: 2, Work: 3, Total: 6}},
		{"not guyed, not held", []Task{{MassKg: 20, AreaM2: 13.4, Supports: 4}}, 8, Crew{Raise: 5, Work: 1, Total: 5}},
		{"boards held by hand", []Task{small, small, small}, 0, Crew{Raise: 4, Hold: 3, Work: 4, Total: 4}},
		{"a lamp on the mains", []Task{lamp}, 0, Crew{Raise: 5, Work: 2, Electricians: 1, Total: 5}},
		{"five lamps on the mains", []Task{lamp, lamp, lamp, lamp, lamp}, 0, Crew{Raise: 5, Work: 3, Electricians: 2, Total: 5}},
		{"machines bring operators, hands guide", []Task{lift}, 8, Crew{Raise: 5, Hold: 2, Work: 5, Operators: 2, Total: 5}},
		{"too heavy for one team", []Task{{MassKg: 57, Supports: 4}}, 0, Crew{Raise: 8, Work: 1, Total: 8, LargeTeam: true}},
	} {
		t.Run(test.name, func(t *testing.T) {
			got := PlanCrew(test.tasks, test.gust)
			rig, strike := got.RigMin, got.StrikeMin
			got.RigMin, got.StrikeMin = 0, 0
			if got != test.want {
				t.Errorf("%+v, want %+v", got, test.want)
			}
			if len(test.tasks) > 0 && (rig < 15 || rig%5 != 0 || strike%5 != 0 || strike > rig || strike < 5) {
				t.Errorf("%d minutes up, %d down", rig, strike)
			}
		})
	}
	// By hand: 15 + 5 + 13.4 + (4·3 + 16·0.5 + 8·4)/2 for four hands: 59.4; 0.6 of it 35.64.
	if c := PlanCrew([]Task{frame}, 4); c.RigMin != 60 || c.StrikeMin != 40 {
		t.Errorf("%+v", c)
	}
}

func TestMoreWorkNeverTakesFewer(t *testing.T) {
	tasks := []Task{
		{MassKg: 20, LiftToM: 1.4, AreaM2: 13.4, Supports: 4, Bags: 16, Lines: 8}, {MassKg: 6, AreaM2: 1.5, Supports: 1, ByHand: true},
		{MassKg: 32, Supports: 1, Mains: true}, {MassKg: 58, AreaM2: 37, Supports: 2, Machines: 2, Lines: 4}, {MassKg: 9, AreaM2: 6, Supports: 2, Lines: 4},
	}
	for gust := 0.0; gust < 12; gust++ {
		for n := range tasks {
			a, b := PlanCrew(tasks[:n], gust), PlanCrew(tasks[:n+1], gust)
			if b.Total < a.Total || b.Hold < a.Hold || PlanCrew(tasks[:n+1], gust+1).Total < b.Total {
				t.Errorf("%v m/s, %d tasks: %+v, then %+v", gust, n, a, b)
			}
		}
	}
}
