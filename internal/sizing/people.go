package sizing

import (
	"fmt"
	"maps"
	"math"
	"slices"

	"kitspan/internal/anchorage"
	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/lighting"
	"kitspan/internal/price"
	"kitspan/internal/rigging"
)

// This file counts the people that a plan takes, and what labour and transport cost.

// addStaff fills in crew, labour and transport, and what all of it comes to.
func addStaff(pl *planner, opt *Option) error {
	parts := make([][]rigging.Task, len(opt.arranged))
	var lifts []catalog.Count // machines are not moved: of one part alone
	for k, a := range opt.arranged {
		parts[k], lifts = tasksOf(pl, a, anchoragesOf(a))
	}
	var jobs []rigging.Job
	var moves []rigging.MoveWork
	opt.Crew, jobs, moves = rigging.PlanMoves(parts, opt.changes(), pl.holding.GustMS)
	for k, m := range moves {
		opt.Moves[k].Hands, opt.Moves[k].Minutes = m.Hands, m.Minutes
	}
	opt.Order = workOrder(pl, opt, parts[0], jobs)
	noteHeavyLifts(opt, parts[0])
	if len(lifts) > 0 {
		opt.Notes = append(opt.Notes, slewing(opt.arranged[0]))
	}
	var err error
	if opt.Labour, err = labourOf(pl, opt, lifts); err != nil {
		return err
	}
	noteLongDay(pl, opt)
	if opt.Transport, err = transportOf(pl, opt); err != nil {
		return err
	}
	opt.TotalPerDay = opt.Kit.PerDay
	for _, k := range [2]price.Kit{opt.Labour, opt.Transport} {
		if opt.TotalPerDay, err = opt.TotalPerDay.Add(k.PerDay); err != nil {
			return fmt.Errorf("sizing: total of %s: %w", opt.Label, err)
		}
	}
	return nil
}

// noteHeavyLifts notes for each role the heaviest of what is lifted at once by more than work well together.
func noteHeavyLifts(opt *Option, tasks []rigging.Task) {
	heaviest := map[finding.Role]finding.HeavyLift{}
	for i := range tasks {
		t, role := &tasks[i], opt.Pieces[i].Role
		if kg := t.LiftedKg(); t.LargeTeam() && kg > heaviest[role].LiftedKg {
			heaviest[role] = finding.HeavyLift{Role: role, LiftedKg: kg, People: lifters(t), Most: rigging.MaxTeam, Teams: teams(t)}
		}
	}
	for _, role := range slices.Sorted(maps.Keys(heaviest)) {
		opt.Notes = append(opt.Notes, heaviest[role])
	}
}

// lifters is how many lift what is lifted at once of a piece.
func lifters(t *rigging.Task) int { return rigging.Lifters(t.LiftedKg(), t.LiftToM) }

// teams is in how many teams they do, of which none is larger than works well; 0 where one is enough.
func teams(t *rigging.Task) int {
	if !t.LargeTeam() {
		return 0
	}
	return (lifters(t) + rigging.MaxTeam - 1) / rigging.MaxTeam
}

// anchoragesOf returns what holds each piece, overheads first.
func anchoragesOf(a *lighting.Arrangement) []*anchorage.Anchorage {
	var out []*anchorage.Anchorage
	for _, ch := range a.Rigs {
		out = append(out, &ch.Anchorage)
	}
	for _, p := range a.Pieces {
		out = append(out, &p.Anchorage)
	}
	return out
}

