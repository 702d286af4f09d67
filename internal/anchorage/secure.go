package anchorage

import (
	"math"
	"slices"

	"kitspan/internal/catalog"
	"kitspan/internal/rigging"
)

const (
	// easyBags is how many units of ballast on a stand are laid without a thought of ropes (common practice, no source).
	easyBags = 2
	// perStandKg is how many times its own mass of ballast goes on a stand, but for what lies on it anyway and ballastStepKg: more buries its
	// legs (common practice, no source).
	perStandKg    = 15
	ballastStepKg = 16
	// atRopeKg is the least at the foot of a rope: less drags before it bears anything (common practice, no source).
	atRopeKg = 40
	// ropedM2 is the size of frame, in m², from which ropes are run outdoors in wind wherever they find room, whatever ballast alone
	// would do (common practice, no source).
	ropedM2 = 9
	// mostAtRope is how many units of ballast hang on the foot of one rope (common practice, no source).
	mostAtRope = 6
)

// Secure finds what makes a piece hold a gust, in m/s, or at least one of [LeastGustMS]: ballast on the bases, and where a stand
// would take more than a few bags, ropes as well, whatever costs least. Ropes keep clear of what is around; nil stands for a piece
// that gets none. left returns how many of an item are still available. Where nothing does it, Holds is false, and with
// longest set the anchorage is the one that holds longest.
func (t *Planner) Secure(p *Piece, gustMS float64, around *Surroundings, left func(sku string) int, longest bool) Anchorage {
	if p.Hands > 0 {
		return t.byHand(p, gustMS)
	}
	q := t.attempt(p, gustMS, left)
	if p.OnMachines() {
		f := Anchorage{held: &held{of: t.structure(p, nil), limitMS: q.limitMS, mast: q.mast}}
		h := f.Hold()
		f.Holds = h.Holds(gustMS)
		return f
	}
	best := q.free()
	if best.Holds && best.Easy && !q.mustRope() || around == nil {
		return best
	}
	q.rope(&best, around, longest)
	return best
}

// Rope is [Planner.Secure] for a piece that has been secured without ropes: it finds whether ropes hold it, or hold it for less, or,
// with longest set, hold it longer.
func (t *Planner) Rope(p *Piece, free *Anchorage, gustMS float64, around *Surroundings, left func(sku string) int, longest bool) Anchorage {
	best := *free
	if p.Hands > 0 || p.OnMachines() {
		return best
	}
	q := t.attempt(p, gustMS, left)
	q.rope(&best, around, longest)
	return best
}

func (t *Planner) attempt(p *Piece, gustMS float64, left func(sku string) int) *attempt {
	limit, mast := p.limitMS()
	q := &attempt{Planner: t, piece: p, left: left, gustMS: max(gustMS, LeastGustMS), limitMS: limit, mast: mast, floor: t.floorKg(p)}
	q.hopeless = limit > 0 && limit < gustMS
	bears := math.Inf(1)
	for i := range p.Masts {
		bears = math.Min(bears, math.Max(q.floor[i]+ballastStepKg, perStandKg*p.Masts[i].Support.Item.MassKg))
	}
	for i := range t.ballast {
		kg := t.ballast[i].item.MassKg
		q.mostKg = max(q.mostKg, min(bears, kg*float64(min(rigging.DefaultMaxBags, left(t.ballast[i].item.SKU)))))
	}
	return q
}

// rope takes ropes where they hold the piece, or hold it for less.
func (q *attempt) rope(best *Anchorage, around *Surroundings, longest bool) {
	if q.hopeless {
		return
	}
	sets := q.layouts(q.piece, around)
	best.NoRoom = len(sets) == 0
	for _, set := range sets {
		if !q.withItems(set) {
			best.NoRope = len(best.Ropes) == 0
			continue
		}
		if f, ok := q.roped(set, best, longest && !best.Holds); ok && f.Better(best) {
			*best = f
		}
		if best.Holds {
			return // more ropes cost more
		}
	}
}

// mostOf returns how many units of a kind of ballast go on a stand of the piece.
func (q *attempt) mostOf(kind *fixing) int {
	return min(rigging.DefaultMaxBags, int(math.Floor(q.mostKg/kind.item.MassKg+1e-9)))
}

// attempt is one piece that is being secured.
type attempt struct {
	*Planner
	piece    *Piece
	left     func(sku string) int
	gustMS   float64
	floor    []float64
	limitMS  float64
	mast     int
	mostKg   float64 // that goes on one stand
	hopeless bool    // a limit that is set lies under the gust
}

