package anchorage

import (
	"math"

	"kitspan/internal/rigging"
)

// Again finds what makes a piece hold a gust, in m/s, where it stands secured for another: with ballast alone or with the ropes that it
// has, whichever costs less. left returns how many of an item are available besides what other pieces take. Holds is false
// where neither does.
func (t *Planner) Again(p *Piece, now *Anchorage, gustMS float64, left func(sku string) int) Anchorage {
	if p.Hands > 0 || p.OnMachines() {
		f := *now
		h := f.Hold()
		f.Holds = h.Holds(gustMS)
		return f
	}
	q := t.attempt(p, gustMS, left)
	best := q.free()
	if len(now.Ropes) == 0 || q.hopeless || best.Holds && (best.Easy || best.Minor <= q.ropedMinor(now)) {
		return best
	}
	at, tied, stakes := t.tiedTo(now.Ropes)
	if f, ok := q.anchored(now.Ropes, at, tied, stakes, false); ok && f.Better(&best) {
		best = f
	}
	return best
}

// spareShare is how much of the gust up to which a piece stays up with as much as goes on it is enough: the last of it takes ballast by the
// bag (common practice, no source).
const spareShare = 0.99

// Spare returns what is left of what holds a piece that does not hold the gust when that is taken off which does not let it stay up
// longer: where a support, or a limit that is set, gives way first, more ballast is laid for nothing.
func (t *Planner) Spare(p *Piece, now *Anchorage, left func(sku string) int) Anchorage {
	if now.Holds || now.held == nil || p.Hands > 0 || p.OnMachines() {
		return *now
	}
	most := now.Hold()
	gustMS := spareShare * most.LowerAtMS
	q := t.attempt(p, gustMS, left)
	q.gustMS = gustMS // which may be under what a piece is made to hold
	best := *now
	try := func(f *Anchorage) {
		f.Holds, f.held.foundMS = false, 0
		if h := f.Hold(); q.enough(f) && h.LowerAtMS >= gustMS && f.Minor+f.EffortMinor < best.Minor+best.EffortMinor {
			best = *f
		}
	}
	of := q.structure(p, nil)
	if f, ok := q.unroped(of); ok {
		try(&f)
	}
	if most.LowerAtMS <= 0 { // no ballast makes it stand in calm air
		f := q.atFloor(of)
		try(&f)
	}
	if len(now.Ropes) > 0 {
		at, tied, stakes := t.tiedTo(now.Ropes)
		if f, ok := q.anchored(now.Ropes, at, tied, stakes, false); ok {
			try(&f)
		}
	}
	best.NoRoom, best.NoRope = now.NoRoom, now.NoRope
	return best
}

// atFloor is the piece with what lies on its stands whatever the gust, of the kind of ballast of which that costs least.
func (q *attempt) atFloor(of *rigging.Structure) (best Anchorage) {
	for i := range q.ballast {
		kind := &q.ballast[i]
		var load rigging.Load
		for j, kg := range q.floor {
			load.OnStands[j] = int(math.Ceil(kg/kind.item.MassKg - spareUnit))
		}
		if f := q.made(of, load, rigging.Units{StandKg: kind.item.MassKg}, kind, nil); q.enough(&f) && f.Better(&best) {
			best = f
		}
	}
	if best.held == nil {
		best = q.made(of, rigging.Load{}, rigging.Units{}, nil, nil)
	}
	return best
}

// tiedTo returns what ropes are tied to, but for those at fixed points, how many they are, and how many stakes each has.
func (t *Planner) tiedTo(ropes []Rope) (at *fixing, tied, stakes int) {
	stakes = 1
	for i := range ropes {
		if r := &ropes[i]; r.Label == "" {
			at, tied, stakes = t.fixingOf(r), tied+1, max(stakes, r.Count)
		}
	}
	return at, tied, stakes
}

// ropedMinor returns what ropes cost at least, one of its anchor at each, with the least ballast on the bases.
func (q *attempt) ropedMinor(now *Anchorage) (minor int64) {
	for i := range now.Ropes {
		minor += q.minorOf(now.Ropes[i].Item)
		if at := now.Ropes[i].Anchor; at != nil {
			minor += q.minorOf(at)
		}
	}
	return minor + q.floorMinor(q.floor)
}

// floorMinor returns what the ballast costs at least that lies on stands whatever the gust, in kg on each.
func (t *Planner) floorMinor(floorKg []float64) int64 {
	least := int64(-1)
	for i := range t.ballast {
		n := 0
		for _, kg := range floorKg {
			n += int(math.Ceil(kg/t.ballast[i].item.MassKg - spareUnit))
		}
		if m := int64(n) * t.ballast[i].minor; least < 0 || m < least {
			least = m
		}
	}
	return max(0, least)
}

// spareUnit is a share of a unit that rounding may make of none.
const spareUnit = 1e-9

// AtFloor reports whether a piece costs no more to hold than the ballast that lies on its stands whatever the gust: less wind takes
// as much.
func (t *Planner) AtFloor(p *Piece, f *Anchorage) bool { return f.Minor <= t.floorMinor(t.floorKg(p)) }

// fixingOf returns what a rope is tied to, as one of the kinds of the house.
func (t *Planner) fixingOf(r *Rope) *fixing {
	for _, list := range [3][]fixing{t.stakes, t.weights, t.ballast} {
		for i := range list {
			if list[i].item == r.Anchor {
				return &list[i]
			}
		}
	}
	return nil
}
