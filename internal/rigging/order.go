package rigging

import (
	"cmp"
	"math"
	"slices"

	"kitspan/internal/geom"
)

// Job is what is put up in one go: one piece, or the boards that one person aims anew.
type Job struct {
	// Tasks are the indices of the pieces, in the order in which they go up.
	Tasks []int
	// Hands raise any of them and carry the ballast before, Stay remain while they are up.
	Hands, Stay int
}

// Jobs returns the work on some pieces in the order that takes the fewest people at its largest moment, a job's Hands and
// everybody who stays with the jobs before it: what nobody stays with goes up first, machines before all else, for they drive where
// nothing may stand; then what leaves the most hands free again once it is up, by Hands − Stay.
//
// No order takes fewer. Let i follow j with a_i − s_i ≥ a_j − s_j, a the hands that raise and s those that stay. With i first the two
// take max(a_i, s_i + a_j), with j first max(a_j, s_j + a_i); the former is no more, since s_i + a_j ≤ s_j + a_i and a_i ≤ s_j + a_i. So
// any order can be sorted by such exchanges, none of which takes more. A job with s = 0 loses nothing by going first.
//
// Nothing has to precede anything else: each piece stands on supports of its own with its own lines, in a place that is worked out
// beforehand, and boards are aimed last of all, when everything is up.
func Jobs(tasks []Task, gustMS float64) []Job {
	var jobs []Job
	var aimed []int
	for i := range tasks {
		t := &tasks[i]
		guarded := t.guarded(gustMS)
		if t.ByHand && guarded == 0 {
			aimed = append(aimed, i)
			continue
		}
		jobs = append(jobs, Job{Tasks: []int{i}, Hands: max(t.Hands(), t.Carriers()), Stay: guarded})
	}
	for _, group := range rounds(tasks, aimed) {
		j := Job{Tasks: group, Stay: 1}
		for _, i := range group {
			j.Hands = max(j.Hands, tasks[i].Hands(), tasks[i].Carriers())
		}
		jobs = append(jobs, j)
	}
	last := func(yes bool) int {
		if yes {
			return 1
		}
		return 0
	}
	slices.SortFunc(jobs, func(a, b Job) int {
		first, second := a.Tasks[0], b.Tasks[0]
		if c := cmp.Compare(last(a.Stay > 0), last(b.Stay > 0)); c != 0 {
			return c
		}
		if a.Stay > 0 {
			return cmp.Or(cmp.Compare(b.Hands-b.Stay, a.Hands-a.Stay), cmp.Compare(first, second))
		}
		return cmp.Or(cmp.Compare(last(tasks[first].Machines == 0), last(tasks[second].Machines == 0)), cmp.Compare(first, second))
	})
	return jobs
}

// rounds shares boards out among the fewest people, up to [ReaimBoards] each, all of whose boards are within [ReaimReachM] of each other.
func rounds(tasks []Task, boards []int) [][]int {
	s := roundSearch{tasks: tasks}
	s.share(boards)
	return s.best
}

// roundSearch tries every way to share boards out.
type roundSearch struct {
	tasks     []Task
	now, best [][]int
	steps     int
}

// maxRounds bounds the search; beyond it the best so far is the answer.
const maxRounds = 10_000

// share gives the first of the boards left to somebody, with every set of others that are near it, the largest first.
func (s *roundSearch) share(left []int) {
	if len(left) == 0 {
		if s.best == nil || len(s.now) < len(s.best) {
			s.best = slices.Clone(s.now)
		}
		return
	}
	s.steps++
	least := len(s.now) + (len(left)+ReaimBoards-1)/ReaimBoards
	if s.best != nil && (least >= len(s.best) || s.steps > maxRounds) {
		return
	}
	first := s.tasks[left[0]].At
	others := slices.Clone(left[1:])
	slices.SortStableFunc(others, func(a, b int) int { return cmp.Compare(apartM(first, s.tasks[a].At), apartM(first, s.tasks[b].At)) })
	s.add(left, []int{left[0]}, others)
}

// add goes on with a group as it is, after every way to add some of the others to it.
func (s *roundSearch) add(left, group, others []int) {
	if len(group) < ReaimBoards {
		for k, i := range others {
			if !slices.ContainsFunc(group, func(j int) bool { return apartM(s.tasks[i].At, s.tasks[j].At) > ReaimReachM }) {
				s.add(left, append(slices.Clone(group), i), others[k+1:])
			}
		}
	}
	rest := slices.DeleteFunc(slices.Clone(left), func(i int) bool { return slices.Contains(group, i) })
	slices.Sort(group)
	s.now = append(s.now, group)
	s.share(rest)
	s.now = s.now[:len(s.now)-1]
}

// apartM is the distance of two points over the ground.
func apartM(p, q geom.Vec) float64 { return math.Hypot(p.X-q.X, p.Y-q.Y) }
