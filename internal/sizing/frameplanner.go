package sizing

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/bojanz/currency"

	"kitspan/internal/anchorage"
	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/price"
	"kitspan/internal/shot"
)

// framePlanner finds which frame of a house stops the hard sources of one shot, on which supports.
type framePlanner struct {
	shot  *shot.Shot
	stock *catalog.Snapshot
	limit int64 // price per day in minor units; 0 for none
	// stands and lifts are the house's frames with supports of each class, best first.
	stands, lifts []*candidate
}

func newFramePlanner(s *shot.Shot, stock *catalog.Snapshot, prices *price.Desk, ties *anchorage.Planner) (*framePlanner, error) {
	pl := &framePlanner{
		shot: s, stock: stock,
		stands: candidates(s, stock, prices, ties, catalog.ClassStand),
		lifts:  candidates(s, stock, prices, ties, catalog.ClassMachine),
	}
	if l := s.Limits.PricePerDay; l != nil {
		n, err := l.Int64()
		if err != nil {
			return nil, fmt.Errorf("sizing: price limit: %w", err)
		}
		pl.limit = n
	}
	return pl, nil
}

// alone is the planner with one of its frames.
func (pl *framePlanner) alone(sku string) *framePlanner {
	only := func(list []*candidate) []*candidate {
		i := slices.IndexFunc(list, func(c *candidate) bool { return c.item.SKU == sku })
		return list[i : i+1]
	}
	own := *pl
	own.stands, own.lifts = only(pl.stands), only(pl.lifts)
	return &own
}

// single is the one frame that stops all the sources of a group. Where every such rig breaks the price limit, or none holds
// the gust, it is chosen all the same, and the option says so.
func (pl *framePlanner) single(ctx context.Context, g *group, cands []*candidate) []*choice {
	for i, on := range []terms{{pl.limit, windHeld}, {0, windHeld}, {pl.limit, windBest}, {0, windBest}} {
		if i%2 == 1 && pl.limit == 0 {
			continue // the same again
		}
		if ch := g.choose(ctx, cands, on); ch != nil {
			return []*choice{ch}
		}
	}
	return nil
}

// pick is the frame of a group within the price limit, that which holds the gust before one that does not.
func (pl *framePlanner) pick(ctx context.Context, g *group, cands []*candidate) *choice {
	if ch := g.choose(ctx, cands, terms{pl.limit, windHeld}); ch != nil {
		return ch
	}
	return g.choose(ctx, cands, terms{pl.limit, windBest})
}

// within is the widest zone of a group that one frame covers, and what is chosen for the group's own where that lies within
// it: the rig that covers the widest does, where the search for a place missed it.
func (pl *framePlanner) within(ctx context.Context, all *group, onStands, onLift []*choice) (w widest, stands, lift []*choice) {
	w = pl.widest(ctx, all)
	half := all.fd.St.Half.X
	if w.by != nil && w.half >= half {
		switch stood := slices.Contains(pl.stands, w.by.candidate); {
		case stood && onStands == nil:
			all.admit(w.by)
			onStands = pl.single(ctx, all, pl.stands)
		case !stood && onLift == nil:
			all.admit(w.by)
			onLift = pl.single(ctx, all, pl.lifts)
		}
	}
	for _, found := range [2][]*choice{onStands, onLift} {
		if len(found) == 1 && w.half < half { // a frame that the search for the widest did not come to
			w = all.grown(ctx, widest{half, found[0]})
		}
	}
	return w, onStands, onLift
}

// ruledOut lists every frame smaller than the overhead chosen on stands, or every frame where none serves or that one does
// not hold the gust, smallest first.
func (pl *framePlanner) ruledOut(ctx context.Context, all *group, chosen, onLift []*choice) []RuledOut {
	g, limit := all, math.Inf(1)
	var over *choice
	for i, role := range roles(chosen) {
		if role == finding.RoleOverhead {
			over = chosen[i]
		}
	}
	if over != nil {
		if g = over.group; over.anchorage.Holds {
			limit = over.candidate.areaM2
		}
	}
	frames := slices.Clone(pl.stands)
	slices.SortStableFunc(frames, func(a, b *candidate) int {
		return cmp.Or(cmp.Compare(a.areaM2, b.areaM2), strings.Compare(a.item.SKU, b.item.SKU))
	})
	lifts := map[string]*candidate{}
	for _, c := range pl.lifts {
		lifts[c.item.SKU] = c
	}
	var out []RuledOut
	for _, c := range frames {
		if ctx.Err() != nil {
			break
		}
		if c.areaM2 > limit-1e-9 {
			break
		}
		r, does := pl.why(ctx, g, c, over)
		if lift := lifts[c.item.SKU]; !does && g == all && len(onLift) == 1 && lift.areaM2 >= onLift[0].candidate.areaM2-1e-9 &&
			len(lift.ways) > 0 && g.try(ctx, lift).fits() && (r.Because != finding.Windy || g.erect(ctx, lift, terms{wind: windHeld}) != nil) {
			r.DoesOnLift = true
		}
		out = append(out, r)
	}
	return out
}

// roles calls the most level of the frames the overhead, and the others side frames.
func roles(choices []*choice) []finding.Role {
	out := make([]finding.Role, len(choices))
	level, at := -1.0, 0
	for i, ch := range choices {
		out[i] = finding.RoleSide
		if n := math.Abs(ch.rigged.opening.Normal().Z); n > level+1e-9 {
			level, at = n, i
		}
	}
	if len(out) > 0 {
		out[at] = finding.RoleOverhead
	}
	return out
}

// money is an amount in minor units of the house's currency.
func (pl *framePlanner) money(minor int64) currency.Amount {
	a, err := currency.NewAmountFromInt64(minor, pl.stock.House.Currency)
	if err != nil {
		return currency.Amount{} // a currency that nobody knows: nothing was priced in it
	}
	return a
}
