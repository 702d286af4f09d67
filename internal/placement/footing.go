package placement

import (
	"math"

	"kitspan/internal/geom"
	"kitspan/internal/scene"
)

// footing is a convex part of the ground where a support may stand: beyond one plane of the picture and, where that alone
// would not keep it off the people, beyond one side of the zone. The footings together are all the ground that is free.
type footing struct {
	id   uint8    // from 1, the same at every turn
	g    geom.Vec // the plane through the eye, pointing away from the picture
	keep float64  // by how much, in units of g, a support stays beyond it
	side geom.Vec // square to the side of the zone, outward; zero where the plane is enough
	edge float64  // of the zone on that side
	wide float64  // by how much the edge grows with the zone's half-width
}

// maxFootings allows every plane three sides of the zone: the fourth lies on the plane's far side.
const maxFootings = 3 * scene.ViewSides

// footingsOf appends the parts of the ground that supports may stand on; where the zone's width is sought, each plane is
// joined with sides of the zone, because no plane is enough for every width.
func footingsOf(st *scene.Stage, out []footing, ho *SupportLimits, y Yield) []footing {
	for plane, g := range st.ViewPlanes() {
		if neverNeeded(st, plane, g, ho) {
			continue
		}
		level := geom.Vec{X: g.X, Y: g.Y}
		keep := st.ClearanceM(plane)
		id := uint8(1 + 5*plane)
		if y != YieldWidth && keep+g.Dot(st.View.Eye) >= math.Abs(g.X)*st.Half.X+math.Abs(g.Y)*st.Half.Y {
			out = append(out, footing{id: id, g: g, keep: keep})
			continue
		}
		sides := [4]geom.Vec{{X: -1}, {X: 1}, {Y: -1}, {Y: 1}}
		far := 0
		for i := range sides {
			if sides[i].Dot(level) < sides[far].Dot(level) {
				far = i
			}
		}
		for i, side := range sides {
			if i == far {
				continue
			}
			f := footing{id: id + 1 + uint8(i), g: g, keep: keep, side: side, edge: st.Half.X*math.Abs(side.X) + st.Half.Y*math.Abs(side.Y)}
			if y == YieldWidth {
				f.wide = math.Abs(side.X)
			}
			out = append(out, f)
		}
	}
	return out
}

// neverNeeded reports whether a plane can be left out: every support that stands beyond it, under or over the picture, could
// as well stand behind the lens, or none is within reach there. All three planes are level across the picture.
func neverNeeded(st *scene.Stage, plane int, g geom.Vec, ho *SupportLimits) bool {
	if plane != scene.UnderView && plane != scene.OverView {
		return false
	}
	at := st.ClearanceM(plane) + g.Dot(st.View.Eye) + math.Max(0, -g.Z)*ho.LowestM
	if g.Y > 0 {
		return at > g.Y*wayOffM
	}
	behind := math.Inf(1) // the farthest y at which any mast is behind the lens
	for _, z := range [2]float64{0, ho.HighestM} {
		f := st.View.Forward
		behind = math.Min(behind, st.View.Eye.Y-(st.ClearanceM(scene.BehindView)+f.Z*(z-st.View.Eye.Z))/f.Y)
	}
	return -at <= -g.Y*behind
}

// wayOffM is farther, in metres, than any support stands from the zone: a frame's middle at [scene.FarM], half its diagonal and
// an arm.
const wayOffM = scene.FarM + 13

// footings appends the alternatives of support i.
func (p *placer) footings(list []alternative, i int, only uint8) []alternative {
	for k := range p.search.ground {
		if on := &p.search.ground[k]; wanted(on.id, only) {
			var o *alternative
			list, o = appendAlternative(list, on.id)
			p.standOn(o, i, on)
		}
	}
	return list
}

