package rigging

import (
	"testing"

	"kitspan/internal/geom"
)

func TestCrew(t *testing.T) {
	frame := Task{MassKg: 20, LiftToM: 1.4, AreaM2: 13.4, EdgeM: 14.6, Supports: 4, Bags: 16, Lines: 8} // three walk it up
	small := Task{MassKg: 6, LiftToM: 1.4, AreaM2: 1.5, Supports: 1, Bags: 4, ByHand: true}
	far := small
	far.At = geom.Vec{X: 20}
	lamp := Task{MassKg: 32, LiftToM: 1.2, Supports: 1, Mains: true} // four lift
	lift := Task{MassKg: 58, AreaM2: 37, Supports: 2, Machines: 2}
	for _, test := range []struct {
		name  string
		tasks []Task
		gust  float64
		want  Crew
	}{
		{"nothing to do", nil, 8, Crew{}},
		{"a board in calm air: one raises it and is in charge", []Task{{MassKg: 6, Supports: 1}}, 0, Crew{Raise: 1, Work: 1, Total: 1, LeadLifts: true}},
		{"a board on a block that nobody carries alone", []Task{{MassKg: 6, Supports: 1, Bags: 1, BagKg: 25}}, 0, Crew{Raise: 2, Work: 1, Total: 2, LeadLifts: true}},
		{"a heavy board: two", []Task{{MassKg: 21, Supports: 1}}, 0, Crew{Raise: 2, Work: 1, Total: 2, LeadLifts: true}},
		{"a frame in a calm: three at it, one ties", []Task{frame}, 4.9, Crew{Raise: 4, Work: 1, Total: 4, LeadLifts: true}},
		{"a guyed frame in wind keeps a hand", []Task{frame}, 5, Crew{Raise: 4, Hold: 1, Work: 1, Total: 4, LeadLifts: true}},
		{"what stands is held while the next goes up", []Task{frame, frame}, 8, Crew{Raise: 6, Hold: 2, Work: 3, Total: 6}},
		{"six hands: the one in charge has both free", []Task{frame, frame, frame}, 8, Crew{Raise: 7, Hold: 3, Work: 4, Total: 7}},
		{"not guyed, not held", []Task{{MassKg: 20, AreaM2: 13.4, EdgeM: 14.6, Supports: 4}}, 8, Crew{Raise: 3, Work: 1, Total: 3, LeadLifts: true}},
		{"one aims three boards", []Task{small, small, small}, 0, Crew{Raise: 1, Hold: 1, Work: 1, Total: 1, LeadLifts: true}},
		{"two aim five", []Task{small, small, small, small, small}, 0, Crew{Raise: 2, Hold: 2, Work: 2, Total: 2, LeadLifts: true}},
		{"one is not in two places", []Task{small, far}, 0, Crew{Raise: 2, Hold: 2, Work: 2, Total: 2, LeadLifts: true}},
		{"boards that are aimed go up after the frame", []Task{small, frame}, 0, Crew{Raise: 4, Hold: 1, Work: 1, Total: 4, LeadLifts: true}},
		{"a lamp on the mains", []Task{lamp}, 0, Crew{Raise: 4, Work: 2, Electricians: 1, Total: 4, LeadLifts: true}},
		{"five lamps on the mains", []Task{lamp, lamp, lamp, lamp, lamp}, 0, Crew{Raise: 4, Work: 3, Electricians: 2, Total: 4, LeadLifts: true}},
		{"machines bring operators, hands guide, one gives signals", []Task{lift}, 8, Crew{Raise: 5, Work: 3, Operators: 2, Total: 5}},
		{"too heavy for one team at one end", []Task{{MassKg: 114, Supports: 4}}, 0, Crew{Raise: 8, Work: 1, Total: 8, LargeTeam: true}},
	} {
		t.Run(test.name, func(t *testing.T) {
			got, _ := PlanCrew(test.tasks, test.gust)
			rig, strike := got.RigMin, got.StrikeMin
			got.RigMin, got.StrikeMin, got.Rigging = 0, 0, Effort{}
			if got != test.want {
				t.Errorf("%+v, want %+v", got, test.want)
			}
			if len(test.tasks) > 0 && (rig < 15 || rig%5 != 0 || strike%5 != 0 || strike > rig || strike < 5) {
				t.Errorf("%d minutes up, %d down", rig, strike)
			}
		})
	}
}

