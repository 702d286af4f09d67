package sizing

import (
	"math"
	"slices"

	"kitspan/internal/catalog"
	"kitspan/internal/geom"
	"kitspan/internal/placement"
	"kitspan/internal/price"
	"kitspan/internal/scene"
)

// rigged is a placed frame with its supports put down and everything measured, in the camera's frame.
type rigged struct {
	spot    placement.Spot
	opening geom.Rect
	outer   geom.Rect
	masts   [4]mast
	count   int
	marginM float64
	clearM  float64 // of the frame alone
}

// support is one kind of stand or machine of a house: what it can hold, and what one costs per day in minor units.
type support struct {
	item  *catalog.Item
	spec  *catalog.Support
	holds placement.SupportLimits
	minor int64
}

// supportOf is a support of an offer, n of it to a piece, under a limit on the highest part of what is held.
func supportOf(o price.Offer, n int, topM float64) support {
	spec := o.Item.Spec.(*catalog.Support)
	return support{o.Item, spec, placement.SupportLimits{
		LowestM: spec.LowestM, HighestM: spec.HighestM, TopM: topM, Count: n, Stances: []placement.Stance{{ArmM: spec.ArmReachM, FootM: spec.FootprintM}},
	}, o.Minor}
}

// mast is one support in its place: the foot of the mast, the point on the frame that it holds, and what it is.
type mast struct {
	base geom.Vec
	held geom.Vec
	on   *support
}

func (m *mast) top() geom.Vec { return geom.Vec{X: m.base.X, Y: m.base.Y, Z: m.held.Z} }

func (m *mast) armM() float64 { return math.Hypot(m.held.X-m.base.X, m.held.Y-m.base.Y) }

// crowds reports whether a mast stands among the feet of another; or a machine, whose chassis fills the circle of its feet,
// among anybody's.
func (m *mast) crowds(o *mast) bool {
	return math.Hypot(m.base.X-o.base.X, m.base.Y-o.base.Y) < apartM(m.on, o.on)
}

// apartM is how far apart the masts of two supports stand at least.
func apartM(a, b *support) float64 {
	if a.spec.Class == catalog.ClassMachine || b.spec.Class == catalog.ClassMachine {
		return a.spec.FootprintM + b.spec.FootprintM
	}
	return math.Max(a.spec.FootprintM, b.spec.FootprintM)
}

