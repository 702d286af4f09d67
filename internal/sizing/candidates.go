package sizing

import (
	"cmp"
	"context"

	"kitspan/internal/catalog"
	"kitspan/internal/price"
	"kitspan/internal/shot"
)

// Candidates are the options of a shot that is one of several: those of [Plan] first, in its order, then what it compared them with. They
// lack what is worked out for print alone; [Candidates.Finished] adds it.
type Candidates struct {
	Result
	// Frontier is how many of the options are those of Plan.
	Frontier int

	pl *planner
}

// Query says which candidates are asked for.
type Query struct {
	// Marginal prices what rigs are compared by, where others hire a part of the kit anyway; nil for the shot's own prices. Options are
	// priced by those in any case.
	Marginal *price.Desk
	// OtherHour asks for another hour of the day as well.
	OtherHour bool
}

// FindCandidates sizes one resolved shot for a choice among several shots. With marginal prices it looks for the one rig that is best by
// the shot's preference, and for nothing by others. Its errors are those of [Plan].
func FindCandidates(ctx context.Context, s shot.Shot, stock *catalog.Snapshot, prices *price.Desk, q Query) (*Candidates, error) {
	pl, err := newPlanner(&s, stock, cmp.Or(q.Marginal, prices))
	if err != nil {
		return nil, err
	}
	pl.prices, pl.ask = prices, ask{everything: true, noOtherHour: !q.OtherHour, ownPreference: q.Marginal != nil}
	c := &Candidates{pl: pl}
	if c.Result, err = pl.found(ctx); err != nil {
		return nil, err
	}
	for c.Frontier < len(c.Options) && c.Options[c.Frontier].onFrontier {
		c.Frontier++
	}
	return c, nil
}

// Finished returns an option with all that an answer of [Plan] has, the wind curve among it.
func (c *Candidates) Finished(ctx context.Context, i int) (Option, error) {
	o := c.Options[i]
	measured(ctx, c.pl, &o)
	if err := cmp.Or(ctx.Err(), addCurve(ctx, c.pl, &o), ctx.Err()); err != nil {
		return Option{}, err
	}
	return o, nil
}
