package sizing

import (
	"context"
	"fmt"
	"slices"

	"github.com/bojanz/currency"

	"kitspan/internal/anchorage"
	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/lighting"
	"kitspan/internal/rigging"
)

// WindStep is what an option takes in a gust, every piece where it stands. Pieces that are to be down by then stay in the kit, with
// what they take in the strongest gust that they hold; no step takes less than one for less wind.
type WindStep struct {
	GustMS float64
	// BallastKg is all of it, on the bases and at the feet of ropes. People put everything up, hold it and work it.
	BallastKg float64
	People    int
	// TotalPerDay is hire, labour and transport.
	TotalPerDay currency.Amount
	// Down are the roles of which some piece is to be down, each once.
	Down []finding.Role
}

// CurveMS returns the gusts of the wind curve, in m/s, in ascending order.
func CurveMS() []float64 { return []float64{3, 4, 5, 6, 8, 10, 12} }

// windStep is a step that is being worked out.
type windStep struct {
	gustMS float64
	fast   []*anchorage.Anchorage // of each piece, part by part
	up     []bool
	kg     float64
	hire   int64 // minor units, as the rest
	people int
	// labour and transport are priced last; hauled is false where the house's vehicles do not bring it.
	labour, transport int64
	hauled            bool
}

// curve works out the steps of an option from the one in the middle, which is the option as planned, outward.
type curve struct {
	pl  *planner
	opt *Option
	// parts are what stands one after the other, one alone where nothing is moved; starts is the number of the first piece of each, with
	// that of all pieces last.
	parts  []*lighting.Arrangement
	starts []int
	moves  []rigging.Move
	base   [][]catalog.Count // the kit of each part but for what holds the pieces
	plan   windStep
	failed error
	// below are for less wind than planned, the nearest first, above for more.
	below, above []*windStep
}

// addCurve fills in what an option takes in the gusts of [CurveMS].
func addCurve(ctx context.Context, pl *planner, opt *Option) error {
	c := &curve{pl: pl, parts: opt.arranged, opt: opt, moves: opt.changes()}
	opt.arranged, opt.scheme = nil, scheme{}
	if err := c.begin(); err != nil {
		return err
	}
	next := &c.plan
	for _, gustMS := range slices.Backward(CurveMS()) {
		if ctx.Err() == nil && gustMS < c.plan.gustMS {
			next = c.step(next, gustMS, c.calmer)
			c.below = append(c.below, next)
		}
	}
	next = &c.plan
	for _, gustMS := range CurveMS() {
		if ctx.Err() == nil && gustMS > c.plan.gustMS {
			next = c.step(next, gustMS, c.windier)
			c.above = append(c.above, next)
		}
	}
	if err := ctx.Err(); err != nil {
		return err
	}
	c.order()
	if c.failed != nil {
		return c.failed
	}
	for _, side := range [2][]*windStep{c.below, c.above} {
		from := &c.plan
		for _, s := range side {
			if err := c.price(s, from); err != nil {
				return err
			}
			from = s
		}
	}
	var err error
	opt.Wind, err = c.steps()
	return err
}

// begin takes the option as planned.
func (c *curve) begin() error {
	p := &c.plan
	p.gustMS, p.people = c.pl.holding.GustMS, c.opt.Crew.Total
	p.hauled = len(c.opt.Haul) > 0 || len(c.opt.Kit.Lines) == 0
	for _, a := range c.parts {
		fast, counts := anchoragesOf(a), a.Counts()
		c.starts = append(c.starts, len(p.fast))
		p.fast = append(p.fast, fast...)
		var base []catalog.Count
		for _, l := range c.opt.Kit.Lines {
			if n := quantityOf(counts, l.SKU) - quantity(fast, l.SKU); n != 0 {
				base = append(base, catalog.Count{SKU: l.SKU, Quantity: n})
			}
		}
		c.base = append(c.base, base)
	}
	c.starts = append(c.starts, len(p.fast))
	for _, f := range p.fast {
		p.up = append(p.up, f.Holds)
	}
	p.kg = c.ballastKg(p.fast)
	for into, amount := range map[*int64]*currency.Amount{&p.hire: &c.opt.Kit.PerDay, &p.labour: &c.opt.Labour.PerDay, &p.transport: &c.opt.Transport.PerDay} {
		var ok bool
		if *into, ok = minorOf(amount); !ok {
			return fmt.Errorf("sizing: wind curve of %s: %s is no number of minor units", c.opt.Label, amount)
		}
	}
	return nil
}

