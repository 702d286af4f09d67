package job

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"github.com/bojanz/currency"

	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/sharedkit"
	"kitspan/internal/shot"
)

// plan writes a choice out: what is hired, who is paid, what it comes to.
func (m *maker) plan(ctx context.Context, p *sharedkit.Problem, choice *sharedkit.Choice) (*Plan, error) {
	out := &Plan{Job: m.req.Job, House: m.req.Stock.House, Terms: m.req.Terms, MassKg: choice.Plan.MassKg, People: choice.Plan.MostPeople, Proven: choice.Proven}
	alone, err := m.alone(ctx, p)
	if err != nil {
		return nil, err
	}
	for s := range m.pools {
		out.Considered += len(m.pools[s].options)
		out.Shots = append(out.Shots, m.planned(s, choice.Plan.Choice[s], alone[s]))
	}
	if err := m.finish(ctx, out, choice.Plan.Choice); err != nil {
		return nil, err
	}
	if out.Kit, err = m.hireLines(p, choice.Plan); err != nil {
		return nil, err
	}
	if out.Days, err = m.dayLines(p, choice.Plan, out); err != nil {
		return nil, err
	}
	for _, sum := range []struct {
		to    *currency.Amount
		minor int64
	}{
		{&out.Hire, choice.Plan.HireMinor}, {&out.Labour, choice.Plan.LabourMinor}, {&out.Transport, choice.Plan.TransportMinor}, {&out.Total, choice.Plan.TotalMinor},
	} {
		if *sum.to, err = m.money(sum.minor); err != nil {
			return nil, err
		}
	}
	if err := m.bounds(out, choice); err != nil {
		return nil, err
	}
	if err := m.separately(out, p, alone, choice.Plan); err != nil {
		return nil, err
	}
	out.Clashes = m.clashes(p, choice.Plan)
	m.note(out, p, choice.Plan)
	out.Cautions = cautionsOf(out)
	return out, nil
}

// money is so many minor units of the house's currency.
func (m *maker) money(minor int64) (currency.Amount, error) {
	a, err := currency.NewAmountFromInt64(minor, m.req.Stock.House.Currency)
	if err != nil {
		return a, fmt.Errorf("job: %d minor units: %w", minor, err)
	}
	return a, nil
}

// alone chooses for each shot as for a job of that shot only, from its own options; nil for a shot without any.
func (m *maker) alone(ctx context.Context, p *sharedkit.Problem) ([]*sharedkit.Plan, error) {
	out := make([]*sharedkit.Plan, len(m.pools))
	for s := range m.pools {
		if len(m.pools[s].options) == 0 {
			continue
		}
		one := *p
		one.Shots = []sharedkit.Shot{m.shot(s, m.pools[s].first)}
		c, err := sharedkit.Choose(ctx, &one)
		if err != nil {
			return nil, err
		}
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		out[s] = c.Plan
	}
	return out, nil
}

// planned is a shot with the option of a place in its pool, -1 for none.
func (m *maker) planned(s, o int, alone *sharedkit.Plan) PlannedShot {
	sh, pool := &m.req.Job.Shots[s], &m.pools[s]
	out := PlannedShot{Number: sh.Number, Place: sh.Place, Shot: sh.Shot, Index: o}
	for i := range pool.options {
		out.Pool = append(out.Pool, pool.options[i].PoolOption)
	}
	if o < 0 {
		out.RuledOut = pool.because
		if sh.When != nil {
			out.Shot.Window = shot.Window{} // it has none
		}
		switch {
		case pool.missed:
			out.Notes = append(out.Notes, finding.PinMissed{Pin: sh.Pin})
		case sh.When != nil:
			out.Notes = append(out.Notes, finding.NoStart{})
		}
		return out
	}
	out.Shot, out.Up = pool.options[o].of.shot, pool.options[o].Up
	if alone != nil {
		total, _ := m.money(alone.TotalMinor)
		out.Alone = &Alone{Label: pool.options[alone.Choice[0]].Label, Total: total}
	}
	return out
}

