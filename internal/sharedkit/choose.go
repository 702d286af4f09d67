package sharedkit

import (
	"context"
	"encoding/binary"
	"math"
	"slices"
)

// Choice is the best choice found, and how good it is.
type Choice struct {
	Plan *Plan
	// BoundMinor is a proven lower bound on the total of every choice that is as good by what comes before the total, and BoundAim one on
	// the aim, in kilograms or people. Proven says that nothing better exists: by units short, limits, aim and total in this order.
	BoundMinor int64
	BoundAim   float64
	Proven     bool
	// Nodes is in how many parts the problem was cut.
	Nodes int
}

// Choose returns the best choice it finds until the context ends, with a bound. Without options of a shot it goes without that shot. The
// same problem gives the same choice where the search comes to its end.
func Choose(ctx context.Context, p *Problem) (*Choice, error) { return choose(ctx, p, true) }

// Guess returns a good choice soon, proven where that is no more work: the first that [Choose] compares others with.
func Guess(ctx context.Context, p *Problem) (*Choice, error) { return choose(ctx, p, false) }

func choose(ctx context.Context, p *Problem, prove bool) (*Choice, error) {
	if err := p.check(); err != nil {
		return nil, err
	}
	if parts := p.apart(); len(parts) > 1 {
		apart, ok := p.chooseApart(ctx, parts, prove)
		if ok {
			return apart, nil
		}
		whole := p.whole(ctx, prove)
		if apart.Plan.score.less(whole.Plan.score) {
			whole.Plan = apart.Plan // the search was ended early
		}
		return whole, nil
	}
	return p.whole(ctx, prove), nil
}

// whole chooses for all shots at once.
func (p *Problem) whole(ctx context.Context, prove bool) *Choice {
	if out, ok := p.lookAhead(ctx, prove); ok {
		return out
	}
	if p.few() {
		if best, all := p.each(ctx); all {
			return &Choice{Plan: best, BoundMinor: best.TotalMinor, BoundAim: best.score.aim, Proven: true, Nodes: 1}
		}
	}
	return p.branchAndBound(ctx, prove)
}

func (p *Problem) branchAndBound(ctx context.Context, prove bool) *Choice {
	s := newSearch(p)
	s.begin(ctx)
	if !prove {
		return &Choice{Plan: s.best}
	}
	root := s.whole()
	lower := s.best.score
	s.narrow.all()
	if s.narrow.narrow(&root) && s.floors(&root) {
		lower = s.node(ctx, root, 0)
	}
	out := &Choice{Plan: s.best, Nodes: s.nodes, Proven: !s.stopped}
	if out.Proven {
		out.BoundMinor, out.BoundAim = s.best.TotalMinor, s.best.score.aim
		return out
	}
	out.BoundMinor, out.BoundAim = min(lower.cost, s.best.TotalMinor), math.Min(lower.aim, s.best.score.aim)
	return out
}

// search is a branch and bound, depth first.
type search struct {
	p       *Problem
	m       *model
	x       *relaxation
	best    *Plan
	nodes   int
	stopped bool
	tried   map[string]bool // choices that were evaluated
	key     []byte
	tally   *tally
	narrow  *narrower
	// byCost is set where nothing but the total tells choices apart.
	byCost bool
}

func newSearch(p *Problem) *search {
	m := newModel(p)
	return &search{p: p, m: m, x: newRelaxation(m), tried: map[string]bool{}, tally: newTally(m), narrow: newNarrower(m), byCost: p.Aim == Price && p.Limits == Limits{}}
}

// whole is the whole problem.
func (s *search) whole() part {
	q := part{make([]int, len(s.m.resources)), make([]int, len(s.m.resources)), make([][]bool, len(s.p.Shots)), 0}
	for r := range s.m.resources {
		q.high[r] = len(s.m.resources[r].values) - 1
	}
	for i := range s.p.Shots {
		q.open[i] = make([]bool, len(s.p.Shots[i].Options))
		for o := range q.open[i] {
			q.open[i][o] = true
		}
	}
	return q
}

