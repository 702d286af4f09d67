package job

import (
	"context"
	"slices"
	"strings"
	"time"

	"kitspan/internal/catalog"
	"kitspan/internal/finding"
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
	index    int   // among what it found
	minor    int64 // by itself, for its day
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
	if m.req.Turn != nil {
		if err := m.req.Turn(ctx); err != nil {
			return nil, err
		}
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
		case dateIn(m.req.Job.Zone, o.Window.From) != m.days[p.day]: // past the end of the job's day, which in another zone is not the place's
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
	return o.from == p.from && o.to == p.to && o.Label == p.Label && o.State == p.State && o.Window == p.Window && slices.Equal(o.Kit, p.Kit) && slices.Equal(o.People, p.People) &&
		slices.Equal(o.Unsent, p.Unsent)
}

// optionOf reads what an option takes.
func (m *maker) optionOf(of *source, c *sizing.Candidates, i int) option {
	o := &c.Options[i]
	up := Span{o.Window.From.Add(-time.Duration(o.Crew.RigMin) * time.Minute), o.Window.To.Add(time.Duration(o.Crew.StrikeMin) * time.Minute)}
	out := option{
		PoolOption: PoolOption{Label: o.Label, State: o.State, Window: o.Window, Up: up, MassKg: o.Load.MassKg, VolumeM3: o.Load.VolumeM3},
		from:       m.minute(up.From), to: m.minute(up.To), of: of, index: i,
	}
	out.minor, _ = o.TotalPerDay.Int64() // read once before
	for _, l := range o.Kit.Lines {
		out.Kit = append(out.Kit, catalog.Count{SKU: l.SKU, Quantity: l.Quantity})
	}
	for _, l := range o.Labour.Lines {
		out.People = append(out.People, catalog.Count{SKU: l.SKU, Quantity: l.Quantity})
	}
	for _, list := range [2][]catalog.Count{out.Kit, out.People} {
		slices.SortFunc(list, func(a, b catalog.Count) int { return strings.Compare(a.SKU, b.SKU) })
	}
	for _, note := range o.Notes {
		if none, ok := note.(finding.NoLabour); ok {
			out.Unsent = append(out.Unsent, none)
		}
	}
	return out
}
