package rigging

import (
	"slices"
	"testing"
)

// By hand. The frame by four, two pairs: (4·3 + 16·0.5 + 8·4) / 2 = 26 about it, 0.6 of that down, then 2 + 5 + 26 up: 48.6. A board by
// the same, walked on its stand: a bag in 0.25, so 0.15 down and 5.25 up; one that was not up before, of 1.5 m², 1.75 + 5 + 1.5 and nothing
// down.
func TestPlanMoves(t *testing.T) {
	frame := Task{MassKg: 20, LiftToM: 1.4, AreaM2: 13.4, EdgeM: 14.6, Supports: 4, Bags: 16, Lines: 8}
	board := Task{MassKg: 6, LiftToM: 1.4, AreaM2: 1.5, Supports: 1, Bags: 1, ByHand: true}
	for _, test := range []struct {
		name  string
		parts [][]Task
		moves []Move
		gust  float64
		total int
		work  []MoveWork
	}{
		{"nothing moves", [][]Task{{frame}}, nil, 0, 4, nil},
		{"a frame in a calm", [][]Task{{frame}, {frame}}, []Move{{Down: []int{0}, Up: []int{0}}}, 0, 4, []MoveWork{{4, 50}}},
		{"a frame and a board, which nobody aims meanwhile", [][]Task{{frame, board}, {frame, board}}, []Move{{Down: []int{0, 1}, Up: []int{0, 1}}}, 0, 4, []MoveWork{{4, 55}}},
		{"another board than before", [][]Task{{frame, board}, {frame, board}}, []Move{{Down: []int{0}, Up: []int{0, 1}, Anew: []int{1}}}, 0, 4, []MoveWork{{4, 60}}},
		{"a board while the frame stays, held in the wind", [][]Task{{frame, board}, {frame, board}}, []Move{{Down: []int{1}, Up: []int{1}}}, 8, 4, []MoveWork{{2, 10}}},
		{"a frame while another is held", [][]Task{{frame, frame}, {frame, frame}}, []Move{{Down: []int{0}, Up: []int{0}}}, 8, 6, []MoveWork{{5, 50}}},
		{"twice", [][]Task{{frame}, {frame}, {frame}}, []Move{{Down: []int{0}, Up: []int{0}}, {}}, 0, 4, []MoveWork{{4, 50}, {}}},
	} {
		t.Run(test.name, func(t *testing.T) {
			c, jobs, work := PlanMoves(test.parts, test.moves, test.gust)
			if c.Total != test.total || !slices.Equal(work, test.work) {
				t.Errorf("%+v, moves %+v; want %d people, %+v", c, work, test.total, test.work)
			}
			alone, order := PlanCrew(test.parts[0], test.gust)
			if len(jobs) != len(order) || c.Raise < alone.Raise || c.Hold < alone.Hold {
				t.Errorf("%+v in %d jobs, the first part alone %+v in %d", c, len(jobs), alone, len(order))
			}
		})
	}
}

// What a later part takes the crew has from the start.
func TestPlanMovesIsEnoughForEveryPart(t *testing.T) {
	light, heavy := Task{MassKg: 6, Supports: 1}, Task{MassKg: 32, LiftToM: 1.2, Supports: 1}
	few, _, _ := PlanMoves([][]Task{{light}, {light}}, []Move{{Down: []int{0}, Up: []int{0}}}, 0)
	more, _, work := PlanMoves([][]Task{{light}, {light, heavy}}, []Move{{Up: []int{1}, Anew: []int{1}}}, 0)
	if few.Total != 1 || more.Total != 4 || work[0].Hands != 4 {
		t.Errorf("%+v, then %+v and %+v", few, more, work)
	}
}
