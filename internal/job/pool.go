package job

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/sharedkit"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
)

// pool is the options considered for one shot.
type pool struct {
	day     int // of the hire
	options []option
	// first are how many options are the shot's own, found before it was known what others hire.
	first int
	// because is why no frame serves, of the first window that was sized; missed means that there are options, none of them of the label
	// that the shot is pinned to.
	because []finding.RuledOut
	missed  bool
}

// option is one of them.
type option struct {
	PoolOption
	from, to int // minutes in which it is up
	of       *source
	index    int // among what it found
	unsent   int // people whom the house does not send
}

// source is a sizing that options come from.
type source struct {
	shot shot.Shot
	// held is what others hire anyway, nil for a shot by itself.
	held      map[string]int
	otherHour bool
	// found is what it found, nil where it was let go: then the same is found again.
	found *sizing.Candidates
}

// mostFound is how many sizings are kept to the end with all that finishing an option takes, some megabytes each.
const mostFound = 64

// find does a sizing.
func (m *maker) find(ctx context.Context, of *source) (*sizing.Candidates, error) {
	if of.found != nil {
		return of.found, nil
	}
	desk := m.req.Prices(of.shot.Window.Date)
	q := sizing.Query{OtherHour: of.otherHour}
	if of.held != nil {
		q.Marginal = desk.Holding(of.held)
	}
	return sizing.FindCandidates(ctx, of.shot, m.req.Stock, desk, q)
}

// add takes in what a sizing found: of a pinned shot those of its label, of others those at the hour asked.
func (p *pool) add(m *maker, s int, of *source, c *sizing.Candidates) (added int) {
	sh, own := &m.req.Job.Shots[s], of.held == nil
	if m.found++; m.found <= mostFound {
		of.found = c
	}
	if p.because == nil {
		p.because = c.RuledOut
	}
	for i := range c.Options {
		o := &c.Options[i]
		switch {
		case sh.Pin != "" && string(o.Label) != sh.Pin:
			p.missed = p.missed || own
			continue
		case sh.Pin == "" && o.Label == sizing.LabelOtherHour:
			continue
		case !own && o.State != p.options[0].State: // those kept are of one state
			continue
		}
		one := m.optionOf(of, c, i)
		if !slices.ContainsFunc(p.options, one.same) {
			p.options = append(p.options, one)
			added++
		}
	}
	if own {
		p.first = len(p.options)
	}
	return added
}

// keepBest leaves out all but the options of the best state that the shot has.
func (p *pool) keepBest() {
	if len(p.options) == 0 {
		return
	}
	best := slices.MinFunc(p.options, func(a, b option) int { return a.State.Compare(b.State) }).State
	first := 0
	kept := p.options[:0]
	for i := range p.options {
		if p.options[i].State != best {
			continue
		}
		if i < p.first {
			first++
		}
		kept = append(kept, p.options[i])
	}
	p.options, p.first = kept, first
}

// same reports whether another option takes the same at the same time.
func (o *option) same(p option) bool {
	return o.from == p.from && o.to == p.to && o.Label == p.Label && o.State == p.State && o.Window == p.Window && slices.Equal(o.Kit, p.Kit) && slices.Equal(o.People, p.People)
}

// optionOf reads what an option takes.
func (m *maker) optionOf(of *source, c *sizing.Candidates, i int) option {
	o := &c.Options[i]
	up := Span{o.Window.From.Add(-time.Duration(o.Crew.RigMin) * time.Minute), o.Window.To.Add(time.Duration(o.Crew.StrikeMin) * time.Minute)}
	out := option{
		PoolOption: PoolOption{Label: o.Label, State: o.State, Window: o.Window, Up: up, MassKg: o.Load.MassKg, VolumeM3: o.Load.VolumeM3},
		from:       m.minute(up.From), to: m.minute(up.To), of: of, index: i, unsent: o.Crew.Total,
	}
	for _, l := range o.Kit.Lines {
		out.Kit = append(out.Kit, catalog.Count{SKU: l.SKU, Quantity: l.Quantity})
	}
	for _, l := range o.Labour.Lines {
		out.People = append(out.People, catalog.Count{SKU: l.SKU, Quantity: l.Quantity})
		out.unsent -= l.Quantity
	}
	for _, list := range [2][]catalog.Count{out.Kit, out.People} {
		slices.SortFunc(list, func(a, b catalog.Count) int { return strings.Compare(a.SKU, b.SKU) })
	}
	out.unsent = max(0, out.unsent)
	return out
}

