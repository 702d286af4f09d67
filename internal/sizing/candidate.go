package sizing

import (
	"cmp"
	"math"
	"slices"

	"kitspan/internal/anchorage"
	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/placement"
	"kitspan/internal/price"
	"kitspan/internal/shot"
)

// candidate is a frame of the house with the fabric for it and every way to hold it up.
type candidate struct {
	// rate prices counts and ranks the whole, by the request's preference.
	rate   func(counts []catalog.Count) (minor int64, ok bool)
	prefer string
	ties   *anchorage.Planner // what holds it in the wind
	item   *catalog.Item
	frame  *catalog.Frame
	fabric *catalog.Item
	areaM2 float64 // of the opening
	sheet  placement.Size
	massKg float64 // frame and fabric
	ways   []way
	ranked bool // ways are priced and in order
	// Where there is no way at all: why.
	because  finding.Because
	obstacle finding.Obstacle
}

// way is one kind of support in a number that the frame allows.
type way struct {
	anchorage.Support
	rigMinor int64 // price of frame, fabric and supports per day in minor units
	massKg   float64
	rank     rank
}

// rank orders complete rigs by what the user prefers, smaller first.
type rank [4]float64

func (r rank) less(s rank) bool { return slices.Compare(r[:], s[:]) < 0 }

func rankBy(prefer string, areaM2, massKg float64, minor int64, supports int) rank {
	price, n := float64(minor), float64(supports)
	switch prefer {
	case shot.PreferCheapest:
		return rank{price, areaM2, massKg, n}
	case shot.PreferLightest:
		return rank{massKg, areaM2, price, n}
	case shot.PreferFewestHands:
		// Every support is walked up by a hand or two, and every kilogram by the same hands (common practice, no source).
		return rank{n, massKg, areaM2, price}
	}
	return rank{areaM2, price, massKg, n}
}

// fitM is how far a fabric's size may be from the opening that it is sewn for.
const fitM = 0.01

// candidates lists the house's frames with supports of one class, those that can be best first. What the house does not
// offer does not count: see [price.Desk.Offers].
func candidates(s *shot.Shot, stock *catalog.Snapshot, prices *price.Desk, ties *anchorage.Planner, class string) []*candidate {
	var frames []*candidate
	var supports []price.Offer
	cloths := cloths{}
	offered := map[*catalog.Item]bool{}
	for _, o := range prices.Offers() {
		offered[o.Item] = true
		switch spec := o.Item.Spec.(type) {
		case *catalog.Fabric:
			if spec.Use == catalog.UseDiffusion {
				cloths.add(o.Item, spec)
			}
		case *catalog.Support:
			if spec.Class == class {
				supports = append(supports, o)
			}
		}
	}
	items := stock.Items()
	for i := range items {
		item := &items[i]
		if spec, ok := item.Spec.(*catalog.Frame); ok {
			c := &candidate{
				rate: prices.Minor, prefer: s.Prefer, ties: ties, item: item, frame: spec, areaM2: spec.OpeningWidthM * spec.OpeningHeightM,
				sheet: placement.Size{HalfU: spec.OpeningWidthM / 2, HalfV: spec.OpeningHeightM / 2, OutU: spec.OuterWidthM / 2, OutV: spec.OuterHeightM / 2},
			}
			if !offered[item] {
				c.because, c.obstacle = finding.NoStock, finding.NotOwned{}
			}
			frames = append(frames, c)
		}
	}
	for _, c := range frames {
		if c.because != "" {
			continue
		}
		if c.fabric = cloths.fullStrength(c.frame); c.fabric == nil {
			c.because, c.obstacle = finding.NoStock, finding.NoFabric{}
			continue
		}
		c.massKg = c.item.MassKg + c.fabric.MassKg
		c.addWays(s, supports)
	}
	slices.SortStableFunc(frames, func(a, b *candidate) int {
		fa, fb := a.floor(), b.floor()
		return cmp.Or(slices.Compare(fa[:], fb[:]), cmp.Compare(a.areaM2, b.areaM2))
	})
	return frames
}

// unlimited is the candidate without the limit on the height of a rig.
func (c *candidate) unlimited() *candidate {
	free := *c
	free.ways = slices.Clone(c.ways)
	for i := range free.ways {
		free.ways[i].Limits.TopM = math.Inf(1)
	}
	return &free
}

// floor is a rank that no rig of the candidate is under: by area alone where the smallest is wanted, which needs no
// prices. A candidate that nothing holds comes after all others.
func (c *candidate) floor() rank {
	switch {
	case len(c.ways) == 0:
		return rank{math.Inf(1)}
	case c.prefer == shot.PreferSmallest:
		return rank{c.areaM2}
	}
	return c.priced()[0].rank
}

// cloths are the diffusing fabrics by the opening that they fit, in whole centimetres, longer side first.
type cloths map[[2]int][]*catalog.Item

func opening(widthM, heightM float64) [2]int {
	a, b := int(math.Round(widthM/fitM)), int(math.Round(heightM/fitM))
	return [2]int{max(a, b), min(a, b)}
}