// finish completes the options that were chosen.
func (m *maker) finish(ctx context.Context, out *Plan, choice []int) error {
	return eachOf(ctx, m.req.Workers, len(out.Shots), func(ctx context.Context, s int) error {
		if choice[s] < 0 {
			return nil
		}
		opt := &m.pools[s].options[choice[s]]
		found, err := m.find(ctx, opt.of)
		if err != nil {
			return fmt.Errorf("shot %s: %w", out.Shots[s].Number, err)
		}
		done, err := found.Finished(ctx, opt.index)
		if err != nil {
			return fmt.Errorf("shot %s: %w", out.Shots[s].Number, err)
		}
		out.Shots[s].Option = &done
		return nil
	})
}

// hireLines writes out the spans of hire.
func (m *maker) hireLines(p *sharedkit.Problem, plan *sharedkit.Plan) (lines []HireLine, err error) {
	for i, sku := range m.skus {
		item := m.req.Stock.Item(sku)
		for _, sp := range plan.Spans[i] {
			l := HireLine{SKU: sku, Name: item.Name, Quantity: sp.Units, From: m.days[sp.First], To: m.days[sp.Last], ChargedDays: m.charged(sp.Last - sp.First + 1)}
			rate, _ := m.rate(sku, sp.First)
			if l.DayRate, err = m.money(rate); err != nil {
				return nil, err
			}
			if l.Amount, err = m.money(p.Items[i].Charges[sp.First][sp.Last-sp.First] * int64(sp.Units)); err != nil {
				return nil, err
			}
			l.NeededBy, l.LastUnitFor = m.neededBy(p, plan, i, sp)
			lines = append(lines, l)
		}
	}
	order := func(l *HireLine) int { return catalog.KindOrder(m.req.Stock.Item(l.SKU).Kind()) }
	slices.SortStableFunc(lines, func(a, b HireLine) int { return cmp.Or(order(&a)-order(&b), cmp.Compare(a.SKU, b.SKU)) })
	return lines, nil
}

// neededBy returns the shots that use an item while a span of it runs, and those of them without which fewer would be hired in it.
func (m *maker) neededBy(p *sharedkit.Problem, plan *sharedkit.Plan, item int, sp sharedkit.Span) (needed, last []string) {
	for s, o := range plan.Choice {
		day := p.Shots[s].Day
		if o < 0 || day < sp.First || day > sp.Last || !slices.ContainsFunc(p.Shots[s].Options[o].Items, func(u sharedkit.Use) bool { return u.Of == item && u.N > 0 }) {
			continue
		}
		needed = append(needed, m.req.Job.Shots[s].Number)
		if m.fewerWithout(p, plan, item, sp, s) {
			last = append(last, m.req.Job.Shots[s].Number)
		}
	}
	return needed, last
}

// fewerWithout reports whether without a shot fewer units of an item would be hired on some day of a span.
func (m *maker) fewerWithout(p *sharedkit.Problem, plan *sharedkit.Plan, item int, sp sharedkit.Span, s int) bool {
	without := slices.Clone(plan.Choice)
	without[s] = -1
	need := p.Need(without, item)
	spans, _, _ := sharedkit.Hire(p.Items[item].Charges, need)
	hired := make([]int, p.Days)
	for _, o := range spans {
		for d := o.First; d <= o.Last; d++ {
			hired[d] += o.Units
		}
	}
	for d := sp.First; d <= sp.Last; d++ {
		if hired[d] < plan.Hired[item][d] {
			return true
		}
	}
	return false
}

