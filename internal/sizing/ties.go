package sizing

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

// ties is what a house has to hold pieces in the wind with, and what wind and ground that is.
type ties struct {
	gustMS, safety float64
	ground         rigging.Ground
	// bags and blocks lie on bases, ropes lead to stakes or to weights; each list best first. With stakes, weights stand
	// by for ground that takes none.
	bags, blocks, ropes, anchors []tie
	staked                       bool // anchors are stakes
	stock                        *catalog.Snapshot
}

// tie is one kind of ballast, line or anchor, and what one costs per day in minor units.
type tie struct {
	item  *catalog.Item
	minor int64
	pullN float64 // of a line or a stake; 0 for a weight
	longM float64
}

// perKg is the price of a kilogram.
func (t *tie) perKg() float64 { return float64(t.minor) / t.item.MassKg }

func newTies(s *shot.Shot, stock *catalog.Snapshot, prices *price.Desk) *ties {
	t := &ties{gustMS: s.GustMS, safety: s.SafetyFactor, ground: rigging.GroundOf(s.Site.Ground), stock: stock}
	var stakes, weights []tie
	for _, o := range prices.Offers() {
		one := tie{item: o.Item, minor: o.Minor}
		var list *[]tie
		switch spec := o.Item.Spec.(type) {
		case *catalog.Ballast:
			if list = &t.bags; spec.Form == catalog.FormBlock {
				list = &t.blocks
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
	// One kind for a whole job where there are enough: the cheapest by the kilogram, the heavier of equals. Dead weights that
	// people can move come first.
	byKg := func(a, b tie) int {
		return cmp.Or(cmp.Compare(a.perKg(), b.perKg()), cmp.Compare(b.item.MassKg, a.item.MassKg), cmp.Compare(a.item.SKU, b.item.SKU))
	}
	byPrice := func(a, b tie) int {
		return cmp.Or(cmp.Compare(a.minor, b.minor), cmp.Compare(b.pullN, a.pullN), cmp.Compare(a.item.SKU, b.item.SKU))
	}
	slices.SortFunc(t.bags, byKg)
	slices.SortFunc(t.blocks, byKg)
	slices.SortFunc(t.ropes, byPrice)
	slices.SortFunc(stakes, byPrice)
	slices.SortFunc(weights, byPrice)
	t.anchors = weights
	if s.GroundAnchor == shot.AnchorStakes && t.ground.Stakes && len(stakes) > 0 {
		t.anchors, t.staked = stakes, true
	}
	return t
}

// secured is what holds a piece in the wind, and up to which gust.
type secured struct {
	hold  rigging.Hold
	holds bool
	// bag is the ballast on the bases, bags on each; nil for none.
	bag  *catalog.Item
	bags [rigging.MaxSupports]int
	// lines are the guy lines, each a rope to perLine anchors; none where guying is nil.
	guying       *guying
	rope, anchor *catalog.Item
	perLine      int
	minor        int64 // price per day in minor units
	massKg       float64
	// pullN is the largest tension in the line of each support at the gust asked.
	pullN [rigging.MaxSupports]float64
	// noRoom says that lines were wanted and found no room.
	noRoom bool
	known  bool
}

// counts are the items that hold the piece.
func (f *secured) counts() []catalog.Count {
	var out []catalog.Count
	n := 0
	for _, k := range f.bags {
		n += k
	}
	if n > 0 {
		out = append(out, catalog.Count{SKU: f.bag.SKU, Quantity: n})
	}
	if f.guying != nil {
		lines := len(f.guying.lines)
		out = append(out, catalog.Count{SKU: f.rope.SKU, Quantity: lines}, catalog.Count{SKU: f.anchor.SKU, Quantity: lines * f.perLine})
	}
	return out
}

// better says whether f holds where o does not, holds for less money, or, where neither holds, holds longer.
func (f *secured) better(o *secured) bool {
	switch {
	case !o.known:
		return true
	case f.holds != o.holds:
		return f.holds
	case f.holds:
		return f.minor < o.minor
	case f.hold.GustLimitMS != o.hold.GustLimitMS:
		return f.hold.GustLimitMS > o.hold.GustLimitMS
	}
	return f.minor < o.minor
}

// secure finds what makes a piece hold a gust: bags on the bases; where those do not do, lines besides; where lines do not
// do or find no room, heavier blocks, without and with lines. The first of these that holds is taken, in it the cheapest;
// where none does, that which holds longest, and holds is false. A house that is out of both stands it as it is. left is how many of an item there still are.
func (t *ties) secure(p *rigging.Piece, gustMS float64, guyings func() []guying, left func(sku string) int) secured {
	var best secured
	n := len(p.Supports)
	if slices.ContainsFunc(p.Supports, func(s rigging.Support) bool { return s.GustLimitMS > 0 }) {
		// A machine stands by its own weight and has a limit of its own.
		h := p.Hold([rigging.MaxSupports]float64{}, nil)
		return secured{hold: h, holds: h.GustLimitMS >= gustMS, known: true}
	}
	var ways []guying
	asked := false
	heaviestKg := -1.0 // that a kind tried can put on a support: another that can put no more there does no better
	for _, kinds := range [3][]tie{t.bags, t.blocks, {{}}} {
		for i := range kinds {
			kind := &kinds[i]
			kg, most := 0.0, rigging.DefaultMaxBags
			if kind.item != nil {
				kg, most = kind.item.MassKg, min(most, left(kind.item.SKU)/n)
			}
			if most < 1 || float64(most)*kg <= heaviestKg {
				continue
			}
			heaviestKg = float64(most) * kg
			free := tied(kind, p.Rig(gustMS, kg, most, nil))
			if free.better(&best) {
				free.noRoom = best.noRoom
				best = free
			}
			if best.holds {
				return best
			}
			if !asked {
				ways, asked = guyings(), true
				best.noRoom = len(ways) == 0
			}
			for k := range ways {
				t.guyed(p, gustMS, kind, kg, most, &ways[k], left, &best)
			}
			if best.holds {
				return best
			}
		}
	}
	return best
}

// tied is a rig without its lines' items.
func tied(kind *tie, r rigging.Rig) secured {
	f := secured{hold: r.Hold, holds: r.Holds, known: true}
	if kind.item != nil {
		f.bag, f.bags = kind.item, r.Bags
		for _, k := range r.Bags {
			f.minor += int64(k) * kind.minor
			f.massKg += float64(k) * kind.item.MassKg
		}
	}
	return f
}

// guyed tries every rope and anchor on an order of lines, and keeps the best.
func (t *ties) guyed(p *rigging.Piece, gustMS float64, kind *tie, kg float64, most int, way *guying, left func(sku string) int, best *secured) {
	lines := len(way.lines)
	for i := range t.ropes {
		rope := &t.ropes[i]
		if rope.longM < way.longestM+knotM || left(rope.item.SKU) < lines {
			continue
		}
		for k := range t.anchors {
			anchor := &t.anchors[k]
			each := min(left(anchor.item.SKU)/lines, rigging.DefaultMaxWeights)
			if each < 1 {
				continue
			}
			g := rigging.Guys{
				AngleDeg: way.angleDeg, Factor: way.factor, LineSafePullN: rope.pullN,
				StakeSafePullN: anchor.pullN, WeightKg: anchor.item.MassKg, MaxWeights: each,
			}
			r := p.Rig(gustMS, kg, most, &g)
			if !r.Guyed {
				continue
			}
			f := tied(kind, r)
			f.guying, f.rope, f.anchor, f.perLine = way, rope.item, anchor.item, max(1, r.Weights)
			f.minor += int64(lines) * (rope.minor + int64(f.perLine)*anchor.minor)
			f.massKg += float64(lines) * (rope.item.MassKg + float64(f.perLine)*anchor.item.MassKg)
			if !f.better(best) {
				continue
			}
			for s := range p.Supports {
				f.pullN[s] = p.PullN(gustMS, s, &g)
			}
			*best = f
		}
	}
}

// atBest is secure where nothing is in the way: with all that the house owns, and lines at every angle, straight against the
// pull and short. A piece that does not hold so on supports without arms holds with no arms, no room and no stock either: an
// arm adds to what tips at one edge or the other, and to the pull of a line, and lines turned out of the way pull harder.
func (t *ties) atBest(p *rigging.Piece, lines int) secured {
	return t.secure(p, t.gustMS, func() []guying {
		if lines == 0 {
			return nil
		}
		ways := make([]guying, len(lineDegs))
		for i, deg := range lineDegs {
			ways[i] = guying{angleDeg: deg, factor: 1, lines: make([]guy, lines)}
		}
		return ways
	}, t.owned)
}

// owned is how many the house has of an item.
func (t *ties) owned(sku string) int { return t.stock.Item(sku).Owned }

// linesOn is the fewest lines that a piece on so many supports gets.
func linesOn(supports int) int {
	if supports == 1 {
		return 3
	}
	return 2 * supports
}

// panelOf is a sheet in the wind.
func panelOf(outer *geom.Rect, solidity float64) rigging.Panel {
	level, slope, sloping := outer.HalfU, outer.HalfV, outer.V
	if math.Abs(outer.V.Z) < math.Abs(outer.U.Z) {
		level, slope, sloping = slope, level, outer.U
	}
	rise := slope * math.Abs(sloping.Z)
	return rigging.Panel{
		WidthM: 2 * level, HeightM: 2 * slope, TiltDeg: math.Asin(math.Min(1, math.Abs(sloping.Z))) * 180 / math.Pi,
		MiddleM: outer.Center.Z, LowestM: math.Max(0, outer.Center.Z-rise), Solidity: solidity,
	}
}

// solidityOf is what the wind sees of a cloth: an open net lets some through, anything woven counts as closed.
func solidityOf(f *catalog.Fabric) float64 {
	if f.Use == catalog.UseNet {
		return f.Solidity
	}
	return 1
}

// burden is a placed piece as rigging reckons with it; room is memory for its supports.
func (t *ties) burden(panel rigging.Panel, massKg, houseMS float64, masts []mast, room *[rigging.MaxSupports]rigging.Support) rigging.Piece {
	for i := range masts {
		room[i] = masts[i].on.inWind(masts[i].held.Z, masts[i].armM())
	}
	return rigging.Piece{
		Panel: panel, MassKg: massKg, Supports: room[:len(masts)], Friction: t.ground.Friction, SafetyFactor: t.safety, HouseLimitMS: houseMS,
	}
}

// inWind is a support that holds a point at a height, by an arm.
func (w *support) inWind(heightM, armM float64) rigging.Support {
	s := rigging.Support{
		MassKg: w.item.MassKg, FootprintM: w.spec.FootprintM, Legs: w.spec.Legs, HeightM: heightM, ArmM: armM, SafeLoadKg: w.spec.SafeLoadKg,
	}
	if w.spec.Class == catalog.ClassMachine {
		s.GustLimitMS = rigging.MachineGustMS
	}
	return s
}

// lines are where a choice's lines run.
func (f *secured) lines() []guy {
	if f.guying == nil {
		return nil
	}
	return f.guying.lines
}

// blocks says whether a line runs through a sheet, or an anchor lies among feet.
func (f *secured) blocks(outer *geom.Rect, masts []mast) bool {
	for _, l := range f.lines() {
		if outer != nil && outer.CutBy(l.from, l.to) {
			return true
		}
		if amongFeet(l.to, masts) {
			return true
		}
	}
	return false
}

// amongFeet says whether an anchor would lie among the feet of some masts.
func amongFeet(anchor geom.Vec, masts []mast) bool {
	for i := range masts {
		m := &masts[i]
		if math.Hypot(anchor.X-m.base.X, anchor.Y-m.base.Y) < m.on.spec.FootprintM+anchorM {
			return true
		}
	}
	return false
}

// most is the most bags on any support.
func (f *secured) most() (n int) {
	for _, k := range f.bags {
		n = max(n, k)
	}
	return n
}
