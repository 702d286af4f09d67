package oracle

import (
	"fmt"
	"math"
	"math/big"
	"slices"

	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/price"
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

// Hands at what the wind may take, by the outer area (common practice, no source).
const (
	holdFromMS   = 5
	tagLineHands = 2
	lampsPerHand = 4
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

// task is what one piece takes of people, at least and at most, to raise it and to hold it.
type task struct{ raiseLeast, raiseMost, liftLeast, liftMost, holdLeast, holdMost int }

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
		r, known := rig(s, p.Piece, stock)
		if !known {
			return nil, 0, 0, false
		}
		var t task
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
		t.liftLeast, t.liftMost = liftersOf(r.found.massKg, leastM), liftersOf(r.found.massKg, mostM)
		t.raiseLeast, t.raiseMost = max(stands, t.liftLeast), max(stands, t.liftMost)
		if stands < len(r.masts) {
			t.liftLeast, t.liftMost = 0, 0
			t.raiseLeast = max(stands, tagLineHands)
			t.raiseMost = t.raiseLeast
		}
		if len(p.Lines) > 0 && s.Shot.GustMS >= holdFromMS {
			t.holdLeast = guyHands(r.areaM2)
			t.holdMost = t.holdLeast
		}
		if beams(p) && !s.Shot.Site.Roofed {
			t.holdMost++
			if o.ReaimMin != nil && p.Role == finding.RoleReflector && p.Serves == mainZone {
				t.holdLeast++
			}
		}
		if p.found.lamp != nil && p.found.lamp.Supply == catalog.SupplyMains {
			mains++
		}
		list = append(list, t)
	}
	return list, machines, mains, true
}

// CheckCrew holds the people and the minutes of an option to those that its pieces take, in the order in which they are
// listed: the largest moment of raising one while those that stand are held, or of working.
func CheckCrew(s *Scene, o sizing.Option, stock *catalog.Snapshot) []Violation {
	tasks, machines, mains, ok := tasksOf(s, o, stock)
	if !ok || len(tasks) == 0 {
		return nil
	}
	var bad []Violation
	c := o.Crew
	within := func(what string, told, least, most int) {
		if told < least || told > most {
			bad = append(bad, broken(RuleCrew, math.Max(float64(least-told), float64(told-most)), "%s: %d %s told, %d to %d found", o.Label, told, what, least, most))
		}
	}
	electricians := (mains + lampsPerHand - 1) / lampsPerHand
	raiseLeast, raiseMost, holdLeast, holdMost := 0, 0, 0, 0
	for _, t := range tasks {
		raiseLeast = max(raiseLeast, t.raiseLeast+holdLeast)
		raiseMost = max(raiseMost, t.raiseMost+holdMost)
		holdLeast += t.holdLeast
		holdMost += t.holdMost
	}
	large := func(lift func(t task) int) bool {
		return slices.ContainsFunc(tasks, func(t task) bool { return lift(t) > mostInTeam })
	}
	if surely, maybe := large(func(t task) int { return t.liftLeast }), large(func(t task) int { return t.liftMost }); c.LargeTeam && !maybe || !c.LargeTeam && surely {
		bad = append(bad, broken(RuleCrew, 1, "%s: a team too large to lift well told %v, found %v", o.Label, c.LargeTeam, maybe))
	}
	always := 1 + machines
	within("electricians", c.Electricians, electricians, electricians)
	within("operators", c.Operators, machines, machines)
	within("to hold", c.Hold, holdLeast, holdMost)
	within("to raise", c.Raise, always+raiseLeast, always+raiseMost)
	within("at work", c.Work, always+electricians+c.Hold, always+electricians+c.Hold)
	within("in all", c.Total, max(c.Raise, c.Work), max(c.Raise, c.Work))
	return append(bad, checkMinutes(o, stock, len(tasks), machines, mains)...)
}

// Minutes: common practice, no source.
const (
	beginMin, pieceMin, squareMetreMin, machineMin, mainsMin = 15, 5, 1, 20, 5
	supportMin, bagMin, lineMin, weightMin                   = 3, 0.5, 4, 5
	strikeShare, minuteStep                                  = 0.6, 5
)

// upToFive rounds minutes up.
func upToFive(minutes float64) int { return minuteStep * int(math.Ceil(minutes/minuteStep-1e-9)) }

