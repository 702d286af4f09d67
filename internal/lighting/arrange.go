package lighting

import (
	"context"
	"math"
	"slices"

	"kitspan/internal/finding"
	"kitspan/internal/light"
	"kitspan/internal/overhead"
	"kitspan/internal/scene"
	"kitspan/internal/shot"
)

// Means is what a setup lifts the key with.
type Means int

const (
	ByReflectors Means = iota // boards and cloths that give back light that is there
	ByLamps
)

// Arrangement is a setup with everything up, what it gives, and what it misses.
type Arrangement struct {
	*Setup
	by     Means
	dark   bool // no lamps at all: the option is one of reflectors alone
	Levels Levels
	// Trim is the key level against the distance of what lifts the key, nearest first; empty where nothing does.
	Trim []TrimStep
	// ReaimMin is after how many minutes the reflectors of the key have to be aimed anew; nil where nothing is aimed.
	ReaimMin *float64
	Notes    []finding.Note
	// Lacks is what of the look is missed; empty where all is done.
	Lacks []finding.Shortfall
	firm  bool         // nothing that only comes near is put up
	warm  bool         // only what warms is put up for the key
	floor float64      // the least key level that gives the contrast with the other side left alone; 0 where none is sought
	key   *placedArray // what lifts the key; nil where nothing does
	fill  *placedArray
}

// placedArray is an array that stands, and where its pieces are in the setup.
type placedArray struct {
	array   array
	to      aim
	first   int
	count   int
	role    finding.Role
	dims    bool    // it takes light away
	softDeg float64 // how large it had to look
	done    bool    // it gives what was asked, and is not only the nearest to it
}

// KeyArray returns what lifts the key; nil where nothing does.
func (a *Arrangement) KeyArray() *finding.Array {
	if a.key == nil {
		return nil
	}
	out := a.key.array.finding()
	return &out
}

// FillArray returns what stands on the fill side, and whether it takes light away there; nil where nothing does.
func (a *Arrangement) FillArray() (fill *finding.Array, darkens bool) {
	if a.fill == nil {
		return nil, false
	}
	out := a.fill.array.finding()
	return &out, a.fill.dims
}

// Omit is what a setup goes without.
type Omit struct {
	Lamps bool // all of them: the option is one of reflectors alone
	Shade bool // on the lens, which is noted
	// Of the look, what is left out of what it asks for; the levels say what that costs.
	Net, Back, Zones, Fill, Key bool
}

// Arrange shapes the light around the overheads: net, back, key, contrast, further zones, the lens's shade. When the context ends it
// returns what is up by then.
func (pl *Planner) Arrange(ctx context.Context, sc *scene.Light, rigs []*overhead.Rig, by Means, omit Omit) *Arrangement {
	a := &Arrangement{Setup: NewSetup(pl, sc, rigs), by: by, dark: omit.Lamps}
	if sc.ReferenceLx < DimmestReferenceLx {
		a.note(finding.DarkBackground{})
		a.Lacks = append(a.Lacks, finding.Shortfall{What: finding.Key})
		a.brace(ctx)
		shadeLens(ctx, a, omit.Shade)
		a.measure(ctx, pl)
		return a
	}
	if omit.Net && pl.netAsked() {
		a.Lacks = append(a.Lacks, finding.Shortfall{What: finding.Net})
	} else {
		stretchNet(ctx, pl, a)
	}
	pl.choose(a.Setup)
	if !omit.Back {
		lightBack(ctx, pl, a)
	}
	pl.shape(ctx, a, by, omit)
	if !omit.Zones {
		pl.liftOthers(ctx, a, by)
	}
	a.brace(ctx)
	shadeLens(ctx, a, omit.Shade)
	a.measure(ctx, pl)
	a.explain(pl)
	return a
}

// shape sets the key, then the fill against it, again where one carries the other off. Where a warm key is asked for, what warms comes
// before what does not.
func (pl *Planner) shape(ctx context.Context, a *Arrangement, by Means, omit Omit) {
	if omit.Key {
		if !omit.Fill {
			pl.shapeFill(ctx, a, by)
		}
		return
	}
	if pl.shot.Look.Colour == shot.ColourWarm {
		a.warm = true // in full, or not at all
		pl.liftKey(ctx, a, by)
		a.warm = false
	}
	if a.key == nil {
		pl.liftKey(ctx, a, by)
	}
	for range rounds {
		if ctx.Err() != nil {
			return
		}
		if !omit.Fill {
			pl.shapeFill(ctx, a, by)
		}
		if !pl.trimKey(ctx, a) {
			break
		}
	}
}

