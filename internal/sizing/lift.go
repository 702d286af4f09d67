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
	// evenShare is the least share of the middle's level that every corner of the zone must get, and of the middle's
	// beam from reflectors that throw one: one stop under it.
	evenShare = 0.5
	// ladder is the ratio of neighbouring distances that are looked at.
	ladder = 1.22
	// leastCos is the least cosine with which a source may strike a reflector: 80° off square.
	leastCos = 0.17
	// harshDeg is the apparent size under which a source of key throws hard shadows: ten suns side by side. A smaller one
	// is put behind a diffusing frame where softening is asked for. Common practice, no source.
	harshDeg = 5.0
	// retries is how often a distance is corrected for what the rest of the setup does to the level.
	retries = 3
)

// phis are the directions in which a group is looked for, the one that strikes the face straight first.
var phis = [...]float64{45, 60, 30, 75, 20, 90}

// raises are how much over its lowest useful height a row is looked at.
var raises = [...]float64{0, 1.2}

// quest is one search for a group: what it is for, the level wanted on the face, and what stands already.
type quest struct {
	s              *setup
	to             *aim
	role, veilRole Role
	want           float64 // lx
	even           bool    // corners must get their share, too
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
	laid    placing
	looked  int
	found   train // the one that run or nearest put up
}

// attempt is a train in its place and by how many stops it is expected to miss.
type attempt struct {
	t    train
	miss float64
}

func (s *setup) quest(to *aim, want float64) *quest {
	q := &quest{s: s, to: to, want: want, lit: s.solo}
	s.light()
	q.have = s.level(to.mid, to.face)
	q.solo = light.Scene{SkyLx: s.sc.skyLx, GroundReflectance: s.sc.ground, Hard: s.sc.hard, Panels: s.soloPanels[:0], Lamps: s.soloLamps[:0]}
	q.lit.Set(&q.solo)
	l := q.lit.Face(to.mid, to.face)
	q.open = l.Total()
	return q
}

