package anchorage

import (
	"cmp"
	"math"
	"slices"

	"kitspan/internal/catalog"
	"kitspan/internal/geom"
	"kitspan/internal/price"
	"kitspan/internal/rigging"
	"kitspan/internal/shot"
)

// Planner is what a house has to hold pieces in the wind with, and that wind, as a gust in m/s, and ground.
type Planner struct {
	GustMS, safety float64
	ground         rigging.Ground
	// Bags and Blocks lie on bases, ropes lead to Anchors, stakes or weights; each list is best first.
	Bags, Blocks, ropes, Anchors []Fixing
	Staked                       bool // Anchors are stakes
	stock                        *catalog.Snapshot
}

// Fixing is one kind of ballast, line or anchor, and what one costs per day in minor units of the currency.
type Fixing struct {
	Item  *catalog.Item
	Minor int64
	pullN float64 // safe pull of a line or a stake; 0 for a weight
	longM float64 // of a line
}

// perKg returns the price of a kilogram per day, in minor units.
func (t *Fixing) perKg() float64 { return float64(t.Minor) / t.Item.MassKg }

// NewPlanner sorts what a house offers to hold pieces with, for a shot's wind and ground.
func NewPlanner(s *shot.Shot, stock *catalog.Snapshot, prices *price.Desk) *Planner {
	t := &Planner{GustMS: s.GustMS, safety: s.SafetyFactor, ground: rigging.GroundOf(s.Site.Ground), stock: stock}
	var stakes, weights []Fixing
	for _, o := range prices.Offers() {
		one := Fixing{Item: o.Item, Minor: o.Minor}
		var list *[]Fixing
		switch spec := o.Item.Spec.(type) {
		case *catalog.Ballast:
			if list = &t.Bags; spec.Form == catalog.FormBlock {
				list = &t.Blocks
			}
		case *catalog.Line:
			list, one.pullN, one.longM = &t.ropes, spec.SafePullN, spec.LengthM
		case *catalog.Anchor:
			if list = &weights; spec.Form == catalog.FormStake {
				list, one.pullN = &stakes, spec.SafePullN
			}
		default:
			continue
		}
		*list = append(*list, one)
	}
	// One kind for a whole job where there is enough of it: the cheapest by the kilogram, the heavier of equals. Dead weights that
	// people can move come first.
	byKg := func(a, b Fixing) int {
		return cmp.Or(cmp.Compare(a.perKg(), b.perKg()), cmp.Compare(b.Item.MassKg, a.Item.MassKg), cmp.Compare(a.Item.SKU, b.Item.SKU))
	}
	byPrice := func(a, b Fixing) int {
		return cmp.Or(cmp.Compare(a.Minor, b.Minor), cmp.Compare(b.pullN, a.pullN), cmp.Compare(a.Item.SKU, b.Item.SKU))
	}
	slices.SortFunc(t.Bags, byKg)
	slices.SortFunc(t.Blocks, byKg)
	slices.SortFunc(t.ropes, byPrice)
	slices.SortFunc(stakes, byPrice)
	slices.SortFunc(weights, byPrice)
	t.Anchors = weights
	if s.GroundAnchor == shot.AnchorStakes && t.ground.Stakes && len(stakes) > 0 {
		t.Anchors, t.Staked = stakes, true
	}
	return t
}

// Anchorage is what holds a piece in the wind, and up to which gust.
type Anchorage struct {
	Limits rigging.Hold
	Holds  bool
	// Bag is the ballast on the bases, Bags on each; nil for none.
	Bag  *catalog.Item
	Bags [rigging.MaxSupports]int
	// Guying is where the guy lines run, each a Rope to PerLine of Anchor; nil where there are none.
	Guying       *LineSet
	Rope, Anchor *catalog.Item
	PerLine      int
	Minor        int64 // price per day in minor units
	MassKg       float64
	// PullN is the largest tension, in newtons, in a line of each support at the gust asked for.
	PullN [rigging.MaxSupports]float64
	// NoRoom is set where lines were wanted and found no room.
	NoRoom bool
	known  bool
}