// free is the piece with ballast on its bases alone.
func (q *attempt) free() Anchorage {
	of := q.structure(q.piece, nil)
	if !q.hopeless {
		if best, ok := q.unroped(of); ok {
			return best
		}
	}
	return q.most(of, nil, nil)
}

// unroped is the piece with the ballast on its bases that costs least and holds the gust.
func (q *attempt) unroped(of *rigging.Structure) (best Anchorage, ok bool) {
	solver := of.Solver()
	defer solver.Done()
	need, can := solver.Need(q.gustMS, q.floor, q.mostKg, 0)
	if !can {
		return best, false
	}
	for i := range q.ballast {
		kind := &q.ballast[i]
		if best.held != nil && q.costs(kind, sum(need.Kg())) >= best.Minor+best.EffortMinor {
			continue
		}
		u := rigging.Units{StandKg: kind.item.MassKg, MostStand: q.mostOf(kind)}
		load, fits := need.In(u)
		if !fits || total(&load) > q.left(kind.item.SKU) {
			continue
		}
		if even := q.even(&need, load, u); total(&even) <= q.left(kind.item.SKU) {
			load = even
		}
		if f := q.made(of, load, u, kind, nil); f.Better(&best) {
			best, best.Easy = f, slices.Max(load.OnStands[:]) <= easyBags && !q.mustRope()
		}
	}
	if best.held == nil && slices.Max(need.Kg()) <= 0 {
		best = q.made(of, rigging.Load{}, rigging.Units{}, nil, nil)
		best.Easy = true
	}
	return best, best.held != nil
}

// most is the piece with as much ballast as goes on its stands, and at those of its ropes that are tied to weights: of the kind of
// which most goes on a stand. It does not hold the gust.
func (q *attempt) most(of *rigging.Structure, ropes []Rope, at *fixing) Anchorage {
	n := len(q.piece.Masts)
	var kind *fixing
	each := 0
	for i := range q.ballast {
		k := &q.ballast[i]
		if e := min(q.mostOf(k), q.left(k.item.SKU)/n); kind == nil || float64(e)*k.item.MassKg > float64(each)*kind.item.MassKg {
			kind, each = k, e
		}
	}
	var load rigging.Load
	var u rigging.Units
	if kind != nil {
		u.StandKg = kind.item.MassKg
		for i := range n {
			load.OnStands[i] = each
		}
	}
	if at != nil && at.pullN <= 0 {
		u.RopeKg = at.item.MassKg
		left := q.left(at.item.SKU)
		if kind != nil && at.item == kind.item {
			left -= n * each
		}
		for j := range ropes {
			if r := &ropes[j]; r.Label == "" {
				load.AtRope = min(mostAtRope, max(0, left)/len(ropes))
				r.Anchor, r.Count = at.item, load.AtRope
			}
		}
	}
	var tied []Rope
	var list []rigging.Rope
	for j := range ropes {
		if r := &ropes[j]; r.Label != "" || r.Count > 0 {
			tied, list = append(tied, *r), append(list, of.Ropes[j])
		}
	}
	if len(tied) < len(ropes) { // nothing is left to tie the others to
		of = q.structure(q.piece, list)
	}
	f := q.made(of, load, u, kind, tied)
	f.held.foundMS = 0
	f.Holds = false
	return f
}

// even is a load alike on the stands of a piece, where they are alike and that takes little more.
func (q *attempt) even(need *rigging.Need, load rigging.Load, u rigging.Units) rigging.Load {
	for i := range q.piece.Masts {
		if q.piece.Masts[i].Support.Item != q.piece.Masts[0].Support.Item || q.floor[i] != q.floor[0] {
			return load
		}
	}
	return need.Even(load, u)
}

// costs returns what so much ballast of a kind costs at least, hands included.
func (q *attempt) costs(kind *fixing, kg float64) int64 {
	return int64(kg*float64(kind.minor)/kind.item.MassKg) + q.effortMinor(kg, 0)
}

func sum(list []float64) (s float64) {
	for _, v := range list {
		s += v
	}
	return s
}

func total(l *rigging.Load) (n int) {
	for _, k := range l.OnStands {
		n += k
	}
	return n
}

// made is the anchorage of a load, of one kind on the stands; ropes have their anchors. It holds the gust.
func (q *attempt) made(of *rigging.Structure, load rigging.Load, u rigging.Units, kind *fixing, ropes []Rope) Anchorage {
	f := Anchorage{Holds: true, Ropes: ropes, held: &held{of: of, load: load, units: u, limitMS: q.limitMS, mast: q.mast, foundMS: q.gustMS}}
	if kind != nil && kind.item != nil {
		f.Bag, f.Bags = kind.item, load.OnStands
	}
	for _, c := range f.Counts() {
		item := q.stock.Item(c.SKU)
		f.MassKg += float64(c.Quantity) * item.MassKg
		f.Minor += int64(c.Quantity) * q.minorOf(item)
	}
	f.EffortMinor = q.effortMinor(f.BallastKg(), len(f.Ropes))
	return f
}

