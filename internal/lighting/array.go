package lighting

import (
	"math"

	"kitspan/internal/finding"
	"kitspan/internal/geom"
	"kitspan/internal/light"
	"kitspan/internal/placement"
	"kitspan/internal/scene"
)

// aim is what a group of reflectors, panels or lamps is put up for: a place, the way that the face there looks, and the
// side on which the group stands (−1 left of the lens, 1 right).
type aim struct {
	serves    string
	mid, half geom.Vec
	face      geom.Vec
	side      float64
	lights    finding.Lit
	behind    bool // the group stands behind the subject and shines on the back face
	keepOff   bool // the light may cross no zone but its own
}

// array is a group of n of one kind in a row square to the line to its aim, with a diffuser before them or without.
type array struct {
	of       *emitter
	n        int
	turned   bool // the sheets' sides swapped
	diffuser *framedFabric
	// phi is the direction from the aim to the group on the ground, degrees from the lens's own side toward the aim's
	// side; r the distance (of the diffuser, where there is one) and z the height of the row's middle, metres.
	phi, r, z float64
	gapM      float64 // between neighbours
}

const (
	// stepOffM is how far from the zone a board or a lamp stays: people move.
	stepOffM = scene.HeadBorderM
	// lensRoomM is the room around and over the lens for the body and the person behind it.
	lensRoomM = scene.CameraRoomM
	// boardEdgeM is the least height of a board's lowest edge: it may stand on the ground (contract), but its stand holds
	// it a little over it.
	boardEdgeM = 0.1
	// diffuserGapM is the distance from a diffuser to the reflectors behind it (common practice, no source).
	diffuserGapM = 1.2
	// longestThrowM and shortestThrowM bound how far behind a diffuser its lamps stand.
	longestThrowM  = 4.0
	shortestThrowM = 0.6
	mostUnits      = 6
)

// layout is an array in its place.
type layout struct {
	rects         [mostUnits]geom.Rect // sheets, or nothing for lamps
	outers        [mostUnits]geom.Rect
	goals         [mostUnits]geom.Vec // what each sheet sends its light to
	lamps         [mostUnits]light.Lamp
	n             int
	diffuser      geom.Rect
	diffuserOuter geom.Rect // with its tubes
	dir           geom.Vec  // on the ground, from the aim to the group
}

// layOut works out where everything of an array stands. toward is the direction to the source that its reflectors work
// with, from a point; nil where there is none.
func (t *array) layOut(to *aim, toward func(geom.Vec) geom.Vec, out *layout) {
	sin, cos := math.Sincos(t.phi * math.Pi / 180)
	out.dir = geom.Vec{X: to.side * sin, Y: -cos}
	along := geom.Vec{X: -out.dir.Y, Y: out.dir.X}
	out.n = t.n
	at := to.mid.Add(out.dir.Scale(t.r))
	rowZ := t.z
	target, widest := to.mid, 2*(math.Abs(along.X)*to.half.X+math.Abs(along.Y)*to.half.Y)
	if t.diffuser != nil {
		sh := t.diffuser.sheet
		at.Z = math.Max(t.z, sh.OutV+scene.LowEdgeM)
		out.diffuser, out.diffuserOuter = sheetToward(at, to.mid.Sub(at), sh)
		target, widest, rowZ = at, 2*sh.HalfU, at.Z
		at = at.Add(out.dir.Scale(t.back()))
	}
	half := t.of.sheet
	if t.turned {
		half = half.Turned()
	}
	pitch := 2*half.OutU + t.gapM
	spread := math.Min(pitch, widest/float64(t.n))
	if t.of.lamp != nil {
		pitch, spread = lampPitchM, 0
	}
	for i := range t.n {
		k := float64(i) - float64(t.n-1)/2
		p := at.Add(along.Scale(k * pitch))
		p.Z = rowZ
		if t.of.lamp != nil {
			out.lamps[i] = light.Lamp{At: p, Aim: target, IntensityCd: t.of.lamp.IntensityCd, BeamDeg: t.of.lamp.BeamDeg}
			continue
		}
		goal := target.Add(along.Scale(k * spread))
		out.goals[i] = goal
		n := goal.Sub(p).Unit()
		if toward != nil {
			n = halving(n, toward(p))
		}
		floor := boardEdgeM
		if t.of.frame != nil {
			floor = scene.LowEdgeM
		}
		rise := math.Hypot(n.X, n.Y) / n.Len() // of the sheet's upper edge over its middle, per metre
		p.Z = math.Max(p.Z, floor+half.OutV*rise)
		out.rects[i], out.outers[i] = sheetToward(p, n, half)
	}
}

