package sharedkit

import (
	"cmp"
	"math"
	"slices"
)

// How many parts are looked at to find out whether one resource can do with a level (common practice, no source).
const floorParts = 1500

// floors raises what each resource needs at least where shots move: of one resource alone it is soon found out that no starts and options
// do with fewer units, which the relaxation, that mixes starts, hardly sees. The costly resources come first.
func (s *search) floors(q *part) bool {
	var order []int
	for r := range s.m.resources {
		if len(s.narrow.sumsOf[r]) > 0 && q.low[r] < q.high[r] {
			order = append(order, r)
		}
	}
	spread := func(r int) float64 { return s.m.resources[r].cost(q.high[r]) - s.m.resources[r].cost(q.low[r]) }
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(spread(b), spread(a)) })
	for _, r := range order {
		s.narrow.only = r
		for q.low[r] < q.high[r] {
			try := q.clone()
			try.high[r] = q.low[r]
			s.narrow.resource(r)
			left := floorParts
			if !s.narrow.narrow(&try) || !s.possible(&try, r, &left) && left > 0 {
				q.low[r]++
				continue
			}
			break
		}
		s.narrow.only = -1
	}
	s.narrow.all()
	return s.narrow.narrow(q)
}

// possible reports whether some choice of a part keeps a resource's high, looking at no more parts than are left; it is false too where
// none are left.
func (s *search) possible(q *part, r int, left *int) bool {
	if *left--; *left <= 0 {
		return false
	}
	// The shot that takes the most for the longest and is not fixed yet.
	shot, most := -1, 0
	for _, i := range s.narrow.shotsOf[r] {
		n := count(q.open[i])
		if n <= 1 {
			continue
		}
		least := math.MaxInt
		for o := range q.open[i] {
			if q.open[i][o] {
				opt := &s.p.Shots[i].Options[o]
				least = min(least, s.takes(i, o, r)*(opt.To-opt.From))
			}
		}
		if least > most {
			shot, most = i, least
		}
	}
	if shot < 0 {
		return true // every shot left may take nothing, or is fixed: what is up at once was added up
	}
	first, last := math.MaxInt, math.MinInt
	for o, open := range q.open[shot] {
		if open {
			first, last = min(first, s.p.Shots[shot].Options[o].From), max(last, s.p.Shots[shot].Options[o].From)
		}
	}
	early := func(o int) bool { return 2*s.p.Shots[shot].Options[o].From <= first+last }
	if first == last {
		best := -1
		for o, open := range q.open[shot] {
			if !open {
				continue
			}
			if best < 0 || cmp.Or(s.takes(shot, o, r)-s.takes(shot, best, r), s.p.Shots[shot].Options[o].To-s.p.Shots[shot].Options[best].To) < 0 {
				best = o
			}
		}
		early = func(o int) bool { return o == best }
	}
	for _, want := range [2]bool{true, false} {
		side := q.clone()
		for o := range side.open[shot] {
			side.open[shot][o] = side.open[shot][o] && early(o) == want
		}
		if s.narrow.options(shot); s.narrow.narrow(&side) && s.possible(&side, r, left) {
			return true
		}
	}
	return false
}

// takes is how many units of a resource an option asks.
func (s *search) takes(shot, option, r int) int {
	for _, j := range s.m.shots[shot].asks[option] {
		if w := &s.m.shots[shot].rows[j]; w.resource == r {
			return s.m.resources[r].values[w.level]
		}
	}
	return 0
}
