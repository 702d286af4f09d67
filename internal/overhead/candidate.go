package overhead

import (
	"cmp"
	"math"
	"slices"

	"kitspan/internal/anchorage"
	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/geom"
	"kitspan/internal/placement"
	"kitspan/internal/price"
	"kitspan/internal/shot"
)

// Candidate is a frame of the house with the fabric for it and every way to hold it up.
type Candidate struct {
	// rate prices counts and ranks the whole, by the request's preference.
	rate    func(counts []catalog.Count) (minor int64, ok bool)
	prefer  string
	Holding *anchorage.Planner // what holds it in the wind
	Item    *catalog.Item
	Frame   *catalog.Frame
	Fabric  *catalog.Item
	// Weaker are the other diffusing fabrics that fit it, the strongest first.
	Weaker  []*catalog.Item
	AreaM2  float64 // of the opening
	sheet   placement.Size
	MassKg  float64 // frame and fabric
	Options []SupportOption
	rated   bool // options are priced
	ranked  bool // and in order
	// same is the candidate of which this is one by another preference; nil where it is the first.
	same *Candidate
	// Because is why there is no option at all; empty where there is one.
	Because  finding.Because
	obstacle finding.Obstacle
}

// SupportOption is one kind of support in a number that the frame allows.
type SupportOption struct {
	anchorage.Support
	rigMinor int64 // price of frame, fabric and supports per day in minor units
	massKg   float64
	rank     Rank
}

// first returns the candidate by the request's own preference, with which what is known of its places is kept.
func (c *Candidate) first() *Candidate {
	if c.same != nil {
		return c.same
	}
	return c
}

// preferring returns the candidate by another preference.
func (c *Candidate) preferring(prefer string) *Candidate {
	c.rateOptions()
	own := *c
	own.same, own.prefer, own.ranked, own.Options = c.first(), prefer, false, slices.Clone(c.Options)
	return &own
}

// rateOptions fills in the prices of the options, which no preference changes.
func (c *Candidate) rateOptions() {
	if c.rated {
		return
	}
	c.rated = true
	for i := range c.Options {
		w := &c.Options[i]
		var ok bool
		if w.rigMinor, ok = c.rate(c.counts(w.Item.SKU, w.Limits.Count)); !ok {
			w.rigMinor = math.MaxInt64 // more than 64 bits hold: dearer than any other
		}
	}
}

// Rank orders complete rigs by what the user prefers, smaller first.
type Rank [4]float64

// Less reports whether a rank comes before another.
func (r Rank) Less(s Rank) bool { return slices.Compare(r[:], s[:]) < 0 }

// RankBy returns the rank by a preference (shot.Prefer…) of a rig, or of anything else of some area in m², mass in kg, price in
// minor units and number of supports.
func RankBy(prefer string, areaM2, massKg float64, minor int64, supports int) Rank {
	price, n := float64(minor), float64(supports)
	switch prefer {
	case shot.PreferCheapest:
		return Rank{price, areaM2, massKg, n}
	case shot.PreferLightest:
		return Rank{massKg, areaM2, price, n}
	case shot.PreferFewestHands:
		// Every support is walked up by a hand or two, and every kilogram by the same hands (common practice, no source).
		return Rank{n, massKg, areaM2, price}
	}
	return Rank{areaM2, price, massKg, n}
}

// fitM is how far a fabric's size may be from the opening that it is sewn for.
const fitM = 0.01

