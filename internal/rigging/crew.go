package rigging

import (
	"math"

	"kitspan/internal/geom"
)

// Task is what one piece asks of hands.
type Task struct {
	// MassKg is lifted by hand to LiftToM, the least height of what it is hung on; a machine lifts it where Machines is not 0.
	MassKg, LiftToM float64
	// HeldM is the height of the highest point held.
	HeldM  float64
	AreaM2 float64
	// EdgeM is the length of a frame's outer edge all round, which hands walk up; 0 for a board, a lamp, and whatever is light
	// enough to be handled by one.
	EdgeM float64
	// At is where it stands, z not looked at.
	At geom.Vec
	// Supports counts machines too.
	Supports, Machines   int
	Bags, Lines, Weights int
	// BagKg is the mass of one of the bags or blocks.
	BagKg float64
	// ByHand: held or aimed anew by hand while the camera runs.
	ByHand bool
	// Holders hold it all the time, on nothing else.
	Holders int
	// Mains: a lamp that is fed from the mains.
	Mains bool
}

// LiftedKg returns what is lifted by hand at once: all of what is on one support, and one end of what is on two or four, half of
// its mass. A frame is built low on the ground and hung on its stands at their least height, an end at a time; the
// stands lift it from there, by crank or step by step. With a machine it is nothing.
func (t *Task) LiftedKg() float64 {
	switch {
	case t.Machines > 0:
		return 0
	case t.Supports > 1:
		return t.MassKg / 2
	}
	return t.MassKg
}

// lifters is how many lift what is lifted at once.
func (t *Task) lifters() int { return Lifters(t.LiftedKg(), t.LiftToM) }

// LargeTeam reports whether what is lifted at once takes more hands than work well as one team.
func (t *Task) LargeTeam() bool { return t.Machines == 0 && t.lifters() > MaxTeam }

// Hands returns how many raise a piece: those who lift what is lifted at once, or one for every [edgePerHandM] of a frame's edge,
// or one at each of the supports that go up together, those of one end, or of both where it goes up high; and one who ties its ropes while the others hold it. A
// machine's load is guided on tag lines.
func (t *Task) Hands() int {
	if t.Machines > 0 {
		return max(tagHands, t.Supports-t.Machines)
	}
	edge := int(math.Ceil(t.EdgeM/edgePerHandM - 1e-9))
	hands := max(t.lifters(), edge, (t.Supports+1)/2)
	if t.Supports > 1 && t.HeldM > pushedUpM {
		hands = max(hands, bothEnds)
	}
	if t.Lines > 0 {
		hands++
	}
	return max(hands, t.Holders)
}

// Carriers returns how many carry one of its bags or blocks, before it is raised; 0 where there is none.
func (t *Task) Carriers() int {
	if t.Bags == 0 {
		return 0
	}
	return CarryHands(t.BagKg)
}

// guarded is how many stay at a guyed piece in a gust, who aim it too where it is aimed by hand, or hold a piece that stands on nothing.
func (t *Task) guarded(gustMS float64) int {
	if t.Holders > 0 {
		return t.Holders
	}
	if t.Lines > 0 && gustMS >= HoldGustMS {
		for _, row := range holdHands {
			if t.AreaM2 >= row.areaM2 {
				return row.hands
			}
		}
	}
	return 0
}

// Crew is how many people a plan takes, one in charge and the machines' operators among them in every figure but Hold and
// Operators, and how long it takes them.
type Crew struct {
	// Raise is the largest moment while the pieces go up one after another, those that stand held.
	Raise int
	// Hold is those who hold or re-aim a piece all the time, Work everybody there while the camera runs.
	Hold, Work int
	// Electricians look after lamps on the mains.
	Electricians int
	Operators    int
	// Total is the larger of Raise and Work.
	Total int
	// LeadLifts means that the one in charge counts as a hand: on crews of up to [MaxLiftingLead] without machines, whose operators
	// they give signals to, and with nothing that is held, whose holders they watch the wind and the ground for.
	LeadLifts bool
	// RigMin and StrikeMin are minutes, rounded up to five (common practice, no source).
	RigMin, StrikeMin int
	// Rigging is what RigMin is the time for.
	Rigging Effort
	// LargeTeam means that some piece takes more hands at once than work well as one team.
	LargeTeam bool
}

// PlanCrew counts the people for pieces that go up in the order of the jobs that it returns, which takes the fewest; they come
// down in the reverse order. No piece, no crew.
func PlanCrew(tasks []Task, gustMS float64) (Crew, []Job) {
	c, jobs, _ := PlanMoves([][]Task{tasks}, nil, gustMS)
	return c, jobs
}

// countLead counts the one in charge, who lifts with the others on a small crew and is one more on any other, or where something is held,
// and all of them.
func (c *Crew) countLead(held bool) {
	c.Work = max(1, c.Hold) + c.Electricians
	c.LeadLifts = c.Operators == 0 && !held && max(c.Raise, c.Work) <= MaxLiftingLead
	if !c.LeadLifts {
		c.Raise++
		c.Work = 1 + c.Hold + c.Electricians
	}
	c.Raise += c.Operators
	c.Work += c.Operators
	c.Total = max(c.Raise, c.Work)
}

// hands is how many of the crew lift and carry.
func (c *Crew) hands() int {
	n := c.Total - c.Operators
	if !c.LeadLifts {
		n--
	}
	return n
}

func rounded(minutes float64) int {
	return int(math.Ceil(minutes/minutesRoundedTo-1e-9) * minutesRoundedTo)
}
