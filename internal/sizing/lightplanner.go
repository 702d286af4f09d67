package sizing

import (
	"kitspan/internal/anchorage"
	"kitspan/internal/catalog"
	"kitspan/internal/light"
	"kitspan/internal/price"
	"kitspan/internal/shot"
)

// lightPlanner shapes the light around the frames of one shot with what a house has. It is not safe for concurrent use:
// see [lightPlanner.another].
type lightPlanner struct {
	shot      *shot.Shot
	stock     *catalog.Snapshot
	ties      *anchorage.Planner
	gear      *gear
	arrays    *trains
	lit, solo *light.Lit // memory for levels
	found     []answer   // of the searches so far
}

func newLightPlanner(s *shot.Shot, stock *catalog.Snapshot, prices *price.Desk, ties *anchorage.Planner) *lightPlanner {
	g := newGear(s, prices)
	pl := &lightPlanner{shot: s, stock: stock, ties: ties, gear: g, arrays: &trains{gear: g, prefer: s.Prefer}}
	return pl.another()
}

// another is a planner with memory of its own, for working beside the first.
func (pl *lightPlanner) another() *lightPlanner {
	own := *pl
	own.lit, own.solo = &light.Lit{}, &light.Lit{}
	return &own
}
