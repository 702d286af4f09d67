package sharedkit

import (
	"cmp"
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
	if s.narrow(&root) {
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
	common  []asking // of each resource, by narrowShot
	left    []int    // how many options of each shot are open, by narrowShot and narrowSum
	adds    []int    // of each shot of a sum, by narrowSum
	// byCost is set where nothing but the total tells choices apart.
	byCost bool
}

func newSearch(p *Problem) *search {
	m := newModel(p)
	return &search{p: p, m: m, x: newRelaxation(m), tried: map[string]bool{}, tally: newTally(m), common: make([]asking, len(m.resources)), left: make([]int, len(p.Shots)), adds: make([]int, len(p.Shots)), byCost: p.Aim == Price && p.Limits == Limits{}}
}

// whole is the whole problem.
func (s *search) whole() part {
	q := part{make([]int, len(s.m.resources)), make([]int, len(s.m.resources)), make([][]bool, len(s.p.Shots))}
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

// narrow closes what a part cannot have: options that ask more than a resource's high, by themselves or with what others add at least,
// and levels below what every option of a shot asks. It reports whether anything is left of the part.
func (s *search) narrow(q *part) bool {
	for again := true; again; {
		again = false
		for i := range s.m.shots {
			changed, ok := s.narrowShot(q, i)
			if !ok {
				return false
			}
			again = again || changed
		}
		for k := range s.m.sums {
			changed, ok := s.narrowSum(q, k)
			if !ok {
				return false
			}
			again = again || changed
		}
	}
	return true
}

// narrowShot closes options of one shot and raises what all that are left ask.
func (s *search) narrowShot(q *part, i int) (changed, ok bool) {
	ms := &s.m.shots[i]
	if len(ms.asks) == 0 {
		return false, true
	}
	left := 0
	for o, asks := range ms.asks {
		if !q.open[i][o] {
			continue
		}
		for _, j := range asks {
			if w := &ms.rows[j]; w.level > q.high[w.resource] {
				q.open[i][o], changed = false, true
				break
			}
		}
		if q.open[i][o] {
			left++
		}
	}
	if s.left[i] = left; left == 0 {
		return changed, false
	}
	for o, asks := range ms.asks {
		if q.open[i][o] {
			for _, j := range asks {
				w := &ms.rows[j]
				if t := &s.common[w.resource]; t.options == 0 {
					*t = asking{1, w.level}
				} else {
					*t = asking{t.options + 1, min(t.least, w.level)}
				}
			}
		}
	}
	for _, w := range ms.rows {
		if t := &s.common[w.resource]; t.options > 0 {
			if t.options == left && t.least > q.low[w.resource] {
				q.low[w.resource], changed = t.least, true
			}
			t.options = 0
		}
	}
	return changed, true
}

// asking is by how many options a resource is asked, and for which level at least.
type asking struct{ options, least int }

// narrowSum raises a resource to what the shots of a sum take at least together, and closes options with which they take too much.
func (s *search) narrowSum(q *part, k int) (changed, ok bool) {
	su := &s.m.sums[k]
	res := &s.m.resources[su.resource]
	total := 0
	for n, i := range su.shots {
		s.adds[n] = 0
		if open, least := 0, math.MaxInt; s.left[i] > 0 {
			for _, u := range su.takers[n] {
				if q.open[i][u.Of] {
					open, least = open+1, min(least, u.N)
				}
			}
			if open == s.left[i] {
				s.adds[n] = least
			}
		}
		total += s.adds[n]
	}
	if l := res.level(total); l > q.low[su.resource] {
		q.low[su.resource], changed = l, true
	}
	if q.low[su.resource] > q.high[su.resource] {
		return changed, false
	}
	room := res.values[q.high[su.resource]] - total
	for n, i := range su.shots {
		for _, u := range su.takers[n] {
			if u.N > s.adds[n]+room && q.open[i][u.Of] {
				q.open[i][u.Of], changed = false, true
				s.left[i]--
			}
		}
		if s.left[i] == 0 {
			return changed, false
		}
	}
	return changed, true
}

// Steps of the ascent at the root, and at each other part.
const (
	rootSteps = 1500
	nodeSteps = 60
)

// node searches a part and returns a lower bound on the scores of what it leaves unsearched and unbeaten: [none] where it is done.
func (s *search) node(ctx context.Context, q part, depth int) score {
	s.nodes++
	lower := s.lower(&q)
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
		copy(s.x.now, kept)
		if s.narrow(&child) {
			if l := s.node(ctx, child, depth+1); l.less(rest) {
				rest = l
			}
		}
		if s.stopped {
			// What was not searched yet is bounded by this part's own bound.
			return lower
		}
	}
	return rest
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
	changed := false
	for i := range s.m.shots {
		pick := s.x.pick[i]
		if pick < 0 {
			continue
		}
		for o, c := range s.x.costs[i] {
			if q.open[i][o] && bound+c-s.x.costs[i][pick] > limit {
				q.open[i][o], changed = false, true
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
			q.high[r], changed = l-1, true
		}
		top = math.Inf(1)
		for l := q.low[r]; l < q.high[r]; l++ {
			if top = math.Min(top, scan[l]); bound+top-least <= limit {
				break
			}
			q.low[r], changed = l+1, true
		}
	}
	return !changed || s.narrow(q)
}

// cut is a level of a resource at which a part may be cut, and how unsure the relaxation is of it.
type cut struct {
	resource, level int
	weight          float64
}

// Of the choice of a cut: so many are tried, with so many steps of the ascent on either side (common practice, no source).
const (
	triedCuts = 6
	cutSteps  = 12
)

// split cuts a part in two: at the level of a resource that raises the bound most on both sides or, where the relaxation is sure of all,
// at the options of a shot. What trying a cut rules out is taken from the part at once. It returns nothing where nothing is left.
func (s *search) split(q *part, bound float64, kept []float64) []part {
	goal := s.goal()
	settled := s.settled(q)
	var best []part
	most := math.Inf(-1)
	cuts := s.cuts(q)
	for _, c := range cuts {
		if c.level <= q.low[c.resource] || c.level > q.high[c.resource] {
			continue // ruled out by a cut tried before
		}
		sides := []part{q.clone(), q.clone()}
		sides[0].high[c.resource], sides[1].low[c.resource] = c.level-1, c.level
		var gain [2]float64
		var out [2]bool
		for k := range sides {
			if out[k] = !s.narrow(&sides[k]); out[k] {
				continue
			}
			copy(s.x.now, kept)
			b := s.x.ascend(&sides[k], goal, cutSteps, 0.5, nil)
			gain[k] = math.Min(b, goal) - bound
			out[k] = settled && s.roundUp(b) >= s.best.TotalMinor
		}
		switch {
		case out[0] && out[1]:
			return nil
		case out[0] || out[1]:
			k := 0
			if out[0] {
				k = 1
			}
			*q, best, most = sides[k], nil, math.Inf(-1)
			settled = s.settled(q)
			continue
		}
		if gain[1] < gain[0] {
			sides[0], sides[1] = sides[1], sides[0]
		}
		if w := math.Max(gain[0], 1) * math.Max(gain[1], 1); w > most {
			most, best = w, sides
		}
	}
	switch {
	case best != nil:
		return best
	case len(cuts) > 0:
		return []part{*q} // all cuts that were tried were ruled out on one side
	}
	return s.splitShot(q)
}

// cuts returns the levels of resources of which the relaxation is least sure, those that cost most first.
func (s *search) cuts(q *part) []cut {
	var cuts []cut
	for r := range s.m.resources {
		res := &s.m.resources[r]
		for l := q.low[r] + 1; l <= q.high[r]; l++ {
			z := s.x.mean[s.m.cells[r]+l]
			cuts = append(cuts, cut{r, l, (1e-3 + math.Min(z, 1-z)) * (res.cost(q.high[r]) - res.cost(l-1))})
		}
	}
	slices.SortStableFunc(cuts, func(a, b cut) int { return cmp.Compare(b.weight, a.weight) })
	return cuts[:min(len(cuts), triedCuts)]
}

// splitShot takes the pick of the shot with the most open options apart from the rest.
func (s *search) splitShot(q *part) []part {
	shot, most := -1, 1
	for i := range q.open {
		n := 0
		for _, open := range q.open[i] {
			if open {
				n++
			}
		}
		if n > most {
			shot, most = i, n
		}
	}
	if shot < 0 {
		return nil // the one choice left was evaluated
	}
	one, others := q.clone(), q.clone()
	for o := range one.open[shot] {
		one.open[shot][o] = o == s.x.pick[shot]
	}
	others.open[shot][s.x.pick[shot]] = false
	return []part{one, others}
}
