package oracle

import (
	"math"
	"slices"

	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/sizing"
)

// What one person lifts, by the revised NIOSH equation from the reference mass of ISO 11228-1: held close, level in front,
// from 0.75 m, fair grip, seldom, so that only how high it goes takes something off.
const (
	oneLiftsKg = 23
	fromM      = 0.75
	leastTopM  = 1.4 // where a stand takes it, at least and at most
	mostTopM   = 1.75
	// Team shares of the summed strength, two and from three on (HSE L23).
	pairShare, teamShare = 2. / 3, 0.5
	mostInTeam           = 4 // HSE L23
)

// lifterKg is what one person lifts to a height.
func lifterKg(toM float64) float64 {
	toM = math.Min(mostTopM, math.Max(leastTopM, toM))
	vertical := 1 - 0.003*100*(toM-fromM)
	distance := math.Min(1, 0.82+4.5/(100*(toM-fromM)))
	return oneLiftsKg * vertical * distance
}

// liftersOf is how many people lift a mass to a height.
func liftersOf(massKg, toM float64) int {
	one := lifterKg(toM)
	for n := 1; ; n++ {
		able := one
		switch {
		case n == 2:
			able *= 2 * pairShare
		case n > 2:
			able *= float64(n) * teamShare
		}
		if massKg <= able+1e-9 {
			return n
		}
	}
}

// carriersOf is how many carry one bag or block: up to three find room around it, and two walk a trolley with what they may not carry
// (common practice, no source).
func carriersOf(massKg float64) int {
	switch {
	case massKg <= oneLiftsKg:
		return 1
	case massKg <= 2*oneLiftsKg*pairShare:
		return 2
	case massKg <= 3*oneLiftsKg*teamShare:
		return 3
	}
	return 2
}

// Hands at what the wind may take, by the outer area (common practice, no source).
const (
	holdFromMS    = 5
	tagLineHands  = 2
	lampsPerHand  = 4
	handEdgeM     = 5 // of a frame's edge walked up by one
	bothEndsOverM = 3 // held so high, both ends go up at the same time
	liftingLead   = 4 // the largest crew whose lead lifts
)

func guyHands(areaM2 float64) int {
	switch {
	case areaM2 >= 60:
		return 4
	case areaM2 >= 20:
		return 2
	case areaM2 >= 5:
		return 1
	}
	return 0
}

// task is what one piece takes of people, at least and at most, to raise it, and how many stay with it.
type task struct {
	raiseLeast, raiseMost, liftLeast, liftMost int
	guards                                     int
	held                                       bool // by those who stay, on nothing else
	// mayAim: somebody may aim it anew, who stays with it; mustAim: somebody does. at is where it stands.
	mayAim, mustAim bool
	at              vec
}

// beams reports whether a piece is a board that throws a beam.
func beams(p standing) bool {
	if p.found.board == nil {
		return false
	}
	_, yes := p.found.throws(p.Piece)
	return yes
}