// evenly asks for the corners, too.
func (q *quest) evenly() {
	q.even = true
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

// shine lays a train and lights it alone.
func (q *quest) shine(t *train) {
	toward := q.s.toward()
	if q.dims {
		toward = nil
	}
	t.lay(q.to, toward, &q.laid)
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
		if q.corners[i]+l.Total()-q.openAt[i] < evenShare*level {
			return false
		}
		if t.veil == nil && t.of.lamp == nil && t.of.specular() && l.Beam < evenShare*mid.Beam {
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

// hopeless says, without looking, that a train cannot give enough from anywhere.
func (q *quest) hopeless(t *train) bool {
	if q.dims || t.of.lamp != nil || t.veil != nil {
		return false
	}
	sun := 0.0
	if d := q.s.sc.driver; d >= 0 {
		h := &q.s.sc.hard[d]
		sun = h.NormalLx
		if h.At != nil {
			return false
		}
	}
	r := math.Min(q.to.half.X, q.to.half.Y) + stepOffM
	area := float64(t.n) * t.of.areaM2
	spread := r * math.Tan(t.of.front.LobeDeg*math.Pi/180)
	beam := t.of.front.Specular * sun * math.Min(float64(t.n), area/(math.Pi*spread*spread))
	all := sun + q.s.sc.skyLx
	for i, h := range q.s.sc.hard {
		if i != q.s.sc.driver {
			all += h.NormalLx
		}
	}
	glow := (t.of.front.Diffuse*all + t.of.front.Specular*q.s.sc.skyLx) * math.Min(1, area/(math.Pi*r*r))
	return q.have+beam+glow < q.want*math.Exp2(-closeStops)
}

// run tries trains in order and puts up the first that does; done is false where none does.
func (q *quest) run(list []train) (up []*piece, done bool) {
	for _, t := range list {
		if q.hopeless(&t) {
			continue
		}
		if up, done = q.try(t); done {
			return up, true
		}
	}
	return nil, false
}

// try looks for a place for a train: direction by direction, height by height, from near to far.
func (q *quest) try(t train) ([]*piece, bool) {
	for _, phi := range phis {
		t.phi = phi
		if q.to.behind {
			t.phi = 180 - phi
		}
		for _, raise := range raises {
			t.z = q.to.mid.Z + raise
			if up, ok := q.walk(t); ok {
				return up, true
			}
			if q.dims {
				break
			}
		}
	}
	return nil, false
}

// walk goes from near to far and stops where the level is as asked.
func (q *quest) walk(t train) ([]*piece, bool) {
	reach := math.Abs(q.to.half.X) + math.Abs(q.to.half.Y)
	last, lastLevel := 0.0, 0.0
	for t.r = math.Min(reach, stepOffM) + stepOffM; t.r <= farM; t.r *= ladder {
		level := q.expect(&t)
		if !q.fits(&t) {
			last = 0
			continue
		}
		miss := math.Abs(light.Stops(level, q.want))
		if last > 0 && (level < q.want) != (lastLevel < q.want) {
			fine := t
			fine.r = q.between(&t, last, t.r, lastLevel < q.want)
			if up, ok := q.settle(fine); ok {
				return up, true
			}
		}
		if miss <= closeStops {
			if up, ok := q.settle(t); ok {
				return up, true
			}
		} else if last > 0 || miss < 2 {
			q.remember(&t, miss)
		}
		if !q.dims && level < q.have+(q.want-q.have)/8 {
			break // further off it only gets less
		}
		last, lastLevel = t.r, level
	}
	return nil, false
}

// between halves the way between two distances until the level is as asked.
func (q *quest) between(t *train, from, to float64, rising bool) float64 {
	try := *t
	for range 7 {
		try.r = (from + to) / 2
		if (q.expect(&try) < q.want) == rising {
			from = try.r
		} else {
			to = try.r
		}
	}
	return try.r
}

// settle puts a train up where it stands and corrects its distance for what the rest of the setup does.
func (q *quest) settle(t train) ([]*piece, bool) {
	for range retries {
		q.shine(&t)
		if t.r > farM || !q.fits(&t) || !q.evens(&t) || q.soft && !q.softens(&t) {
			return nil, false
		}
		up, ok := q.putUp(&t)
		if !ok {
			return nil, false
		}
		n := len(q.s.pieces)
		q.s.add(up)
		q.s.light()
		got := q.s.level(q.to.mid, q.to.face)
		q.s.drop(n)
		miss := light.Stops(math.Max(got, darkestLx), q.want)
		if math.Abs(miss) <= closeStops {
			q.found = t
			return up, true
		}
		// The square of the distance is a fair guess at how the part that the group gives changes.
		here := got - q.have
		need := q.want - q.have
		if here == 0 || need == 0 || here > 0 != (need > 0) {
			return nil, false
		}
		t.r *= math.Min(1.3, math.Max(0.77, math.Sqrt(here/need)))
	}
	return nil, false
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
	const most = 8
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

// nearest puts up the train that comes nearest, where it betters what there is.
func (q *quest) nearest() []*piece {
	now := math.Abs(light.Stops(math.Max(q.have, darkestLx), q.want))
	best, bestMiss := []*piece(nil), now-closeStops/4
	for i := range q.near {
		a := &q.near[i]
		if a.miss >= bestMiss {
			break
		}
		q.shine(&a.t)
		if q.soft && !q.softens(&a.t) || !q.evens(&a.t) {
			continue
		}
		up, ok := q.putUp(&a.t)
		if !ok {
			continue
		}
		n := len(q.s.pieces)
		q.s.add(up)
		q.s.light()
		miss := math.Abs(light.Stops(math.Max(q.s.level(q.to.mid, q.to.face), darkestLx), q.want))
		q.s.drop(n)
		if miss < bestMiss {
			best, bestMiss, q.found = up, miss, a.t
		}
	}
	return best
}