// begin finds choices to compare with: each shot's cheapest alone, then better ones nearby.
func (s *search) begin(ctx context.Context) {
	choice := make([]int, len(s.p.Shots))
	for i := range choice {
		choice[i] = -1
		if len(s.p.Shots[i].Options) > 0 {
			choice[i] = 0
		}
	}
	s.try(choice)
	for i := range choice {
		alone := Problem{Days: s.p.Days, Items: s.p.Items, Roles: s.p.Roles, Shots: s.p.Shots, Haul: s.p.Haul, Aim: s.p.Aim, Limits: s.p.Limits}
		one := make([]int, len(choice))
		for k := range one {
			one[k] = -1
		}
		least := none
		for o := range s.p.Shots[i].Options {
			one[i] = o
			if sc := alone.Evaluate(one).score; sc.less(least) {
				least, choice[i] = sc, o
			}
		}
	}
	s.try(choice)
	s.improve(ctx, choice)
	if len(s.p.Start) == len(choice) && s.try(s.p.Start) {
		s.improve(ctx, slices.Clone(s.p.Start))
	}
}

// try evaluates a choice that was not evaluated yet; it reports whether it is the best.
func (s *search) try(choice []int) bool {
	s.key = s.key[:0]
	for _, o := range choice {
		s.key = binary.AppendVarint(s.key, int64(o))
	}
	if s.tried[string(s.key)] {
		return false
	}
	s.tried[string(s.key)] = true
	pl := s.p.Evaluate(slices.Clone(choice))
	if s.best != nil && !pl.score.less(s.best.score) {
		return false
	}
	s.best = pl
	return true
}

// Steps of the ascent at the root, and at each other part.
const (
	rootSteps = 1500
	nodeSteps = 60
)

// node searches a part and returns a lower bound on the scores of what it leaves unsearched and unbeaten: [none] where it is done.
func (s *search) node(ctx context.Context, q part, depth int) score {
	s.nodes++
	lower := s.leastOf(&q)
	if s.beaten(&lower) {
		return none
	}
	if ctx.Err() != nil {
		s.stopped = true
		return lower
	}
	steps, theta := nodeSteps, 1.0
	if depth == 0 {
		steps, theta = rootSteps, 2.0
	}
	goal := s.goal()
	var seen func()
	if count := 0; depth == 0 {
		seen = func() {
			if count++; count%5 == 0 {
				s.tryPicks(ctx)
			}
		}
	}
	bound := s.x.ascend(&q, goal, steps, theta, seen)
	lower.cost = max(lower.cost, s.roundUp(bound))
	if s.beaten(&lower) {
		return none
	}
	if !s.fix(&q, bound) {
		return none
	}
	s.tryPicks(ctx)
	if s.beaten(&lower) {
		return none
	}
	kept := slices.Clone(s.x.now)
	rest := none
	for _, child := range s.split(&q, bound, kept) {
		least := s.leastOf(&child).atLeast(&lower)
		if !s.stopped {
			copy(s.x.now, kept)
			least = s.node(ctx, child, depth+1).atLeast(&least)
		}
		rest = rest.orLess(&least)
	}
	return rest
}

// leastOf is what a part comes to at least, by its lows and by what the relaxation said when it was cut off.
func (s *search) leastOf(q *part) score {
	out := s.lower(q)
	out.cost = max(out.cost, s.roundUp(q.bound))
	return out
}

// goal is a total that is not worth beating any more.
func (s *search) goal() float64 { return float64(s.best.TotalMinor-s.m.unit) + 1e-3 }

// roundUp rounds a bound up to what a total can be.
func (s *search) roundUp(bound float64) int64 {
	u := float64(s.m.unit)
	return int64(math.Ceil((bound-1e-3)/u) * u)
}