// tasksOf are the tasks of an option's pieces. A board that throws a beam is held where the sun drives it, which an answer
// tells for the main zone alone.
func tasksOf(s *Scene, o sizing.Option, stock *catalog.Snapshot) (list []task, machines, mains int, ok bool) {
	for _, p := range standingIn(o, stock) {
		if n := len(p.HeldBy); n > 0 {
			lift := liftersOf(p.found.massKg, 0)
			edgeM := 4 * (p.plate.outer1 + p.plate.outer2)
			raise := max(n, lift, int(math.Ceil(edgeM/handEdgeM-1e-3)))
			list = append(list, task{raiseLeast: raise, raiseMost: raise, liftLeast: lift, liftMost: lift, guards: n, held: true, at: p.plate.centre})
			continue
		}
		r, known := rig(s, p.Piece, stock)
		if !known {
			return nil, 0, 0, false
		}
		t := task{at: p.plate.centre}
		// On stands of several kinds it is taken by one lower than by another.
		leastM, mostM, stands := math.Inf(1), math.Inf(-1), 0
		for _, m := range r.masts {
			if m.isMachine {
				machines++
			} else {
				stands++
			}
			leastM, mostM = math.Min(leastM, m.spec.LowestM), math.Max(mostM, m.spec.LowestM)
		}
		// What is on several stands is hung on them by one end, then by the other; stands of one end go up together.
		atOnceKg, together := r.found.massKg, 1
		if len(r.masts) > 1 {
			atOnceKg, together = r.found.massKg/2, (stands+1)/2
			for _, m := range r.masts {
				if m.sp.HeightM > bothEndsOverM { // both ends go up at the same time
					together = max(together, 2)
				}
			}
		}
		if f := r.found.frame; f != nil && p.Role != finding.RoleCameraShade {
			edgeM := f.OuterWidthM + f.OuterHeightM + f.OuterWidthM + f.OuterHeightM
			together = max(together, int(math.Ceil(edgeM/handEdgeM-1e-9)))
		}
		carry := 0
		for _, m := range r.masts {
			if m.sp.Ballast.Quantity > 0 {
				carry = max(carry, carriersOf(stock.Item(m.sp.Ballast.SKU).MassKg))
			}
		}
		t.liftLeast, t.liftMost = liftersOf(atOnceKg, leastM), liftersOf(atOnceKg, mostM)
		t.raiseLeast, t.raiseMost = max(together, t.liftLeast), max(together, t.liftMost)
		if stands < len(r.masts) {
			t.liftLeast, t.liftMost = 0, 0
			t.raiseLeast = max(stands, tagLineHands, carry)
			t.raiseMost = t.raiseLeast
		}
		if len(p.Lines) > 0 && stands == len(r.masts) { // one ties the ropes while the others hold it
			t.raiseLeast, t.raiseMost = t.raiseLeast+1, t.raiseMost+1
		}
		t.raiseLeast, t.raiseMost = max(t.raiseLeast, carry), max(t.raiseMost, carry) // before it goes up
		if len(p.Lines) > 0 && s.Shot.GustMS >= holdFromMS {
			t.guards = guyHands(r.areaM2)
		}
		if t.guards == 0 && beams(p) && !s.Shot.Site.Roofed {
			t.mayAim = true
			t.mustAim = o.ReaimMin != nil && p.Role == finding.RoleReflector && p.Serves == mainZone
		}
		if p.found.lamp != nil && p.found.lamp.Supply == catalog.SupplyMains {
			mains++
		}
		list = append(list, t)
	}
	return list, machines, mains, true
}

// CheckCrew holds the people and the minutes of an option to those that its pieces take in the best of all orders: the largest moment
// of raising one while those that stand are held, or of working; where they are moved, in the part of the window that takes most, or at a
// move.
func CheckCrew(s *Scene, o sizing.Option, stock *catalog.Snapshot) []Violation {
	var bad []Violation
	c := o.Crew
	within := func(what string, told, least, most int) {
		if told < least || told > most {
			bad = append(bad, broken(RuleCrew, math.Max(float64(least-told), float64(told-most)), "%s: %d %s told, %d to %d found", o.Label, told, what, least, most))
		}
	}
	var raising, holding [2]int // at least and at most
	machines, electricians, held, surely, maybe := 0, 0, false, false, false
	parts := make([][]task, o.Parts())
	for k := range parts {
		tasks, driven, mains, ok := tasksOf(s, o.Part(k), stock)
		if !ok || len(tasks) == 0 {
			return nil
		}
		parts[k] = tasks
		machines, electricians = max(machines, driven), max(electricians, (mains+lampsPerHand-1)/lampsPerHand)
		for i, jobs := range [2][]job{jobsAtLeast(tasks), jobsAtMost(tasks)} {
			raising[i], holding[i] = max(raising[i], bestMoment(jobs)), max(holding[i], staying(jobs))
		}
		held = held || slices.ContainsFunc(tasks, func(t task) bool { return t.held })
		surely = surely || slices.ContainsFunc(tasks, func(t task) bool { return t.liftLeast > mostInTeam })
		maybe = maybe || slices.ContainsFunc(tasks, func(t task) bool { return t.liftMost > mostInTeam })
	}
	for k := range o.Moves {
		least, most := handsToMove(&o, k, parts)
		within("hands to move", o.Moves[k].Hands, least, most)
		raising[0], raising[1] = max(raising[0], least), max(raising[1], most)
	}
	if c.LargeTeam && !maybe || !c.LargeTeam && surely {
		bad = append(bad, broken(RuleCrew, 1, "%s: a team too large to lift well told %v, found %v", o.Label, c.LargeTeam, maybe))
	}
	within("electricians", c.Electricians, electricians, electricians)
	within("operators", c.Operators, machines, machines)
	within("to hold", c.Hold, holding[0], holding[1])
	// The one in charge lifts and holds on a small crew without machines to give signals to, else is one more.
	lead := 1
	if c.LeadLifts {
		lead = 0
	}
	raise := c.Raise - machines - lead
	within("hands to raise", raise, raising[0], raising[1])
	small := machines == 0 && !held && raise <= liftingLead && max(1, c.Hold)+electricians <= liftingLead
	if c.LeadLifts != small {
		bad = append(bad, broken(RuleCrew, 1, "%s: the one in charge lifts told %v, found %v (%+v)", o.Label, c.LeadLifts, small, c))
	}
	work := max(1, c.Hold+lead) + electricians + machines
	within("at work", c.Work, work, work)
	within("in all", c.Total, max(c.Raise, c.Work), max(c.Raise, c.Work))
	bad = append(bad, checkOrder(o, raise)...)
	return append(bad, checkMinutes(o, stock)...)
}