func minorOf(a *currency.Amount) (minor int64, ok bool) {
	minor, err := a.Int64()
	return minor, err == nil
}

// quantity is how many of an item all the anchorages take.
func quantity(list []*anchorage.Anchorage, sku string) (n int) {
	for _, f := range list {
		n += quantityOf(f.Counts(), sku)
	}
	return n
}

func quantityOf(list []catalog.Count, sku string) (n int) {
	for _, k := range list {
		if k.SKU == sku {
			n += k.Quantity
		}
	}
	return n
}

// partOf returns in which part a piece stands, and its number there.
func (c *curve) partOf(i int) (part, at int) {
	for c.starts[part+1] <= i {
		part++
	}
	return part, i - c.starts[part]
}

// ballastKg is the most ballast of any part.
func (c *curve) ballastKg(fast []*anchorage.Anchorage) (most float64) {
	for k := range c.parts {
		kg := 0.0
		for _, f := range fast[c.starts[k]:c.starts[k+1]] {
			kg += f.BallastKg()
		}
		most = max(most, kg)
	}
	return most
}

// counts returns the kit with what holds the pieces of a step.
func (c *curve) counts(fast []*anchorage.Anchorage) []catalog.Count {
	lists := make([][]catalog.Count, len(c.parts))
	for k := range c.parts {
		lists[k] = slices.Clone(c.base[k])
		for _, f := range fast[c.starts[k]:c.starts[k+1]] {
			lists[k] = append(lists[k], f.Counts()...)
		}
	}
	return mostOf(lists)
}

// secure is how a piece of a step is secured, by the step between it and the plan's; ok is false where that was up and this finds
// nothing that holds.
type secure func(s, from *windStep, i int, left func(sku string) int) (ok bool)

// step secures all pieces for a gust, one after the other as a plan does; where the house then has too little for one that had
// enough, with what each had kept for it.
func (c *curve) step(from *windStep, gustMS float64, by secure) *windStep {
	s, starved := c.secured(from, gustMS, by, false)
	if starved {
		s, _ = c.secured(from, gustMS, by, true)
	}
	c.sum(s)
	return s
}

func (c *curve) secured(from *windStep, gustMS float64, by secure, kept bool) (s *windStep, starved bool) {
	n := len(from.fast)
	s = &windStep{gustMS: gustMS, fast: make([]*anchorage.Anchorage, 0, n), up: make([]bool, n)}
	for i, was := range from.fast {
		part, _ := c.partOf(i)
		left := func(sku string) int {
			n := c.pl.holding.Owned(sku) - quantityOf(c.base[part], sku) - quantity(s.fast[c.starts[part]:i], sku)
			if kept {
				n -= quantity(from.fast[i+1:c.starts[part+1]], sku)
			}
			return n
		}
		if !by(s, from, i, left) && !kept && lacks(was, left) {
			return s, true
		}
		if f := s.fast[i]; f != was && slices.Equal(f.Counts(), was.Counts()) {
			s.fast[i] = was
		}
	}
	return s, false
}

// lacks reports whether less is left than an anchorage takes.
func lacks(f *anchorage.Anchorage, left func(sku string) int) bool {
	return slices.ContainsFunc(f.Counts(), func(k catalog.Count) bool { return left(k.SKU) < k.Quantity })
}

// calmer secures a piece for less wind than it has been. One that the plan cannot hold in the gust asked is held as long as can be
// there, and holds no more than that here.
func (c *curve) calmer(s, from *windStep, i int, left func(sku string) int) bool {
	was, plan := from.fast[i], c.plan.fast[i]
	p := c.held(i)
	h := plan.Hold()
	switch {
	case from.up[i] && c.pl.holding.AtFloor(&p, was):
		s.fast, s.up[i] = append(s.fast, was), true
		return !lacks(was, left)
	case !from.up[i] && !h.Holds(s.gustMS):
		s.fast = append(s.fast, &anchorage.Anchorage{})
		return true
	case !from.up[i]:
		was = plan
	}
	s.up[i] = true
	if f := c.pl.holding.Again(&p, was, s.gustMS, left); f.Holds {
		s.fast = append(s.fast, &f)
		return true
	}
	s.fast = append(s.fast, was)
	return !lacks(was, left)
}

