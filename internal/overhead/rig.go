package overhead

import (
	"slices"

	"kitspan/internal/anchorage"
	"kitspan/internal/catalog"
	"kitspan/internal/geom"
	"kitspan/internal/light"
	"kitspan/internal/placement"
	"kitspan/internal/rigging"
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
}

// Masts are the rig's supports in their places.
func (ch *Rig) Masts() []anchorage.Mast { return ch.Placed.masts[:ch.Placed.Count] }

// Counts are the items of a rig.
func (ch *Rig) Counts() []catalog.Count {
	out := []catalog.Count{{SKU: ch.Candidate.Item.SKU, Quantity: 1}, {SKU: ch.Candidate.Fabric.SKU, Quantity: 1}}
	return append(append(out, ch.Supports()...), ch.Anchorage.Counts()...)
}

// Supports are the rig's supports by kind, in the order in which they stand.
func (ch *Rig) Supports() []catalog.Count {
	var out []catalog.Count
next:
	for _, m := range ch.Masts() {
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
func (ch *Rig) meets(o *Rig) bool {
	if ch.blocks(&o.Placed.Outer) || o.blocks(&ch.Placed.Outer) ||
		ch.Anchorage.Obstructs(&o.Placed.Outer, o.Masts()) || o.Anchorage.Obstructs(&ch.Placed.Outer, ch.Masts()) {
		return true
	}
	theirs := o.Masts()
	return slices.ContainsFunc(ch.Masts(), func(m anchorage.Mast) bool {
		return slices.ContainsFunc(theirs, func(k anchorage.Mast) bool { return m.Crowds(&k) })
	})
}

// blocks reports whether the rig's frame, or a mast or an arm of it, runs through another frame.
func (ch *Rig) blocks(outer *geom.Rect) bool {
	if ch.Placed.Outer.Meets(*outer) {
		return true
	}
	for _, m := range ch.Masts() {
		if outer.CutBy(m.Base, m.Top()) || outer.CutBy(m.Top(), m.Held) {
			return true
		}
	}
	return false
}

// Panel is the frame of a rig as light sees it.
func (ch *Rig) Panel() light.Panel {
	f := ch.Candidate.FabricSpec()
	s := light.Surface{Diffuse: f.Reflectance}
	return light.Panel{Corners: ch.Placed.Opening.Corners(), A: s, B: s, Transmittance: f.Transmittance, BeamShare: f.BeamShare}
}

// Burden is a rig as rigging takes it.
func (ch *Rig) Burden(room *[rigging.MaxSupports]rigging.Support) rigging.Piece {
	c := ch.Candidate
	return c.Holding.Piece(anchorage.PanelOf(&ch.Placed.Outer, anchorage.SolidityOf(c.FabricSpec())), c.MassKg, c.Frame.GustLimitMS, ch.Masts(), room)
}

// Secure is what makes a rig hold a gust, beside rigs that stand.
func (ch *Rig) Secure(gustMS float64, others []*Rig, left func(sku string) int) anchorage.Anchorage {
	var room [rigging.MaxSupports]rigging.Support
	p := ch.Burden(&room)
	st := ch.Group.fd.Stage
	if left == nil {
		left = ch.Candidate.Holding.Owned
	}
	return ch.Candidate.Holding.Secure(&p, gustMS, func() []anchorage.LineSet {
		own := ch.Placed.Outer.Grow(-anchorage.TubeClearM)
		return anchorage.LineSets(st, ch.Masts(), &ch.Placed.Outer, func(from, to geom.Vec) bool {
			return own.CutBy(from, to) || slices.ContainsFunc(others, func(o *Rig) bool {
				return o.Placed.Outer.CutBy(from, to) || anchorage.AmongFeet(to, o.Masts())
			})
		})
	}, left)
}

// Placed is a placed frame with its supports put down and everything measured, in the camera's frame.
type Placed struct {
	spot    placement.Spot
	Opening geom.Rect
	Outer   geom.Rect
	masts   [4]anchorage.Mast
	Count   int
	MarginM float64
	ClearM  float64 // of the frame alone
}
