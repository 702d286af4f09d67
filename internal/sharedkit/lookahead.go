package sharedkit

import (
	"context"
	"math"
	"math/bits"
	"math/rand/v2"
	"slices"
)

// This file searches the choices of one day, where few shots have many options each: starts on a quarter hour, with several kits. It gives
// the shots their options one after the other, depth first, and looks ahead: an option with which the shots that have theirs already come to
// no less than the best choice is closed, and the shot with the fewest left is next. What some shots come to is a bound on what all do, since
// needs, people and load only grow; it is exact but for the vehicles.

// mostAhead is up to how many shots are searched like that: with more of them some stay open to the end.
const mostAhead = 12

// ahead is that search.
type ahead struct {
	p       *Problem
	ctx     context.Context
	day     int
	best    *Plan
	nodes   int
	stopped bool
	lower   score // of the whole, by the first look
	hauls   map[Load]int64
	options [][]aheadOption
	cliques []uint32 // scratch
}

// aheadOption is an option with its counts of every item and role.
type aheadOption struct {
	up
	option       int
	uses         []Use // of items, none of 0
	items, roles []int
}

// given is the options that shots have on the way down.
type given struct {
	shots  []int
	opts   []*aheadOption
	meets  []uint32 // of each, which of the others are up at once with it
	items  []int    // the level of each item
	roles  []int    // of each role
	people int
}

// lookAhead searches a problem whose shots are all of one day, hired by the day; ok is false where it is none such.
func (p *Problem) lookAhead(ctx context.Context, prove bool) (out *Choice, ok bool) {
	day, shots := -1, 0
	for s := range p.Shots {
		if len(p.Shots[s].Options) == 0 {
			continue
		}
		shots++
		if day >= 0 && p.Shots[s].Day != day {
			return nil, false
		}
		day = p.Shots[s].Day
	}
	if shots == 0 || shots > mostAhead || slices.ContainsFunc(p.Items, func(it Item) bool { return !it.byDay() }) {
		return nil, false
	}
	a := &ahead{p: p, ctx: ctx, day: day, hauls: map[Load]int64{}, options: make([][]aheadOption, len(p.Shots))}
	open := make([][]int, len(p.Shots))
	for s := range p.Shots {
		for o := range p.Shots[s].Options {
			a.options[s] = append(a.options[s], a.option(s, o))
			open[s] = append(open[s], o)
		}
	}
	none := given{items: make([]int, len(p.Items)), roles: make([]int, len(p.Roles))}
	a.guess(&none)
	if !prove {
		return &Choice{Plan: a.best}, true
	}
	a.search(&none, open)
	out = &Choice{Plan: a.best, Nodes: a.nodes, Proven: !a.stopped, BoundMinor: a.best.TotalMinor, BoundAim: a.best.score.aim}
	if a.stopped {
		out.BoundMinor, out.BoundAim = min(out.BoundMinor, a.lower.cost), math.Min(out.BoundAim, a.lower.aim)
	}
	return out, true
}

func (a *ahead) option(s, o int) aheadOption {
	opt := &a.p.Shots[s].Options[o]
	out := aheadOption{up{s, opt.From, opt.To, a.p.Shots[s].Place}, o, nil, make([]int, len(a.p.Items)), make([]int, len(a.p.Roles))}
	for _, u := range opt.Items {
		if out.items[u.Of] = u.N; u.N > 0 {
			out.uses = append(out.uses, u)
		}
	}
	for _, u := range opt.Roles {
		out.roles[u.Of] = u.N
	}
	return out
}

// looked is an option of a shot with what the shots come to with it.
type looked struct {
	option int
	score  score
}

// search gives the open shots their options; open is what each may still have, nil for those that have theirs.
func (a *ahead) search(g *given, open [][]int) {
	if a.nodes++; a.nodes > 1 && a.ctx.Err() != nil { // the first look is a bound
		a.stopped = true
		return
	}
	next := -1
	lists := make([][]looked, len(open))
	var lower score
	floor := a.floor(g, open)
	for s := range open {
		if open[s] == nil {
			continue
		}
		for _, o := range open[s] {
			if sc := a.with(g, floor, &a.options[s][o]); sc.less(a.best.score) {
				lists[s] = append(lists[s], looked{o, sc})
			}
		}
		if len(lists[s]) == 0 {
			return // nothing better is left
		}
		slices.SortStableFunc(lists[s], func(x, y looked) int { return order(x.score, y.score) })
		if least := lists[s][0].score; lower.less(least) {
			lower = least
		}
		if next < 0 || len(lists[s]) < len(lists[next]) {
			next = s
		}
	}
	if g.shots == nil {
		a.lower = lower
	}
	if next < 0 {
		a.leaf(g)
		return
	}
	rest := make([][]int, len(open))
	for s := range open {
		if open[s] == nil || s == next {
			continue
		}
		rest[s] = make([]int, len(lists[s]))
		for k := range lists[s] {
			rest[s][k] = lists[s][k].option
		}
	}
	for _, l := range lists[next] {
		if !l.score.less(a.best.score) {
			return // they are in order
		}
		a.search(a.give(g, next, l.option), rest)
		if a.stopped {
			return
		}
	}
}