// putBase finds the foot of a mast nearest under the held point: out of view and out of the zone with its feet, its mast
// and its arm, not up through the frame, and off the feet of the piece's other supports, which stand already. But for
// those the forbidden ground is bounded by straight lines, so that the nearest free place is the point itself, its foot on
// one of the lines, or a crossing of two; beside those it is looked for on every side, as far as the arm reaches.
func putBase(st *scene.Stage, held geom.Vec, w *support, outer *geom.Rect, standing []mast) (best mast, ok bool) {
	on := &w.holds.Stances[0]
	nearest := math.Inf(1)
	crowded := false
	try := func(x, y float64) {
		d := math.Hypot(x-held.X, y-held.Y)
		if d > on.ArmM+1e-9 || d >= nearest-1e-9 {
			return
		}
		m := mast{base: geom.Vec{X: x, Y: y}, held: held, on: w}
		if slices.ContainsFunc(standing, func(o mast) bool { return m.crowds(&o) }) {
			crowded = true
			return
		}
		if standsFree(st, &m, on.FootM, outer) {
			best, nearest, ok = m, d, true
		}
	}
	try(held.X, held.Y)
	if ok || on.ArmM <= 0 {
		return best, ok
	}
	var room [maxLines]groundLine
	lines := groundLines(st, room[:0], held, on.ArmM, on.FootM)
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

// besideWays is on how many sides of a point a mast is tried that would crowd another under it.
const besideWays = 12

// maxLines is the edges of the view, of the zone and of the frame; further zones have four more each.
const maxLines = scene.ViewSides + 4 + 2

// groundLine is nx·x + ny·y = at with a unit normal toward the free side.
type groundLine struct{ nx, ny, at float64 }

// groundLines appends the edges of the forbidden ground for the middle of a base that holds a point: the planes of the view and
// the sides of the zone, and of further zones within reach, each moved out by what has to stay clear.
func groundLines(st *scene.Stage, out []groundLine, held geom.Vec, armM, footM float64) []groundLine {
	for plane, g := range st.ViewPlanes() {
		flat := math.Hypot(g.X, g.Y)
		if flat < 1e-6 {
			continue // level: no place on the ground is nearer to its other side
		}
		at := st.KeepOff(plane) + g.Dot(st.View.Eye)
		need := at + footM*geom.DiscOuter*flat // at the ground, with the feet
		need = math.Max(need, at-g.Z*held.Z)   // at the top of the mast
		out = append(out, groundLine{g.X / flat, g.Y / flat, need / flat})
	}
	edge := footM + scene.GuardM
	out = append(out, groundLine{1, 0, st.Half.X + edge}, groundLine{-1, 0, st.Half.X + edge}, groundLine{0, 1, st.Half.Y + edge}, groundLine{0, -1, st.Half.Y + edge})
	for i := range st.Others {
		if z := &st.Others[i]; z.DistanceInPlan(held) < armM+edge {
			x, y := z.Half.X+edge, z.Half.Y+edge
			out = append(out, groundLine{1, 0, z.Mid.X + x}, groundLine{-1, 0, x - z.Mid.X}, groundLine{0, 1, z.Mid.Y + y}, groundLine{0, -1, y - z.Mid.Y})
		}
	}
	return out
}

// standsFree reports whether a mast, its feet and its arm stand free of the view, all zones and the frame.
func standsFree(st *scene.Stage, m *mast, footM float64, outer *geom.Rect) bool {
	if st.Zone().DistanceInPlan(m.base) < footM || !freeOfOthers(st, m, footM) {
		return false
	}
	top := m.top()
	// The mast may touch the frame where it holds it, not pass through it.
	if m.armM() > 0 && outer.Grow(-tubeClearM).CutBy(m.base, top) {
		return false
	}
	if m.held.Z < st.HeadM && st.Zone().Grow(scene.HeadBorderM).CutInPlan(top, m.held) {
		return false
	}
	return st.View.SegmentClearance(m.base, top) >= st.ViewM && st.View.SegmentClearance(top, m.held) >= st.ViewM &&
		(st.FeetBeside(m.base, footM) || st.View.DiscClearance(m.base, footM) >= st.ViewM)
}

// freeOfOthers reports whether the feet stand off every further zone, and the arm keeps head room over each.
func freeOfOthers(st *scene.Stage, m *mast, footM float64) bool {
	for i := range st.Others {
		z := &st.Others[i]
		if z.DistanceInPlan(m.base) < footM {
			return false
		}
		if m.held.Z < st.HeadOver(z).HeadM && z.Grow(scene.HeadBorderM).CutInPlan(m.top(), m.held) {
			return false
		}
	}
	return true
}

// viewClearanceM is how far a mast, its feet and its arm are from the view.
func viewClearanceM(st *scene.Stage, m *mast) float64 {
	top := m.top()
	return math.Min(st.View.DiscClearance(m.base, m.on.spec.FootprintM),
		math.Min(st.View.SegmentClearance(m.base, top), st.View.SegmentClearance(top, m.held)))
}

// tubeClearM is how far inside the frame's edge a mast may stand under it: the frame's corner joints and the head of
// the stand overlap by about so much (common practice, no source).
const tubeClearM = 0.02

// topOf is the height of a sheet's highest corner.
func topOf(outer *geom.Rect) float64 {
	return outer.Center.Z + outer.HalfU*math.Abs(outer.U.Z) + outer.HalfV*math.Abs(outer.V.Z)
}