func checkMinutes(o sizing.Option, stock *catalog.Snapshot, pieces, machines, mains int) []Violation {
	alone := beginMin + pieceMin*float64(pieces) + machineMin*float64(machines) + mainsMin*float64(mains)
	paired := 0.0
	for _, p := range o.Pieces {
		alone += squareMetreMin * p.OuterAreaM2
		for _, sp := range p.Supports {
			paired += supportMin + bagMin*float64(sp.Ballast.Quantity)
		}
		for _, l := range p.Lines {
			paired += lineMin
			if a, is := stock.Item(l.Anchor.SKU).Spec.(*catalog.Anchor); is && a.Form == catalog.FormWeight {
				paired += weightMin * float64(l.Anchor.Quantity)
			}
		}
	}
	pairs := max(1, (o.Crew.Total-1-o.Crew.Operators)/2)
	minutes := alone + paired/float64(pairs)
	var bad []Violation
	for _, m := range []struct {
		what       string
		told, want int
	}{{"to rig", o.Crew.RigMin, upToFive(minutes)}, {"to strike", o.Crew.StrikeMin, upToFive(strikeShare * minutes)}} {
		if m.told != m.want {
			bad = append(bad, broken(RuleCrew, math.Abs(float64(m.told-m.want)), "%s: %d minutes %s told, %d found (%.2f by %d pairs)", o.Label, m.told, m.what, m.want, minutes, pairs))
		}
	}
	return bad
}

// priced holds the lines of a kit to what it has to have, by item, to the rates of a date and to their sum.
func priced(rule Rule, what string, k price.Kit, stock *catalog.Snapshot, on catalog.Date) []Violation {
	var bad []Violation
	total := new(big.Int)
	listed := map[string]bool{}
	for _, l := range k.Lines {
		item := stock.Item(l.SKU)
		if item == nil || listed[l.SKU] {
			bad = append(bad, broken(rule, 1, "%s: line %s is unknown or occurs twice", what, l.SKU))
			continue
		}
		listed[l.SKU] = true
		cents, problem := checkLine(l, item, on)
		if problem != "" {
			bad = append(bad, broken(rule, 1, "%s: line %s %s", what, l.SKU, problem))
			continue
		}
		total.Add(total, cents)
	}
	if got, ok := minorUnits(k.PerDay); !ok || got.Cmp(total) != 0 || k.PerDay.CurrencyCode() != stock.House.Currency {
		bad = append(bad, broken(rule, 1, "%s: the day costs %s, the lines add up to %s minor units", what, k.PerDay, total))
	}
	return bad
}

// CheckLabour holds the labour to the crew: one in charge, hands, operators and lamp hands, and no one else.
func CheckLabour(o sizing.Option, stock *catalog.Snapshot, on catalog.Date) []Violation {
	what := fmt.Sprintf("%s: labour", o.Label)
	bad := priced(RuleLabour, what, o.Labour, stock, on)
	got := map[string]int{}
	for _, l := range o.Labour.Lines {
		if item := stock.Item(l.SKU); item != nil {
			spec, is := item.Spec.(*catalog.Labour)
			if !is {
				bad = append(bad, broken(RuleLabour, 1, "%s: %s is no labour", what, l.SKU))
				continue
			}
			got[spec.Role] += l.Quantity
			if l.Quantity > item.Owned && !noted(&o, func(n finding.TooFew) bool { return n.SKU == item.SKU && n.Owned == item.Owned }) {
				bad = append(bad, broken(RuleStock, float64(l.Quantity-item.Owned), "%s: %d of %s, the house has %d and no note says so", what, l.Quantity, l.SKU, item.Owned))
			}
		}
	}
	c := o.Crew
	for role, want := range map[string]int{
		catalog.RoleLead: min(1, c.Total), catalog.RoleOperator: c.Operators, catalog.RoleElectrician: c.Electricians,
		catalog.RoleHand: max(0, c.Total-1-c.Operators-c.Electricians), catalog.RoleDriver: 0,
	} {
		if got[role] != want {
			bad = append(bad, broken(RuleLabour, math.Abs(float64(got[role]-want)), "%s: %d × %s priced, the crew of %+v has %d", what, got[role], role, c, want))
		}
	}
	return bad
}
