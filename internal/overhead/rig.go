package overhead

import (
	"slices"

	"kitspan/internal/anchorage"
	"kitspan/internal/catalog"
	"kitspan/internal/geom"
	"kitspan/internal/light"
	"kitspan/internal/placement"
)

// Rig is a frame in its place with its supports.
type Rig struct {
	Candidate *Candidate
	Group     *Group
	Placed    Placed
	Minor     int64 // price of frame, fabric and supports per day in minor units
	MassKg    float64
	Rank      Rank
	priced    bool                // everything in it has a rate
	Anchorage anchorage.Anchorage // what holds it in the wind
	Hands     []Hand              // who holds it, where it stands on nothing
	option    *SupportOption      // the kind of supports, where they are all alike
	onRopes   *Rig                // the same with ropes where they are better, once asked for
	first     *Rig                // of which this is the same by another preference; nil where it is the first
}

// Masts returns the rig's supports in their places, in the camera's frame.
func (r *Rig) Masts() []anchorage.Mast { return r.Placed.masts[:r.Placed.Count] }

// Counts returns the items of a rig: frame, fabric, supports and what holds them.
func (r *Rig) Counts() []catalog.Count {
	out := []catalog.Count{{SKU: r.Candidate.Item.SKU, Quantity: 1}, {SKU: r.Candidate.Fabric.SKU, Quantity: 1}}
	return append(append(out, r.Supports()...), r.Anchorage.Counts()...)
}

// OnMachines reports whether lifting machines hold the rig.
func (r *Rig) OnMachines() bool {
	return len(r.Hands) == 0 && r.Masts()[0].Support.Spec.Class == catalog.ClassMachine
}

// Same reports whether two rigs are the same frame in the same place on the same supports, held alike.
func (r *Rig) Same(o *Rig) bool {
	return r.Candidate.Item == o.Candidate.Item && r.Placed.Opening == o.Placed.Opening && slices.Equal(r.Counts(), o.Counts())
}

// Supports returns the rig's supports by kind, in the order in which they stand.
func (r *Rig) Supports() []catalog.Count {
	var out []catalog.Count
next:
	for _, m := range r.Masts() {
		for i := range out {
			if out[i].SKU == m.Support.Item.SKU {
				out[i].Quantity++
				continue next
			}
		}
		out = append(out, catalog.Count{SKU: m.Support.Item.SKU, Quantity: 1})
	}
	return out
}

// meets reports whether two rigs are in each other's way: frame through frame, a mast or an arm through a frame, or a mast
// among another's feet ([anchorage.Mast.Crowds]).
func (r *Rig) meets(o *Rig) bool {
	if r.blocks(&o.Placed.Outer) || o.blocks(&r.Placed.Outer) ||
		r.Anchorage.Obstructs(&o.Placed.Outer, o.Masts()) || o.Anchorage.Obstructs(&r.Placed.Outer, r.Masts()) {
		return true
	}
	theirs := o.Masts()
	return slices.ContainsFunc(r.Masts(), func(m anchorage.Mast) bool {
		return slices.ContainsFunc(theirs, func(k anchorage.Mast) bool { return m.Crowds(&k) })
	})
}

// blocks reports whether the rig's frame, or a mast or an arm of it, runs through another frame.
func (r *Rig) blocks(outer *geom.Rect) bool {
	if r.Placed.Outer.Meets(*outer) {
		return true
	}
	for _, m := range r.Masts() {
		if outer.CutBy(m.Base, m.Top()) || outer.CutBy(m.Top(), m.Held) {
			return true
		}
	}
	return false
}

// Panel returns the rig's frame as package light takes it.
func (r *Rig) Panel() light.Panel {
	return r.PanelOf(r.Candidate.Fabric)
}

// Held returns the rig as what is to be held in the wind.
func (r *Rig) Held() anchorage.Piece {
	c := r.Candidate
	return anchorage.Piece{
		Outer: r.Placed.Outer, Solidity: anchorage.SolidityOf(c.FabricSpec()), MassKg: c.MassKg, HouseMS: c.Frame.GustLimitMS, Masts: r.Masts(), Hands: len(r.Hands),
	}
}

// Secure returns what makes the rig hold a gust, in m/s, its ropes clear of the other rigs that stand. left is how many of an item
// remain in the house; nil for all that it owns. longest is as [anchorage.Planner.Secure] takes it.
func (r *Rig) Secure(gustMS float64, others []*Rig, left func(sku string) int, longest bool) anchorage.Anchorage {
	p := r.Held()
	return r.Candidate.Holding.Secure(&p, gustMS, r.Around(others), r.remaining(left), longest)
}

func (r *Rig) remaining(left func(sku string) int) func(sku string) int {
	if left == nil {
		return r.Candidate.Holding.Owned
	}
	return left
}

// Around is what the rig's ropes have to keep clear of.
func (r *Rig) Around(others []*Rig) *anchorage.Surroundings {
	own := r.Placed.Outer.Grow(-anchorage.TubeClearM)
	return &anchorage.Surroundings{Stage: r.Group.fd.Stage, Cut: func(from, to geom.Vec) bool {
		return own.CutBy(from, to) || slices.ContainsFunc(others, func(o *Rig) bool {
			return o.Placed.Outer.CutBy(from, to) || anchorage.AmongFeet(to, o.Masts())
		})
	}}
}

// Placed is a placed frame with its supports put down and everything measured, in the camera's frame.
type Placed struct {
	spot    placement.Spot
	Opening geom.Rect
	Outer   geom.Rect
	masts   [4]anchorage.Mast
	Count   int
	MarginM float64
	ClearM  float64 // of the frame alone from the view
}

// lowerAtMS returns the gust at which the rig is to be down.
func (r *Rig) lowerAtMS() float64 {
	h := r.Anchorage.Hold()
	return h.LowerAtMS
}
