package sizing

import (
	"cmp"
	"math"
	"slices"

	"kitspan/internal/geom"
	"kitspan/internal/light"
)

const (
	// closeStops is how near a level must come to what was asked (contract: a third of a stop).
	closeStops = 1.0 / 3
	// evenShare is the least share of the middle's level that every corner of the zone must get: one stop under it; where
	// nothing does that, leastShare, a stop and a half. Of the beam of reflectors that throw one, every corner gets at
	// least beamShare of the middle's (common practice, no source).
	evenShare  = 0.5
	leastShare = 0.35355339
	beamShare  = 0.25
	// ladder is the ratio of neighbouring distances that are looked at.
	ladder = 1.5
	// leastCos is the least cosine with which a source may strike a reflector: 80° off square.
	leastCos = 0.17
	// harshDeg is the apparent size under which a source of key throws hard shadows: ten suns side by side. A smaller one
	// is put behind a diffusing frame where softening is asked for. Common practice, no source.
	harshDeg = 5.0
	// retries is how often a distance is corrected for what the rest of the setup does to the level.
	retries = 3
)

// phis are the directions in which a group is looked for, the one that strikes the face straight first; from 45° on it
// leaves the other face alone.
var phis = [...]float64{45, 60, 75, 30, 90, 20}

// stands are how a row is looked at where something is in its way, the sun perhaps: by how much over its lowest useful
// height, and with how much room between neighbours (common practice, no source).
var stands = [...]struct{ raiseM, gapM float64 }{{0, 0.1}, {0, 0.7}, {1.2, 0.1}, {1.2, 0.7}}

// quest is one search for a group: what it is for, the level wanted on the face, and what stands already.
type quest struct {
	s              *setup
	to             *aim
	role, veilRole Role
	want           float64 // lx
	least, most    float64 // what will do, lx
	even           bool    // corners must get their share, too
	share          float64 // of the middle that corners must get
	soft           bool    // a harsh source will not do
	dims           bool    // the group is there to take light away
	sunny          bool    // reflectors must stand in the sun
	// have is the level at the middle without the group, corners that at the zone's corners.
	have    float64
	corners [8]float64
	open    float64 // of the sky and the ground alone, at the middle
	openAt  [8]float64
	solo    light.Scene
	lit     *light.Lit
	near    []attempt // the nearest that did not do, best first
	strict  bool      // nothing that only comes near will do
	uneven  []train   // did but for the corners, in the order in which they were tried
	laid    placing
	against float64 // the key level that a fill is held against; 0 where the level itself is asked
	looked  int
	found   train // the one that run or nearest put up
}

// attempt is a train in its place and by how many stops it is expected to miss.
type attempt struct {
	t    train
	miss float64
}

func (s *setup) quest(to *aim, want float64, dims bool) *quest {
	q := &quest{s: s, to: to, want: want, dims: dims, lit: s.solo, least: want * math.Exp2(-closeStops), most: want * math.Exp2(closeStops)}
	s.light()
	q.have = s.level(to.mid, to.face)
	// What a reflector hides of the ground and shades of it is little: it counts once the group is up.
	ground := 0.0
	if dims {
		ground = s.sc.ground
	}
	q.solo = light.Scene{SkyLx: s.sc.skyLx, GroundReflectance: ground, Hard: s.sc.hard, Panels: s.soloPanels[:0], Lamps: s.soloLamps[:0]}
	q.lit.Set(&q.solo)
	l := q.lit.Face(to.mid, to.face)
	q.open = l.Total()
	return q
}

// evenly asks for the corners, too.
func (q *quest) evenly() {
	q.even, q.share = true, evenShare
	for i := range q.corners {
		p := q.to.corner(i)
		q.corners[i] = q.s.level(p, q.to.face)
		l := q.lit.Face(p, q.to.face)
		q.openAt[i] = l.Total()
	}
}

func (to *aim) corner(i int) geom.Vec {
	return to.mid.Add(geom.Vec{
		X: to.half.X * float64(i&1*2-1), Y: to.half.Y * float64(i>>1&1*2-1), Z: to.half.Z * float64(i>>2&1*2-1),
	})
}

