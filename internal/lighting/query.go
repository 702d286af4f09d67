package lighting

import (
	"math"

	"kitspan/internal/finding"
	"kitspan/internal/geom"
	"kitspan/internal/light"
	"kitspan/internal/scene"
)

const (
	// closeStops is how near a level must come to what was asked (contract: a third of a stop).
	closeStops = 1.0 / 3
	// aimStops is how near a search wants to come: a sixteenth of a stop of closeStops is kept for what a meter reads
	// differently.
	aimStops = closeStops - 1.0/16
	// evenShare is the least share of the middle's level that every corner of the zone must get: one stop under it; where
	// nothing does that, leastShare, a stop and a half. Of the beam of reflectors that throw one, every corner gets at
	// least beamShare of the middle's (common practice, no source).
	evenShare  = 0.5
	leastShare = 0.35355339
	beamShare  = 0.25
	// ladder is the ratio of neighbouring distances that are tried.
	ladder = 1.5
	// leastCos is the least cosine with which a source may strike a reflector: 80° off square.
	leastCos = 0.17
	// harshDeg is the apparent size under which a source throws hard shadows in any picture: ten suns side by side. A smaller one
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

// backPhis and backStands are the same for a lamp behind the subject: so far behind that it leaves the key and the fill
// face alone, and high enough to clear the picture.
var (
	backPhis   = [...]float64{135, 150, 165}
	backStands = [...]struct{ raiseM, gapM float64 }{{0.6, 0.1}, {1.8, 0.1}, {3, 0.1}}
)

// query is what a light search looks for, and what will do.
type query struct {
	to                 *aim
	role, diffuserRole finding.Role
	want               float64 // lx
	least, most        float64 // what will do, lx
	even               bool    // corners must get their share, too
	share              float64 // of the middle that corners must get
	soft               bool    // a harsh source will not do: one that looks smaller than softDeg
	softDeg            float64
	leastGain          float64 // stops that each piece of the group is to bring; 0 for any
	warm               bool    // the group is to warm what it lights; else it may not tint it
	dims               bool    // the group is there to take light away
	sunny              bool    // reflectors must stand in the sun
	strict             bool    // nothing that only comes near will do
	windless           bool    // what does not hold the gust will do, too
	against            float64 // the key level that a fill is held against; 0 where the level itself is asked
}

// asking returns a query for a level, in lux, on an aim's face.
func asking(to *aim, want float64, dims bool) query {
	return query{to: to, want: want, dims: dims, least: want * math.Exp2(-aimStops), most: want * math.Exp2(aimStops)}
}

// lightSearch is one search for a group of lights beside all that is up.
type lightSearch struct {
	query
	s *Setup
	// have is the level at the middle without the group, corners that at the zone's corners.
	have    float64
	corners [8]float64
	open    float64 // of the sky and the ground alone, at the middle
	openAt  [8]float64
	before  []float64 // the key's levels elsewhere, which a further zone's group must leave alone
	solo    light.Scene
	lit     *light.Lit
	laid    layout
	shone   array  // the one lit last
	alone   *alone // what arrays give and where they are clear by themselves
	vain    *vain  // what need not be tried again; nil to try everything
	outcome
}

// outcome is what a search has come to so far.
type outcome struct {
	near   []attempt // the nearest that did not do, best first
	uneven []array   // did but for the corners, in the order in which they were tried
	looked int       // places lit
	small  bool      // the array tried last was refused somewhere because it looks too small
	stood  bool      // or because something is in its way
	blown  int       // refused because they do not hold the gust
	found  array     // the one that run or closest put up
}

// again returns the same search, begun anew for another query about the same aim.
func (q *lightSearch) again(ask query) *lightSearch {
	o := *q
	o.query, o.outcome, o.shone = ask, outcome{}, array{} // others light theirs meanwhile
	return &o
}

// attempt is an array in its place and by how many stops it is expected to miss.
type attempt struct {
	t    array
	miss float64
}

// newSearch measures what the setup gives before a search begins.
func newSearch(s *Setup, ask query) *lightSearch {
	q := &lightSearch{query: ask, s: s, lit: s.solo}
	to := ask.to
	if to.keepOff {
		q.before = s.keyLevels()
	}
	s.light()
	q.have = s.level(to.mid, to.face)
	// What a reflector hides of the ground and shades of it is little: it counts once the group is up.
	ground := 0.0
	if q.dims {
		ground = s.Light.GroundReflectance
	}
	q.solo = light.Scene{SkyLx: s.Light.SkyLx, GroundReflectance: ground, Hard: s.Light.Hard, Panels: s.soloPanels[:0], Lamps: s.soloLamps[:0]}
	q.lit.Set(&q.solo)
	l := q.lit.Face(to.mid, to.face)
	q.open = l.Total()
	q.alone = s.aloneFor(to, ask.dims)
	return q
}

// evenly makes the search ask for the corners as well.
func (q *lightSearch) evenly() {
	q.even, q.share = true, evenShare
	for i := range q.corners {
		p := q.to.corner(i)
		q.corners[i] = q.s.level(p, q.to.face)
		l := q.lit.Face(p, q.to.face)
		q.openAt[i] = l.Total()
	}
}

func (to *aim) corner(i int) geom.Vec {
	return overGround(geom.Box{Mid: to.mid, Half: to.half}.Corner(i))
}

// towardDriver returns the direction to the source that reflectors work with; nil where there is none.
func towardDriver(s *Setup) func(geom.Vec) geom.Vec {
	if s.Light.Driver < 0 {
		return nil
	}
	return s.Light.Toward
}

// layOut works out where everything of an array stands.
func (q *lightSearch) layOut(t *array) {
	toward := towardDriver(q.s)
	if q.dims {
		toward = nil
	}
	t.layOut(q.to, toward, &q.laid)
}

// shine lays an array and lights it alone.
func (q *lightSearch) shine(t *array) {
	q.layOut(t)
	q.solo.Panels, q.solo.Lamps = q.solo.Panels[:0], q.solo.Lamps[:0]
	t.shine(&q.laid, &q.solo)
	q.lit.Set(&q.solo)
	q.shone = *t
}

// expect returns the level that an array makes, from what it gives alone.
func (q *lightSearch) expect(t *array) float64 {
	q.looked++
	return math.Max(q.have+q.see(t).middle.Total()-q.open, scene.DarkestLx)
}

// evens reports whether an array, as it is expected to light the zone, serves the whole of it.
func (q *lightSearch) evens(t *array) bool {
	if !q.even {
		return true
	}
	g := q.see(t)
	mid := g.middle
	level := q.have + mid.Total() - q.open
	for i := range q.corners {
		l := q.corner(t, g, i)
		if at := q.corners[i] + l.Total() - q.openAt[i]; at < q.share*level || at > level/q.share {
			return false
		}
		if t.of.lamp != nil || !t.of.specular() {
			continue
		}
		if l.Beam+l.Glow < beamShare*(mid.Beam+mid.Glow) || t.diffuser == nil && l.Beam < beamShare*mid.Beam {
			return false
		}
	}
	return true
}

// fits reports whether everything of the array laid last is out of the picture and off the zones, and its light off the camera.
func (q *lightSearch) fits(t *array) bool {
	if t.diffuser != nil && !q.s.standsOff(q.laid.diffuserOuter, q.to, q.laid.dir) {
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
	return q.dims || q.beamsClear(t)
}

// lampSizeM is the room that a lamp's head takes (common practice, no source).
const lampSizeM = 0.5

// harsh reports, without lighting it, whether an array looks too small to be soft from anywhere: the spot on a mirror is the sun's.
func (q *lightSearch) harsh(t *array) bool {
	if t.diffuser != nil && t.diffuser.fabric.BeamShare > scene.HardShare {
		return true // what passes straight is hard light by the same rule as that of the sources
	}
	if t.diffuser != nil || t.of.lamp != nil || !t.of.specular() || q.s.Light.Driver < 0 {
		return false
	}
	// As many spots side by side have so many times the area.
	return 2*(t.of.front.LobeDeg+q.s.Light.Hard[q.s.Light.Driver].RadiusDeg)*math.Sqrt(float64(t.n)) < q.softDeg
}

// tooSmall reports whether the array laid last looks too small to be soft even if all of its sheets shine on the aim: further off it looks
// smaller still.
func (q *lightSearch) tooSmall(t *array) bool {
	if !q.soft {
		return false
	}
	if t.diffuser != nil {
		return light.ApparentDeg(q.to.mid, q.laid.diffuser.Corners()) < q.softDeg
	}
	if t.of.lamp != nil {
		return true
	}
	var all light.Part
	for i := range q.laid.n {
		c := q.laid.rects[i].Corners()
		all = all.And(light.Part{Sr: geom.SolidAngle(q.to.mid, c[:])})
	}
	return all.Deg() < q.softDeg
}

// hides reports whether the diffuser laid last stands between every lamp, or the middle of every board, and the whole zone.
func (q *lightSearch) hides(t *array) bool {
	for i := range q.laid.n {
		from := q.laid.rects[i].Center
		if t.of.lamp != nil {
			from = q.laid.lamps[i].At
		}
		for k := range 8 {
			if !q.laid.diffuser.CutBy(from, q.to.corner(k)) {
				return false
			}
		}
	}
	return true
}

// softens reports whether the array lit last looks large enough not to be harsh, its sheets together.
func (q *lightSearch) softens(t *array) bool {
	if t.diffuser != nil {
		return light.ApparentDeg(q.to.mid, q.laid.diffuser.Corners()) >= q.softDeg && q.hides(t)
	}
	if t.of.lamp != nil {
		return false
	}
	var all light.Part
	for i := range q.laid.n {
		if p := q.lit.FromPanel(q.to.mid, q.to.face, i); p.Lx > 0 {
			all = all.And(p)
		}
	}
	return all.Deg() >= q.softDeg
}
