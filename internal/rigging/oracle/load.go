package oracle

import (
	"math"
	"slices"

	"kitspan/internal/geom"
	"kitspan/internal/rigging"
)

// push is a force in newtons at a point.
type push struct{ force, at geom.Vec }

// load is one load on a structure, its factors in it.
type load struct {
	frame []push
	// masts is the wind on each mast, at half its height.
	masts []geom.Vec
	// fall is what a kilogram of a stand weighs, and which way.
	fall geom.Vec
	// ropes says of each whether it may pull, sideways whether stands may be pushed against the load's lesser part.
	ropes    []bool
	sideways bool
	// pressN is what a joint may press each stand down with.
	pressN []float64
	// calm has no level force in any joint, rough ground is friction enough.
	calm, rough bool
	factor      float64
	// sideOff is how far off the middle the sides are that stand for a circle, in radii.
	sideOff float64
	// roomN is how much slack is looked for at most.
	roomN float64
}

// onFrame is the whole force on the frame.
func (l *load) onFrame() (f geom.Vec) {
	for _, p := range l.frame {
		f = f.Add(p.force)
	}
	return f
}

func (l *load) press(s *rigging.Structure, limitN func(safeN float64) float64) {
	for _, st := range s.Stands {
		l.pressN = append(l.pressN, limitN(st.SafeLoadKg*gravityMS2))
	}
}

func quiet(s *rigging.Structure, factor float64) *load {
	return &load{
		masts: make([]geom.Vec, len(s.Stands)), ropes: make([]bool, len(s.Ropes)), fall: geom.Vec{Z: -gravityMS2}, factor: factor,
		sideOff: cutIn, roomN: 1e4,
	}
}

// inCalm is the load in still air: the factor on the frame's weight, against the safe load too.
func inCalm(s *rigging.Structure, factor float64) *load {
	l := quiet(s, factor)
	l.calm = true
	l.frame = []push{{l.fall.Scale(s.MassKg * factor), s.Frame.Center}}
	l.press(s, func(safeN float64) float64 { return safeN })
	return l
}

// onSlopes are the loads on ground that leans, one for each way in which it does.
func onSlopes(s *rigging.Structure) (list []*load) {
	sin, cos := math.Sincos(slopeDeg * math.Pi / 180)
	for k := range directions {
		l := quiet(s, 1)
		l.rough = true
		l.fall = turned(sheetOf(s).first, 360*float64(k)/directions).Scale(sin * gravityMS2).Sub(geom.Vec{Z: cos * gravityMS2})
		l.frame = []push{{l.fall.Scale(s.MassKg), s.Frame.Center}}
		l.press(s, func(safeN float64) float64 { return safeN })
		list = append(list, l)
	}
	return list
}

// inWind is the load of a wind of a velocity pressure. The pressing of a joint is the even share of the frame's weight and what
// the wind adds to it; the latter counts against the safe load without the factor.
func inWind(s *rigging.Structure, b blow, pressurePa, factor float64) *load {
	l := quiet(s, factor)
	q := pressurePa * factor
	weight := l.fall.Scale(s.MassKg)
	l.frame = []push{{weight, s.Frame.Center}, {b.push.Scale(q), b.pushAt}, {b.drag.Scale(q), b.dragAt}}
	for i, st := range s.Stands {
		l.masts[i] = b.along.Scale(q * mastDrag * mastWidthM * (st.Held.Z - st.Foot.Z))
	}
	shareN := s.MassKg * gravityMS2 / float64(len(s.Stands))
	l.press(s, func(safeN float64) float64 { return shareN + (safeN-shareN)*factor })
	wind, whole := level(b.push.Add(b.drag)), l.onFrame()
	for i := range s.Ropes {
		way := s.Ropes[i].To.Sub(s.Ropes[i].From).Unit()
		l.ropes[i] = way.Dot(wind) < -1e-9*b.push.Len() || way.Dot(whole) < -1e-9*whole.Len()
		l.sideways = l.sideways || l.ropes[i]
	}
	return l
}

// pressures are the velocity pressures up to one at which a wind has to be looked at: that one, and those to both sides of where
// another set of ropes pulls. Between them what can be borne is convex, so that what stands at both ends stands.
func pressures(s *rigging.Structure, b blow, pressurePa, factor float64) []float64 {
	weight, wind := geom.Vec{Z: -gravityMS2 * s.MassKg}, b.push.Add(b.drag).Scale(factor)
	list := []float64{0}
	for _, r := range s.Ropes {
		way := r.To.Sub(r.From)
		if turns := -way.Dot(weight) / way.Dot(wind); turns > 0 && turns < pressurePa {
			list = append(list, turns*(1-1e-6), turns*(1+1e-6))
		}
	}
	slices.Sort(list)
	return append(list, math.Max(0, pressurePa))
}

// pullN is the most that a rope may pull with.
func pullN(s *rigging.Structure, r rigging.Rope, factor float64) float64 {
	anchorN := r.AnchorN
	if anchorN == 0 {
		way := r.From.Sub(r.To).Unit()
		anchorN = s.Friction * r.WeightKg * gravityMS2 / (math.Hypot(way.X, way.Y) + s.Friction*way.Z)
	}
	return math.Min(r.SafePullN*factor, anchorN)
}