// preferences are those by which a shot is sized again for an aim: people are most of what a day costs, so that few of them count by price
// as well.
func preferences(aim sharedkit.Aim) []string {
	switch aim {
	case sharedkit.Mass:
		return []string{shot.PreferLightest}
	case sharedkit.People:
		return []string{shot.PreferFewestHands}
	case sharedkit.Price:
	}
	return []string{shot.PreferCheapest, shot.PreferFewestHands}
}

// sizeAgain sizes each shot once more with what the others hire on its day, and do not use while it is up, for nothing. It reports whether
// an option came that was not there. Past the last round it asks for nothing.
func (m *maker) sizeAgain(ctx, search context.Context, p *sharedkit.Problem, chosen *sharedkit.Choice, round int) (more bool, err error) {
	if round >= mostRounds {
		return false, ctx.Err()
	}
	type again struct {
		shot   int
		prefer string
	}
	var tasks []again
	held := make([]map[string]int, len(m.pools))
	for s := range m.pools {
		if chosen.Plan.Choice[s] < 0 {
			continue
		}
		held[s] = m.heldBeside(p, chosen.Plan.Choice, s)
		key := keyOf(held[s], m.pools[s].options[chosen.Plan.Choice[s]].Window)
		if len(held[s]) > 0 && !m.asked[s][key] {
			m.asked[s][key] = true
			for _, prefer := range preferences(m.req.Aim) {
				tasks = append(tasks, again{s, prefer})
			}
		}
	}
	if search.Err() != nil {
		return false, ctx.Err()
	}
	type answer struct {
		of *source
		c  *sizing.Candidates
	}
	found := make([]answer, len(tasks))
	err = eachOf(ctx, m.req.Workers, len(tasks), func(ctx context.Context, k int) error {
		if search.Err() != nil {
			return nil
		}
		s := tasks[k].shot
		of := &source{shot: m.pools[s].options[chosen.Plan.Choice[s]].of.shot, held: held[s]}
		of.shot.Prefer = tasks[k].prefer
		c, err := m.find(ctx, of)
		if err != nil {
			return fmt.Errorf("shot %s: %w", m.req.Job.Shots[s].Number, err)
		}
		found[k] = answer{of, c}
		return nil
	})
	if err != nil {
		return false, err
	}
	for k, a := range found {
		if a.c != nil {
			more = m.pools[tasks[k].shot].add(m, tasks[k].shot, a.of, a.c) > 0 || more
		}
	}
	return more, nil
}

// heldBeside returns how many units of each item the others hire on a shot's day and do not use while it is up, by their SKU.
func (m *maker) heldBeside(p *sharedkit.Problem, choice []int, s int) map[string]int {
	without := slices.Clone(choice)
	without[s] = -1
	plan := p.Evaluate(without)
	used := make([]int, len(p.Items))
	for t, o := range without {
		if o < 0 || !p.AtOnce(s, choice[s], t, o) {
			continue
		}
		for _, u := range p.Shots[t].Options[o].Items {
			used[u.Of] += u.N
		}
	}
	held := map[string]int{}
	for i, sku := range m.skus {
		if free := plan.Hired[i][p.Shots[s].Day] - used[i]; free > 0 {
			held[sku] = free
		}
	}
	return held
}

// keyOf names what a shot is sized again with.
func keyOf(held map[string]int, w shot.Window) string {
	var b strings.Builder
	b.WriteString(w.From.String())
	for _, sku := range sortedKeys(held) {
		fmt.Fprintf(&b, " %s×%d", sku, held[sku])
	}
	return b.String()
}