// tasksOf returns what each piece takes of hands, in the order of the pieces, and the machines' operators by SKU.
func tasksOf(pl *planner, a *lighting.Arrangement, fast []*anchorage.Anchorage) (tasks []rigging.Task, operators []catalog.Count) {
	add := func(t rigging.Task, masts []anchorage.Mast, f *anchorage.Anchorage) {
		for i := range masts {
			w := masts[i].Support
			t.LiftToM, t.HeldM = math.Max(t.LiftToM, w.Spec.LowestM), math.Max(t.HeldM, masts[i].Held.Z)
			if w.Spec.Class == catalog.ClassMachine {
				t.Machines++
				if op := w.Spec.OperatorSKU; op != "" {
					operators = append(operators, catalog.Count{SKU: op, Quantity: 1})
				}
			}
		}
		t.Supports = len(masts)
		for _, n := range f.Bags {
			t.Bags += n
		}
		if t.Bags > 0 {
			t.BagKg = f.Bag.MassKg
		}
		t.Lines = len(f.Ropes)
		for i := range f.Ropes {
			if f.Ropes[i].Weighted() {
				t.Weights += f.Ropes[i].Count
			}
		}
		tasks = append(tasks, t)
	}
	for i, ch := range a.Rigs {
		c := ch.Candidate
		t := frameTask(c.Frame, c.MassKg)
		t.Holders = len(ch.Hands)
		add(t, ch.Masts(), fast[i])
	}
	for i, p := range a.Pieces {
		t := rigging.Task{MassKg: p.MassKg, AreaM2: p.OuterM2, ByHand: p.Goal != nil}
		if p.Lamp != nil {
			t.Mains = pl.stock.Item(p.Items[0].SKU).Spec.(*catalog.Lamp).Supply == catalog.SupplyMains
		} else {
			t.At = p.Outer.Center
		}
		if f, ok := pl.stock.Item(p.Items[0].SKU).Spec.(*catalog.Frame); ok && p.Role != finding.RoleCameraShade {
			t.EdgeM = edgeM(f)
		}
		add(t, p.Masts, fast[len(a.Rigs)+i])
	}
	return tasks, operators
}

// frameTask returns what a frame asks of hands by itself, its cloth in the mass.
func frameTask(f *catalog.Frame, massKg float64) rigging.Task {
	return rigging.Task{MassKg: massKg, AreaM2: f.OuterWidthM * f.OuterHeightM, EdgeM: edgeM(f)}
}

// edgeM is the length of a frame's outer edge all round.
func edgeM(f *catalog.Frame) float64 { return 2 * (f.OuterWidthM + f.OuterHeightM) }

// workOrder returns the order of work, pieces alike that follow each other in one step.
func workOrder(pl *planner, opt *Option, tasks []rigging.Task, jobs []rigging.Job) []finding.Work {
	var out []finding.Work
	for _, j := range jobs {
		begins := len(out)
		for _, i := range j.Tasks {
			out = append(out, workOn(pl, &opt.Pieces[i], &tasks[i]))
		}
		last := &out[len(out)-1]
		last.Stay = j.Stay
		if n := len(j.Tasks); tasks[j.Tasks[n-1]].ByHand {
			last.Aims = n
		}
		if len(j.Tasks) == 1 {
			begins = max(0, begins-1) // it may follow one alike
		}
		out = append(out[:begins], inSteps(out[begins:])...)
	}
	return out
}

// inSteps returns work with pieces alike that follow each other in one step; whoever stays with the last of a group stays with
// all of it.
func inSteps(list []finding.Work) []finding.Work {
	out := list[:1]
	for _, w := range list[1:] {
		same := &out[len(out)-1]
		alike := *same
		alike.Pieces = w.Pieces
		if w.Aims > 1 {
			alike.Stay, alike.Aims = w.Stay, w.Aims
		}
		if alike != w || same.Aims > 1 {
			out = append(out, w)
			continue
		}
		w.Pieces += same.Pieces
		*same = w
	}
	return out
}