// toward is the direction to the source that reflectors work with; nil where there is none.
func (s *setup) toward() func(geom.Vec) geom.Vec {
	if s.sc.driver < 0 {
		return nil
	}
	return s.sc.toward
}

// lay works out where everything of a train stands.
func (q *quest) lay(t *train) {
	toward := q.s.toward()
	if q.dims {
		toward = nil
	}
	t.lay(q.to, toward, &q.laid)
}

// shine lays a train and lights it alone.
func (q *quest) shine(t *train) {
	q.lay(t)
	q.solo.Panels, q.solo.Lamps = q.solo.Panels[:0], q.solo.Lamps[:0]
	t.shine(&q.laid, &q.solo)
	q.lit.Set(&q.solo)
	q.looked++
}

// expect is the level that a train makes, from what it gives alone.
func (q *quest) expect(t *train) float64 {
	q.shine(t)
	l := q.lit.Face(q.to.mid, q.to.face)
	return math.Max(q.have+l.Total()-q.open, darkestLx)
}

// evens says whether the train that was lit last serves the whole zone.
func (q *quest) evens(t *train) bool {
	if !q.even {
		return true
	}
	mid := q.lit.Face(q.to.mid, q.to.face)
	level := q.have + mid.Total() - q.open
	for i := range q.corners {
		l := q.lit.Face(q.to.corner(i), q.to.face)
		if q.corners[i]+l.Total()-q.openAt[i] < q.share*level {
			return false
		}
		if t.veil == nil && t.of.lamp == nil && t.of.specular() && l.Beam < beamShare*mid.Beam {
			return false
		}
	}
	return true
}

// fits says whether everything of the train laid last is out of the picture and off the zones.
func (q *quest) fits(t *train) bool {
	if t.veil != nil && !q.s.standsOff(q.laid.veilTo, q.to, q.laid.dir) {
		return false
	}
	for i := range q.laid.n {
		if t.of.lamp != nil {
			l := &q.laid.lamps[i]
			at := geom.Rect{Center: l.At, U: geom.Vec{X: 1}, V: geom.Vec{Z: 1}, HalfU: lampSizeM / 2, HalfV: lampSizeM / 2}
			if !q.s.standsOff(at, q.to, q.laid.dir) {
				return false
			}
			continue
		}
		if !q.s.standsOff(q.laid.outers[i], q.to, q.laid.dir) {
			return false
		}
	}
	return true
}

// lampSizeM is the room that a lamp's head takes (common practice, no source).
const lampSizeM = 0.5

// run tries trains in order and puts up the first that does; done is false where none does.
func (q *quest) run(list []train) (up []*piece, done bool) {
	for _, t := range list {
		if up, done = q.try(t); done || q.looked > patienceLooks {
			return up, done
		}
	}
	return nil, false
}

// patienceLooks is after how many places lit a search ends with the nearest.
const patienceLooks = 600

// try looks for a place for a train: direction by direction, from near to far, and higher where a place low down is
// taken or in the shade.
func (q *quest) try(t train) ([]*piece, bool) {
	if q.soft && q.harsh(&t) {
		return nil, false
	}
	vain := 0 // directions in which nothing was in the way, and it did not do
	for _, phi := range phis {
		if vain == vainPhis || q.dims && vain > 0 {
			break
		}
		t.phi = phi
		if q.to.behind {
			t.phi = 180 - phi
		}
		start := q.nearest(&t)
		t.r = start
		if t.r > farM || !q.promising(&t) {
			continue
		}
		for _, s := range stands {
			if t.n == 1 && s.gapM > stands[0].gapM {
				continue
			}
			t.z, t.r, t.gapM = q.to.mid.Z+s.raiseM, start, s.gapM
			up, ok, blocked := q.walk(t)
			if ok {
				return up, true
			}
			if !blocked {
				vain++
				break
			}
		}
	}
	return nil, false
}

// vainPhis is in how many directions a train may fall short before it is given up.
const vainPhis = 3

