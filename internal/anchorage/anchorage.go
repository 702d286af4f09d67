package anchorage

import (
	"math"
	"slices"

	"kitspan/internal/catalog"
	"kitspan/internal/geom"
	"kitspan/internal/rigging"
)

// Anchorage is what holds a piece in the wind. The zero value holds nothing.
type Anchorage struct {
	// Holds reports whether the piece may stay up in the gust that it was secured for.
	Holds bool
	// Bag is the ballast on the bases, Bags on each; nil for none.
	Bag  *catalog.Item
	Bags [rigging.MaxSupports]int
	// Ropes lead from the frame or from masts to their anchors.
	Ropes []Rope
	Minor int64 // price per day in minor units
	// EffortMinor is what the hands cost that lay the ballast and tie the ropes, in minor units: of two ways to hold a piece the
	// one that costs less with it is better.
	EffortMinor int64
	MassKg      float64
	// NoRoom is set where ropes were wanted and found no room, NoRope where they found room and the house has none that is long enough
	// left.
	NoRoom, NoRope bool
	// Easy is set where no stand takes more than a few bags, so that nobody asks for ropes.
	Easy bool

	held *held
}

// Rope is one rope of a piece, in the camera's axes.
type Rope struct {
	// Mast is the index of the mast from whose head it runs, [rigging.OnFrame] for one that is tied to the frame.
	Mast     int
	From, To geom.Vec
	Item     *catalog.Item
	// Anchor and Count are what it is tied to; nil for the fixed point of the user's called Label.
	Anchor *catalog.Item
	Count  int
	Label  string
}

// Weighted reports whether the rope is tied to weights: ballast or anchors that hold by their mass.
func (r *Rope) Weighted() bool {
	if r.Anchor == nil {
		return false
	}
	spec, ok := r.Anchor.Spec.(*catalog.Anchor)
	return !ok || spec.Form != catalog.FormStake
}

// held is an anchorage as statics has it, and what it was found to bear. Copies of an anchorage share it.
type held struct {
	of      *rigging.Structure
	load    rigging.Load
	units   rigging.Units
	limitMS float64
	foundMS float64 // the gust for which equilibrium was found, 0 for none
	mast    int     // the machine whose limit that is
	hold    *rigging.Hold
}

// foundShare is how near two searches for the same limit end, where arms twist stands.
const foundShare = 0.99

// Hold returns what the piece bears of the wind. It is worked out at the first call, which is not safe for concurrent use.
func (f *Anchorage) Hold() rigging.Hold {
	h := f.held
	if h == nil {
		return rigging.Hold{Governs: rigging.GovernsSupport, Support: -1}
	}
	if h.hold == nil {
		solver := h.of.Solver()
		s := solver.With(&h.load, &h.units)
		solver.Done()
		// An equilibrium was found at the gust that the ballast is for; the search from above ends a little under it at times.
		if s.SafeToMS >= h.foundMS*foundShare {
			s.SafeToMS, s.GoesAtMS = math.Max(s.SafeToMS, h.foundMS), math.Max(s.GoesAtMS, h.foundMS/rigging.LowerShare*(1+1e-12))
		}
		v := rigging.HoldOf(s, h.limitMS, h.mast)
		h.hold = &v
	}
	return *h.hold
}

// Forces returns what masts and feet bear in a gust, in m/s, without a safety factor, and pullN the most that any of the ropes has to
// bear for working in it: at the gust of which it is [rigging.LowerShare]. Which of the ropes that run alike takes it is not determined.
func (f *Anchorage) Forces(gustMS float64) (forces rigging.Forces, pullN float64) {
	if f.held == nil || f.held.of == nil {
		return forces, 0
	}
	solver := f.held.of.Solver()
	defer solver.Done()
	forces = solver.Forces(gustMS, &f.held.load, &f.held.units)
	if len(f.Ropes) > 0 {
		most := solver.Forces(gustMS/rigging.LowerShare, &f.held.load, &f.held.units)
		pullN = slices.Max(most.PullN[:])
	}
	return forces, pullN
}

// KgEach returns the ballast on the stand that takes most, in kilograms, with which the piece would hold a gust, in m/s; 0 where
// no ballast does it.
func (f *Anchorage) KgEach(gustMS float64) float64 {
	if f.held == nil || f.held.of == nil {
		return 0
	}
	solver := f.held.of.Solver()
	defer solver.Done()
	need, ok := solver.Need(gustMS, nil, 0, 0)
	if !ok {
		return 0
	}
	return slices.Max(need.Kg())
}

// RopeGoneMS returns the gust up to which the piece holds with the safety factor when the worst of its ropes is gone; 0 where it has
// none, or does not stand then.
func (f *Anchorage) RopeGoneMS() float64 {
	if f.held == nil || len(f.Ropes) == 0 {
		return 0
	}
	solver := f.held.of.Solver()
	defer solver.Done()
	return math.Max(0, solver.WorstRopeGone(&f.held.load, &f.held.units))
}

// Counts returns the items that hold the piece.
func (f *Anchorage) Counts() []catalog.Count {
	var out []catalog.Count
	add := func(item *catalog.Item, n int) {
		if item == nil || n <= 0 {
			return
		}
		for i := range out {
			if out[i].SKU == item.SKU {
				out[i].Quantity += n
				return
			}
		}
		out = append(out, catalog.Count{SKU: item.SKU, Quantity: n})
	}
	for _, k := range f.Bags {
		add(f.Bag, k)
	}
	for i := range f.Ropes {
		add(f.Ropes[i].Item, 1)
		add(f.Ropes[i].Anchor, f.Ropes[i].Count)
	}
	return out
}

// Better reports whether f holds where o does not, holds for less money, hands included, or, where neither holds, holds longer.
func (f *Anchorage) Better(o *Anchorage) bool {
	switch {
	case o.held == nil:
		return true
	case f.Holds != o.Holds:
		return f.Holds
	case f.Holds:
		return f.Minor+f.EffortMinor < o.Minor+o.EffortMinor
	}
	if a, b := f.Hold().LowerAtMS, o.Hold().LowerAtMS; a != b {
		return a > b
	}
	return f.Minor < o.Minor
}

// BallastKg returns what lies on the bases and at the ropes, in kilograms.
func (f *Anchorage) BallastKg() (kg float64) {
	for _, n := range f.Bags {
		if n > 0 {
			kg += float64(n) * f.Bag.MassKg
		}
	}
	for i := range f.Ropes {
		if f.Ropes[i].Weighted() {
			kg += float64(f.Ropes[i].Count) * f.Ropes[i].Anchor.MassKg
		}
	}
	return kg
}

// Obstructs reports whether a rope runs through the rectangle outer (nil for none), or its anchor lies among the feet of masts.
func (f *Anchorage) Obstructs(outer *geom.Rect, masts []Mast) bool {
	for i := range f.Ropes {
		r := &f.Ropes[i]
		if outer != nil && outer.CutBy(r.From, r.To) || AmongFeet(r.To, masts) {
			return true
		}
	}
	return false
}

// AmongFeet reports whether an anchor would lie among the feet of some masts.
func AmongFeet(anchor geom.Vec, masts []Mast) bool {
	for i := range masts {
		m := &masts[i]
		if math.Hypot(anchor.X-m.Base.X, anchor.Y-m.Base.Y) < m.Support.Spec.FootprintM+anchorM {
			return true
		}
	}
	return false
}

// MostBags returns the largest number of bags on any one support.
func (f *Anchorage) MostBags() (n int) {
	for _, k := range f.Bags {
		n = max(n, k)
	}
	return n
}