// halving returns the direction half-way between two, for a sheet that sends the light of the one along the other.
func halving(n, source geom.Vec) geom.Vec {
	if h := n.Add(source); h.Dot(h) > 1e-6 {
		return h
	}
	return n
}

// back returns how far behind the diffuser the reflectors or lamps stand.
func (t *array) back() float64 {
	if t.of.lamp == nil {
		return diffuserGapM
	}
	// Far enough for half the lamp's peak to reach the corners of the cloth.
	throw := math.Hypot(t.diffuser.sheet.HalfU, t.diffuser.sheet.HalfV) / math.Tan(math.Min(t.of.lamp.BeamDeg, 150)/2*math.Pi/180)
	return math.Min(longestThrowM, math.Max(shortestThrowM, throw))
}

// lampPitchM is the distance between lamps side by side (common practice, no source).
const lampPitchM = 0.7

// sheetToward returns a sheet about a middle that looks along n, its u level.
func sheetToward(at, n geom.Vec, sh placement.Size) (work, outer geom.Rect) {
	n = n.Unit()
	u := geom.Vec{X: -n.Y, Y: n.X}
	if math.Hypot(u.X, u.Y) < 1e-6 {
		u = geom.Vec{X: 1}
	}
	u = u.Unit()
	work = geom.Rect{Center: at, U: u, V: n.Cross(u), HalfU: sh.HalfU, HalfV: sh.HalfV}
	outer = work
	outer.HalfU, outer.HalfV = sh.OutU, sh.OutV
	return work, outer
}

// shine adds the array's panels and lamps to a scene.
func (t *array) shine(p *layout, s *light.Scene) {
	for i := range p.n {
		if t.of.lamp != nil {
			s.Lamps = append(s.Lamps, p.lamps[i])
			continue
		}
		s.Panels = append(s.Panels, t.of.panel(p.rects[i]))
	}
	if t.diffuser != nil {
		v := t.diffuser.panel(true)
		v.Corners = p.diffuser.Corners()
		s.Panels = append(s.Panels, v)
	}
}

func (l *emitter) panel(r geom.Rect) light.Panel {
	return light.Panel{
		Corners: r.Corners(), A: l.front, B: l.back, Transmittance: l.transmittance, BeamShare: l.beamShare, ShiftMired: l.shiftMired,
	}
}

// standsOff reports whether a sheet is out of the picture, off every zone and off the camera.
func (s *Setup) standsOff(outer geom.Rect, to *aim, dir geom.Vec) bool {
	st := s.Light.Stage
	c := outer.Corners()
	keep := math.Abs(dir.X)*to.half.X + math.Abs(dir.Y)*to.half.Y + stepOffM
	for i := range c {
		if dir.Dot(c[i].Sub(to.mid)) < keep {
			return false
		}
	}
	for i := range s.zones {
		if z := &s.zones[i]; !aside(c[:], z.Mid, z.Half) {
			return false
		}
	}
	near := lensRoomM + math.Hypot(outer.HalfU, outer.HalfV)
	if math.Hypot(outer.Center.X-st.View.Eye.X, outer.Center.Y-st.View.Eye.Y) <= near {
		for i := range c {
			if geom.DistanceInPlan(st.View.Eye, c[i], c[(i+1)%4]) < lensRoomM && math.Min(c[i].Z, c[(i+1)%4].Z) < st.View.Eye.Z+lensRoomM {
				return false
			}
		}
	}
	room := st.OperatorRoom()
	if room.DistanceInPlan(outer.Center) <= math.Hypot(outer.HalfU, outer.HalfV) {
		for i := range c {
			if p, q := c[i], c[(i+1)%4]; math.Min(p.Z, q.Z) < st.View.Eye.Z+lensRoomM && room.CutInPlan(p, q) {
				return false
			}
		}
	}
	return st.View.PolygonClearance(c[:]) >= st.ViewM+scene.GuardM && (!to.keepOff || !s.crossesOther(c[:], to))
}