// candidates lists the house's frames with supports of one class, those that can be best first. What the house does not
// offer does not count: see [price.Desk.Offers].
func candidates(s *shot.Shot, stock *catalog.Snapshot, prices *price.Desk, holding *anchorage.Planner, class string) []*Candidate {
	var frames []*Candidate
	var supports []price.Offer
	cloths := Fabrics{}
	offered := map[*catalog.Item]bool{}
	for _, o := range prices.Offers() {
		offered[o.Item] = true
		switch spec := o.Item.Spec.(type) {
		case *catalog.Fabric:
			if spec.Use == catalog.UseDiffusion {
				cloths.Add(o.Item, spec)
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
			c := &Candidate{
				rate: prices.Minor, prefer: s.Prefer, Holding: holding, Item: item, Frame: spec, AreaM2: spec.OpeningWidthM * spec.OpeningHeightM,
				sheet: placement.Size{HalfU: spec.OpeningWidthM / 2, HalfV: spec.OpeningHeightM / 2, OutU: spec.OuterWidthM / 2, OutV: spec.OuterHeightM / 2},
			}
			if !offered[item] {
				c.Because, c.obstacle = finding.NoStock, finding.NotOwned{}
			}
			frames = append(frames, c)
		}
	}
	for _, c := range frames {
		if c.Because != "" {
			continue
		}
		if c.Fabric = cloths.fullStrength(c.Frame); c.Fabric == nil {
			c.Because, c.obstacle = finding.NoStock, finding.NoFabric{}
			continue
		}
		c.Weaker = cloths.weaker(c.Frame, c.Fabric)
		c.MassKg = c.Item.MassKg + c.Fabric.MassKg
		c.addOptions(s, supports)
	}
	sortByBound(frames)
	return frames
}

// sortByBound sorts candidates, those that can be best first.
func sortByBound(frames []*Candidate) {
	slices.SortStableFunc(frames, func(a, b *Candidate) int {
		fa, fb := a.RankBound(), b.RankBound()
		return cmp.Or(slices.Compare(fa[:], fb[:]), cmp.Compare(a.AreaM2, b.AreaM2))
	})
}

// unlimited returns the candidate without the limit on the height of a rig.
func (c *Candidate) unlimited() *Candidate {
	free := *c
	free.Options = slices.Clone(c.Options)
	for i := range free.Options {
		free.Options[i].Limits.TopM = math.Inf(1)
	}
	return &free
}

// RankBound returns a lower bound on the rank of every rig of the candidate: by area alone where the smallest is wanted, which
// needs no prices. A candidate that nothing holds comes after all others.
func (c *Candidate) RankBound() Rank {
	switch {
	case len(c.Options) == 0:
		return Rank{math.Inf(1)}
	case c.prefer == shot.PreferSmallest:
		return Rank{c.AreaM2}
	}
	return c.PricedOptions()[0].rank
}

// Fabrics are the diffusing fabrics by the opening that they fit, in whole centimetres, longer side first.
type Fabrics map[[2]int][]*catalog.Item

func opening(widthM, heightM float64) [2]int {
	a, b := int(math.Round(widthM/fitM)), int(math.Round(heightM/fitM))
	return [2]int{max(a, b), min(a, b)}
}

// Add files a fabric by the opening that it fits.
func (fs Fabrics) Add(item *catalog.Item, spec *catalog.Fabric) {
	at := opening(spec.FitsWidthM, spec.FitsHeightM)
	fs[at] = append(fs[at], item)
}

// Fitting returns the fabrics that fit a frame.
func (fs Fabrics) Fitting(f *catalog.Frame) []*catalog.Item {
	var out []*catalog.Item
	at := opening(f.OpeningWidthM, f.OpeningHeightM)
	for da := -1; da <= 1; da++ {
		for db := -1; db <= 1; db++ {
			out = append(out, fs[[2]int{at[0] + da, at[1] + db}]...)
		}
	}
	return out
}

// fullStrength picks, of the fabrics that fit a frame, the one that leaves least sun in the beam and, among equals,
// passes least.
func (fs Fabrics) fullStrength(f *catalog.Frame) *catalog.Item {
	var best *catalog.Item
	for _, item := range fs.Fitting(f) {
		if best == nil || stronger(item.Spec.(*catalog.Fabric), best.Spec.(*catalog.Fabric)) {
			best = item
		}
	}
	return best
}

// weaker lists the fabrics that fit a frame besides its strongest, the strongest first; of those that do the same to light the first.
func (fs Fabrics) weaker(f *catalog.Frame, strongest *catalog.Item) (list []*catalog.Item) {
	all := fs.Fitting(f)
	slices.SortStableFunc(all, func(a, b *catalog.Item) int {
		p, q := a.Spec.(*catalog.Fabric), b.Spec.(*catalog.Fabric)
		return cmp.Or(cmp.Compare(p.BeamShare, q.BeamShare), cmp.Compare(p.Transmittance, q.Transmittance))
	})
	last := strongest.Spec.(*catalog.Fabric)
	for _, item := range all {
		if spec := item.Spec.(*catalog.Fabric); stronger(last, spec) {
			list, last = append(list, item), spec
		}
	}
	return list
}

func stronger(a, b *catalog.Fabric) bool {
	return cmp.Or(cmp.Compare(a.BeamShare, b.BeamShare), cmp.Compare(a.Transmittance, b.Transmittance)) < 0
}

// fewestOverhead is the least number of supports of what hangs over people: one stand holds a frame that stands beside them.
const fewestOverhead = 2

// addOptions lists the supports that carry the frame: enough of them owned, and each one's share of the mass within its
// safe load divided by the safety factor.
func (c *Candidate) addOptions(s *shot.Shot, supports []price.Offer) {
	heavy, few := 0, 0
	for _, o := range supports {
		spec := o.Item.Spec.(*catalog.Support)
		for n := max(fewestOverhead, c.Frame.SupportsMin); n <= c.Frame.SupportsMax; n += 2 {
			switch {
			case c.MassKg/float64(n)*s.SafetyFactor > spec.SafeLoadKg:
				heavy++
				continue
			case o.Item.Owned < n:
				few++
				continue
			}
			c.Options = append(c.Options, SupportOption{Support: anchorage.SupportOf(o, n, s.Limits.TopM()), massKg: c.MassKg + float64(n)*o.Item.MassKg})
		}
	}
	switch {
	case len(c.Options) > 0:
	case heavy > 0 && few == 0:
		c.Because, c.obstacle = finding.TooHeavy, finding.Overload{MassKg: c.MassKg, SafetyFactor: s.SafetyFactor}
	case few > 0:
		c.Because, c.obstacle = finding.NoStock, finding.FewSupports{}
	default:
		c.Because, c.obstacle = finding.NoSupport, finding.NoSupports{}
	}
}

// PricedOptions returns the candidate's options with their prices, best first. Prices are worked out at the first call: most
// frames never need them. The first call is not safe for concurrent use; later ones are.
func (c *Candidate) PricedOptions() []SupportOption {
	if c.ranked {
		return c.Options
	}
	c.ranked = true
	c.rateOptions()
	for i := range c.Options {
		w := &c.Options[i]
		w.rank = RankBy(c.prefer, c.AreaM2, w.massKg, w.rigMinor, w.Limits.Count)
	}
	slices.SortStableFunc(c.Options, func(a, b SupportOption) int { return slices.Compare(a.rank[:], b.rank[:]) })
	return c.Options
}

// level returns the frame as it would hang level in its place.
func (r *Placed) level() *Placed {
	flat := *r
	for _, side := range [...]*geom.Vec{&flat.Outer.U, &flat.Outer.V} {
		if in := (geom.Vec{X: side.X, Y: side.Y}); in.Len() > flatRad {
			*side = in.Scale(1 / in.Len())
		}
	}
	return &flat
}

// leastRank returns a rank that no rig in a place is better than that ballast alone holds in the gust: with so much of it that the
// whole neither lifts off nor tips.
func (c *Candidate) leastRank(w *SupportOption, r *Placed) Rank {
	rig := Rig{Candidate: c, Placed: *r}
	p := rig.Held()
	kg, minor := c.Holding.AtLeast(&p)
	if w.rigMinor < math.MaxInt64-minor {
		minor += w.rigMinor
	}
	return RankBy(c.prefer, c.AreaM2, w.massKg+kg, minor, w.Limits.Count)
}

// price fills in what a rig costs and weighs with all that holds it, and its rank; it reports whether everything has a rate.
func (c *Candidate) price(ch *Rig) bool {
	ch.MassKg = c.MassKg + ch.Anchorage.MassKg
	for _, m := range ch.Masts() {
		ch.MassKg += m.Support.Item.MassKg
	}
	var ok bool
	ch.Minor, ok = c.rate(ch.Counts())
	ch.Rank = RankBy(c.prefer, c.AreaM2, ch.MassKg, ch.Minor+ch.Anchorage.EffortMinor, ch.Placed.Count)
	return ok
}

func (c *Candidate) counts(supportSKU string, n int) []catalog.Count {
	return []catalog.Count{{SKU: c.Item.SKU, Quantity: 1}, {SKU: c.Fabric.SKU, Quantity: 1}, {SKU: supportSKU, Quantity: n}}
}

// FabricSpec returns the catalogue's data of the fabric; the candidate must have one.
func (c *Candidate) FabricSpec() *catalog.Fabric { return c.Fabric.Spec.(*catalog.Fabric) }

// envelope returns limits at least as wide as those of each of the candidate's options with one number of supports: a search that
// fails with them fails with any of these, alike or mixed. ok is false where no option has that number.
func (c *Candidate) envelope(count int) (h placement.SupportLimits, ok bool) {
	return c.envelopeTo(count, math.Inf(1))
}

// envelopeTo is envelope of the options with arms up to a length, in metres.
func (c *Candidate) envelopeTo(count int, armM float64) (h placement.SupportLimits, ok bool) {
	h = placement.SupportLimits{LowestM: math.Inf(1), TopM: math.Inf(1), Count: count}
	for i := range c.Options {
		w := &c.Options[i].Limits
		if w.Count != count || w.Stances[0].ArmM > armM {
			continue
		}
		ok = true
		h.LowestM, h.HighestM = math.Min(h.LowestM, w.LowestM), math.Max(h.HighestM, w.HighestM)
		h.TopM = w.TopM // the same for all
		h.Stances = placement.AddStance(h.Stances, w.Stances[0])
	}
	return h, ok
}
