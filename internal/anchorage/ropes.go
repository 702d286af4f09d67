package anchorage

import (
	"math"
	"slices"

	"kitspan/internal/geom"
	"kitspan/internal/rigging"
	"kitspan/internal/scene"
)

// ropeDegs are the angles with the ground that are tried, in this order (common practice, no source).
var ropeDegs = [...]float64{45, 60, 30}

const (
	// fanDeg is the step in which ropes are turned out of the way, mostFanDeg how far at most, roundDeg the step for a whole set
	// around one mast.
	fanDeg     = 15
	mostFanDeg = 60
	roundDeg   = 10
	// anchorM is the radius of the ground that an anchor takes (common practice, no source).
	anchorM = 0.4
	// lineOffM is how far ropes and anchors stay off the people, and lensOffM off the lens, around which its crew stands
	// (common practice, no source).
	lineOffM = 0.5
	lensOffM = 1.0
	// knotM is the length that the knots of a rope take (common practice, no source).
	knotM = 0.5
	// shortArmM is an arm, in metres, on which a rope's pull goes down the mast all the same. From longer arms ropes run from the heads of the masts.
	shortArmM = 0.05
	// pointFanDeg is how far off the best direction a fixed point may lie, and pointUpDeg how much higher than the corner.
	pointFanDeg = 60
	pointUpDeg  = 10
	// uprightDeg is the tilt from which a frame is held fore and aft from its upper corners, not outward from all of them.
	uprightDeg = 45
)

// tie is a place on a piece to which a rope is tied, and the azimuth in which it serves best.
type tie struct {
	mast       int
	from       geom.Vec
	azimuthDeg float64
}

// layouts returns the sets of ropes that find room about a piece, those with fewer ropes first.
func (t *Planner) layouts(p *Piece, around *Surroundings) [][]Rope {
	o := ropeLayout{Surroundings: around, masts: p.Masts}
	for _, a := range t.points {
		o.points = append(o.points, point{a.label, around.Stage.FromWorld(a.at), a.pullN})
	}
	if len(p.Masts) == 1 {
		if set := o.about(); len(set) > 0 {
			return [][]Rope{set}
		}
		return nil
	}
	var out [][]Rope
	for _, ties := range tiesOf(p) {
		set := o.run(ties)
		if len(set) >= leastRopes && !slices.ContainsFunc(out, func(s []Rope) bool { return len(s) == len(set) }) {
			out = append(out, set)
		}
	}
	return out
}

// leastRopes is how many ropes are worth the while: one cannot hold against more than one wind.
const leastRopes = 2

// tiesOf returns where ropes are tied to a piece on several masts: one at each corner; and on four masts besides two at
// each.
func tiesOf(p *Piece) [][]tie {
	middle := p.Outer.Center
	armed := slices.ContainsFunc(p.Masts, func(m Mast) bool { return m.ArmM() > shortArmM })
	normal := p.Outer.Normal()
	across := geom.Vec{X: normal.X, Y: normal.Y}
	panel := p.Panel()
	upright := panel.TiltDeg > uprightDeg && across.Len() > 0
	var one, two []tie
	add := func(mast int, from geom.Vec) {
		out := geom.Vec{X: from.X - middle.X, Y: from.Y - middle.Y}
		if upright {
			one = append(one, tie{mast, from, across.Bearing()}, tie{mast, from, across.Bearing() + 180})
			return
		}
		one = append(one, tie{mast, from, out.Bearing()})
		two = append(two, tie{mast, from, out.Bearing() - 45}, tie{mast, from, out.Bearing() + 45})
	}
	if armed {
		for i := range p.Masts {
			if upright && p.Masts[i].Held.Z < middle.Z-anchorM {
				continue // the lower of two that hold a side
			}
			add(i, p.Masts[i].Top())
		}
		if len(p.Masts) == 2 && !upright {
			return [][]tie{two}
		}
	} else {
		for _, c := range p.Outer.Corners() {
			if upright && c.Z < middle.Z {
				continue
			}
			add(rigging.OnFrame, c)
		}
	}
	if upright || len(two) > rigging.MaxRopes {
		return [][]tie{one}
	}
	return [][]tie{one, two}
}

