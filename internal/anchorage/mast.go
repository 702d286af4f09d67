package anchorage

import (
	"math"
	"slices"

	"kitspan/internal/catalog"
	"kitspan/internal/geom"
	"kitspan/internal/placement"
	"kitspan/internal/price"
	"kitspan/internal/scene"
)

// Support is one kind of stand or machine of a house: what it can hold, and what one costs per day in minor units of the currency.
type Support struct {
	Item   *catalog.Item
	Spec   *catalog.Support
	Limits placement.SupportLimits
	Minor  int64
}

// SupportOf returns the support of an offer, whose item must be a support, n of it to a piece, under a limit in metres on the
// height of the highest part of what is held, +Inf for none.
func SupportOf(o price.Offer, n int, topM float64) Support {
	spec := o.Item.Spec.(*catalog.Support)
	return Support{o.Item, spec, placement.SupportLimits{
		LowestM: spec.LowestM, HighestM: spec.HighestM, TopM: topM, Count: n, Stances: []placement.Stance{{ArmM: spec.ArmReachM, FootM: spec.FootprintM}},
	}, o.Minor}
}

// Mast is one support in its place: the foot of the mast and the point on the frame that it holds, in the camera's axes, and what
// it is.
type Mast struct {
	Base    geom.Vec
	Held    geom.Vec
	Support *Support
}

// Top returns the head of the mast, straight over its foot.
func (m *Mast) Top() geom.Vec { return geom.Vec{X: m.Base.X, Y: m.Base.Y, Z: m.Held.Z} }

// ArmM returns how long the arm is from the head to the point held, in metres.
func (m *Mast) ArmM() float64 { return math.Hypot(m.Held.X-m.Base.X, m.Held.Y-m.Base.Y) }

// Crowds reports whether a mast stands among the feet of another, or, where either is a machine, whose chassis fills the circle of
// its feet, whether their feet overlap.
func (m *Mast) Crowds(o *Mast) bool {
	return math.Hypot(m.Base.X-o.Base.X, m.Base.Y-o.Base.Y) < apartM(m.Support, o.Support)
}

// apartM returns the least distance between the masts of two supports.
func apartM(a, b *Support) float64 {
	if a.Spec.Class == catalog.ClassMachine || b.Spec.Class == catalog.ClassMachine {
		return a.Spec.FootprintM + b.Spec.FootprintM
	}
	return math.Max(a.Spec.FootprintM, b.Spec.FootprintM)
}

// PutBase finds the foot of a mast nearest under the held point: out of view, out of the zone and off the camera with its feet, its
// mast and its arm, not up through the frame, off the feet of the piece's other supports, which stand already, and off the plans of
// some boxes besides. Except for feet and the lens the forbidden ground is bounded by straight lines, so that the nearest free place is the point itself, its foot on
// one of the lines, or a crossing of two; beside those it is looked for on every side, as far as the arm reaches. ok is false where
// no such place was found.
func PutBase(st *scene.Stage, held geom.Vec, w *Support, outer *geom.Rect, standing []Mast, off ...geom.Box) (best Mast, ok bool) {
	on := &w.Limits.Stances[0]
	nearest := math.Inf(1)
	crowded := false
	try := func(x, y float64) {
		d := math.Hypot(x-held.X, y-held.Y)
		if d > on.ArmM+1e-9 || d >= nearest-1e-9 {
			return
		}
		m := Mast{Base: geom.Vec{X: x, Y: y}, Held: held, Support: w}
		if slices.ContainsFunc(standing, func(o Mast) bool { return m.Crowds(&o) }) {
			crowded = true
			return
		}
		if !slices.ContainsFunc(off, func(b geom.Box) bool { return b.DistanceInPlan(m.Base) < on.FootM }) && standsFree(st, &m, on.FootM, outer) {
			best, nearest, ok = m, d, true
		}
	}
	try(held.X, held.Y)
	if ok || on.ArmM <= 0 {
		return best, ok
	}
	var room [maxLines]groundLine
	lines := groundLines(st, room[:0], held, on.ArmM, on.FootM)
	for i := range off {
		lines = aroundBox(lines, &off[i], on.FootM+scene.GuardM)
	}
	// Along the frame's own edges, where a mast just clears the fabric.
	for _, e := range [2]geom.Vec{outer.U, outer.V} {
		if flat := math.Hypot(e.X, e.Y); flat > 1e-6 {
			nx, ny := -e.Y/flat, e.X/flat
			lines = append(lines, groundLine{nx, ny, nx*held.X + ny*held.Y})
		}
	}
	for i := range lines {
		a := &lines[i]
		d := a.at - a.nx*held.X - a.ny*held.Y
		try(held.X+a.nx*d, held.Y+a.ny*d)
		for k := range i {
			b := &lines[k]
			det := a.nx*b.ny - a.ny*b.nx
			if math.Abs(det) < 1e-9 {
				continue
			}
			try((a.at*b.ny-b.at*a.ny)/det, (a.nx*b.at-b.nx*a.at)/det)
		}
	}
	if arm := on.ArmM - scene.GuardM; !ok && crowded && arm > 0 {
		out := held.Sub(outer.Center).Bearing()
		for i := range besideWays {
			turn := float64((i+1)/2) * 360 / besideWays // outward first, then further and further to both sides, alike in a mirror
			if (i%2 == 1) == (held.X > 0) {
				turn = -turn
			}
			to := geom.Toward(out+turn, 0).Scale(arm)
			try(held.X+to.X, held.Y+to.Y)
		}
	}
	return best, ok
}

