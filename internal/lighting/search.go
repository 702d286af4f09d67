package lighting

import (
	"cmp"
	"context"
	"math"
	"slices"

	"kitspan/internal/light"
	"kitspan/internal/scene"
)

// patienceLooks is the number of places lit after which a search ends with the nearest, with what was lit for a softer look;
// patienceAgain is how many it may light at least.
const (
	patienceLooks = 600
	patienceAgain = 100
)

// vainPhis is in how many directions an array may fall short before it is given up.
const vainPhis = 3

// worthwhile is the most of a miss that may be left for a group that does not do in full to be put up at all (common
// practice, no source).
const worthwhile = 0.75

// nearerSteps and nearerStep are how often, and by what ratio, an array that comes near is moved further off until it is out of the
// picture: see closest.
const (
	nearerSteps = 5
	nearerStep  = 1.1
)

// run tries arrays in order and puts up the first that does; done is false where none does.
func (q *lightSearch) run(ctx context.Context, list []array) (up []*Piece, done bool) {
	for _, t := range list {
		if ctx.Err() != nil {
			return nil, false
		}
		if q.vain.has(&t, q.softDeg) {
			continue
		}
		q.small, q.stood = false, false
		if up, done = q.try(ctx, t); done {
			return up, true
		}
		q.vain.add(&t, q)
		if q.looked > patienceLooks {
			break
		}
	}
	return nil, false
}

// try looks for a place for an array: direction by direction, from near to far, and higher where a place low down is
// taken or in the shade.
func (q *lightSearch) try(ctx context.Context, t array) ([]*Piece, bool) {
	switch {
	case q.s.Remaining(t.of.item.SKU) < t.n:
		q.stood = true
		return nil, false
	case !q.suits(&t):
		return nil, false
	case q.soft && q.harsh(&t):
		q.small = true
		return nil, false
	}
	vain := 0 // directions in which nothing was in the way, and it did not do
	ways, stances := phis[:], stands[:]
	if q.to.behind {
		ways, stances = backPhis[:], backStands[:]
	}
	for _, phi := range ways {
		if vain == vainPhis || ctx.Err() != nil {
			break
		}
		t.phi = phi
		start := q.nearest(&t)
		t.r = start
		if t.r > scene.FarM || !q.promising(&t) {
			continue
		}
		for _, s := range stances {
			if t.n == 1 && s.gapM > stands[0].gapM {
				continue
			}
			t.z, t.r, t.gapM = q.to.mid.Z+s.raiseM, start, s.gapM
			up, ok, blocked := q.alongDirection(ctx, t)
			if ok {
				return up, true
			}
			if !blocked {
				vain++
				break
			}
			q.stood = true
		}
	}
	return nil, false
}

// promising reports whether an array might do from where it stands or further off; where it cannot, it is remembered by how
// near it may come.
func (q *lightSearch) promising(t *array) bool {
	most := q.ceiling(t)
	if q.dims {
		if q.have-most <= q.most {
			return true
		}
		q.remember(t, light.Stops(math.Max(q.have-most, scene.DarkestLx), q.want))
		return false
	}
	if q.have+most >= q.least {
		return q.flows(t)
	}
	q.remember(t, -light.Stops(math.Max(q.have+most, scene.DarkestLx), q.want))
	return false
}

// alongDirection looks along one direction. A group lights the more evenly the further off it stands and gives the less: where it is
// too uneven at the distance that just gives enough, it is everywhere; else the distance that gives what is asked is
// taken, or the nearest further off that is even. blocked means that there was a place with the level asked, but something
// was in the way.
func (q *lightSearch) alongDirection(ctx context.Context, t array) (up []*Piece, ok, blocked bool) {
	if !q.clears(&t) {
		q.stood = true
		return nil, false, false
	}
	if q.tooSmall(&t) {
		q.small = true
		return nil, false, false
	}
	near := rung{t.r, q.expect(&t)}
	if q.dims {
		return q.darken(ctx, t, near)
	}
	q.remember(&t, math.Abs(light.Stops(near.level, q.want)))
	enough := near // the last rung that gives enough
	far := near
	for far.level >= q.least || far.level >= enough.level {
		if far.level >= q.least || far.level > enough.level {
			enough = far
		}
		if far.r >= scene.FarM || ctx.Err() != nil {
			break
		}
		t.r = math.Min(far.r*ladder, scene.FarM)
		far = rung{t.r, q.expect(&t)}
		q.remember(&t, math.Abs(light.Stops(far.level, q.want)))
	}
	if enough.level < q.least || far.level > q.most {
		return nil, false, false
	}
	last := far
	if far.level < q.least {
		last.r = q.distanceFor(&t, enough, far, q.least*justOver)
	}
	t.r = last.r
	if q.expect(&t); !q.evens(&t) {
		q.tooUneven(&t)
		return nil, false, false
	}
	first := near.r
	if near.level > q.want {
		// The rungs about what is asked lie between the first and the last that gives enough: a power law through both.
		first = q.distanceFor(&t, near, rung{last.r, math.Max(q.expect(&t), q.least*0.99)}, q.want)
	}
	for _, r := range [3]float64{first, math.Sqrt(first * last.r), last.r} {
		t.r = r
		if q.looked++; !q.evens(&t) {
			continue
		}
		var stopped bool
		if up, ok, stopped = q.settle(ctx, t); ok {
			return up, true, false
		}
		blocked = blocked || stopped
	}
	return nil, false, blocked
}