// minorOf returns what one of an item that holds pieces costs per day.
func (t *Planner) minorOf(item *catalog.Item) int64 {
	for _, list := range [4][]fixing{t.ballast, t.ropes, t.stakes, t.weights} {
		for i := range list {
			if list[i].item == item {
				return list[i].minor
			}
		}
	}
	return 0
}

// mustRope reports whether the piece is a frame that is roped wherever ropes find room.
func (q *attempt) mustRope() bool {
	return !q.piece.Round && len(q.piece.Masts) > 1 && 4*q.piece.Outer.HalfU*q.piece.Outer.HalfV >= ropedM2 && q.gustMS > LeastGustMS
}

// roped is the piece with a set of ropes that have their items, on the anchors that make it cheapest; ok is false where none is found that
// is better than another way to hold it.
func (q *attempt) roped(set []Rope, than *Anchorage, longest bool) (best Anchorage, ok bool) {
	tied := tiedOf(set)
	for _, at := range q.anchors(tied) {
		for stakes := 1; stakes <= mostStakes; stakes++ {
			if !longest {
				if least := q.leastRoped(set, at, stakes); than.cheaper(least) || best.cheaper(least) {
					break // more stakes cost more
				}
			}
			f, can := q.anchored(set, at, tied, stakes, longest)
			if can && f.Better(&best) {
				best = f
			}
			if can && f.Holds || at == nil || at.pullN <= 0 {
				break
			}
		}
	}
	return best, best.held != nil
}

// tiedOf returns how many of a set of ropes no fixed point holds.
func tiedOf(set []Rope) (n int) {
	for i := range set {
		if set[i].Label == "" {
			n++
		}
	}
	return n
}

// anchors are the kinds that so many ropes may be tied to, nil where fixed points hold all of them.
func (q *attempt) anchors(tied int) (anchors []*fixing) {
	if tied == 0 {
		return []*fixing{nil}
	}
	for i := range q.stakes {
		anchors = append(anchors, &q.stakes[i])
	}
	for i := range q.weights {
		anchors = append(anchors, &q.weights[i])
	}
	if len(q.ballast) > 0 {
		anchors = append(anchors, &q.ballast[0])
	}
	return anchors
}

const (
	// mostStakes is how many stakes one rope is tied to at most.
	mostStakes = 2
	// soakedShare is what a stake bears of its working pull in saturated ground (Intents magazine, 2009), which grass and soil count as
	// here: their friction is that of wet ground too.
	soakedShare = 0.5
	// besideShare is what each of several stakes in line bears of one alone: three bear 1800 lb where one bears 700 (NCF manual, holdfasts).
	besideShare = 1800.0 / 3 / 700
)

// stakedN returns what so many stakes in line bear, each of some working pull, in newtons.
func stakedN(pullN float64, stakes int) float64 {
	n := soakedShare * pullN
	if stakes > 1 {
		n *= besideShare * float64(stakes)
	}
	return n
}

// withItems gives each rope the cheapest that is long enough.
func (q *attempt) withItems(set []Rope) bool {
	used := map[string]int{}
	for i := range set {
		long := set[i].To.Sub(set[i].From).Len() + knotM
		set[i].Item = nil
		for k := range q.ropes {
			if r := &q.ropes[k]; r.longM >= long && q.left(r.item.SKU) > used[r.item.SKU] {
				set[i].Item = r.item
				used[r.item.SKU]++
				break
			}
		}
		if set[i].Item == nil {
			return false
		}
	}
	return true
}