// TestMinutes: by hand. The frame by three: 15 + 5 + 13.4 + (4·3 + 16·0.5 + 8·4) by one pair, 85.4; 0.6 of it 51.24. A board by one:
// 15 + 5 + 1.5 + (3 + 4·0.5) by half a pair, 31.5; 18.9.
func TestMinutes(t *testing.T) {
	for _, test := range []struct {
		task        Task
		rig, strike int
	}{
		{Task{MassKg: 20, LiftToM: 1.4, AreaM2: 13.4, EdgeM: 14.6, Supports: 4, Bags: 16, Lines: 8}, 60, 40},
		{Task{MassKg: 6, AreaM2: 1.5, Supports: 1, Bags: 4}, 35, 20},
	} {
		if c, _ := PlanCrew([]Task{test.task}, 4); c.RigMin != test.rig || c.StrikeMin != test.strike {
			t.Errorf("%+v, want %d and %d minutes", c, test.rig, test.strike)
		}
	}
}

func TestMoreWorkNeverTakesFewer(t *testing.T) {
	tasks := []Task{
		{MassKg: 20, LiftToM: 1.4, AreaM2: 13.4, EdgeM: 14.6, Supports: 4, Bags: 16, Lines: 8}, {MassKg: 6, AreaM2: 1.5, Supports: 1, ByHand: true},
		{MassKg: 32, Supports: 1, Mains: true}, {MassKg: 58, AreaM2: 37, Supports: 2, Machines: 2}, {MassKg: 9, AreaM2: 6, EdgeM: 10, Supports: 2, Lines: 4},
		{MassKg: 6, AreaM2: 1.5, Supports: 1, ByHand: true, At: geom.Vec{X: 4}}, {MassKg: 6, AreaM2: 1.5, Supports: 1, ByHand: true, At: geom.Vec{X: 8}},
	}
	crew := func(n int, gustMS float64) Crew {
		c, _ := PlanCrew(tasks[:n], gustMS)
		return c
	}
	for gust := 0.0; gust < 12; gust++ {
		for n := range tasks {
			a, b := crew(n, gust), crew(n+1, gust)
			if b.Total < a.Total || b.Hold < a.Hold || crew(n+1, gust+1).Total < b.Total {
				t.Errorf("%v m/s, %d tasks: %+v, then %+v", gust, n, a, b)
			}
		}
	}
}

// TestWhoHoldsAFrameHoldsNothingElse: two hold, the one in charge watches, whatever the wind; and a small board goes up before.
func TestWhoHoldsAFrameHoldsNothingElse(t *testing.T) {
	held := Task{MassKg: 5, AreaM2: 2.2, EdgeM: 6.1, Holders: 2}
	board := Task{MassKg: 3, LiftToM: 1.4, AreaM2: 1, Supports: 1}
	for _, gust := range []float64{0, 4} {
		c, _ := PlanCrew([]Task{held}, gust)
		if c.Hold != 2 || c.LeadLifts || c.Total != 3 || c.Work != 3 {
			t.Errorf("%v m/s: %+v", gust, c)
		}
		c, jobs := PlanCrew([]Task{held, board}, gust)
		if c.Hold != 2 || c.Total != 3 || len(jobs) != 2 || jobs[0].Tasks[0] != 1 {
			t.Errorf("with a board at %v m/s: %+v, %+v", gust, c, jobs)
		}
	}
}