// reaches reports whether every corner of the zone gets its share of the middle's level, and of the beams, past all that
// stands; the setup is lit.
func (q *lightSearch) reaches(middle float64) bool {
	beam := q.s.lit.Face(overGround(q.to.mid), q.to.face).Beam
	for i := range 8 {
		p := q.to.corner(i)
		if q.s.level(p, q.to.face) < leastShare*middle || q.s.lit.Face(p, q.to.face).Beam < beamShare*beam {
			return false
		}
	}
	return true
}

// tooUneven remembers an array that did but for the corners.
func (q *lightSearch) tooUneven(t *array) {
	if n := len(q.uneven); n == 0 || !q.uneven[n-1].alike(t) {
		q.uneven = append(q.uneven, *t)
	}
}

// rung is a distance and the level there.
type rung struct{ r, level float64 }

const (
	// justOver keeps the distance that just gives enough on the safe side of rounding.
	justOver = 1.02
	// fitStep is the ratio of neighbouring distances at which a place out of the picture is looked for.
	fitStep = 1.1
)

// clears lays an array and steps off until it is out of the picture and off the people.
func (q *lightSearch) clears(t *array) bool {
	from := *t
	if r, known := q.alone.clear[from]; known {
		if t.r = r; r <= scene.FarM {
			q.layOut(t)
		}
		return r <= scene.FarM
	}
	for ; t.r <= scene.FarM; t.r *= fitStep {
		if q.layOut(t); q.fits(t) {
			break
		}
	}
	q.s.makeRoom()
	q.alone.clear[from] = t.r
	return t.r <= scene.FarM
}

// distanceFor returns the distance between two rungs at which the level is as wanted: a power law through both, once corrected.
func (q *lightSearch) distanceFor(t *array, from, to rung, want float64) float64 {
	try := *t
	try.r = between(from.r, to.r, from.level-q.have, to.level-q.have, want-q.have)
	if mid := (rung{try.r, q.expect(&try)}); mid.level > want {
		from = mid
	} else {
		to = mid
	}
	return between(from.r, to.r, from.level-q.have, to.level-q.have, want-q.have)
}

// between returns the distance at which what a group adds is as wanted, between two distances: a power law through both.
func between(from, to, atFrom, atTo, want float64) float64 {
	if atFrom == 0 || atTo/atFrom <= 0 || want/atFrom <= 0 || atTo == atFrom {
		return math.Sqrt(from * to)
	}
	f := math.Log(want/atFrom) / math.Log(atTo/atFrom)
	return from * math.Pow(to/from, math.Min(1, math.Max(0, f)))
}

// darken looks for the place of a panel that takes light away: from where it takes most to where it takes as much as is
// asked.
func (q *lightSearch) darken(ctx context.Context, t array, near rung) (up []*Piece, ok, blocked bool) {
	if near.level > q.most {
		q.remember(&t, math.Abs(light.Stops(near.level, q.want)))
		return nil, false, false
	}
	for ctx.Err() == nil {
		far := t
		far.r = math.Min(t.r*ladder, scene.FarM)
		level := q.expect(&far)
		if near.level < q.want && level < q.want && far.r < scene.FarM {
			t, near = far, rung{far.r, level}
			continue
		}
		if near.level < q.want && level > q.want {
			t.r = between(near.r, far.r, near.level-q.have, level-q.have, q.want-q.have)
		}
		return q.settle(ctx, t)
	}
	return nil, false, false
}