// liftKey puts up what lifts the key. Where a key a little higher, still close to what is asked, gives the contrast without darkening the
// other side, that is tried first.
func (pl *Planner) liftKey(ctx context.Context, a *Arrangement, by Means) {
	to := a.keyAim()
	_, fill, _ := a.FaceLevels(to.mid)
	want := pl.wantKey(a.Light)
	floor := fill * math.Exp2(pl.shot.Look.ContrastStops-aimStops) * floorOver
	if least := want * math.Exp2(-aimStops); floor > least && floor <= want*math.Exp2(aimStops)/floorOver {
		a.floor = floor
		a.key = pl.lift(ctx, a, to, want, by)
		a.floor = 0
	}
	if a.key == nil {
		a.key = pl.lift(ctx, a, to, want, by)
	}
}

// floorOver keeps that higher key, and what the key's light adds to the other side, on the safe side.
const floorOver = 1.05

// rounds is how often key and fill are set against each other.
const rounds = 3

// DimmestReferenceLx is the level of a background, in lux, under which no picture is lit to match: EV −2 at ISO 100, starlit
// (common practice, no source).
const DimmestReferenceLx = 0.6

func (a *Arrangement) keyAim() aim {
	return aim{serves: shot.MainLabel, mid: a.Light.Stage.Mid, half: a.Light.Stage.Half, face: a.Light.Key, lights: finding.LitKey, side: a.Light.KeySide}
}

func (a *Arrangement) fillAim() aim {
	return aim{serves: shot.MainLabel, mid: a.Light.Stage.Mid, half: a.Light.Stage.Half, face: a.Light.Fill, lights: finding.LitFill, side: -a.Light.KeySide}
}

// wantKey returns the key level asked for, in lux.
func (pl *Planner) wantKey(l *scene.Light) float64 {
	return l.Background.KeyLx(pl.shot.Look.KeyStops)
}

// raise holds a query for the main key to the floor that the contrast sets: in full, or not at all.
func (a *Arrangement) raise(ask query) query {
	if a.floor > ask.least {
		ask.least, ask.strict = a.floor, true
		ask.want = math.Max(ask.want, math.Sqrt(ask.least*ask.most))
	}
	return ask
}

// lift puts up what brings a face to a level from below, evenly over the zone; nil where it needs nothing, or nothing
// improves it.
func (pl *Planner) lift(ctx context.Context, a *Arrangement, to aim, want float64, by Means) *placedArray {
	if ctx.Err() != nil {
		return nil
	}
	ask := asking(&to, want, false)
	if to.serves == shot.MainLabel {
		ask = a.raise(ask)
	}
	q := newSearch(a.Setup, ask)
	if q.have >= q.least || !q.strict && q.have >= want*math.Exp2(-closeStops) {
		return nil
	}
	q.warm = a.warm
	q.strict = q.strict || a.firm || a.warm
	q.evenly()
	q.soft, q.softDeg = pl.shot.Look.Soften != shot.SoftenOff, harshDeg
	if to.serves == shot.MainLabel {
		q.softDeg = pl.shot.Look.SoftDeg
	}
	switch {
	case by == ByLamps:
		q.role, q.diffuserRole = finding.RoleLamp, finding.RoleLampDiffuser
		return pl.mount(ctx, a, q, pl.lampKind())
	case a.Light.Driver < 0:
		q.role = finding.RoleReflector
		return pl.mount(ctx, a, q, weakArrays)
	}
	q.role, q.diffuserRole, q.sunny = finding.RoleReflector, finding.RoleReflectorDiffuser, true
	return pl.mount(ctx, a, q, plainArrays, diffusedArrays)
}

// mount searches and puts up what it finds, or what comes nearest. Where nothing is as soft as is asked, half as soft will do, down to
// what is harsh in any picture; on a face in a close-up what throws a bare beam comes last.
func (pl *Planner) mount(ctx context.Context, a *Arrangement, q *lightSearch, kinds ...arrayKind) *placedArray {
	var ended *lightSearch
	var up []*Piece
	var done bool
	blown := 0
	q.vain = pl.vainFor(q)
	for i, t := range q.tiers(kinds) {
		if i > 0 {
			harder := q.query
			harder.softDeg = t.softDeg
			q = q.again(harder)
			q.near = ended.near
		}
		if ended, up, done = pl.attempts(ctx, q, t.kinds); done {
			break
		}
		blown += ended.blown
	}
	if !done && blown > 0 && !q.warm { // what serves and does not hold the gust is reported, before what holds and does not serve
		calm := q.query
		calm.windless = true
		again := q.again(calm)
		again.vain = newVain()
		if other, found, ok := pl.attempts(ctx, again, kinds); ok {
			ended, up, done = other, found, true
		} else {
			off := finding.GustKeepsOff{Role: q.role, AskedMS: pl.shot.GustMS}
			if !slices.ContainsFunc(a.Notes, func(n finding.Note) bool { return n == finding.Note(off) }) {
				a.note(off)
			}
		}
	}
	if !done && !q.strict {
		up = ended.closest(ctx)
	}
	if len(up) == 0 {
		return nil
	}
	if done {
		pl.found = append(pl.found, found{*q.to, q.role, q.want, q.have, q.softDeg, q.warm, ended.found})
	}
	g := &placedArray{
		array: ended.found, to: *q.to, first: len(a.Pieces), count: len(up), role: q.role, dims: q.dims, softDeg: q.softDeg, done: done,
	}
	a.add(up)
	return g
}

