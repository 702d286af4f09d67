package rigging

import "slices"

// Move is what changes its place between two parts of a plan, by the index of its task in the part before and in the part after.
type Move struct {
	Down, Up []int
	// Anew are those of Up that were not up before, elsewhere, and have to be built.
	Anew []int
}

// MoveWork is what a move takes: so many hands at its largest moment, those who stay with what does not move in the wind among them, and
// minutes rounded up to five. While pieces are moved nobody aims any.
type MoveWork struct{ Hands, Minutes int }

// PlanMoves counts the people for pieces that stand in one part after the other, each in a way of its own, and what each move from one
// part to the next takes: one move less than there are parts. The crew is enough for every part and every move; it rigs the first part in
// the order of the jobs, and strikes the last. Machines are not moved.
func PlanMoves(parts [][]Task, moves []Move, gustMS float64) (c Crew, first []Job, work []MoveWork) {
	if len(parts) == 0 || len(parts[0]) == 0 {
		return c, nil, nil
	}
	held := false
	for k, tasks := range parts {
		operators, mains := 0, 0
		for i := range tasks {
			t := &tasks[i]
			operators += t.Machines
			c.LargeTeam = c.LargeTeam || t.LargeTeam()
			held = held || t.Holders > 0
			if t.Mains {
				mains++
			}
		}
		jobs := Jobs(tasks, gustMS)
		if k == 0 {
			first = jobs
		}
		raise, hold := largest(jobs, 0)
		c.Raise, c.Hold, c.Operators = max(c.Raise, raise), max(c.Hold, hold), max(c.Operators, operators)
		c.Electricians = max(c.Electricians, (mains+mainsPerHand-1)/mainsPerHand)
	}
	for k, m := range moves {
		hands := max(handsAt(parts[k], m.Down, gustMS), handsAt(parts[k+1], m.Up, gustMS))
		work = append(work, MoveWork{Hands: hands})
		c.Raise = max(c.Raise, hands)
	}
	c.countLead(held)
	c.Rigging = effortOf(parts[0], c.hands())
	c.RigMin, c.StrikeMin = rounded(c.Rigging.Minutes()), rounded(strikeShare*effortOf(parts[len(parts)-1], c.hands()).Minutes())
	for k := range work {
		work[k].Minutes = moves[k].minutes(parts[k], parts[k+1], c.hands())
	}
	return c, first, work
}

// largest returns the most people at once while jobs are done in their order beside so many who stay anyway, and how many stay in the end.
func largest(jobs []Job, stay int) (raise, hold int) {
	hold = stay
	for _, j := range jobs {
		raise = max(raise, j.Hands+hold)
		hold += j.Stay
	}
	return raise, hold
}

// handsAt returns the most people at once while some of the pieces of a part go up, or come down in the reverse order, and the others
// stand.
func handsAt(tasks []Task, some []int, gustMS float64) int {
	stay := 0
	var moved []Task
	for i := range tasks {
		t := tasks[i]
		if !slices.Contains(some, i) {
			stay += t.guarded(gustMS)
			continue
		}
		t.ByHand = false
		moved = append(moved, t)
	}
	if len(moved) == 0 {
		return 0
	}
	hands, _ := largest(Jobs(moved, gustMS), stay)
	return hands
}

// minutes is how long a move takes by so many hands: what lies about each piece off and on again, the walk between, aiming and securing,
// and the building of what was not up before. Frames stay built and laced; what is on one stand is walked on it.
func (m *Move) minutes(before, after []Task, hands int) int {
	pairs, sum := pairsOf(hands), 0.0
	about := func(t Task) float64 {
		if t.Supports == 1 {
			t.Supports = 0
		}
		return t.aboutMin(pairs)
	}
	for _, i := range m.Down {
		sum += strikeShare * about(before[i])
	}
	for _, i := range m.Up {
		t := &after[i]
		sum += minutesPiece
		switch {
		case slices.Contains(m.Anew, i):
			sum += minutesPerM2*t.AreaM2 + t.aboutMin(pairs)
		case t.Supports == 1:
			sum += about(*t)
		default:
			sum += minutesWalk + about(*t)
		}
		if t.Mains {
			sum += minutesMains
		}
	}
	return rounded(sum)
}
