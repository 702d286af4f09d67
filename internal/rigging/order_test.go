package rigging

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"kitspan/internal/geom"
)

// largestMoment is the most people at once for jobs in an order.
func largestMoment(jobs []Job) (most int) {
	held := 0
	for _, j := range jobs {
		most = max(most, held+j.Hands)
		held += j.Stay
	}
	return most
}

// permute calls f with every order of a list.
func permute(list []Job, from int, f func([]Job)) {
	if from == len(list) {
		f(list)
		return
	}
	for i := from; i < len(list); i++ {
		list[from], list[i] = list[i], list[from]
		permute(list, from+1, f)
		list[from], list[i] = list[i], list[from]
	}
}

// TestNoOrderTakesFewer compares the order with every other one, of up to seven random tasks.
func TestNoOrderTakesFewer(t *testing.T) {
	const seed = 12
	r := rand.New(rand.NewPCG(seed, 6))
	better := 0
	for trial := range 2000 {
		tasks := make([]Task, 1+r.IntN(7))
		for i := range tasks {
			k := &tasks[i]
			k.MassKg, k.AreaM2, k.EdgeM, k.Supports = 60*r.Float64(), 80*r.Float64(), 30*r.Float64(), 1+r.IntN(4)
			switch r.IntN(4) {
			case 0:
				k.Machines = 1 + r.IntN(k.Supports)
			case 1:
				k.ByHand, k.At = true, geom.Vec{X: 15 * r.Float64(), Y: 15 * r.Float64()}
			case 2:
				k.Lines = 4
			}
		}
		jobs := Jobs(tasks, 8)
		got, worst := largestMoment(jobs), 0
		permute(slices.Clone(jobs), 0, func(order []Job) {
			m := largestMoment(order)
			worst = max(worst, m)
			if m < got {
				t.Fatalf("seed %d, trial %d: %+v take %d, %+v %d", seed, trial, jobs, got, order, m)
			}
		})
		if worst > got {
			better++
		}
		var listed []int
		for _, j := range jobs {
			listed = append(listed, j.Tasks...)
		}
		slices.Sort(listed)
		for i := range tasks {
			if len(listed) != len(tasks) || listed[i] != i {
				t.Fatalf("trial %d: jobs of %v", trial, listed)
			}
		}
	}
	if better < 500 {
		t.Errorf("the order mattered %d times", better)
	}
}

// TestOrderOfWork: a close-up's frame, board and fill take two instead of three when the board, which somebody stays with, is last; a
// machine drives in before all else.
func TestOrderOfWork(t *testing.T) {
	frame := Task{MassKg: 6, EdgeM: 7.3, Supports: 2}
	board := Task{MassKg: 3, Supports: 1, ByHand: true}
	fill := Task{MassKg: 4, EdgeM: 7.3, Supports: 2}
	machine := Task{MassKg: 60, Supports: 2, Machines: 2}
	jobs := Jobs([]Task{frame, board, fill, machine, board}, 8)
	var order []int
	for _, j := range jobs {
		order = append(order, j.Tasks...)
	}
	if want := []int{3, 0, 2, 1, 4}; !slices.Equal(order, want) || largestMoment(jobs) != 2 {
		t.Errorf("%v by %d, want %v by 2", order, largestMoment(jobs), want)
	}
}

// TestBoardsAreSharedOut compares the people for up to seven random boards with every way to share them out.
func TestBoardsAreSharedOut(t *testing.T) {
	const seed = 3
	r := rand.New(rand.NewPCG(seed, 4))
	seen := map[int]int{}
	for trial := range 1000 {
		boards := make([]Task, 1+r.IntN(7))
		for i := range boards {
			boards[i] = Task{MassKg: 5, Supports: 1, ByHand: true, At: geom.Vec{X: 9 * r.Float64(), Y: 9 * r.Float64(), Z: 9 * r.Float64()}}
		}
		near := func(i, k int) bool {
			return math.Hypot(boards[i].At.X-boards[k].At.X, boards[i].At.Y-boards[k].At.Y) <= ReaimReachM
		}
		fewest := len(boards)
		of := make([]int, len(boards)) // whose each board is
		var all func(i, people int)
		all = func(i, people int) {
			if i == len(boards) {
				fewest = min(fewest, people)
				return
			}
			for p := range people + 1 {
				has, ok := 0, true
				for k := range i {
					if of[k] == p {
						has++
						ok = ok && near(i, k)
					}
				}
				if ok && has < ReaimBoards {
					of[i] = p
					all(i+1, max(people, p+1))
				}
			}
		}
		all(0, 0)
		jobs := Jobs(boards, 0)
		if len(jobs) != fewest {
			t.Fatalf("seed %d, trial %d: %d people aim %+v, %d do", seed, trial, len(jobs), boards, fewest)
		}
		for _, j := range jobs {
			for _, i := range j.Tasks {
				for _, k := range j.Tasks {
					if len(j.Tasks) > ReaimBoards || !near(i, k) {
						t.Fatalf("trial %d: one aims %v of %+v", trial, j.Tasks, boards)
					}
				}
			}
		}
		seen[fewest]++
	}
	if seen[1] < 50 || seen[2] < 50 || seen[3] < 50 {
		t.Errorf("%v", seen)
	}
	// Many boards near each other are shared out at once, and many far apart in the end.
	for _, test := range []struct {
		n, want int
		apartM  float64
	}{{40, 10, 0.1}, {30, 30, 6}, {41, 21, 2.6}} {
		var boards []Task
		for i := range test.n {
			boards = append(boards, Task{Supports: 1, ByHand: true, At: geom.Vec{X: test.apartM * float64(i)}})
		}
		if got := len(Jobs(boards, 0)); got != test.want {
			t.Errorf("%d boards %v m apart take %d, want %d", test.n, test.apartM, got, test.want)
		}
	}
}