// Counts returns the items that hold the piece.
func (f *Anchorage) Counts() []catalog.Count {
	var out []catalog.Count
	n := 0
	for _, k := range f.Bags {
		n += k
	}
	if n > 0 {
		out = append(out, catalog.Count{SKU: f.Bag.SKU, Quantity: n})
	}
	if f.Guying != nil {
		lines := len(f.Guying.lines)
		out = append(out, catalog.Count{SKU: f.Rope.SKU, Quantity: lines}, catalog.Count{SKU: f.Anchor.SKU, Quantity: lines * f.PerLine})
	}
	return out
}

// Better reports whether f holds where o does not, holds for less money, or, where neither holds, holds longer.
func (f *Anchorage) Better(o *Anchorage) bool {
	switch {
	case !o.known:
		return true
	case f.Holds != o.Holds:
		return f.Holds
	case f.Holds:
		return f.Minor < o.Minor
	case f.Limits.LowerAtMS != o.Limits.LowerAtMS:
		return f.Limits.LowerAtMS > o.Limits.LowerAtMS
	}
	return f.Minor < o.Minor
}

// Secure finds what makes a piece hold a gust, in m/s: bags on the bases; where those are not enough, lines as well; where lines
// are not enough or find no room, heavier blocks, without and with lines. It takes the first of these that holds, and the cheapest
// of its kinds; where none holds, the one that holds the strongest gust, with Holds false. Where a house is out of bags and blocks
// the piece is held by its own weight, without and with lines. guyings returns where lines find room, and is called at most
// once; left returns how many of an item are still available.
func (t *Planner) Secure(p *rigging.Piece, gustMS float64, guyings func() []LineSet, left func(sku string) int) Anchorage {
	var best Anchorage
	n := len(p.Supports)
	if slices.ContainsFunc(p.Supports, func(s rigging.Support) bool { return s.OwnLimitMS > 0 }) {
		// A machine stands by its own weight and has a limit of its own.
		h := p.Hold([rigging.MaxSupports]float64{}, nil)
		return Anchorage{Limits: h, Holds: h.Holds(gustMS), known: true}
	}
	var ways []LineSet
	asked := false
	heaviestKg := -1.0 // the most that a kind tried so far can put on a support: another that can put no more there does no better
	for _, kinds := range [3][]Fixing{t.Bags, t.Blocks, {{}}} {
		for i := range kinds {
			kind := &kinds[i]
			kg, most := 0.0, rigging.DefaultMaxBags
			if kind.Item != nil {
				kg, most = kind.Item.MassKg, min(most, left(kind.Item.SKU)/n)
			}
			if most < 1 || float64(most)*kg <= heaviestKg {
				continue
			}
			heaviestKg = float64(most) * kg
			free := ballasted(kind, p.Rig(gustMS, kg, most, nil))
			if free.Better(&best) {
				free.NoRoom = best.NoRoom
				best = free
			}
			if best.Holds {
				return best
			}
			if !asked {
				ways, asked = guyings(), true
				best.NoRoom = len(ways) == 0
			}
			for k := range ways {
				t.guyed(p, gustMS, kind, kg, most, &ways[k], left, &best)
			}
			if best.Holds {
				return best
			}
		}
	}
	return best
}

// ballasted is a rig without its lines' items.
func ballasted(kind *Fixing, r rigging.Rig) Anchorage {
	f := Anchorage{Limits: r.Hold, Holds: r.Holds, known: true}
	if kind.Item != nil {
		f.Bag, f.Bags = kind.Item, r.Bags
		for _, k := range r.Bags {
			f.Minor += int64(k) * kind.Minor
			f.MassKg += float64(k) * kind.Item.MassKg
		}
	}
	return f
}

