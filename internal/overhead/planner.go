package overhead

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

// Planner finds which frame of a house stops the hard sources of one shot, on which supports.
type Planner struct {
	shot  *shot.Shot
	stock *catalog.Snapshot
	Limit int64 // price per day in minor units; 0 for none
	// Stands and Lifts are the house's frames with supports of each class, best first.
	Stands, Lifts []*Candidate
}

// NewPlanner returns the planner of a shot with the frames of a house. A price limit beyond 63 bits of minor units is an error.
func NewPlanner(s *shot.Shot, stock *catalog.Snapshot, prices *price.Desk, holding *anchorage.Planner) (*Planner, error) {
	pl := &Planner{
		shot: s, stock: stock,
		Stands: candidates(s, stock, prices, holding, catalog.ClassStand),
		Lifts:  candidates(s, stock, prices, holding, catalog.ClassMachine),
	}
	if l := s.Limits.PricePerDay; l != nil {
		n, err := l.Int64()
		if err != nil {
			return nil, fmt.Errorf("sizing: price limit: %w", err)
		}
		pl.Limit = n
	}
	return pl, nil
}

// WithFrame returns the planner with one of its frames alone. It panics where the house has no frame of that SKU.
func (pl *Planner) WithFrame(sku string) *Planner {
	only := func(list []*Candidate) []*Candidate {
		i := slices.IndexFunc(list, func(c *Candidate) bool { return c.Item.SKU == sku })
		return list[i : i+1]
	}
	own := *pl
	own.Stands, own.Lifts = only(pl.Stands), only(pl.Lifts)
	return &own
}

// Preferring returns the planner by another preference (shot.Prefer…) with some of its frames on stands alone. What groups know of the
// places of frames serves both.
func (pl *Planner) Preferring(prefer string, stands []*Candidate) *Planner {
	s := *pl.shot
	s.Prefer = prefer
	own := *pl
	own.shot, own.Stands, own.Lifts = &s, make([]*Candidate, len(stands)), nil
	for i, c := range stands {
		own.Stands[i] = c.preferring(prefer)
	}
	sortByBound(own.Stands)
	return &own
}

// Single returns the one frame that stops all the sources of a group. Where every such rig breaks the price limit, or none holds
// the gust, it is chosen all the same, and the option reports it. It returns nil where no frame stops them all.
func (pl *Planner) Single(ctx context.Context, g *Group, cands []*Candidate) []*Rig {
	for i, on := range []Terms{{pl.Limit, HoldGust}, {0, HoldGust}, {pl.Limit, HoldLongest}, {0, HoldLongest}} {
		if i%2 == 1 && pl.Limit == 0 {
			continue // the same again
		}
		if ch := g.Choose(ctx, cands, on); ch != nil {
			return []*Rig{g.longest(ch)}
		}
	}
	return nil
}

// largestOnStandsM2 is the outer area over which a frame is offered on machines beside stands: 12 × 12 ft is 3.66 × 3.66 m, 13.4 m²
// (common practice, no source).
const largestOnStandsM2 = 13.5

// CallForMachines reports whether lifting machines are offered beside what was chosen on stands: nothing was, some of it does not
// hold the gust, or some frame of it is over 12 × 12 ft. Over a close-up nobody wants two of them.
func CallForMachines(onStands []*Rig) bool {
	return len(onStands) == 0 || slices.ContainsFunc(onStands, func(r *Rig) bool {
		f := r.Candidate.Frame
		return !r.Anchorage.Holds || f.OuterWidthM*f.OuterHeightM > largestOnStandsM2
	})
}

// pick returns the frame of a group within the price limit, that which holds the gust before one that does not.
func (pl *Planner) pick(ctx context.Context, g *Group, cands []*Candidate) *Rig {
	if ch := g.Choose(ctx, cands, Terms{pl.Limit, HoldGust}); ch != nil {
		return ch
	}
	return g.longest(g.Choose(ctx, cands, Terms{pl.Limit, HoldLongest}))
}

