package sizing

import (
	"fmt"
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
func addStaff(pl *planner, opt *Option, a *lighting.Arrangement) error {
	tasks, lifts := tasksOf(pl, a, anchoragesOf(a))
	opt.Crew = rigging.PlanCrew(tasks, pl.holding.GustMS)
	opt.Order = workOrder(pl, opt, tasks)
	if opt.Crew.LargeTeam {
		opt.Notes = append(opt.Notes, finding.HeavyLift{Most: rigging.MaxTeam})
	}
	if len(lifts) > 0 {
		opt.Notes = append(opt.Notes, slewing(a))
	}
	var err error
	if opt.Labour, err = labourOf(pl, opt, lifts); err != nil {
		return err
	}
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

// tasksOf returns what each piece takes of hands, in the order in which they go up, and the machines' operators by SKU.
func tasksOf(pl *planner, a *lighting.Arrangement, fast []*anchorage.Anchorage) (tasks []rigging.Task, operators []catalog.Count) {
	add := func(t rigging.Task, masts []anchorage.Mast, f *anchorage.Anchorage) {
		for i := range masts {
			w := masts[i].Support
			t.LiftToM = math.Max(t.LiftToM, w.Spec.LowestM)
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
		add(rigging.Task{MassKg: c.MassKg, AreaM2: c.Frame.OuterWidthM * c.Frame.OuterHeightM}, ch.Masts(), fast[i])
	}
	for i, p := range a.Pieces {
		t := rigging.Task{MassKg: p.MassKg, AreaM2: p.OuterM2, ByHand: p.Goal != nil}
		if p.Lamp != nil {
			t.Mains = pl.stock.Item(p.Items[0].SKU).Spec.(*catalog.Lamp).Supply == catalog.SupplyMains
		}
		add(t, p.Masts, fast[len(a.Rigs)+i])
	}
	return tasks, operators
}

// workOrder returns the order of work, pieces alike that follow each other in one step.
func workOrder(pl *planner, opt *Option, tasks []rigging.Task) []finding.Work {
	var out []finding.Work
	for i := range tasks {
		w := workOn(pl, &opt.Pieces[i], &tasks[i])
		if n := len(out); n > 0 {
			w.Pieces = out[n-1].Pieces
			if w == out[n-1] {
				out[n-1].Pieces++
				continue
			}
			w.Pieces = 1
		}
		out = append(out, w)
	}
	return out
}

// workOn returns what putting up one piece takes.
func workOn(pl *planner, v *Piece, t *rigging.Task) finding.Work {
	w := finding.Work{
		Role: v.Role, Pieces: 1, Machines: t.Machines, Weights: t.Weights, Hands: t.Hands(), Lines: t.Lines, Stay: t.Held(pl.holding.GustMS),
	}
	if t.Weights == 0 {
		w.Stakes = t.Lines
	}
	for i := range v.Supports {
		if b := &v.Supports[i].Ballast; t.Bags > 0 && b.Quantity > 0 {
			w.Ballast = finding.Goods{Item: itemOf(pl, b.SKU), Quantity: t.Bags}
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
		if item := workerOf(pl, role); item != nil {
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

// tooFew notes whom the house has too few of.
func tooFew(pl *planner, opt *Option, kit *price.Kit) {
	for _, l := range kit.Lines {
		if owned := pl.stock.Item(l.SKU).Owned; l.Quantity > owned {
			opt.Notes = append(opt.Notes, finding.TooFew{Goods: finding.Goods{Item: finding.Item{SKU: l.SKU, Name: l.Name}, Quantity: l.Quantity}, Owned: owned})
		}
	}
}

// workerOf returns the house's cheapest labour of a role; nil where it has none with a rate.
func workerOf(pl *planner, role string) *catalog.Item {
	var best *catalog.Item
	least := int64(math.MaxInt64)
	for _, o := range pl.prices.Offers() {
		if spec, ok := o.Item.Spec.(*catalog.Labour); ok && spec.Role == role && o.Minor < least {
			best, least = o.Item, o.Minor
		}
	}
	return best
}
