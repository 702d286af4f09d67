package sharedkit

import (
	"context"
	"math"
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
	day     int
	best    *Plan
	nodes   int
	most    int // nodes; 0 for as many as it takes
	stopped bool
	lower   score // of the whole, by the first look
	hauls   map[Load]int64
	options [][]aheadOption
	cliques []uint32 // scratch
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
	a := &ahead{p: p, day: day, hauls: map[Load]int64{}, options: make([][]aheadOption, len(p.Shots))}
	open := make([][]int, len(p.Shots))
	for s := range p.Shots {
		for o := range p.Shots[s].Options {
			a.options[s] = append(a.options[s], a.option(s, o))
			open[s] = append(open[s], o)
		}
	}
	none := given{items: make([]int, len(p.Items)), roles: make([]int, len(p.Roles))}
	a.guess(ctx, &none)
	if !prove {
		a.most = guessNodes
	}
	a.search(ctx, &none, open)
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
func (a *ahead) search(ctx context.Context, g *given, open [][]int) {
	if a.nodes++; a.nodes > 1 && (ctx.Err() != nil || a.most > 0 && a.nodes > a.most) { // the first look is a bound
		a.stopped = true
		return
	}
	lists := make([][]looked, len(open))
	left := make([][]int, len(open))
	var lower score
	hardest := -1
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
		for _, l := range lists[s] {
			left[s] = append(left[s], l.option)
		}
		if least := lists[s][0].score; hardest < 0 || lower.less(least) {
			lower, hardest = least, s
		}
	}
	if g.shots == nil {
		a.lower = lower
	}
	next := -1
	for _, shots := range a.apart(left) {
		if then := a.fitIn(g, shots, left); then != nil {
			for _, s := range shots {
				left[s] = nil
			}
			g = then
			continue
		}
		for _, s := range shots {
			// Of the shots that may meet the hardest, the one with the fewest options; where that is done with, of any.
			if next < 0 || slices.Contains(shots, hardest) && (!slices.Contains(shots, next) || len(left[s]) < len(left[next])) {
				next = s
			}
		}
	}
	if next < 0 {
		a.leaf(g)
		return
	}
	rest := slices.Clone(left)
	rest[next] = nil
	for _, l := range lists[next] {
		if !l.score.less(a.best.score) {
			return // they are in order
		}
		a.search(ctx, a.give(g, next, l.option), rest)
		if a.stopped {
			return
		}
	}
}

// apart returns the open shots in groups: no option that is left of one group is up at once with any of another.
func (a *ahead) apart(left [][]int) (groups [][]int) {
	meet := func(s, t int) bool {
		for _, o := range left[s] {
			for _, q := range left[t] {
				if a.p.atOnce(a.options[s][o].up, a.options[t][q].up) {
					return true
				}
			}
		}
		return false
	}
	taken := make([]bool, len(left))
	for s := range left {
		if left[s] == nil || taken[s] {
			continue
		}
		group := []int{s}
		taken[s] = true
		for k := 0; k < len(group); k++ {
			for t := range left {
				if left[t] != nil && !taken[t] && meet(group[k], t) {
					group, taken[t] = append(group, t), true
				}
			}
		}
		groups = append(groups, group)
	}
	return groups
}

// fitTries bounds how many options are tried to fit a group in.
const fitTries = 400

// fitIn gives a group of shots options with which no level grows, and returns what is given then; nil where it finds none. Nothing else can be
// better for them: whatever the others take, they cost nothing.
func (a *ahead) fitIn(g *given, shots []int, left [][]int) *given {
	tries := fitTries
	var fit func(g *given, shots []int) *given
	fit = func(g *given, shots []int) *given {
		if len(shots) == 0 {
			return g
		}
		s := shots[0]
		for _, o := range left[s] {
			if tries--; tries < 0 {
				return nil
			}
			if !a.fits(g, &a.options[s][o]) {
				continue
			}
			if then := fit(a.give(g, s, o), shots[1:]); then != nil {
				return then
			}
		}
		return nil
	}
	for _, s := range shots { // most groups have a shot that fits nowhere
		if !slices.ContainsFunc(left[s], func(o int) bool { return a.fits(g, &a.options[s][o]) }) {
			return nil
		}
	}
	return fit(g, shots)
}

// guesses is how many choices are made at random and made better, for a good one to compare with; common practice, no source.
const guesses = 40

// guessNodes is up to how many parts a guess is searched: what few take is proven at once.
const guessNodes = 2000

// guess looks for a good choice: from choices at random it gives one shot after another the option with which all come to least, for as long
// as that falls.
func (a *ahead) guess(ctx context.Context, none *given) {
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
		if ctx.Err() != nil {
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
