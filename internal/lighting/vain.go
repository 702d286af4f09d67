package lighting

import "math"

// vain is what searches for one group have tried and need not try again: one that asks for less softness, or about another setup that
// differs little. Its methods do nothing where it is nil.
type vain struct {
	to       aim
	query    query
	have     float64
	anywhere map[array]float64 // from how soft a look on, in degrees, an array does not do, whatever stands beside it
	here     map[array]float64 // the same beside what stands in this setup
	looked   [arrayKinds]int   // places lit for each kind
}

func newVain() *vain { return &vain{anywhere: map[array]float64{}, here: map[array]float64{}} }

// unplaced returns an array without its place.
func (t *array) unplaced() array {
	return array{of: t.of, n: t.n, turned: t.turned, diffuser: t.diffuser}
}

// has reports whether an array was tried in vain for a look as hard or harder.
func (v *vain) has(t *array, softDeg float64) bool {
	if v == nil {
		return false
	}
	for _, known := range [...]map[array]float64{v.here, v.anywhere} {
		if from, ok := known[t.unplaced()]; ok && softDeg >= from {
			return true
		}
	}
	return false
}

// add keeps that a search has tried an array in vain.
func (v *vain) add(t *array, q *lightSearch) {
	if v == nil {
		return
	}
	from := 0.0
	if q.small {
		from = q.softDeg
	}
	v.here[t.unplaced()] = from
	if !q.stood {
		v.anywhere[t.unplaced()] = from
	}
}

// merge adds what came of asking less of what did but for the corners.
func (v *vain) merge(second *vain) {
	if v == nil {
		return
	}
	for t, from := range second.here {
		v.here[t] = math.Max(v.here[t], from)
		if _, ok := second.anywhere[t]; !ok {
			delete(v.anywhere, t)
		} else if was, ok := v.anywhere[t]; ok {
			v.anywhere[t] = math.Max(was, from)
		}
	}
}

// vainFor returns what is known of a search before it begins, by whatever preference, from another for as much about the same aim.
func (pl *Planner) vainFor(q *lightSearch) *vain {
	v := newVain()
	for _, o := range *pl.tried {
		p := &o.query
		if o.to == *q.to && p.role == q.role && p.warm == q.warm && p.soft == q.soft && p.even == q.even && p.sunny == q.sunny &&
			alike(p.want, q.want) && alike(p.least, q.least) && alike(p.most, q.most) && alike(o.have, q.have) {
			v.anywhere = o.anywhere
			return v
		}
	}
	v.to, v.query, v.have = *q.to, q.query, q.have
	*pl.tried = append(*pl.tried, v)
	return v
}

// alike reports whether two levels differ too little for another outcome of a search.
func alike(a, b float64) bool { return math.Abs(a-b) <= alikeShare*b }