// Minutes: common practice, no source.
const (
	beginMin, pieceMin, squareMetreMin, machineMin, mainsMin = 15, 5, 1, 20, 5
	supportMin, bagMin, lineMin, weightMin                   = 3, 0.5, 4, 5
	strikeShare, minuteStep                                  = 0.6, 5
)

// upToFive rounds minutes up.
func upToFive(minutes float64) int { return minuteStep * int(math.Ceil(minutes/minuteStep-1e-9)) }

// staked reports whether nothing has to be carried to the foot of a rope.
func staked(l sizing.GuyLine, stock *catalog.Snapshot) bool {
	if l.Anchor.Quantity == 0 {
		return true
	}
	a, is := stock.Item(l.Anchor.SKU).Spec.(*catalog.Anchor)
	return is && a.Form == catalog.FormStake
}

// pairsAt is in how many pairs the crew of an option works about a piece: one alone takes twice as long as two.
func pairsAt(o *sizing.Option) float64 {
	hands := o.Crew.Total - o.Crew.Operators
	if !o.Crew.LeadLifts {
		hands--
	}
	if hands == 1 {
		return 0.5
	}
	return math.Max(1, math.Floor(float64(hands)/2))
}

// aboutMin is the minutes that what lies about a piece takes one pair.
func aboutMin(p sizing.Piece, stock *catalog.Snapshot) (minutes float64) {
	for _, sp := range p.Supports {
		minutes += supportMin + bagMin*float64(sp.Ballast.Quantity)
	}
	for _, l := range p.Lines {
		minutes += lineMin
		if !staked(l, stock) {
			minutes += weightMin * float64(l.Anchor.Quantity)
		}
	}
	return minutes
}

// minutesToRig is how long an option's pieces take to put up.
func minutesToRig(o sizing.Option, stock *catalog.Snapshot) float64 {
	minutes := float64(beginMin)
	for _, p := range o.Pieces {
		minutes += pieceMin + squareMetreMin*p.OuterAreaM2 + aboutMin(p, stock)/pairsAt(&o)
		for _, sp := range p.Supports {
			if stock.Item(sp.SKU).Spec.(*catalog.Support).Class == catalog.ClassMachine {
				minutes += machineMin
			}
		}
		if found, _ := partsOf(p, stock); found.lamp != nil && found.lamp.Supply == catalog.SupplyMains {
			minutes += mainsMin
		}
	}
	return minutes
}

// checkMinutes holds the minutes told: those that the pieces take that stand first to rig, and those that stand last to strike.
func checkMinutes(o sizing.Option, stock *catalog.Snapshot) []Violation {
	first, last := minutesToRig(o.Part(0), stock), minutesToRig(o.Part(o.Parts()-1), stock)
	var bad []Violation
	for _, m := range []struct {
		what       string
		told, want int
	}{{"to rig", o.Crew.RigMin, upToFive(first)}, {"to strike", o.Crew.StrikeMin, upToFive(strikeShare * last)}} {
		if m.told != m.want {
			bad = append(bad, broken(RuleCrew, math.Abs(float64(m.told-m.want)), "%s: %d minutes %s told, %d found (by %v pairs)", o.Label, m.told, m.what, m.want, pairsAt(&o)))
		}
	}
	for k := range o.Moves {
		if told, want := o.Moves[k].Minutes, upToFive(minutesToMove(&o, k, stock)); told != want {
			bad = append(bad, broken(RuleCrew, math.Abs(float64(told-want)), "%s: %d minutes for move %d told, %d found", o.Label, told, k+1, want))
		}
	}
	return bad
}