// ropeLayout is a set of ropes being laid out.
type ropeLayout struct {
	*Surroundings
	masts  []Mast
	points []point
}

// run leads a rope from each tie: to a fixed point that lies well, or to the ground, turned out of the way as little as
// room allows. Ties without room get none.
func (o *ropeLayout) run(ties []tie) (set []Rope) {
	for i := range ties {
		if r, ok := o.toPoint(&ties[i]); ok {
			set = append(set, r)
		} else if r, ok := o.toGround(&ties[i]); ok {
			set = append(set, r)
		}
	}
	return set
}

func (o *ropeLayout) toGround(t *tie) (r Rope, ok bool) {
	for off := 0.0; off <= mostFanDeg; off += fanDeg {
		for _, angle := range ropeDegs {
			for _, sign := range [2]float64{1, -1} {
				if r, ok = o.along(t.mast, t.from, t.azimuthDeg+sign*off, angle); ok {
					return r, true
				}
				if off == 0 {
					break
				}
			}
		}
	}
	return r, false
}

// along returns the rope from a place along an azimuth to the ground; ok is false where it has no room.
func (o *ropeLayout) along(mast int, from geom.Vec, azimuthDeg, angleDeg float64) (r Rope, ok bool) {
	to := from.Add(geom.Toward(azimuthDeg, 0).Scale(from.Z / math.Tan(angleDeg*math.Pi/180)))
	to.Z = 0
	return Rope{Mast: mast, From: from, To: to}, ropeFree(o.Stage, from, to, o.masts) && !o.Cut(from, to)
}

func (o *ropeLayout) toPoint(t *tie) (r Rope, ok bool) {
	best := math.Cos(pointFanDeg * math.Pi / 180)
	for i := range o.points {
		p := &o.points[i]
		way := p.at.Sub(t.from)
		flat := math.Hypot(way.X, way.Y)
		if flat < anchorM || way.Elevation() > pointUpDeg {
			continue
		}
		cos := math.Cos((way.Bearing() - t.azimuthDeg) * math.Pi / 180)
		if cos > best && ropeFree(o.Stage, t.from, p.at, o.masts) && !o.Cut(t.from, p.at) {
			best, ok = cos, true
			r = Rope{Mast: t.mast, From: t.from, To: p.at, Label: p.label}
		}
	}
	return r, ok
}

// about puts three ropes around a single mast, or else four.
func (o *ropeLayout) about() []Rope {
	for _, angle := range ropeDegs {
		for n := 3; n <= 4; n++ {
			turn := 360 / float64(n)
		turns:
			for from := 0.0; from < turn; from += roundDeg {
				var set []Rope
				for i := range n {
					r, ok := o.along(0, o.masts[0].Top(), from+float64(i)*turn, angle)
					if !ok {
						continue turns
					}
					set = append(set, r)
				}
				return set
			}
		}
	}
	return nil
}

// ropeFree reports whether a rope and its anchor are out of shot, off every zone, the lens and the operator behind it, and off the
// feet of the piece's own masts.
func ropeFree(st *scene.Stage, from, to geom.Vec, masts []Mast) bool {
	low := from // where it comes under head height
	if from.Z > st.HeadM && to.Z < st.HeadM {
		low = to.Add(from.Sub(to).Scale((st.HeadM - to.Z) / (from.Z - to.Z)))
	}
	if st.Zone().Grow(lineOffM).CutInPlan(low, to) || geom.DistanceInPlan(st.View.Eye, low, to) < lensOffM {
		return false
	}
	for i := range st.Others {
		if st.Others[i].Grow(lineOffM).CutInPlan(low, to) {
			return false
		}
	}
	if AmongFeet(to, masts) || !st.OffCamera(to, anchorM) || st.OperatorRoom().CutInPlan(low, to) {
		return false
	}
	clear := st.ViewM + scene.GuardM
	ground := geom.Vec{X: to.X, Y: to.Y}
	return st.View.SegmentClearance(from, to) >= clear && (st.FeetOutOfView(ground, anchorM) || st.View.DiscClearance(ground, anchorM) >= clear)
}