func (cl cloths) add(item *catalog.Item, spec *catalog.Fabric) {
	at := opening(spec.FitsWidthM, spec.FitsHeightM)
	cl[at] = append(cl[at], item)
}

// fitting are the fabrics that fit a frame.
func (cl cloths) fitting(f *catalog.Frame) []*catalog.Item {
	var out []*catalog.Item
	at := opening(f.OpeningWidthM, f.OpeningHeightM)
	for da := -1; da <= 1; da++ {
		for db := -1; db <= 1; db++ {
			out = append(out, cl[[2]int{at[0] + da, at[1] + db}]...)
		}
	}
	return out
}

// fullStrength picks, of the fabrics that fit a frame, the one that leaves least sun in the beam and, among equals,
// passes least.
func (cl cloths) fullStrength(f *catalog.Frame) *catalog.Item {
	var best *catalog.Item
	for _, item := range cl.fitting(f) {
		if best == nil || stronger(item.Spec.(*catalog.Fabric), best.Spec.(*catalog.Fabric)) {
			best = item
		}
	}
	return best
}

func stronger(a, b *catalog.Fabric) bool {
	return cmp.Or(cmp.Compare(a.BeamShare, b.BeamShare), cmp.Compare(a.Transmittance, b.Transmittance)) < 0
}

// addWays lists the supports that carry the frame: enough of them owned, and each one's share of the mass within its
// safe load divided by the safety factor.
func (c *candidate) addWays(s *shot.Shot, supports []price.Offer) {
	heavy, few := 0, 0
	for _, o := range supports {
		spec := o.Item.Spec.(*catalog.Support)
		for n := c.frame.SupportsMin; n <= c.frame.SupportsMax; n += 2 {
			switch {
			case c.massKg/float64(n)*s.SafetyFactor > spec.SafeLoadKg:
				heavy++
				continue
			case o.Item.Owned < n:
				few++
				continue
			}
			c.ways = append(c.ways, way{Support: anchorage.SupportOf(o, n, s.Limits.TopM()), massKg: c.massKg + float64(n)*o.Item.MassKg})
		}
	}
	switch {
	case len(c.ways) > 0:
	case heavy > 0 && few == 0:
		c.because, c.obstacle = finding.TooHeavy, finding.Overload{MassKg: c.massKg, SafetyFactor: s.SafetyFactor}
	case few > 0:
		c.because, c.obstacle = finding.NoStock, finding.FewSupports{}
	default:
		c.because, c.obstacle = finding.NoSupport, finding.NoSupports{}
	}
}

// priced are the candidate's ways with their prices, best first. Prices are worked out when first asked for: of most
// frames nobody asks.
func (c *candidate) priced() []way {
	if c.ranked {
		return c.ways
	}
	c.ranked = true
	for i := range c.ways {
		w := &c.ways[i]
		var ok bool
		if w.rigMinor, ok = c.rate(c.counts(w.Item.SKU, w.Limits.Count)); !ok {
			w.rigMinor = math.MaxInt64 // more than 64 bits hold: the dearest there is
		}
		w.rank = rankBy(c.prefer, c.areaM2, w.massKg, w.rigMinor, w.Limits.Count)
	}
	slices.SortStableFunc(c.ways, func(a, b way) int { return slices.Compare(a.rank[:], b.rank[:]) })
	return c.ways
}

// price fills in what a rig costs, weighs and is worth with all that holds it; false where something has no rate.
func (c *candidate) price(ch *choice) bool {
	ch.massKg = c.massKg + ch.anchorage.MassKg
	for _, m := range ch.masts() {
		ch.massKg += m.Support.Item.MassKg
	}
	var ok bool
	ch.minor, ok = c.rate(ch.counts())
	ch.rank = rankBy(c.prefer, c.areaM2, ch.massKg, ch.minor, ch.rigged.count)
	return ok
}

func (c *candidate) counts(supportSKU string, n int) []catalog.Count {
	return []catalog.Count{{SKU: c.item.SKU, Quantity: 1}, {SKU: c.fabric.SKU, Quantity: 1}, {SKU: supportSKU, Quantity: n}}
}

func (c *candidate) fabricSpec() *catalog.Fabric { return c.fabric.Spec.(*catalog.Fabric) }

// envelope is a hold better than each of the candidate's ways with one number of supports: a search that fails with it
// fails with any of them, alike or mixed. ok is false where no way has that number.
func (c *candidate) envelope(count int) (h placement.SupportLimits, ok bool) {
	h = placement.SupportLimits{LowestM: math.Inf(1), TopM: math.Inf(1), Count: count}
	for i := range c.ways {
		w := &c.ways[i].Limits
		if w.Count != count {
			continue
		}
		ok = true
		h.LowestM, h.HighestM = math.Min(h.LowestM, w.LowestM), math.Max(h.HighestM, w.HighestM)
		h.TopM = w.TopM // the same for all
		h.Stances = placement.Add(h.Stances, w.Stances[0])
	}
	return h, ok
}