// lower is what a part comes to at least, but for what the relaxation says.
func (s *search) lower(q *part) score {
	var out score
	short := make([]int, len(s.p.Items))
	kg := make([]float64, s.p.Days)
	cost := 0.0
	for r := range s.m.resources {
		res := &s.m.resources[r]
		cost += res.cost(q.low[r])
		s.m.short(r, q.low[r], short)
		kg[res.day] += s.m.massKg(r, q.low[r])
	}
	for _, n := range short {
		out.short += n
	}
	l := &s.p.Limits
	heaviest := slices.Max(kg)
	crew := s.leastCrew(q)
	if l.MassKg > 0 && heaviest > l.MassKg {
		out.over += heaviest/l.MassKg - 1
	}
	if l.Crew > 0 && crew > l.Crew {
		out.over += float64(crew)/float64(l.Crew) - 1
	}
	out.cost = s.roundUp(cost)
	switch s.p.Aim {
	case Mass:
		out.aim = heaviest
	case People:
		out.aim = float64(crew)
	case Price:
	}
	return out
}

// leastCrew is how many people one moment takes at least: those of the shot whose smallest option has the most.
func (s *search) leastCrew(q *part) int {
	most := 0
	for i := range s.p.Shots {
		least := math.MaxInt
		for o := range s.p.Shots[i].Options {
			if q.open[i][o] {
				n := 0
				for _, u := range s.p.Shots[i].Options[o].Roles {
					n += u.N
				}
				least = min(least, n)
			}
		}
		if least < math.MaxInt {
			most = max(most, least)
		}
	}
	return most
}

// beaten reports whether nothing with so low a score can be better than the best: componentwise at least is at least in order.
func (s *search) beaten(lower *score) bool {
	const slack = 1e-9
	b := s.best.score
	switch {
	case lower.short != b.short:
		return lower.short > b.short
	case lower.over < b.over-slack:
		return false
	case lower.over > b.over+slack:
		return true
	case lower.aim < b.aim-slack:
		return false
	case lower.aim > b.aim+slack:
		return true
	}
	return lower.cost >= b.cost
}

// settled reports whether a part can be better by its total alone.
func (s *search) settled(q *part) bool {
	l := s.lower(q)
	b := s.best.score
	return l.short == b.short && l.over >= b.over-1e-9 && l.aim >= b.aim-1e-9
}

// tryPicks evaluates the picks of the relaxation, and improves them where they are the best.
func (s *search) tryPicks(ctx context.Context) {
	choice := slices.Clone(s.x.pick)
	s.tally.be(choice)
	if s.worth(s.tally.cost()) && s.try(choice) {
		s.improve(ctx, choice)
	}
}

// fix closes options and levels that would make the bound too much. It reports whether the part is still worth searching.
func (s *search) fix(q *part, bound float64) bool {
	if !s.settled(q) {
		return true
	}
	limit := s.goal()
	for i := range s.m.shots {
		pick := s.x.pick[i]
		if pick < 0 {
			continue
		}
		for o, c := range s.x.costs[i] {
			if q.open[i][o] && bound+c-s.x.costs[i][pick] > limit {
				q.open[i][o] = false
				s.narrow.options(i)
			}
		}
	}
	for r := range s.m.resources {
		scan := s.x.scan[s.m.cells[r]:]
		least := scan[s.x.level[r]]
		// Levels from above down, as long as all from there on are too dear; and from below up.
		top := math.Inf(1)
		for l := q.high[r]; l > q.low[r]; l-- {
			if top = math.Min(top, scan[l]); bound+top-least <= limit {
				break
			}
			q.high[r] = l - 1
			s.narrow.resource(r)
		}
		top = math.Inf(1)
		for l := q.low[r]; l < q.high[r]; l++ {
			if top = math.Min(top, scan[l]); bound+top-least <= limit {
				break
			}
			q.low[r] = l + 1
		}
	}
	return s.narrow.narrow(q)
}
