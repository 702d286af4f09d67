package anchorage

import (
	"math"

	"kitspan/internal/geom"
	"kitspan/internal/rigging"
	"kitspan/internal/scene"
)

// LineSet is where the guy lines of a piece run at one angle with the ground.
type LineSet struct {
	AngleDeg float64
	factor   float64 // of [rigging.Guys]
	lines    []Line
	longestM float64
}

// Line is one guy line: from the head of a mast, by its index, to the ground, in the camera's axes.
type Line struct {
	Mast     int
	From, To geom.Vec
}

// lineDegs are the angles with the ground that are tried (common practice, no source).
var lineDegs = [...]float64{rigging.DefaultLineDeg, 60, 30}

const (
	// fanDeg is the step in which lines are turned out of the way, roundDeg that of a whole set around one mast.
	fanDeg   = 10
	roundDeg = 10
	// anchorM is the radius of the ground that an anchor takes (common practice, no source).
	anchorM = 0.4
	// lineOffM is how far lines and anchors stay off the people, and lensOffM off the lens, around which its crew stands
	// (common practice, no source).
	lineOffM = 0.5
	lensOffM = 1.0
	// knotM is the length that the knots of a line take (common practice, no source).
	knotM = 0.5
)

// LineSets returns the sets of lines that find room, one for each angle at most: fore and aft at each of two supports, and
// with four also over the ends, turned outward as little as room allows, the same at both ends (the layouts that
// [rigging.FactorAlong] asks for); three or four around a single support. cut reports whether something stands in a line's way.
func LineSets(st *scene.Stage, masts []Mast, outer *geom.Rect, cut func(from, to geom.Vec) bool) []LineSet {
	var out []LineSet
	for _, angle := range lineDegs {
		o := lineLayout{st: st, masts: masts, angle: angle, cut: cut}
		var ok bool
		if len(masts) == 1 {
			ok = o.around()
		} else {
			ok = o.along(outer)
		}
		if !ok {
			continue
		}
		g := LineSet{AngleDeg: angle, factor: o.factor, lines: o.lines}
		for i := range o.lines {
			g.longestM = math.Max(g.longestM, o.lines[i].To.Sub(o.lines[i].From).Len())
		}
		out = append(out, g)
	}
	return out
}

// lineLayout is a set of lines being laid out.
type lineLayout struct {
	st     *scene.Stage
	masts  []Mast
	angle  float64
	cut    func(from, to geom.Vec) bool
	lines  []Line
	factor float64
}

// lineAlong returns the line from a mast's head along an azimuth; ok is false where it has no room.
func (o *lineLayout) lineAlong(mast int, azimuthDeg float64) (g Line, ok bool) {
	m := &o.masts[mast]
	from := m.Top()
	to := from.Add(geom.Toward(azimuthDeg, 0).Scale(rigging.GroundRadiusM(from.Z, o.angle)))
	to.Z = 0
	return Line{mast, from, to}, lineFree(o.st, from, to, o.masts) && !o.cut(from, to)
}

// around puts three lines around a single mast, or else four.
func (o *lineLayout) around() bool {
	for n := 3; n <= 4; n++ {
		turn := 360 / float64(n)
	turns:
		for from := 0.0; from < turn; from += roundDeg {
			lines := make([]Line, 0, n)
			azimuths := make([]float64, n)
			for i := range n {
				azimuths[i] = from + float64(i)*turn
				g, ok := o.lineAlong(0, azimuths[i])
				if !ok {
					continue turns
				}
				lines = append(lines, g)
			}
			o.lines, o.factor = lines, rigging.FactorAround(azimuths)
			return true
		}
	}
	return false
}

// along puts lines at two supports or four.
func (o *lineLayout) along(outer *geom.Rect) bool {
	axis := outer.U
	if math.Abs(outer.V.Z) < math.Abs(axis.Z) {
		axis = outer.V
	}
	axisDeg := axis.Bearing()
	along := geom.Toward(axisDeg, 0)
	across := geom.Toward(axisDeg+90, 0)
	// ends holds the masts toward the axis and against it, the one further along across first.
	var ends [2][2]int
	half := len(o.masts) / 2
	var n [2]int
	for i := range o.masts {
		end := 1
		if o.masts[i].Held.Sub(outer.Center).Dot(along) > 0 {
			end = 0
		}
		if n[end] == half {
			return false // not held at both ends alike
		}
		ends[end][n[end]] = i
		n[end]++
	}
	most, fore, aft := float64(rigging.MaxOffDeg), 0, 0
	if half == 2 {
		most, aft = rigging.MaxOffCornerDeg, 1
		for e := range ends {
			a, b := ends[e][0], ends[e][1]
			if o.masts[a].Held.Dot(across) < o.masts[b].Held.Dot(across) ||
				math.Abs(o.masts[a].Held.Sub(o.masts[b].Held).Dot(across)) < 1e-9 && o.masts[a].Base.Dot(across) < o.masts[b].Base.Dot(across) {
				ends[e] = [2]int{b, a}
			}
		}
	}
	o.factor = 1
	// pair puts the same line, mirrored, at both ends: at off degrees from an azimuth of the first end toward it.
	pair := func(which int, first, toward float64) bool {
		for off := 0.0; off <= most; off += fanDeg {
			one := first + toward*off
			two := 2*axisDeg + 180 - one // mirrored in the plane across the axis
			a, okA := o.lineAlong(ends[0][which], one)
			if !okA {
				continue
			}
			b, okB := o.lineAlong(ends[1][which], two)
			if !okB {
				continue
			}
			o.lines = append(o.lines, a, b)
			o.factor = math.Max(o.factor, rigging.FactorAlong(len(o.masts), []float64{first}, []float64{one}))
			return true
		}
		return false
	}
	if !pair(fore, axisDeg+90, -1) || !pair(aft, axisDeg-90, 1) {
		return false
	}
	if half == 2 && (!pair(fore, axisDeg, 1) || !pair(aft, axisDeg, -1)) { // along the rectangle its drag, arms and masts pull
		return false
	}
	return !math.IsInf(o.factor, 1)
}

// lineFree reports whether a line and its anchor are out of shot, off every zone and the lens, and off the feet of the
// piece's own masts.
func lineFree(st *scene.Stage, from, to geom.Vec, masts []Mast) bool {
	low := from // where it comes under head height
	if from.Z > st.HeadM {
		low = to.Add(from.Sub(to).Scale(st.HeadM / from.Z))
	}
	if st.Zone().Grow(lineOffM).CutInPlan(low, to) || geom.DistanceInPlan(st.View.Eye, low, to) < lensOffM {
		return false
	}
	for i := range st.Others {
		if st.Others[i].Grow(lineOffM).CutInPlan(low, to) {
			return false
		}
	}
	if AmongFeet(to, masts) {
		return false
	}
	clear := st.ViewM + scene.GuardM
	return st.View.SegmentClearance(from, to) >= clear && (st.FeetOutOfView(to, anchorM) || st.View.DiscClearance(to, anchorM) >= clear)
}