// guyed tries every rope and anchor on one set of lines, and keeps the best.
func (t *Planner) guyed(p *rigging.Piece, gustMS float64, kind *Fixing, kg float64, most int, way *LineSet, left func(sku string) int, best *Anchorage) {
	lines := len(way.lines)
	for i := range t.ropes {
		rope := &t.ropes[i]
		if rope.longM < way.longestM+knotM || left(rope.Item.SKU) < lines {
			continue
		}
		for k := range t.Anchors {
			anchor := &t.Anchors[k]
			each := min(left(anchor.Item.SKU)/lines, rigging.DefaultMaxWeights)
			if each < 1 {
				continue
			}
			g := rigging.Guys{
				AngleDeg: way.AngleDeg, Factor: way.factor, LineSafePullN: rope.pullN,
				StakeSafePullN: anchor.pullN, WeightKg: anchor.Item.MassKg, MaxWeights: each,
			}
			r := p.Rig(gustMS, kg, most, &g)
			if !r.Guyed {
				continue
			}
			f := ballasted(kind, r)
			f.Guying, f.Rope, f.Anchor, f.PerLine = way, rope.Item, anchor.Item, max(1, r.Weights)
			f.Minor += int64(lines) * (rope.Minor + int64(f.PerLine)*anchor.Minor)
			f.MassKg += float64(lines) * (rope.Item.MassKg + float64(f.PerLine)*anchor.Item.MassKg)
			if !f.Better(best) {
				continue
			}
			for s := range p.Supports {
				f.PullN[s] = p.PullN(gustMS, s, &g)
			}
			*best = f
		}
	}
}

// AtBest is [Planner.Secure] at the planner's gust where nothing is in the way: with all that the house owns, and a number of
// lines, 0 for none, at every angle, straight against the pull and short. A piece that does not hold so on supports without arms
// does not hold with arms, with less room or with fewer items either: an arm adds to what tips at one edge or the other, and to
// the pull of a line, and lines turned out of the way pull harder.
func (t *Planner) AtBest(p *rigging.Piece, lines int) Anchorage {
	return t.Secure(p, t.GustMS, func() []LineSet {
		if lines == 0 {
			return nil
		}
		ways := make([]LineSet, len(lineDegs))
		for i, deg := range lineDegs {
			ways[i] = LineSet{AngleDeg: deg, factor: 1, lines: make([]Line, lines)}
		}
		return ways
	}, t.Owned)
}

// Owned returns how many the house owns of an item.
func (t *Planner) Owned(sku string) int { return t.stock.Item(sku).Owned }

// FewestLines returns the least number of lines that a piece on so many supports gets.
func FewestLines(supports int) int {
	if supports == 1 {
		return 3
	}
	return 2 * supports
}

// SolidityOf returns the share of a fabric that stops the wind: an open net lets some through, anything woven counts as closed.
func SolidityOf(f *catalog.Fabric) float64 {
	if f.Use == catalog.UseNet {
		return f.Solidity
	}
	return 1
}

// Piece returns a placed piece as package rigging takes it: its panel in the wind, its mass in kilograms, the gust in m/s that its
// rental house allows it (0 for none), and its masts as supports, which it writes to room.
func (t *Planner) Piece(panel rigging.Panel, massKg, houseMS float64, masts []Mast, room *[rigging.MaxSupports]rigging.Support) rigging.Piece {
	for i := range masts {
		room[i] = masts[i].Support.InWind(masts[i].Held.Z, masts[i].ArmM())
	}
	return rigging.Piece{
		Panel: panel, MassKg: massKg, Supports: room[:len(masts)], Friction: t.ground.Friction, SafetyFactor: t.safety, HouseLimitMS: houseMS,
	}
}

// InWind returns the support as package rigging takes it, where it holds a point at a height by an arm, both in metres.
func (w *Support) InWind(heightM, armM float64) rigging.Support {
	s := rigging.Support{
		MassKg: w.Item.MassKg, FootprintM: w.Spec.FootprintM, Legs: w.Spec.Legs, HeightM: heightM, ArmM: armM, SafeLoadKg: w.Spec.SafeLoadKg,
	}
	if w.Spec.Class == catalog.ClassMachine {
		s.OwnLimitMS = rigging.MachineGustMS
	}
	return s
}

// Lines returns where the guy lines run; nil where there are none.
func (f *Anchorage) Lines() []Line {
	if f.Guying == nil {
		return nil
	}
	return f.Guying.lines
}

// Obstructs reports whether a line runs through the rectangle outer (nil for none), or an anchor lies among the feet of masts.
func (f *Anchorage) Obstructs(outer *geom.Rect, masts []Mast) bool {
	for _, l := range f.Lines() {
		if outer != nil && outer.CutBy(l.From, l.To) {
			return true
		}
		if AmongFeet(l.To, masts) {
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
