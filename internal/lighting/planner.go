package lighting

import (
	"slices"

	"kitspan/internal/anchorage"
	"kitspan/internal/catalog"
	"kitspan/internal/light"
	"kitspan/internal/price"
	"kitspan/internal/shot"
)

// Planner shapes the light around the frames of one shot with what a house has. It is not safe for concurrent use:
// see [Planner.Clone].
type Planner struct {
	shot      *shot.Shot
	stock     *catalog.Snapshot
	holding   *anchorage.Planner
	gear      *gear
	arrays    *arrays
	lit, solo *light.Lit // memory for levels
	found     []found    // of the searches so far
	tried     *[]*vain   // in those, in vain
	known     *[]*alone  // what arrays give by themselves
}

// NewPlanner returns the planner of a shot with what a house offers.
func NewPlanner(s *shot.Shot, stock *catalog.Snapshot, prices *price.Desk, holding *anchorage.Planner) *Planner {
	g := newGear(s, prices)
	pl := &Planner{shot: s, stock: stock, holding: holding, gear: g, arrays: &arrays{gear: g, prefer: s.Prefer}}
	return pl.Clone()
}

// Preferring returns the planner by another preference (shot.Prefer…), with the same gear.
func (pl *Planner) Preferring(prefer string) *Planner {
	s := *pl.shot
	s.Prefer = prefer
	own := pl.Clone()
	own.shot, own.arrays, own.found, own.tried, own.known = &s, &arrays{gear: pl.gear, prefer: prefer}, nil, pl.tried, pl.known
	return own
}

// Clone returns a planner with working memory of its own, for use beside the first.
func (pl *Planner) Clone() *Planner {
	own := *pl
	own.lit, own.solo = &light.Lit{}, &light.Lit{}
	own.found, own.tried, own.known = slices.Clip(pl.found), &[]*vain{}, &[]*alone{} // what either adds is its own
	return &own
}