// harsh says at once that a train looks too small to be soft from anywhere: the spot on a mirror is the sun's.
func (q *quest) harsh(t *train) bool {
	if t.veil != nil || t.of.lamp != nil || !t.of.specular() || q.s.sc.driver < 0 {
		return false
	}
	return 2*(t.of.front.LobeDeg+q.s.sc.hard[q.s.sc.driver].RadiusDeg) < harshDeg
}

// promising says whether a train might do from where it stands or further off; where it cannot, it is remembered by how
// near it may come.
func (q *quest) promising(t *train) bool {
	most := q.ceiling(t)
	if q.dims {
		if q.have-most <= q.most {
			return true
		}
		q.remember(t, light.Stops(math.Max(q.have-most, darkestLx), q.want))
		return false
	}
	if q.have+most >= q.least {
		return q.flows(t)
	}
	q.remember(t, -light.Stops(math.Max(q.have+most, darkestLx), q.want))
	return false
}

// walk looks along one direction. A group lights the more evenly the further off it stands and gives the less: where it is
// too uneven at the distance that just gives enough, it is everywhere; else the distance that gives what is asked is
// taken, or the nearest further off that is even. blocked says that there was a place with the level asked, but something
// was in the way.
func (q *quest) walk(t train) (up []*piece, ok, blocked bool) {
	if q.lay(&t); !q.clears(&t) {
		return nil, false, false
	}
	near := rung{t.r, q.expect(&t)}
	if q.dims {
		return q.darken(t, near)
	}
	enough := near // the last rung that gives enough
	far := near
	for far.level >= q.least || far.level >= enough.level {
		if far.level >= q.least || far.level > enough.level {
			enough = far
		}
		if far.r >= farM {
			break
		}
		t.r = math.Min(far.r*ladder, farM)
		far = rung{t.r, q.expect(&t)}
		q.remember(&t, math.Abs(light.Stops(far.level, q.want)))
	}
	if enough.level < q.least || far.level > q.most {
		return nil, false, false
	}
	last := far
	if far.level < q.least {
		last.r = q.reach(&t, enough, far, q.least*justOver)
	}
	t.r = last.r
	if q.expect(&t); !q.evens(&t) {
		q.uneven = append(q.uneven, t)
		return nil, false, false
	}
	first := last.r
	if near.level > q.want {
		// The rungs about what is asked lie between the first and the last that gives enough: a power law through both.
		first = q.reach(&t, near, rung{last.r, math.Max(q.expect(&t), q.least*0.99)}, q.want)
	} else {
		first = near.r
	}
	for _, r := range [3]float64{first, math.Sqrt(first * last.r), last.r} {
		t.r = r
		if q.shine(&t); !q.evens(&t) {
			continue
		}
		var stopped bool
		if up, ok, stopped = q.settle(t); ok {
			return up, true, false
		}
		blocked = blocked || stopped
	}
	return nil, false, blocked
}

// rung is a distance and the level there.
type rung struct{ r, level float64 }

const (
	// justOver keeps the distance that just gives enough on the safe side of rounding.
	justOver = 1.02
	// fitStep is the ratio of neighbouring distances at which a place out of the picture is looked for.
	fitStep = 1.1
)

// clears steps off until the train laid is out of the picture and off the people.
func (q *quest) clears(t *train) bool {
	for ; t.r <= farM; t.r *= fitStep {
		if q.lay(t); q.fits(t) {
			return true
		}
	}
	return false
}

// reach is the distance between two rungs at which the level is as wanted: a power law through both, once corrected.
func (q *quest) reach(t *train, from, to rung, want float64) float64 {
	try := *t
	try.r = between(from.r, to.r, from.level-q.have, to.level-q.have, want-q.have)
	if mid := (rung{try.r, q.expect(&try)}); mid.level > want {
		return between(mid.r, to.r, mid.level-q.have, to.level-q.have, want-q.have)
	} else {
		return between(from.r, mid.r, from.level-q.have, mid.level-q.have, want-q.have)
	}
}