// settle puts an array up where it stands and corrects its distance for what the rest of the setup does. blocked reports
// whether something is in the way.
func (q *lightSearch) settle(ctx context.Context, t array) (up []*Piece, ok, blocked bool) {
	for range retries {
		if ctx.Err() != nil {
			break
		}
		q.looked++
		q.shine(&t)
		if t.r > scene.FarM || !q.fits(&t) {
			return nil, false, true
		}
		if q.soft && !q.softens(&t) {
			q.small = true
			return nil, false, false
		}
		if !q.evens(&t) {
			q.tooUneven(&t)
			return nil, false, false
		}
		if up, ok = q.putUp(ctx, &t); !ok {
			return nil, false, true
		}
		got := q.with(up)
		if got >= q.least && got <= q.most {
			if !q.worth(up, got) {
				return nil, false, false
			}
			q.found = t
			return up, true, false
		}
		// The square of the distance is a fair guess at how the part that the group gives changes.
		here, need := got-q.have, q.want-q.have
		if here == 0 || need == 0 || here > 0 != (need > 0) {
			return nil, false, true
		}
		t.r *= math.Min(1.3, math.Max(0.77, math.Sqrt(here/need)))
	}
	return nil, false, true
}

// worth reports whether each piece of a group that brings a level brings as much as is asked of one: whether the level is by so much
// another without it. A diffusing frame counts with what it stands before.
func (q *lightSearch) worth(up []*Piece, got float64) bool {
	if q.leastGain == 0 {
		return true
	}
	gains := func(without float64) bool {
		return math.Abs(light.Stops(math.Max(got, scene.DarkestLx), math.Max(without, scene.DarkestLx))) >= q.leastGain
	}
	units := slices.DeleteFunc(slices.Clone(up), func(p *Piece) bool { return p.Role != q.role })
	if len(units) == 1 {
		return gains(q.have)
	}
	for _, one := range units {
		if !gains(q.with(slices.DeleteFunc(slices.Clone(up), func(p *Piece) bool { return p == one }))) {
			return false
		}
	}
	return true
}

// with returns the level with pieces put up beside everything that stands.
func (q *lightSearch) with(up []*Piece) float64 {
	n := len(q.s.Pieces)
	q.s.add(up)
	q.s.light()
	got := q.s.level(q.to.mid, q.to.face)
	if q.to.keepOff && !(q.s.keeps(q.before) && q.reaches(got)) {
		got = scene.DarkestLx // it takes from the others what it gives, or what stands takes its light: no use
	}
	if q.against > 0 { // a contrast: what the group adds to the key counts, too
		got *= q.against / math.Max(q.s.level(q.to.mid, q.s.Light.Key), scene.DarkestLx)
	}
	q.s.drop(n)
	return got
}

// remember keeps the few nearest misses.
func (q *lightSearch) remember(t *array, miss float64) {
	const most = 12
	if len(q.near) == most && q.near[most-1].miss <= miss {
		return
	}
	for i := range q.near { // one place an array is enough
		o := &q.near[i]
		if o.t.of == t.of && o.t.n == t.n && o.t.diffuser == t.diffuser && o.t.phi == t.phi {
			if miss < o.miss {
				q.near[i] = attempt{*t, miss}
			}
			q.sortNear()
			return
		}
	}
	if len(q.near) == most {
		q.near = q.near[:most-1]
	}
	q.near = append(q.near, attempt{*t, miss})
	q.sortNear()
}

func (q *lightSearch) sortNear() {
	slices.SortStableFunc(q.near, func(a, b attempt) int { return cmp.Compare(a.miss, b.miss) })
}

// closest puts up the array that comes nearest, where it visibly improves what there is.
func (q *lightSearch) closest(ctx context.Context) []*Piece {
	now := math.Abs(light.Stops(math.Max(q.have, scene.DarkestLx), q.want))
	best, bestMiss := []*Piece(nil), math.Min(now-closeStops, now*worthwhile)
	for _, a := range q.near {
		if a.miss >= bestMiss {
			break
		}
		// Where it was only guessed at, it may have to stand a little further off to be out of the picture.
		for range nearerSteps {
			if ctx.Err() != nil {
				return nil
			}
			q.looked++
			q.shine(&a.t)
			if q.fits(&a.t) && (!q.soft || q.softens(&a.t)) && q.evens(&a.t) {
				if up, ok := q.putUp(ctx, &a.t); ok {
					got := q.with(up)
					if miss := math.Abs(light.Stops(math.Max(got, scene.DarkestLx), q.want)); miss < bestMiss && q.worth(up, got) {
						best, bestMiss, q.found = up, miss, a.t
					}
					break
				}
			}
			a.t.r *= nearerStep
		}
	}
	return best
}
