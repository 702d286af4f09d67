package anchorage

import "math"

// Again finds what makes a piece hold a gust, in m/s, where it stands secured for another: with ballast alone or with the ropes that it
// has, whichever costs less. left returns how many of an item are available besides what other pieces take. Holds is false
// where neither does.
func (t *Planner) Again(p *Piece, now *Anchorage, gustMS float64, left func(sku string) int) Anchorage {
	if p.OnMachines() {
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
	var at *fixing
	tied, stakes := 0, 1
	for i := range now.Ropes {
		if r := &now.Ropes[i]; r.Label == "" {
			at, tied, stakes = t.fixingOf(r), tied+1, max(stakes, r.Count)
		}
	}
	if f, ok := q.anchored(now.Ropes, at, tied, stakes, false); ok && f.Better(&best) {
		best = f
	}
	return best
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