// guesses is how many choices are made at random and made better, for a good one to compare with; common practice, no source.
const guesses = 40

// guess looks for a good choice: from choices at random it gives one shot after another the option with which all come to least, for as long
// as that falls.
func (a *ahead) guess(none *given) {
	r := rand.New(rand.NewPCG(1, uint64(len(a.p.Shots)))) // the same problem gives the same choice
	choice := make([]int, len(a.options))
	for n := range guesses {
		for s := range choice {
			choice[s] = -1
			if len(a.options[s]) > 0 {
				choice[s] = r.IntN(len(a.options[s]))
				if n == 0 {
					choice[s] = 0
				}
			}
		}
		at := a.improve(none, choice)
		if a.best == nil || at.less(a.best.score) {
			if pl := a.p.Evaluate(slices.Clone(choice)); a.best == nil || pl.score.less(a.best.score) {
				a.best = pl
			}
		}
		if a.ctx.Err() != nil {
			return
		}
	}
}

// improve changes a choice for the better, one shot at a time, and returns what it comes to at least.
func (a *ahead) improve(none *given, choice []int) (at score) {
	at = score{short: math.MaxInt}
	for again := true; again; {
		again = false
		for s := range choice {
			if choice[s] < 0 {
				continue
			}
			g := none
			for t, o := range choice {
				if t != s && o >= 0 {
					g = a.give(g, t, o)
				}
			}
			f := (&floor{items: g.items, roles: g.roles, people: g.people}).add(a.p, a.day)
			for o := range a.options[s] {
				if sc := a.with(g, f, &a.options[s][o]); sc.less(at) {
					at, choice[s], again = sc, o, true
				}
			}
		}
	}
	return at
}

func order(a, b score) int {
	switch {
	case a.less(b):
		return -1
	case b.less(a):
		return 1
	}
	return 0
}

// leaf evaluates a whole choice.
func (a *ahead) leaf(g *given) {
	choice := make([]int, len(a.p.Shots))
	for s := range choice {
		choice[s] = -1
	}
	for k, s := range g.shots {
		choice[s] = g.opts[k].option
	}
	if pl := a.p.Evaluate(choice); pl.score.less(a.best.score) {
		a.best = pl
	}
}

// meeting returns the shots, by their places in given, that are up at once with an option.
func (a *ahead) meeting(g *given, o *aheadOption) (set uint32) {
	for k, other := range g.opts {
		if a.p.atOnce(other.up, o.up) {
			set |= 1 << k
		}
	}
	return set
}

// largestOf appends the largest sets within open whose shots are all up at once; set is those that all of open meet.
func (g *given) largestOf(out []uint32, set, open, done uint32) []uint32 {
	if open == 0 {
		if done == 0 {
			out = append(out, set)
		}
		return out
	}
	for k := range g.opts {
		bit := uint32(1) << k
		if open&bit == 0 {
			continue
		}
		out = g.largestOf(out, set|bit, open&g.meets[k], done&g.meets[k])
		open &^= bit
		done |= bit
	}
	return out
}

// floor is the least level of each item and role: what is given, and what some open shot takes with any of its options.
type floor struct {
	items, roles []int
	people       int
	// What the items come to.
	cost  int64
	short int
	kg    float64
	load  Load
}

// add adds up what the items of a floor come to.
func (f *floor) add(p *Problem, day int) *floor {
	for i, level := range f.items {
		if level > 0 {
			it := &p.Items[i]
			f.cost += int64(level) * it.Charges[day][0]
			f.short += max(0, level-it.Free[day])
			f.kg += f.load.add(it, level)
		}
	}
	return f
}

func (a *ahead) floor(g *given, open [][]int) *floor {
	f := &floor{items: slices.Clone(g.items), roles: slices.Clone(g.roles), people: g.people}
	least := make([]int, len(f.items)+len(f.roles)+1)
	for s := range open {
		for k, o := range open[s] {
			opt := &a.options[s][o]
			people := 0
			for i, n := range opt.items {
				if k == 0 || n < least[i] {
					least[i] = n
				}
			}
			for r, n := range opt.roles {
				people += n
				if at := len(f.items) + r; k == 0 || n < least[at] {
					least[at] = n
				}
			}
			if last := len(least) - 1; k == 0 || people < least[last] {
				least[last] = people
			}
		}
		if len(open[s]) == 0 {
			continue
		}
		for i := range f.items {
			f.items[i] = max(f.items[i], least[i])
		}
		for r := range f.roles {
			f.roles[r] = max(f.roles[r], least[len(f.items)+r])
		}
		f.people = max(f.people, least[len(least)-1])
	}
	return f.add(a.p, a.day)
}

