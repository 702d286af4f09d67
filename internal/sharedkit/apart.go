package sharedkit

import (
	"context"
	"math"
	"slices"
)

// This file cuts a problem in parts that have nothing to do with each other: days whose hire is charged day by day, and that no shot's kit
// reaches across. Each part is chosen by itself, and the choices together are the best of the whole.

// apart returns the shots of each part, in their order; one part where the problem hangs together.
func (p *Problem) apart() [][]int {
	whole := [][]int{make([]int, len(p.Shots))}
	for s := range p.Shots {
		whole[0][s] = s
	}
	if p.Limits.HireMinor > 0 || len(p.Shots) < 2 || slices.ContainsFunc(p.Items, func(it Item) bool { return !it.byDay() }) {
		return whole
	}
	part := make([]int, len(p.Shots))
	for s := range part {
		part[s] = s
	}
	var root func(s int) int
	root = func(s int) int {
		if part[s] != s {
			part[s] = root(part[s])
		}
		return part[s]
	}
	ups := make([]up, len(p.Shots)) // from the first that any option is up to the last
	for s := range p.Shots {
		ups[s] = p.everUp(s)
	}
	for s := range p.Shots {
		for t := range s {
			if p.Shots[s].Day == p.Shots[t].Day || p.atOnce(ups[s], ups[t]) {
				part[root(s)] = root(t)
			}
		}
	}
	var parts [][]int
	place := map[int]int{}
	for s := range p.Shots {
		k, known := place[root(s)]
		if !known {
			k = len(parts)
			place[root(s)] = k
			parts = append(parts, nil)
		}
		parts[k] = append(parts[k], s)
	}
	return parts
}

// byDay reports whether a span of hire costs what its days cost one by one.
func (it *Item) byDay() bool {
	for first, list := range it.Charges {
		sum := int64(0)
		for n, charge := range list {
			one := it.Charges[first+n][0]
			if sum += one; one == NoRate || charge != sum {
				return false
			}
		}
	}
	return true
}

// everUp is the time in which any option of a shot is up; none without options.
func (p *Problem) everUp(s int) up {
	u := up{shot: s, place: p.Shots[s].Place}
	for o := range p.Shots[s].Options {
		opt := &p.Shots[s].Options[o]
		if o == 0 {
			u.from, u.to = opt.From, opt.To
		}
		u.from, u.to = min(u.from, opt.From), max(u.to, opt.To)
	}
	return u
}

// chooseApart chooses each part by itself; ok is false where the best of the whole is not made of such choices, and this is one of many.
//
// Units short and money add up over the parts. Mass and people do not: the whole has the most of any part. No choice of the whole has less of
// them than the part whose least is largest, and every other part may have as much, so that each is chosen once more for the least total
// within that. By price a limit on the total changes nothing: where the least total is over it, every other is further over.
func (p *Problem) chooseApart(ctx context.Context, parts [][]int, prove bool) (out *Choice, ok bool) {
	out = &Choice{Proven: true}
	choices := make([]*Choice, len(parts))
	keep := true
	for k, shots := range parts {
		q := p.part(shots)
		q.Limits.TotalMinor = 0
		choices[k] = q.whole(ctx, prove)
		keep = keep && choices[k].Plan.Keeps()
		out.BoundAim, out.Nodes, out.Proven = math.Max(out.BoundAim, choices[k].BoundAim), out.Nodes+choices[k].Nodes, out.Proven && choices[k].Proven
		out.BoundMinor += choices[k].BoundMinor
	}
	if l, again := p.within(choices, keep); again {
		for k, shots := range parts {
			q := p.part(shots)
			q.Aim, q.Limits = Price, l
			c := q.whole(ctx, prove)
			out.Nodes, out.Proven = out.Nodes+c.Nodes, out.Proven && c.Proven
			if !choices[k].Plan.score.less(c.Plan.score) || c.Plan.Keeps() {
				choices[k] = c
			}
		}
	}
	choice := make([]int, len(p.Shots))
	for k, shots := range parts {
		for i, s := range shots {
			choice[s] = choices[k].Plan.Choice[i]
		}
	}
	out.Plan = p.Evaluate(choice)
	if out.Proven {
		out.BoundMinor, out.BoundAim = out.Plan.TotalMinor, out.Plan.score.aim
	}
	return out, p.additive(choices, keep, out.Plan)
}

