package sizing

import (
	"context"
	"slices"

	"kitspan/internal/finding"
)

// ladder returns the best of a pool for each number of people that the shot asks about.
func (p *pool) ladder(ctx context.Context) ([]Rung, error) {
	var out []Rung
	for _, crew := range p.pl.shot.CrewLadder {
		of, err := p.within(ctx, crew)
		if err != nil {
			return nil, err
		}
		best := of.frontier()[0]
		measured(ctx, of.pl, &best)
		if err := addCurve(ctx, of.pl, &best); err != nil {
			return nil, err
		}
		out = append(out, Rung{crew, best})
	}
	return out, nil
}

// within returns the pool for another limit on people, with what keeps to it.
func (p *pool) within(ctx context.Context, crew int) (*pool, error) {
	s := *p.pl.shot
	s.Limits.Crew = &crew
	pl := *p.pl
	pl.shot = &s
	own := *p
	own.pl, own.options = &pl, slices.Clone(p.options)
	for i := range own.options {
		o := &own.options[i]
		isCrew := func(n finding.Note) bool { _, ok := n.(finding.OverCrew); return ok }
		o.Broken, o.Notes = slices.DeleteFunc(slices.Clone(o.Broken), isCrew), slices.DeleteFunc(slices.Clone(o.Notes), isCrew)
		if o.Crew.Total > crew {
			o.breaks(finding.OverCrew{People: o.Crew.Total, Limit: crew})
		}
		o.judge(&s)
	}
	return &own, own.keepLimits(ctx)
}