// anchored is the piece with ropes to one kind of anchor, so many stakes each, nil where fixed points hold all of them; can is false where there
// are too few.
func (q *attempt) anchored(set []Rope, at *fixing, tied, stakes int, longest bool) (best Anchorage, can bool) {
	ropes := slices.Clone(set)
	list := make([]rigging.Rope, len(ropes))
	for i := range ropes {
		r := &ropes[i]
		list[i] = rigging.Rope{Stand: r.Mast, From: r.From, To: r.To, SafePullN: r.Item.Spec.(*catalog.Line).SafePullN}
		switch {
		case r.Label != "":
			list[i].AnchorN = q.pointN(r.Label)
		case at.pullN > 0:
			list[i].AnchorN = stakedN(at.pullN, stakes)
			r.Anchor, r.Count = at.item, stakes
		default:
			list[i].WeightKg = at.item.MassKg * math.Ceil(atRopeKg/at.item.MassKg)
		}
	}
	if at != nil && at.pullN > 0 && q.left(at.item.SKU) < tied*stakes {
		return best, false
	}
	of := q.structure(q.piece, list)
	solver := of.Solver()
	defer solver.Done()
	atRopeKg := 0.0
	if at != nil && at.pullN <= 0 {
		atRopeKg = mostAtRope * at.item.MassKg
	}
	if need, ok := solver.Need(q.gustMS, q.floor, q.mostKg, atRopeKg); ok {
		for i := range q.ballast {
			kind := &q.ballast[i]
			u := rigging.Units{StandKg: kind.item.MassKg, MostStand: q.mostOf(kind)}
			if at != nil && at.pullN <= 0 {
				u.RopeKg, u.MostRope = at.item.MassKg, mostAtRope
			}
			load, fits := need.In(u)
			if !fits {
				continue
			}
			tie := func(load rigging.Load) Anchorage {
				mine := slices.Clone(ropes)
				for j := range mine {
					if r := &mine[j]; r.Label == "" && at.pullN <= 0 {
						r.Anchor, r.Count = at.item, load.AtRope
					}
				}
				return q.made(of, load, u, kind, mine)
			}
			f := tie(q.even(&need, load, u))
			if !q.enough(&f) {
				f = tie(load)
			}
			if q.enough(&f) && f.Better(&best) {
				best = f
			}
		}
	}
	if best.held == nil && longest {
		// The search for the least gives up at times where arms twist stands, and the most holds all the same.
		best = q.most(of, ropes, at)
		h := best.Hold()
		best.Holds = h.Holds(q.gustMS) && q.floored(&best) && q.enough(&best)
	}
	return best, best.held != nil
}

// floored reports whether on every stand lies what does whatever the gust.
func (q *attempt) floored(f *Anchorage) bool {
	for i, kg := range q.floor {
		if kg > 0 && (f.Bag == nil || float64(f.Bags[i])*f.Bag.MassKg < kg) {
			return false
		}
	}
	return true
}

// enough reports whether the house has what an anchorage takes.
func (q *attempt) enough(f *Anchorage) bool {
	for _, c := range f.Counts() {
		if q.left(c.SKU) < c.Quantity {
			return false
		}
	}
	return true
}

// pointN returns what a fixed point bears.
func (t *Planner) pointN(label string) float64 {
	for i := range t.points {
		if t.points[i].label == label {
			return t.points[i].pullN
		}
	}
	return 0
}

// AtLeast returns what the ballast on the bases of a piece weighs at least, in kilograms, that holds the planner's gust without ropes, and what it costs per
// day with its hands, in minor units: what lies on each base anyway, and enough that the stands together neither lift off nor tip.
func (t *Planner) AtLeast(p *Piece) (kg float64, minor int64) {
	if p.Hands > 0 || p.OnMachines() || len(t.ballast) == 0 {
		return 0, 0
	}
	floorKg, ownKg, lever, high := 0.0, p.MassKg, 0.0, math.Inf(1)
	for i, f := range t.floorKg(p) {
		m := &p.Masts[i]
		floorKg, ownKg = floorKg+f, ownKg+m.Support.Item.MassKg
		s := rigging.Stand{FootprintM: m.Support.Spec.FootprintM, Legs: m.Support.Spec.Legs}
		lever, high = math.Max(lever, s.LeverM()+m.ArmM()), math.Min(high, m.Held.Z)
	}
	panel := p.Panel()
	w := panel.Wind()
	q := rigging.VelocityPressure(max(t.GustMS, LeastGustMS) / rigging.LowerShare)
	lift := q*w.Up.Vertical/rigging.GravityMS2 - ownKg
	tip := 0.0
	if lever > 0 && len(p.Masts) == 2 {
		tip = q*(w.Up.Level*high/lever+w.Up.Vertical)/rigging.GravityMS2 - ownKg
	}
	kg = math.Max(floorKg, math.Max(lift, tip))
	best := &t.ballast[0]
	return kg, int64(kg*float64(best.minor)/best.item.MassKg) + t.effortMinor(kg, 0)
}

// AtBest reports whether a piece may hold the planner's gust where nothing is in the way: on supports without arms, with all that the
// house owns. It never says no to one that holds. ropes reports whether the piece may get any, which leaves that open.
func (t *Planner) AtBest(p *Piece, ropes bool) bool {
	if ropes {
		return true
	}
	own := *p
	own.Masts = slices.Clone(p.Masts)
	for i := range own.Masts {
		m := &own.Masts[i]
		m.Base.X, m.Base.Y = m.Held.X, m.Held.Y
	}
	return t.Secure(&own, t.GustMS, nil, t.Owned, false).Holds
}