// standOn writes the conditions under which the mast of point i and its feet find room on a footing within the arm's
// reach. It is a relaxation, near to exact: where the frame itself is in the way, and the corner of two planes to less
// than a tenth of the arm, are looked at when the bases are put down.
func (p *placer) standOn(out *alternative, i int, on *footing) {
	w := &p.search
	f, o, ho := w.f, w.off.At[i], w.ho
	gives := flag(w.y == YieldView)
	flat := math.Hypot(on.g.X, on.g.Y)
	level := geom.Vec{X: on.g.X, Y: on.g.Y}
	at := on.keep + on.g.Dot(p.st.View.Eye)
	gain := w.off.armGain(i, f, on.g)
	// beyond keeps g·(c + o) at least as far as need.
	beyond := func(g geom.Vec, gives, need float64) {
		out.put(g.Scale(-1), gives+p.easing.held(g, ho.Count), g.Dot(o)-need)
	}
	// At the ground, with the feet …
	beyond(level, gives, at-ho.armReach(gain, flat))
	// … and at the top of the mast, where the lens looks up or down.
	if math.Abs(on.g.Z) > 1e-12 {
		beyond(on.g, gives, at-ho.armReach(gain, 0))
	}
	if on.side == (geom.Vec{}) {
		return
	}
	beyond(on.side, on.wide, on.edge+scene.GuardM-on.wide*p.st.Half.X-ho.armReach(w.off.armGain(i, f, on.side), 1))
	if on.wide > 0 || flat < 1e-9 {
		return
	}
	// Of both at once: along the line between them, no nearer than the corner where they cross.
	along := level.Scale(1 / flat).Add(on.side)
	turn := (on.g.X*on.side.Y - on.g.Y*on.side.X) / flat
	if math.Abs(turn) < 1e-3 || along.Len() < 1e-3 {
		return
	}
	along = along.Unit()
	reach := w.off.armGain(i, f, along)
	need := math.Inf(1)
	for _, s := range ho.Stances {
		plane, edge := at/flat+s.FootM*geom.DiscOuter, on.edge+scene.GuardM+s.FootM
		corner := geom.Vec{X: (plane*on.side.Y - on.g.Y/flat*edge) / turn, Y: (on.g.X/flat*edge - plane*on.side.X) / turn}
		need = math.Min(need, along.Dot(corner)-math.Max(0, s.ArmM-scene.GuardM)*reach)
	}
	beyond(along, gives, need)
}

// maxAsides is the sides of a further zone.
const maxAsides = 4

// offZone appends the alternatives of a further zone's list: of head room over it, or of one support beside it. There are none where
// the piece is too far from it to matter.
func (p *placer) offZone(list []alternative, of int, only uint8) []alternative {
	w := &p.search
	z, support := &w.zones[of/zoneLists], of%zoneLists-1
	outM := math.Hypot(w.sh.OutU, w.sh.OutV) + scene.HeadBorderM
	switch {
	case support < 0:
		if z.DistanceInPlan(p.st.Mid) < scene.FarM+outM {
			return p.headCases(list, p.st.HeadRoomOver(z), only)
		}
	case support < w.off.N && !w.ho.Anywhere && z.DistanceInPlan(p.st.Mid) < scene.FarM+outM+w.ho.spanM():
		for k, side := range [maxAsides]geom.Vec{{X: -1}, {X: 1}, {Y: -1}, {Y: 1}} {
			if id := uint8(k + 1); wanted(id, only) {
				var o *alternative
				list, o = appendAlternative(list, id)
				p.standBeside(o, support, side, side.Dot(z.Mid)+z.Half.X*math.Abs(side.X)+z.Half.Y*math.Abs(side.Y))
			}
		}
	}
	return list
}

// standBeside writes the condition under which the mast of point i and its feet find room within the arm's reach beyond an edge
// of a zone.
func (p *placer) standBeside(out *alternative, i int, side geom.Vec, edge float64) {
	w := &p.search
	out.put(side.Scale(-1), p.easing.held(side, w.ho.Count), side.Dot(w.off.At[i])-(edge+scene.GuardM-w.ho.armReach(w.off.armGain(i, w.f, side), 1)))
}