// ReconcileWidest returns the widest zone of a group that one frame covers, and the choices on stands and on lifts brought into
// line with it: where the group's own zone lies within the widest, the rig that covers this stops the group's sources as well, even
// if the search for a place missed it. There is none on lifts where what is on stands does not call for machines.
func (pl *Planner) ReconcileWidest(ctx context.Context, all *Group, onStands, onLift []*Rig) (w Widest, stands, lift []*Rig) {
	w = pl.Widest(ctx, all)
	half := all.fd.Stage.Half.X
	if w.by != nil && w.half >= half {
		switch stood := slices.Contains(pl.Stands, w.by.Candidate); {
		case stood && onStands == nil:
			all.admit(w.by)
			onStands = pl.Single(ctx, all, pl.Stands)
		case !stood && onLift == nil && CallForMachines(onStands):
			all.admit(w.by)
			onLift = pl.Single(ctx, all, pl.Lifts)
		}
	}
	if !CallForMachines(onStands) {
		onLift = nil
	}
	for _, found := range [2][]*Rig{onStands, onLift} {
		if len(found) == 1 && w.half < half { // a frame that the search for the widest did not come to
			w = all.grown(ctx, Widest{half, found[0]})
		}
	}
	return w, onStands, onLift
}

// RuledOut lists, smallest first, every frame smaller than the overhead chosen on stands, or every frame where none serves or
// the chosen one does not hold the gust.
func (pl *Planner) RuledOut(ctx context.Context, all *Group, chosen, onLift []*Rig) []finding.RuledOut {
	g, limit := all, math.Inf(1)
	var over *Rig
	for i, role := range RolesOf(chosen) {
		if role == finding.RoleOverhead {
			over = chosen[i]
		}
	}
	if over != nil {
		if g = over.Group; over.Anchorage.Holds {
			limit = over.Candidate.AreaM2
		}
	}
	frames := slices.Clone(pl.Stands)
	slices.SortStableFunc(frames, func(a, b *Candidate) int {
		return cmp.Or(cmp.Compare(a.AreaM2, b.AreaM2), strings.Compare(a.Item.SKU, b.Item.SKU))
	})
	lifts := map[string]*Candidate{}
	for _, c := range pl.Lifts {
		lifts[c.Item.SKU] = c
	}
	var out []finding.RuledOut
	for _, c := range frames {
		if ctx.Err() != nil {
			break
		}
		if c.AreaM2 > limit-1e-9 {
			break
		}
		r, does := pl.Explain(ctx, g, c, over)
		if lift := lifts[c.Item.SKU]; !does && g == all && len(onLift) == 1 && lift.AreaM2 >= onLift[0].Candidate.AreaM2-1e-9 &&
			len(lift.Options) > 0 && g.BestPlace(ctx, lift).Fits() && (r.Because != finding.Windy || g.Erect(ctx, lift, Terms{Wind: HoldGust}) != nil) {
			r.DoesOnLift = true
		}
		out = append(out, r)
	}
	return out
}

// RolesOf returns the roles of rigs, in their order: the most level frame is the overhead, the others are side frames.
func RolesOf(rigs []*Rig) []finding.Role {
	out := make([]finding.Role, len(rigs))
	level, at := -1.0, 0
	for i, ch := range rigs {
		out[i] = finding.RoleSide
		if n := math.Abs(ch.Placed.Opening.Normal().Z); n > level+1e-9 {
			level, at = n, i
		}
	}
	if len(out) > 0 {
		out[at] = finding.RoleOverhead
	}
	return out
}

// money returns an amount in minor units of the house's currency.
func (pl *Planner) money(minor int64) currency.Amount {
	a, err := currency.NewAmountFromInt64(minor, pl.stock.House.Currency)
	if err != nil {
		return currency.Amount{} // an unknown currency: nothing was priced in it
	}
	return a
}