// darken looks for the place of a panel that takes light away: from where it takes most to where it takes as much as is
// asked.
func (q *quest) darken(t train, near rung) (up []*piece, ok, blocked bool) {
	if near.level > q.most {
		q.remember(&t, math.Abs(light.Stops(near.level, q.want)))
		return nil, false, false
	}
	for {
		far := t
		far.r = math.Min(t.r*ladder, farM)
		level := q.expect(&far)
		if near.level < q.want && level < q.want && far.r < farM {
			t, near = far, rung{far.r, level}
			continue
		}
		if near.level < q.want && level > q.want {
			t.r = between(near.r, far.r, near.level-q.have, level-q.have, q.want-q.have)
		}
		return q.settle(t)
	}
}

// between is the distance at which what a group adds is as wanted, between two distances: a power law through both.
func between(from, to, atFrom, atTo, want float64) float64 {
	if atFrom == 0 || atTo/atFrom <= 0 || want/atFrom <= 0 || atTo == atFrom {
		return math.Sqrt(from * to)
	}
	f := math.Log(want/atFrom) / math.Log(atTo/atFrom)
	return from * math.Pow(to/from, math.Min(1, math.Max(0, f)))
}

// settle puts a train up where it stands and corrects its distance for what the rest of the setup does. blocked says
// that something is in the way.
func (q *quest) settle(t train) (up []*piece, ok, blocked bool) {
	for range retries {
		q.shine(&t)
		if t.r > farM || !q.fits(&t) {
			return nil, false, true
		}
		if q.soft && !q.softens(&t) {
			return nil, false, false
		}
		if !q.evens(&t) {
			if n := len(q.uneven); n == 0 || !q.uneven[n-1].alike(&t) {
				q.uneven = append(q.uneven, t)
			}
			return nil, false, false
		}
		if up, ok = q.putUp(&t); !ok {
			return nil, false, true
		}
		got := q.with(up)
		if got >= q.least && got <= q.most {
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

// with is the level with pieces put up beside everything that stands.
func (q *quest) with(up []*piece) float64 {
	n := len(q.s.pieces)
	q.s.add(up)
	q.s.light()
	got := q.s.level(q.to.mid, q.to.face)
	if q.against > 0 { // a contrast: what the group adds to the key counts, too
		got *= q.against / math.Max(q.s.level(q.to.mid, q.s.sc.key), darkestLx)
	}
	q.s.drop(n)
	return got
}

// softens says whether the train lit last looks large enough not to be harsh.
func (q *quest) softens(t *train) bool {
	if t.veil != nil {
		c := q.laid.veil.Corners()
		return light.ApparentDeg(q.to.mid, c) >= harshDeg
	}
	if t.of.lamp != nil {
		return false
	}
	for i := range q.laid.n {
		if q.lit.SourceDeg(q.to.mid, i) >= harshDeg {
			return true
		}
	}
	return false
}

// remember keeps the few nearest misses.
func (q *quest) remember(t *train, miss float64) {
	const most = 12
	if len(q.near) == most && q.near[most-1].miss <= miss {
		return
	}
	for i := range q.near { // one place a train is enough
		o := &q.near[i]
		if o.t.of == t.of && o.t.n == t.n && o.t.veil == t.veil && o.t.phi == t.phi {
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

func (q *quest) sortNear() {
	slices.SortStableFunc(q.near, func(a, b attempt) int { return cmp.Compare(a.miss, b.miss) })
}

// closest puts up the train that comes nearest, where it betters what there is visibly.
func (q *quest) closest() []*piece {
	now := math.Abs(light.Stops(math.Max(q.have, darkestLx), q.want))
	best, bestMiss := []*piece(nil), now-closeStops
	for _, a := range q.near {
		if a.miss >= bestMiss {
			break
		}
		// Where it was only guessed at, it may have to stand a little further off to be out of the picture.
		for range nearerSteps {
			q.shine(&a.t)
			if q.fits(&a.t) && (!q.soft || q.softens(&a.t)) && q.evens(&a.t) {
				if up, ok := q.putUp(&a.t); ok {
					if miss := math.Abs(light.Stops(math.Max(q.with(up), darkestLx), q.want)); miss < bestMiss {
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

// nearerSteps and nearerStep are how often and by what ratio that is.
const (
	nearerSteps = 5
	nearerStep  = 1.1
)