// windier secures a piece for more wind than it has been; one that was down stays down.
func (c *curve) windier(s, from *windStep, i int, left func(sku string) int) bool {
	was := from.fast[i]
	s.fast = append(s.fast, was)
	if !from.up[i] {
		return true
	}
	if was == c.plan.fast[i] { // what the plan's bears is known
		if h := was.Hold(); h.Holds(s.gustMS) && !lacks(was, left) {
			s.up[i] = true
			return true
		}
	}
	p := c.held(i)
	f := c.pl.holding.Again(&p, was, s.gustMS, left)
	if !f.Holds {
		f = c.roped(i, &p, &f, s.gustMS, left)
	}
	if f.Holds {
		s.fast[i], s.up[i] = &f, true
	}
	return f.Holds
}

func (c *curve) held(i int) anchorage.Piece {
	part, at := c.partOf(i)
	a := c.parts[part]
	if at < len(a.Rigs) {
		return a.Rigs[at].Held()
	}
	return a.Held(a.Pieces[at-len(a.Rigs)])
}

// roped secures a piece that ballast alone does not hold with ropes wherever they find room.
func (c *curve) roped(i int, p *anchorage.Piece, free *anchorage.Anchorage, gustMS float64, left func(sku string) int) anchorage.Anchorage {
	around := c.around(i)
	if around == nil {
		return *free
	}
	return c.pl.holding.Rope(p, free, gustMS, around, left, false)
}

// around is what ropes of a piece have to keep clear of while all the others stand; nil for one that gets none.
func (c *curve) around(i int) *anchorage.Surroundings {
	part, at := c.partOf(i)
	a := c.parts[part]
	if at < len(a.Rigs) {
		return a.AroundRig(a.Rigs[at])
	}
	piece := a.Pieces[at-len(a.Rigs)]
	return a.Around(piece, piece)
}

// sum adds up what a step takes.
func (c *curve) sum(s *windStep) {
	s.kg, s.hire = c.ballastKg(s.fast), c.plan.hire
	if len(c.parts) == 1 {
		for i, f := range s.fast {
			s.hire += f.Minor - c.plan.fast[i].Minor
		}
	} else if minor, ok := c.pl.prices.Minor(c.counts(s.fast)); ok {
		s.hire = minor
	} else {
		c.failed = fmt.Errorf("sizing: kit of %s at %.0f m/s is no number of minor units", c.opt.Label, s.gustMS)
	}
	tasks, _ := c.tasks(s)
	crew, _, _ := rigging.PlanMoves(tasks, c.moves, s.gustMS)
	s.people = crew.Total
}

// tasks are what the pieces of each part ask of hands in a step, and the operators of machines, which are not moved.
func (c *curve) tasks(s *windStep) (parts [][]rigging.Task, operators []catalog.Count) {
	parts = make([][]rigging.Task, len(c.parts))
	for k, a := range c.parts {
		parts[k], operators = tasksOf(c.pl, a, s.fast[c.starts[k]:c.starts[k+1]])
	}
	return parts, operators
}

// order makes sure that no step takes more than one for more wind, which holds its pieces as well. What is planned stays in the kit.
func (c *curve) order() {
	for k := len(c.below) - 2; k >= 0; k-- { // what is down has what it takes in less wind
		s, weaker := c.below[k], c.below[k+1]
		for i, up := range s.up {
			if !up && weaker.fast[i].Minor > 0 {
				s.fast[i] = weaker.fast[i]
			}
		}
		c.sum(s)
	}
	stronger := &c.plan
	for _, s := range c.below {
		c.follow(s, stronger)
		stronger = s
	}
	for i := len(c.above) - 2; i >= 0; i-- {
		c.follow(c.above[i], c.above[i+1])
	}
	for _, s := range c.above {
		s.kg, s.hire, s.people = max(s.kg, c.plan.kg), max(s.hire, c.plan.hire), max(s.people, c.plan.people)
	}
}

// follow gives a step what a stronger one takes, where that is less in something.
func (c *curve) follow(s, stronger *windStep) {
	if s.kg > stronger.kg || s.hire > stronger.hire || s.people > stronger.people {
		s.fast = stronger.fast
		c.sum(s)
	}
}