// tier is what is searched before anything harder.
type tier struct {
	softDeg float64
	kinds   []arrayKind
}

// closeUpDeg is how soft a key is asked for from which on a bare beam on the face is the last resort: that of a close-up.
const closeUpDeg = 20

// tiers are the kinds of arrays to be searched, by how soft they must look, the softest first.
func (q *lightSearch) tiers(kinds []arrayKind) (list []tier) {
	if q.soft && q.softDeg >= closeUpDeg && slices.Contains(kinds, diffusedArrays) {
		bareless := []arrayKind{fillArrays, diffusedArrays} // near before large: nobody brings a wall of cloth to a close-up that a board lights
		list = append(list, tier{q.softDeg, bareless}, tier{q.softDeg / 2, bareless}, tier{q.softDeg, []arrayKind{weakArrays}})
	}
	deg := q.softDeg
	for q.soft && deg > harshDeg {
		list = append(list, tier{deg, kinds})
		deg = math.Max(harshDeg, deg/2)
	}
	return append(list, tier{deg, kinds})
}

// attempts searches kinds of arrays, then those that left the corners short by what is asked of these at least; ended is
// the search of the two that came last.
func (pl *Planner) attempts(ctx context.Context, q *lightSearch, kinds []arrayKind) (ended *lightSearch, up []*Piece, done bool) {
	up, done = pl.search(ctx, q, kinds)
	if done || q.strict || len(q.uneven) == 0 {
		return q, up, done
	}
	ask := q.query
	ask.share = leastShare
	ended = q.again(ask)
	ended.near, ended.blown, ended.vain = q.near, q.blown, newVain()
	up, done = ended.run(ctx, q.uneven)
	q.vain.merge(ended.vain)
	return ended, up, done
}

// search tries kinds of arrays, one after the other.
func (pl *Planner) search(ctx context.Context, q *lightSearch, kinds []arrayKind) (up []*Piece, done bool) {
	for _, kind := range kinds {
		q.looked = min(q.vain.looked[kind], patienceLooks-patienceAgain)
		list := pl.arrays.of(kind)
		if hint, ok := pl.hint(q, list); ok {
			up, done = q.run(ctx, list[hint:])
		}
		if !done {
			up, done = q.run(ctx, list)
		}
		if q.vain.looked[kind] = q.looked; done {
			return up, true
		}
	}
	return nil, false
}

// found is what a search found.
type found struct {
	to         aim
	role       finding.Role
	want, have float64
	softDeg    float64
	warm       bool
	found      array
}

// alikeShare is how near two levels are for the answer to one search to be where the next one starts.
const alikeShare = 0.05

// hint returns where in a list a search starts that differs little from an earlier one, as that of an option on lifts from
// that on stands: what did not do there would not do here. ok is false where there was none, or it found the first of the list.
func (pl *Planner) hint(q *lightSearch, list []array) (at int, ok bool) {
	for _, a := range pl.found {
		if a.to != *q.to || a.role != q.role || a.softDeg != q.softDeg || a.warm != q.warm || math.Abs(a.want-q.want) > alikeShare*q.want || math.Abs(a.have-q.have) > alikeShare*q.have {
			continue
		}
		if i := slices.IndexFunc(list, func(t array) bool { return t.alike(&a.found) }); i > 0 {
			return i, true
		}
	}
	return 0, false
}