// besideWays is on how many sides of a held point a mast is tried that would crowd another straight under it.
const besideWays = 12

// maxLines is the number of edges of the view, of the zone and of the frame; further zones, the camera and other boxes have more.
const maxLines = scene.ViewSides + 4 + 2

// groundLine is nx·x + ny·y = at with a unit normal toward the free side.
type groundLine struct{ nx, ny, at float64 }

// aroundBox appends the sides of a box's plan, moved out.
func aroundBox(out []groundLine, b *geom.Box, byM float64) []groundLine {
	x, y := b.Half.X+byM, b.Half.Y+byM
	return append(out, groundLine{1, 0, b.Mid.X + x}, groundLine{-1, 0, x - b.Mid.X}, groundLine{0, 1, b.Mid.Y + y}, groundLine{0, -1, y - b.Mid.Y})
}

// lensSides is how many straight lines stand for the circle about the lens: what is tried lies up to 8 % of its radius off it.
const lensSides = 8

// aroundCamera appends lines around the camera and its operator, moved out; the nearest of them to a held point touches the circle
// about the lens straight between it and the lens.
func aroundCamera(out []groundLine, st *scene.Stage, held geom.Vec, byM float64) []groundLine {
	room := st.OperatorRoom()
	out = aroundBox(out, &room, byM)
	eye := st.View.Eye
	tangent := func(n geom.Vec) { out = append(out, groundLine{n.X, n.Y, n.Dot(eye) + scene.CameraRoomM + byM}) }
	if way := (geom.Vec{X: held.X - eye.X, Y: held.Y - eye.Y}); way.Len() > scene.GuardM {
		tangent(way.Unit())
	}
	for i := range lensSides {
		tangent(geom.Toward(float64(i)*360/lensSides, 0))
	}
	return out
}

// groundLines appends the edges of the forbidden ground for the middle of a base that holds a point: the planes of the view and
// the sides of the zone, and of further zones and the camera within reach, each moved out by what has to stay clear.
func groundLines(st *scene.Stage, out []groundLine, held geom.Vec, armM, footM float64) []groundLine {
	for plane, g := range st.ViewPlanes() {
		flat := math.Hypot(g.X, g.Y)
		if flat < 1e-6 {
			continue // level: no place on the ground is nearer to its other side
		}
		at := st.ClearanceM(plane) + g.Dot(st.View.Eye)
		need := at + footM*geom.DiscOuter*flat // at the ground, with the feet
		need = math.Max(need, at-g.Z*held.Z)   // at the top of the mast
		out = append(out, groundLine{g.X / flat, g.Y / flat, need / flat})
	}
	edge := footM + scene.GuardM
	out = append(out, groundLine{1, 0, st.Half.X + edge}, groundLine{-1, 0, st.Half.X + edge}, groundLine{0, 1, st.Half.Y + edge}, groundLine{0, -1, st.Half.Y + edge})
	for i := range st.Others {
		if z := &st.Others[i]; z.DistanceInPlan(held) < armM+edge {
			out = aroundBox(out, z, edge)
		}
	}
	if !st.OffCamera(held, armM+edge) {
		out = aroundCamera(out, st, held, edge)
	}
	return out
}

// standsFree reports whether a mast, its feet and its arm stand clear of the view, of all zones, of the camera and of the frame.
func standsFree(st *scene.Stage, m *Mast, footM float64, outer *geom.Rect) bool {
	if st.Zone().DistanceInPlan(m.Base) < footM || !st.OffCamera(m.Base, footM) || !freeOfOthers(st, m, footM) {
		return false
	}
	top := m.Top()
	// The mast may touch the frame where it holds it, not pass through it.
	if m.ArmM() > 0 && outer.Grow(-TubeClearM).CutBy(m.Base, top) {
		return false
	}
	if m.Held.Z < st.HeadM && st.Zone().Grow(scene.HeadBorderM).CutInPlan(top, m.Held) {
		return false
	}
	return st.View.SegmentClearance(m.Base, top) >= st.ViewM && st.View.SegmentClearance(top, m.Held) >= st.ViewM &&
		(st.FeetOutOfView(m.Base, footM) || st.View.DiscClearance(m.Base, footM) >= st.ViewM)
}

// freeOfOthers reports whether the feet stand off every further zone, and the arm keeps head room over each.
func freeOfOthers(st *scene.Stage, m *Mast, footM float64) bool {
	for i := range st.Others {
		z := &st.Others[i]
		if z.DistanceInPlan(m.Base) < footM {
			return false
		}
		if m.Held.Z < st.HeadRoomOver(z).HeadM && z.Grow(scene.HeadBorderM).CutInPlan(m.Top(), m.Held) {
			return false
		}
	}
	return true
}

// ViewClearanceM returns how far a mast, its feet and its arm are from the view, in metres.
func ViewClearanceM(st *scene.Stage, m *Mast) float64 {
	top := m.Top()
	return math.Min(st.View.DiscClearance(m.Base, m.Support.Spec.FootprintM),
		math.Min(st.View.SegmentClearance(m.Base, top), st.View.SegmentClearance(top, m.Held)))
}

// TubeClearM is how far, in metres, inside the frame's edge a mast may stand under it: the frame's corner joints and the head of
// the stand overlap by about so much (common practice, no source).
const TubeClearM = 0.02

// TopM returns the height of a rectangle's highest corner, in metres.
func TopM(outer *geom.Rect) float64 {
	return outer.Center.Z + outer.HalfU*math.Abs(outer.U.Z) + outer.HalfV*math.Abs(outer.V.Z)
}