// within returns the limits within which each part is chosen once more; again is false where that changes nothing.
func (p *Problem) within(choices []*Choice, keep bool) (l Limits, again bool) {
	people, kg := 0, 0.0
	for _, c := range choices {
		people, kg = max(people, c.Plan.MostPeople), math.Max(kg, c.Plan.MassKg)
	}
	l = p.Limits
	l.TotalMinor = 0
	switch {
	case p.Aim == People || !keep && l.Crew > 0 && people > l.Crew:
		l.Crew = max(1, people)
	case p.Aim == Mass || !keep && l.MassKg > 0 && kg > l.MassKg:
		l.MassKg = math.Max(leastMassKg, kg)
	default:
		return l, false
	}
	return l, true
}

// additive reports whether the choices of the parts are the best of the whole: where they keep everything, or where what they break adds up,
// or is the most of one limit alone.
func (p *Problem) additive(choices []*Choice, keep bool, together *Plan) bool {
	if keep {
		return p.Aim == Price || together.Keeps()
	}
	limits, unhauled := 0, false
	for _, c := range choices {
		for _, ok := range c.Plan.Hauled {
			unhauled = unhauled || !ok
		}
	}
	for _, set := range []bool{p.Limits.Crew > 0, p.Limits.MassKg > 0, unhauled} {
		if set {
			limits++
		}
	}
	return p.Aim == Price && p.Limits.TotalMinor == 0 && limits <= 1
}

// leastMassKg bounds a mass where there is none: 0 would be no bound.
const leastMassKg = 1e-9

// part is the problem of some of the shots, on their days and with what they use.
func (p *Problem) part(shots []int) *Problem {
	first, last := p.Days, 0
	used := make([]int, len(p.Items)) // their places in the part, from 1 on
	q := *p
	q.Items, q.Shots, q.Roles = nil, make([]Shot, len(shots)), slices.Clone(p.Roles)
	for _, s := range shots {
		first, last = min(first, p.Shots[s].Day), max(last, p.Shots[s].Day)
	}
	q.Days = last - first + 1
	for r := range q.Roles {
		q.Roles[r].Rates = p.Roles[r].Rates[first : last+1]
	}
	for k, s := range shots {
		q.Shots[k] = Shot{Day: p.Shots[s].Day - first, Place: p.Shots[s].Place, Options: slices.Clone(p.Shots[s].Options)}
		for o := range q.Shots[k].Options {
			opt := &q.Shots[k].Options[o]
			opt.Items = slices.Clone(opt.Items)
			for u := range opt.Items {
				i := opt.Items[u].Of
				if used[i] == 0 {
					it := p.Items[i]
					charges := make(Charges, q.Days)
					for d := range charges {
						charges[d] = it.Charges[first+d][:q.Days-d]
					}
					it.Charges, it.Free = charges, it.Free[first:last+1]
					q.Items = append(q.Items, it)
					used[i] = len(q.Items)
				}
				opt.Items[u].Of = used[i] - 1
			}
		}
	}
	if p.Haul != nil {
		q.Haul = func(day int, load Load, hands int) (int64, bool) { return p.Haul(first+day, load, hands) }
	}
	if p.HaulAtLeast != nil {
		q.HaulAtLeast = func(day int, load Load) int64 { return p.HaulAtLeast(first+day, load) }
	}
	return &q
}

// fewChoices is up to how many choices are evaluated one by one: it takes some tens of milliseconds, and a search no less.
const fewChoices = 3000

// few reports whether that is all there are.
func (p *Problem) few() bool {
	n := 1
	for s := range p.Shots {
		if n *= max(1, len(p.Shots[s].Options)); n > fewChoices {
			return false
		}
	}
	return true
}

// each evaluates every choice, until the context ends, and returns the best; ok is false where it did not come to the end.
func (p *Problem) each(ctx context.Context) (best *Plan, ok bool) {
	choice := make([]int, len(p.Shots))
	for s := range choice {
		if len(p.Shots[s].Options) == 0 {
			choice[s] = -1
		}
	}
	for {
		if pl := p.Evaluate(slices.Clone(choice)); best == nil || pl.score.less(best.score) {
			best = pl
		}
		if ctx.Err() != nil {
			return best, false
		}
		s := len(choice) - 1
		for ; s >= 0; s-- {
			if choice[s] < 0 {
				continue
			}
			if choice[s]++; choice[s] < len(p.Shots[s].Options) {
				break
			}
			choice[s] = 0
		}
		if s < 0 {
			return best, true
		}
	}
}