// shapeFill brings the fill face to the contrast asked: by a weaker reflector where it is too dark, by a black panel
// where it is too bright, by nothing where it is right.
func (pl *Planner) shapeFill(ctx context.Context, a *Arrangement, by Means) {
	a.remove(a.fill)
	a.fill = nil
	to := a.fillAim()
	key, fill, _ := a.FaceLevels(to.mid)
	want := math.Max(key, scene.DarkestLx) * math.Exp2(-pl.shot.Look.ContrastStops)
	off := light.Stops(math.Max(fill, scene.DarkestLx), want)
	if math.Abs(off) <= closeStops {
		return
	}
	q := newSearch(a.Setup, asking(&to, want, off > 0))
	q.against, q.leastGain = math.Max(key, scene.DarkestLx), gainStops
	if off > 0 {
		q.role = finding.RoleBlack
		a.fill = pl.mount(ctx, a, q, blackArrays)
		return
	}
	q.role, q.soft, q.softDeg = finding.RoleFill, pl.shot.Look.Soften != shot.SoftenOff, harshDeg
	a.fill = pl.mount(ctx, a, q, fillArrays, plainArrays)
	if by != ByLamps || a.fill != nil && a.fill.done {
		return
	}
	a.remove(a.fill)
	a.fill = nil
	q = newSearch(a.Setup, asking(&to, want, false))
	q.against, q.leastGain = math.Max(key, scene.DarkestLx), gainStops
	q.role, q.diffuserRole, q.soft, q.softDeg = finding.RoleLamp, finding.RoleLampDiffuser, pl.shot.Look.Soften != shot.SoftenOff, harshDeg
	a.fill = pl.mount(ctx, a, q, pl.lampKind())
}

// lampKind returns what lamps light a face by: through diffusion where the look is soft.
func (pl *Planner) lampKind() arrayKind {
	if pl.shot.Look.Soften == shot.SoftenOff {
		return lampArrays
	}
	return softLampArrays
}

// trimKey moves the key group where the fill side has carried the key off what was asked; it reports whether it moved.
func (pl *Planner) trimKey(ctx context.Context, a *Arrangement) bool {
	if a.key == nil {
		return false
	}
	want := pl.wantKey(a.Light)
	key, _, _ := a.FaceLevels(a.Light.Stage.Mid)
	if math.Abs(light.Stops(math.Max(key, scene.DarkestLx), want)) <= closeStops {
		return false
	}
	old := *a.key
	parked := a.remove(a.key)
	to := old.to
	q := newSearch(a.Setup, asking(&to, want, false))
	q.evenly()
	q.soft, q.softDeg = pl.shot.Look.Soften != shot.SoftenOff, old.softDeg
	q.role, q.diffuserRole, q.sunny = old.role, finding.RoleReflectorDiffuser, old.role == finding.RoleReflector
	if old.role == finding.RoleLamp {
		q.diffuserRole = finding.RoleLampDiffuser
	}
	t := old.array
	q.warm = t.warms()
	if up, ok := q.run(ctx, []array{{of: t.of, n: t.n, turned: t.turned, diffuser: t.diffuser}}); ok {
		a.key = &placedArray{array: q.found, to: to, first: len(a.Pieces), count: len(up), role: q.role, softDeg: q.softDeg, done: true}
		a.add(up)
		return true
	}
	a.key = &placedArray{array: old.array, to: to, first: len(a.Pieces), count: len(parked), role: old.role, softDeg: old.softDeg, done: old.done}
	a.add(parked)
	return false
}

// remove takes a group out of the setup and gives its pieces back.
func (a *Arrangement) remove(g *placedArray) []*Piece {
	if g == nil {
		return nil
	}
	gone := append([]*Piece(nil), a.Pieces[g.first:g.first+g.count]...)
	rest := append([]*Piece(nil), a.Pieces[g.first+g.count:]...)
	a.drop(g.first)
	a.add(rest)
	for _, o := range []*placedArray{a.key, a.fill} {
		if o != nil && o.first > g.first {
			o.first -= g.count
		}
	}
	return gone
}

// liftOthers lifts every further zone by pieces of its own, whose light does not cross the main zone.
func (pl *Planner) liftOthers(ctx context.Context, a *Arrangement, by Means) {
	for i := range pl.shot.OtherZones {
		z := &pl.shot.OtherZones[i]
		at := a.zones[i+1]
		want := a.Light.ReferenceLx * math.Exp2(z.KeyStops)
		to := aim{serves: z.Label, mid: at.Mid, half: at.Half, face: a.Light.Key, lights: finding.LitKey, side: a.Light.KeySide, keepOff: true}
		ways := []func() *placedArray{
			func() *placedArray { return pl.lift(ctx, a, to, want, by) },
			func() *placedArray { to.side = -to.side; return pl.lift(ctx, a, to, want, by) },
		}
		if by == ByReflectors && !a.dark {
			ways = append(ways, func() *placedArray { to.side = -to.side; return pl.lift(ctx, a, to, want, ByLamps) })
		}
		a.firm = true // in full first, by whatever does
		done := false
		for _, way := range ways {
			if ctx.Err() != nil {
				return
			}
			a.light()
			if done = a.level(at.Mid, a.Light.Key) >= want*math.Exp2(-closeStops); !done {
				done = way() != nil
			}
			if done {
				break
			}
		}
		if a.firm = false; !done {
			to.side = a.Light.KeySide
			pl.lift(ctx, a, to, want, by)
		}
	}
}
