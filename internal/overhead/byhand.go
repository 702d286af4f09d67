package overhead

import (
	"cmp"
	"context"
	"math"
	"slices"
	"strings"

	"kitspan/internal/anchorage"
	"kitspan/internal/geom"
	"kitspan/internal/placement"
	"kitspan/internal/rigging"
	"kitspan/internal/scene"
)

// Hand is a person who holds a side of a frame, in the camera's axes: where they stand, and where their hands are.
type Hand struct{ Stands, Holds geom.Vec }

// Person returns what a person is to the view: the line from their feet to the top of their head, or of their hands where they are higher.
func (h *Hand) Person() [2]geom.Vec {
	top := h.Stands
	top.Z = max(rigging.HeadM, h.Holds.Z)
	return [2]geom.Vec{h.Stands, top}
}

// ViewClearanceM returns how far out of the view a person stays at least, everywhere on the way where the stage is carried. A part of a body
// that is nearer to the view by a distance d along one of its planes is so by d·√(1 + tan²) across the axis.
func (h *Hand) ViewClearanceM(st *scene.Stage) float64 {
	p, v := h.Person(), &st.View
	body := rigging.BodyM * math.Sqrt(1+v.TanX*v.TanX+v.TanY*v.TanY)
	return min(st.LineClearance(p[0], p[1])-body, st.LineClearance(p[1], h.Holds))
}

// handPatience is how many places are looked at for one frame before it is given up.
const handPatience = 300

// ByHand returns the smallest frame that people hold and that stops the hard sources, on the stage of [scene.Stage.Carry], clear of the view
// by viewM; nil where none does, or none that they can hold in the gust asked.
func (pl *Planner) ByHand(ctx context.Context, st *scene.Stage, hard []*scene.Source, viewM float64) *Rig {
	var list []*Candidate
	for _, c := range pl.Stands {
		f := c.Frame
		if c.Fabric != nil && max(f.OuterWidthM, f.OuterHeightM) <= rigging.HandSideM && c.MassKg <= handsHold*rigging.HandKg {
			list = append(list, c)
		}
	}
	slices.SortStableFunc(list, func(a, b *Candidate) int {
		return cmp.Or(cmp.Compare(a.AreaM2, b.AreaM2), strings.Compare(a.Item.SKU, b.Item.SKU))
	})
	var g *Group
	for _, c := range list {
		if st.LeastOpeningM2(hard) >= c.AreaM2 || ctx.Err() != nil {
			continue
		}
		if g == nil {
			g = NewGroup(ctx, st, hard)
		}
		if r := g.byHand(ctx, pl, c, viewM); r != nil {
			return r
		}
	}
	return nil
}

// handsHold is how many people hold a frame: one at each of two sides.
const handsHold = 2

// byHand returns a frame held by people where it covers.
func (g *Group) byHand(ctx context.Context, pl *Planner, c *Candidate, viewM float64) *Rig {
	near := g.freely(ctx, c)
	if !near.Fits() {
		return nil
	}
	h := placement.SupportLimits{
		LowestM: rigging.HandLowM, HighestM: rigging.HandHighM, TopM: pl.shot.Limits.TopM(), Count: handsHold, Anywhere: true,
	}
	var found *Rig
	accept := func(s *placement.Spot) (ok bool, short int) {
		found = g.heldAt(c, s, viewM)
		return found != nil, -1
	}
	q := func(patience int) placement.Query {
		return placement.CoverQuery(c.sheet, &h, &placement.Trial{Accept: accept, Patience: patience})
	}
	if s, ok := g.fd.Find(ctx, placement.EnoughSlackQuery(c.sheet, &h, placement.YieldCover, -placement.SeedDepthM(g.fd.Stage)), &near.Spot); ok && s.Slack >= 0 {
		accept(&s)
	}
	if found == nil {
		g.fd.Everywhere(ctx, q(handPatience), placement.GridStepRad)
	}
	return found
}

// heldAt returns a frame on a spot with the people who hold it; nil where it does not cover, they have no room, or the gust is too much.
func (g *Group) heldAt(c *Candidate, s *placement.Spot, viewM float64) *Rig {
	st := g.fd.Stage
	r := &Rig{Candidate: c, Group: g}
	r.Placed.spot = *s
	r.Placed.Opening, r.Placed.Outer = s.Rect(st)
	outer := &r.Placed.Outer
	r.Placed.MarginM = st.Measure(&r.Placed.Opening, g.Sources).InsetM
	corners := outer.Corners()
	r.Placed.ClearM = st.Clearance(corners[:])
	if r.Placed.MarginM < st.CoverM || r.Placed.ClearM < viewM {
		return nil
	}
	for _, sign := range [handsHold]float64{-1, 1} {
		side := outer.U.Scale(sign)
		hand, ok := handAt(st, outer, outer.Center.Add(side.Scale(outer.HalfU)), geom.Vec{X: side.X, Y: side.Y}.Unit(), viewM)
		if !ok {
			return nil
		}
		r.Hands = append(r.Hands, hand)
	}
	p := r.Held()
	if r.Anchorage = c.Holding.Secure(&p, c.Holding.GustMS, nil, c.Holding.Owned, false); !r.Anchorage.Holds {
		return nil
	}
	if r.priced = c.price(r); !r.priced {
		return nil
	}
	return r
}

// handAt returns where a person stands who holds a side of a frame at a point, outward from it or to either hand, if there is room: off the
// people, the camera and the frame, and out of the view.
func handAt(st *scene.Stage, outer *geom.Rect, holds, out geom.Vec, viewM float64) (Hand, bool) {
	along := geom.Vec{X: -out.Y, Y: out.X}
	for _, way := range [5]geom.Vec{out, out.Add(along).Unit(), out.Sub(along).Unit(), along, along.Scale(-1)} {
		h := Hand{Stands: holds.Add(way.Scale(rigging.HandArmM)), Holds: holds}
		h.Stands.Z = 0
		p := h.Person()
		if st.OffAll(h.Stands, rigging.BodyM+scene.GuardM) && !outer.CutBy(p[0], p[1]) && h.ViewClearanceM(st) >= viewM {
			return h, true
		}
	}
	return Hand{}, false
}

// CrowdedBy reports whether the feet of a mast come under those of a person who holds the rig.
func (r *Rig) CrowdedBy(m *anchorage.Mast) bool {
	return slices.ContainsFunc(r.Hands, func(h Hand) bool {
		at := h.Stands.Sub(m.Base)
		at.Z = 0
		return at.Len() < m.Support.Spec.FootprintM+rigging.BodyM
	})
}
