package sharedkit

import (
	"math"
	"math/bits"
	"slices"
)

// This file says what some shots of a day come to, each with the option that it was given, and with one more.

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

// fits reports whether no level grows with one more option.
func (a *ahead) fits(g *given, o *aheadOption) bool {
	a.cliques = g.largestOf(a.cliques[:0], 0, a.meeting(g, o), 0)
	for _, set := range a.cliques {
		for _, u := range o.uses {
			sum := u.N
			for rest := set; rest != 0; rest &= rest - 1 {
				sum += g.opts[bits.TrailingZeros32(rest)].items[u.Of]
			}
			if sum > g.items[u.Of] {
				return false
			}
		}
		if a.people(g, o, set) > g.people {
			return false
		}
		for r := range a.p.Roles {
			if a.role(g, o, set, r) > g.roles[r] {
				return false
			}
		}
	}
	return true
}