// workOn returns what putting up one piece takes.
func workOn(pl *planner, v *Piece, t *rigging.Task) finding.Work {
	w := finding.Work{Role: v.Role, Lights: v.Lights, Pieces: 1, Machines: t.Machines, Hands: t.Hands(), Teams: teams(t), Carriers: t.Carriers(), Lines: t.Lines, Held: t.Holders > 0}
	points := map[string]bool{}
	for i := range v.Lines {
		l := &v.Lines[i]
		switch {
		case l.Point != "":
			points[l.Point] = true
		case t.Weights > 0:
			w.Weights = finding.Goods{Item: itemOf(pl, l.Anchor.SKU), Quantity: t.Weights}
		default:
			w.Stakes += l.Anchor.Quantity
		}
	}
	w.Points = len(points)
	for i := range v.Supports {
		if b := &v.Supports[i].Ballast; t.Bags > 0 && b.Quantity > 0 {
			w.Ballast = finding.Goods{Item: itemOf(pl, b.SKU), Quantity: t.Bags}
			w.Trolley = !rigging.HandCarried(t.BagKg)
		}
	}
	return w
}

// slewing returns how much ground the machines' arms sweep.
func slewing(a *lighting.Arrangement) finding.SlewingRoom {
	widest := 0.0
	for _, ch := range a.Rigs {
		r := &ch.Placed
		for _, m := range ch.Masts() {
			if m.Support.Spec.Class == catalog.ClassMachine {
				widest = math.Max(widest, math.Max(m.Support.Spec.FootprintM, m.ArmM()+math.Hypot(r.Outer.HalfU, r.Outer.HalfV)))
			}
		}
	}
	return finding.SlewingRoom{WithinM: widest}
}

// labourOf prices the people by the day.
func labourOf(pl *planner, opt *Option, operators []catalog.Count) (price.Kit, error) {
	c := &opt.Crew
	counts := slices.Clone(operators)
	ask := func(role string, n int) {
		if n <= 0 {
			return
		}
		if item := workerOf(pl.prices, role); item != nil {
			counts = append(counts, catalog.Count{SKU: item.SKU, Quantity: n})
			return
		}
		opt.Notes = append(opt.Notes, finding.NoLabour{Labour: role, Quantity: n})
	}
	if c.Total > 0 {
		ask(catalog.RoleLead, 1)
		ask(catalog.RoleHand, c.Total-1-c.Operators-c.Electricians)
		ask(catalog.RoleElectrician, c.Electricians)
	}
	if n := c.Operators - len(operators); n > 0 {
		ask(catalog.RoleOperator, n)
	}
	kit, err := pl.prices.Price(counts)
	if err != nil {
		return kit, fmt.Errorf("sizing: labour of %s: %w", opt.Label, err)
	}
	tooFew(pl, opt, &kit)
	return kit, nil
}

// noteLongDay notes whose rate is for fewer hours than it takes to rig, shoot and strike.
func noteLongDay(pl *planner, opt *Option) {
	hours := opt.Window.To.Sub(opt.Window.From).Hours() + float64(opt.Crew.RigMin+opt.Crew.StrikeMin)/60
	for _, l := range opt.Labour.Lines {
		item := pl.stock.Item(l.SKU)
		if spec := item.Spec.(*catalog.Labour); spec.HoursPerDay > 0 && hours > spec.HoursPerDay {
			opt.Notes = append(opt.Notes, finding.LongDay{Date: opt.Window.Date.String(), Labour: finding.ItemOf(item), Hours: hours, HoursPerDay: spec.HoursPerDay})
		}
	}
}

// tooFew notes whom the house has too few of.
func tooFew(pl *planner, opt *Option, kit *price.Kit) {
	for _, l := range kit.Lines {
		if owned := pl.stock.Item(l.SKU).Owned; l.Quantity > owned {
			opt.Notes = append(opt.Notes, finding.TooFew{Goods: finding.Goods{Item: finding.Item{SKU: l.SKU, Name: l.Name}, Quantity: l.Quantity}, Owned: owned})
		}
	}
}

// workerOf returns the house's cheapest labour of a role; nil where it has none with a rate.
func workerOf(prices *price.Desk, role string) *catalog.Item {
	var best *catalog.Item
	least := int64(math.MaxInt64)
	for _, o := range prices.Offers() {
		if spec, ok := o.Item.Spec.(*catalog.Labour); ok && spec.Role == role && o.Minor < least {
			best, least = o.Item, o.Minor
		}
	}
	return best
}