// dayLines writes out the days on which a shot is up.
func (m *maker) dayLines(p *sharedkit.Problem, plan *sharedkit.Plan, out *Plan) (days []Day, err error) {
	moments := p.Moments(plan.Choice)
	for d := range m.days {
		day := Day{Date: m.days[d]}
		up := false
		for s, o := range plan.Choice {
			up = up || o >= 0 && p.Shots[s].Day == d
		}
		if !up {
			continue
		}
		for _, mo := range moments {
			if !slices.ContainsFunc(mo.Shots, func(s int) bool { return p.Shots[s].Day == d }) {
				continue
			}
			one := Moment{Between: m.between(plan.Choice, mo), Span: Span{m.instant(mo.From).In(m.req.Job.Zone), m.instant(mo.To).In(m.req.Job.Zone)}, People: p.PeopleAt(plan.Choice, mo.Shots)}
			for _, s := range mo.Shots {
				one.Shots = append(one.Shots, m.req.Job.Shots[s].Number)
			}
			day.Moments = append(day.Moments, one)
		}
		hands := 0
		for r, n := range plan.People[d] {
			if !p.Roles[r].Apart {
				hands += n
			}
			if n == 0 || m.folk[r] == nil {
				continue
			}
			line, err := m.dayLine(m.folk[r], n, d)
			if err != nil {
				return nil, err
			}
			day.People = append(day.People, line)
		}
		load, kg := p.Load(plan, d)
		day.MassKg = kg
		if h, ok := m.fleet[d].Bring(cargoOf(load), hands); ok {
			for _, n := range h.Counts {
				line, err := m.dayLine(m.req.Stock.Item(n.SKU), n.Quantity, d)
				if err != nil {
					return nil, err
				}
				day.Vehicles = append(day.Vehicles, line)
			}
		} else {
			out.Notes = append(out.Notes, finding.NoDayTransport{Date: day.Date.String(), MassKg: load.MassKg, VolumeM3: load.VolumeM3})
		}
		days = append(days, day)
	}
	return days, nil
}

// between reports whether the shots of a moment count as up at once because of the way between their places alone.
func (m *maker) between(choice []int, mo sharedkit.Moment) bool {
	return slices.ContainsFunc(mo.Shots, func(s int) bool {
		o := m.option(choice, s)
		return o.from > mo.From || o.to < mo.To || mo.From == mo.To
	})
}

func (m *maker) dayLine(item *catalog.Item, n, day int) (l DayLine, err error) {
	l = DayLine{SKU: item.SKU, Name: item.Name, Quantity: n}
	rate, _ := m.rate(item.SKU, day)
	if l.DayRate, err = m.money(rate); err == nil {
		l.Amount, err = m.money(rate * int64(n))
	}
	return l, err
}

// bounds says how good the choice is.
func (m *maker) bounds(out *Plan, c *sharedkit.Choice) error {
	switch m.req.Aim {
	case sharedkit.Mass:
		kg := math.Min(c.BoundAim, out.MassKg)
		out.BoundMassKg = &kg
	case sharedkit.People:
		n := min(int(math.Ceil(c.BoundAim-1e-9)), out.People)
		out.BoundPeople = &n
	case sharedkit.Price:
		bound, err := m.money(c.BoundMinor)
		if err != nil {
			return err
		}
		out.Bound = &bound
	}
	return nil
}

// separately adds up what the shots cost by themselves, and notes where those choices cannot be had together.
func (m *maker) separately(out *Plan, p *sharedkit.Problem, alone []*sharedkit.Plan, chosen *sharedkit.Plan) error {
	together, all, keeps := make([]int, len(alone)), true, true
	var sum int64
	for s, a := range alone {
		if a == nil {
			together[s], all = -1, false
			continue
		}
		together[s] = a.Choice[0]
		keeps = keeps && a.Keeps()
		sum += a.TotalMinor
	}
	if all && len(alone) > 0 {
		total, err := m.money(sum)
		if err != nil {
			return err
		}
		out.Separately = &total
	}
	// A shot that is over a limit by itself is so in any company: of that there is a note already. It is no reason to cost more.
	if dearer := chosen.TotalMinor > sum; (keeps || dearer) && !p.Evaluate(together).Keeps() {
		out.Notes = append(out.Notes, finding.CannotTogether{})
	}
	return nil
}

// cautionsOf returns the cautions of a job: in front those that its options need, by how many of them do and then as the first has them.
func cautionsOf(out *Plan) []finding.Caution {
	var most []finding.Caution
	count := map[finding.Caution]int{}
	for i := range out.Shots {
		s := &out.Shots[i]
		if s.Option == nil {
			continue
		}
		list := s.Option.Cautions(&s.Shot)
		for k, c := range list[:min(len(list), finding.FirstCautions)] {
			if !slices.Contains(most, c) {
				most = append(most, c)
			}
			count[c] += finding.FirstCautions - k
		}
	}
	slices.SortStableFunc(most, func(a, b finding.Caution) int { return count[b] - count[a] })
	list := finding.Cautions(most...)
	if slices.ContainsFunc(out.Shots, func(s PlannedShot) bool { return len(s.Shot.Forecast) > 0 }) {
		list = append(list, finding.CautionForecast)
	}
	return list
}