// crossesOther reports whether light from points on a sheet passes a zone that it is not for on its way to the aim.
func (s *Setup) crossesOther(from []geom.Vec, to *aim) bool {
	// Where it goes, the middle first, and the box that holds all of its ways.
	goals := [9]geom.Vec{to.mid}
	for i := range 8 {
		goals[i+1] = to.corner(i)
	}
	ways := geom.BoundsOf(goals[:]...)
	for _, p := range from {
		ways = ways.With(p)
	}
	for i := range s.zones {
		z := &s.zones[i]
		if z.Mid == to.mid || !z.Bounds().Touches(ways) || passes(z, from, goals[:]) {
			continue
		}
		for _, p := range from {
			for _, goal := range goals {
				if z.CutBy(p, goal) {
					return true
				}
			}
		}
	}
	return false
}

// passes reports whether all ways from some points to some goals pass a box on one side, in plan: square to the line between the first of
// each they lie apart.
func passes(z *geom.Box, from, goals []geom.Vec) bool {
	d := goals[0].Sub(from[0])
	side := geom.Vec{X: -d.Y, Y: d.X}
	mid, half := side.Dot(z.Mid), math.Abs(side.X)*z.Half.X+math.Abs(side.Y)*z.Half.Y
	left, right := true, true
	for _, list := range [2][]geom.Vec{from, goals} {
		for _, p := range list {
			at := side.Dot(p) - mid
			left, right = left && at < -half, right && at > half
		}
	}
	return left || right
}

// aside reports whether points all lie beyond one side of a zone grown by the room that people need.
func aside(points []geom.Vec, mid, half geom.Vec) bool {
	left, right, near, far := true, true, true, true
	for _, p := range points {
		left = left && p.X <= mid.X-half.X-stepOffM
		right = right && p.X >= mid.X+half.X+stepOffM
		near = near && p.Y <= mid.Y-half.Y-stepOffM
		far = far && p.Y >= mid.Y+half.Y+stepOffM
	}
	return left || right || near || far
}

// shades reports whether a sheet can stand between another and a distant source in direction s: their outlines seen from
// there overlap, and some part of it is on the source's side.
func shades(o, r *geom.Rect, s geom.Vec) bool {
	reach := func(q *geom.Rect, x geom.Vec) float64 {
		return q.HalfU*math.Abs(q.U.Dot(x)) + q.HalfV*math.Abs(q.V.Dot(x))
	}
	if o.Center.Dot(s)+reach(o, s) <= r.Center.Dot(s)-reach(r, s) {
		return false
	}
	d := o.Center.Sub(r.Center)
	// Two parallelograms in the plane square to s lie apart where they do along a normal of one of their sides.
	for _, side := range [4]geom.Vec{o.U, o.V, r.U, r.V} {
		x := side.Cross(s)
		if x.Dot(x) < 1e-12 {
			continue
		}
		if math.Abs(d.Dot(x)) >= reach(o, x)+reach(r, x)+scene.GuardM*x.Len() {
			return false
		}
	}
	return true
}

// shadesFrom reports the same for a source at a place: as seen from there the outlines overlap, and some part of the sheet is on
// the source's side of the other.
func shadesFrom(o, r *geom.Rect, at geom.Vec) bool {
	a, b := o.Corners(), r.Corners()
	for i := range a {
		a[i], b[i] = a[i].Sub(at), b[i].Sub(at)
	}
	n := r.Normal()
	if n.Dot(b[0]) < 0 {
		n = n.Scale(-1)
	}
	nearer := false
	for _, c := range a {
		nearer = nearer || n.Dot(c) < n.Dot(b[0])-scene.GuardM
	}
	return nearer && !partedFrom(&a, &b) && !partedFrom(&b, &a)
}

// partedFrom reports whether a plane through the origin and a side of a has all of b on its far side.
func partedFrom(a, b *[4]geom.Vec) bool {
	middle := a[0].Add(a[2])
	for i := range a {
		in := a[i].Cross(a[(i+1)%4])
		if in.Dot(middle) < 0 {
			in = in.Scale(-1)
		}
		parted := true
		for _, c := range b {
			parted = parted && in.Dot(c) <= -scene.GuardM*in.Len()
		}
		if parted {
			return true
		}
	}
	return false
}
