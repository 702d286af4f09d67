package oracle

import (
	"math"
	"math/bits"
	"slices"

	"kitspan/internal/sizing"
)

// Who aims boards anew (common practice, no source): up to four boards, any two within five metres.
const (
	aimedByOne = 4
	aimReachM  = 5
)

// job is what is put up in one go: so many raise it, so many stay.
type job struct{ raise, stay int }

// jobsAtLeast are the jobs of pieces of which nobody aims but what must be aimed, jobsAtMost those where all is aimed that may be. Of a
// person's boards the one that takes most hands counts, which is told of one job at least and of all at most.
func jobsAtLeast(tasks []task) []job {
	jobs, at, heaviest := apartFrom(tasks, func(t task) (int, bool) { return t.raiseLeast, t.mustAim })
	fewest, _ := aimers(at, aimReachM+levelTolM)
	for i := range fewest {
		j := job{1, 1}
		if i == 0 {
			j.raise = heaviest
		}
		jobs = append(jobs, j)
	}
	return jobs
}

func jobsAtMost(tasks []task) []job {
	jobs, at, heaviest := apartFrom(tasks, func(t task) (int, bool) { return t.raiseMost, t.mayAim })
	_, most := aimers(at, aimReachM-levelTolM)
	for range most {
		jobs = append(jobs, job{heaviest, 1})
	}
	return jobs
}

// apartFrom are the jobs of what nobody aims, and where the others stand.
func apartFrom(tasks []task, of func(t task) (raise int, aimed bool)) (jobs []job, at []vec, heaviest int) {
	for _, t := range tasks {
		raise, aimed := of(t)
		if !aimed {
			jobs = append(jobs, job{raise, t.guards})
			continue
		}
		at, heaviest = append(at, t.at), max(heaviest, raise)
	}
	return jobs, at, heaviest
}

func staying(jobs []job) (n int) {
	for _, j := range jobs {
		n += j.stay
	}
	return n
}

// mostExact is for how many boards all ways to share them out are looked at.
const mostExact = 12

// aimers is the fewest people for boards over all ways to share them out, or where those are too many bounds on it: everybody has
// four, everybody has one.
func aimers(at []vec, reachM float64) (least, most int) {
	n := len(at)
	if n > mostExact {
		return (n + aimedByOne - 1) / aimedByOne, n
	}
	byOne := func(set int) bool {
		if bits.OnesCount(uint(set)) > aimedByOne {
			return false
		}
		for i := range n {
			for k := range i {
				if set>>i&1 == 1 && set>>k&1 == 1 && plan(at[i]).far(plan(at[k])) > reachM {
					return false
				}
			}
		}
		return true
	}
	ok := make([]bool, 1<<n)
	fewest := make([]int, 1<<n)
	for set := 1; set < 1<<n; set++ {
		ok[set] = byOne(set)
		fewest[set] = n
		lowest := set & -set
		for part := set; part > 0; part = (part - 1) & set {
			if part&lowest != 0 && ok[part] {
				fewest[set] = min(fewest[set], 1+fewest[set^part])
			}
		}
	}
	return fewest[len(fewest)-1], fewest[len(fewest)-1]
}

// bestMoment is the least, over all orders, of the most people at once: those who raise a job, and those who stay with the jobs
// before it. Jobs alike are counted, so that their orders among each other are not gone through.
func bestMoment(jobs []job) int {
	var kinds []job
	var counts []int
	for _, j := range jobs {
		k := slices.Index(kinds, j)
		if k < 0 {
			k = len(kinds)
			kinds, counts = append(kinds, j), append(counts, 0)
		}
		counts[k]++
	}
	known := map[string]int{}
	var of func(left []int) int
	of = func(left []int) int {
		key := make([]byte, len(left))
		there := 0
		for k, n := range left {
			key[k] = byte(n)
			there += n * kinds[k].stay
		}
		if m, ok := known[string(key)]; ok {
			return m
		}
		best := math.MaxInt
		for k := range left {
			if left[k] == 0 {
				continue
			}
			left[k]-- // the last of them is of this kind
			best = min(best, max(of(left), there-kinds[k].stay+kinds[k].raise))
			left[k]++
		}
		if best == math.MaxInt {
			best = 0
		}
		known[string(key)] = best
		return best
	}
	return of(counts)
}

// checkOrder holds the order of work to the crew: all pieces go up, nobody is at two of them, and its largest moment is the one told.
func checkOrder(o sizing.Option, raise int) []Violation {
	pieces, held, most := 0, 0, 0
	for _, w := range o.Order {
		pieces += w.Pieces
		hands := max(w.Hands, w.Carriers)
		most = max(most, held+hands)
		switch {
		case w.Aims > 1:
			held += w.Stay // with all of them
		default:
			most = max(most, held+(w.Pieces-1)*w.Stay+hands)
			held += w.Pieces * w.Stay
		}
	}
	told := held == o.Crew.Hold && most == raise
	if len(o.Moves) > 0 { // the order is that of the first part, the crew enough for all
		told = held <= o.Crew.Hold && most <= raise
	}
	if pieces != len(o.Pieces) || !told {
		return []Violation{broken(RuleCrew, 1, "%s: the order of work has %d pieces, %d who stay and %d at most, of %d, %d and %d",
			o.Label, pieces, held, most, len(o.Pieces), o.Crew.Hold, raise)}
	}
	return nil
}