// with returns what the shots come to at least with one more option, where no level is under a floor.
func (a *ahead) with(g *given, f *floor, o *aheadOption) score {
	a.cliques = g.largestOf(a.cliques[:0], 0, a.meeting(g, o), 0)
	sc, load, kg := score{cost: f.cost, short: f.short}, f.load, f.kg
	for _, u := range o.uses {
		level := f.items[u.Of]
		for _, set := range a.cliques {
			sum := u.N
			for ; set != 0; set &= set - 1 {
				sum += g.opts[bits.TrailingZeros32(set)].items[u.Of]
			}
			level = max(level, sum)
		}
		if more := level - f.items[u.Of]; more > 0 {
			it := &a.p.Items[u.Of]
			sc.cost += int64(more) * it.Charges[a.day][0]
			sc.short += max(0, level-it.Free[a.day]) - max(0, f.items[u.Of]-it.Free[a.day])
			kg += load.add(it, more)
		}
	}
	people := f.people
	for _, set := range a.cliques {
		people = max(people, a.people(g, o, set))
	}
	for r := range a.p.Roles {
		level := f.roles[r]
		for _, set := range a.cliques {
			level = max(level, a.role(g, o, set, r))
		}
		sc.cost += int64(level) * a.p.Roles[r].Rates[a.day]
	}
	if a.p.Haul != nil {
		sc.cost += a.haul(load)
	}
	sc.over = a.p.over(&Plan{MostPeople: people, MassKg: kg, TotalMinor: sc.cost})
	switch a.p.Aim {
	case Mass:
		sc.aim = kg
	case People:
		sc.aim = float64(people)
	case Price:
	}
	return sc
}

// The steps in which a load is rounded down before it is asked what brings it at least, so that few loads are asked about.
const stepKg, stepM3 = 10, 0.1

// haul is what bringing a load costs at least.
func (a *ahead) haul(l Load) int64 {
	l.MassKg, l.VolumeM3 = math.Floor(l.MassKg/stepKg)*stepKg, math.Floor(l.VolumeM3/stepM3)*stepM3
	l.HeaviestKg, l.BulkiestM3 = math.Min(l.HeaviestKg, l.MassKg), math.Min(l.BulkiestM3, l.VolumeM3)
	least, known := a.hauls[l]
	if !known {
		least = a.p.haulAtLeast(a.day, l)
		a.hauls[l] = least
	}
	return least
}

// people is how many a moment takes in which an option is up beside a set of others.
func (a *ahead) people(g *given, o *aheadOption, set uint32) (n int) {
	for r := range a.p.Roles {
		n += a.role(g, o, set, r)
	}
	return n
}

// role is how many of a role that moment takes.
func (a *ahead) role(g *given, o *aheadOption, set uint32, r int) int {
	if !a.p.Roles[r].Shared {
		n := o.roles[r]
		for k, other := range g.opts {
			if set&(1<<k) != 0 {
				n += other.roles[r]
			}
		}
		return n
	}
	// Of each place the most of any shot there, counted at the first that has it.
	n := 0
	most := func(place int) (m int) {
		if o.place == place {
			m = o.roles[r]
		}
		for k, other := range g.opts {
			if set&(1<<k) != 0 && other.place == place {
				m = max(m, other.roles[r])
			}
		}
		return m
	}
	n += most(o.place)
	for k, other := range g.opts {
		if set&(1<<k) == 0 || other.place == o.place {
			continue
		}
		first := true
		for j := range k {
			first = first && (set&(1<<j) == 0 || g.opts[j].place != other.place)
		}
		if first {
			n += most(other.place)
		}
	}
	return n
}

// give returns what is given with one more option.
func (a *ahead) give(g *given, s, option int) *given {
	o := &a.options[s][option]
	set := a.meeting(g, o)
	a.cliques = g.largestOf(a.cliques[:0], 0, set, 0)
	next := &given{
		shots: append(slices.Clone(g.shots), s), opts: append(slices.Clone(g.opts), o), meets: append(slices.Clone(g.meets), set),
		items: slices.Clone(g.items), roles: slices.Clone(g.roles), people: g.people,
	}
	for k := range g.opts {
		if set&(1<<k) != 0 {
			next.meets[k] |= 1 << len(g.opts)
		}
	}
	for _, clique := range a.cliques {
		for i, n := range o.items {
			if n == 0 {
				continue
			}
			for k, other := range g.opts {
				if clique&(1<<k) != 0 {
					n += other.items[i]
				}
			}
			next.items[i] = max(next.items[i], n)
		}
		for r := range a.p.Roles {
			next.roles[r] = max(next.roles[r], a.role(g, o, clique, r))
		}
		next.people = max(next.people, a.people(g, o, clique))
	}
	return next
}

// add adds so many units of an item to a load, and returns their mass.
func (l *Load) add(it *Item, n int) (kg float64) {
	kg = float64(n) * it.MassKg
	if it.Alone {
		return kg
	}
	l.MassKg += kg
	l.VolumeM3 += float64(n) * it.VolumeM3
	l.HeaviestKg, l.BulkiestM3 = math.Max(l.HeaviestKg, it.MassKg), math.Max(l.BulkiestM3, it.VolumeM3)
	return kg
}
