package placement

import (
	"math"

	"kitspan/internal/geom"
	"kitspan/internal/scene"
)

// Facing is one way for a frame to be turned, with all that a stage and its rays ask of a frame turned so, whatever its size.
//
// u runs level along one pair of sides; v is up the slope. With n = u × v, a ray from p toward s meets the plane
// through c at p + λs, λ = n·(c−p)/n·s, and its offset from c along u is w·(p−c) with w = u − (u·s)/(n·s)·n: linear in
// c. So for one facing the places where a frame covers are a polytope, and a zone's worst point is one of its corners.
type Facing struct {
	yaw, tilt float64 // radians
	u, v, n   geom.Vec
	up        float64 // v's rise: sin of the tilt, never negative
	side      float64 // the sign of n·s, the same for all rays
	cover     []coverRow
	// behind is the least side·n·c: the frame lies beyond the whole zone, toward the source.
	behind float64
	// before is the greatest side·n·c: the frame lies on this side of every near lamp; +Inf without one.
	before float64
	// needU and needV are half the width of the zone's shadow along u and v: no smaller opening covers.
	needU, needV float64
	// shadows are the zone's half-shadow along a side for each ray: fixed + rate × the zone's half-width.
	shadows []shadow
	// capU and capV are the slack along u and along v of an opening of size 0 in its best place, each side looked at
	// alone; worked out when first asked for (capped). A frame's half-size added, they bound its slack.
	capU, capV float64
	capped     bool
	rooms      [2]room // of a frame and of it with its sides swapped
	lasting    bool    // it is used more than once, so that it pays to keep what was worked out
}

type shadow struct {
	fixed, rate float64
	slope       float64 // of the ray, along the side
	alongV      bool
}

// coverRow is the condition x·(p−c) ≤ half-size − margin for every p of the zone; k is the largest x·p.
type coverRow struct {
	x      geom.Vec
	k      float64
	slope  float64 // of the ray, along the side
	alongV bool
}

const (
	// grazing is the least |n·s| at which a frame is used: rays 81° off square, where the fabric shows 1/6.4 of its
	// depth. Nothing steeper is ever smallest.
	grazing = 0.156
	// offZoneM is the least distance between the zone and a frame along a ray.
	offZoneM = 0.05
	// offLampM is the least distance between a frame's plane and a near lamp.
	offLampM = 0.3
)

// TurnTo makes the facing at a yaw and a tilt (radians; tilt from −π/2 to π/2), reusing f's memory. ok is false where a
// ray would graze the plane or two rays would meet it from opposite sides.
func TurnTo(st *scene.Stage, f *Facing, rays []scene.Ray, yaw, tilt float64) (ok bool) {
	sy, cy := math.Sincos(yaw)
	sinT, cosT := math.Sincos(tilt)
	h := geom.Vec{X: -sy, Y: cy}
	f.yaw, f.tilt = yaw, tilt
	f.u = geom.Vec{X: cy, Y: sy}
	f.v = geom.Vec{X: h.X * cosT, Y: h.Y * cosT, Z: sinT}
	if sinT < 0 {
		f.u, f.v = f.u.Scale(-1), f.v.Scale(-1) // same plane, v up the slope
	}
	f.up = math.Abs(sinT)
	f.n = f.u.Cross(f.v)
	f.side, f.needU, f.needV, f.capped = 0, 0, 0, false
	f.rooms[0].known, f.rooms[1].known = false, false
	f.before = math.Inf(1)
	f.cover, f.shadows = f.cover[:0], f.shadows[:0]
	steepest := 0.0
	for i := range rays {
		r := &rays[i]
		ns := f.n.Dot(r.Dir)
		switch {
		case f.side == 0 && math.Abs(ns) >= grazing:
			f.side = math.Copysign(1, ns)
		case ns*f.side < grazing:
			return false
		}
		steepest = math.Max(steepest, math.Abs(ns))
		through := f.n.Scale(1 / ns)
		f.rows(st, r, through, f.u, f.u.Dot(r.Dir)/ns, false)
		f.rows(st, r, through, f.v, f.v.Dot(r.Dir)/ns, true)
		if r.Corner {
			f.before = math.Min(f.before, f.side*f.n.Dot(r.From.Add(r.Dir.Scale(r.Far)))-offLampM)
		}
	}
	f.behind = st.Support(f.n.Scale(f.side)) + offZoneM*steepest
	return true
}

// rows adds the two conditions of one ray along one side of the frame. Besides the margin a ray keeps its penumbra
// inside: a cone of half-angle tangent t meets the plane, at distance λ, in an ellipse whose reach along the side is
// λ·t·√(1+k²), k the ray's slope along that side.
func (f *Facing) rows(st *scene.Stage, r *scene.Ray, through, side geom.Vec, k float64, alongV bool) {
	w := side.Sub(f.n.Scale(k))
	fringe := through.Scale(r.Spread * math.Sqrt(1+k*k))
	for _, sign := range [2]float64{1, -1} {
		x := w.Scale(sign).Sub(fringe)
		row := coverRow{x: x, slope: k, alongV: alongV}
		if r.Corner {
			row.k = x.Dot(r.From)
		} else {
			row.k = st.Support(x)
		}
		f.cover = append(f.cover, row)
	}
	if r.Corner {
		return
	}
	sh := shadow{math.Abs(w.Y)*st.Half.Y + math.Abs(w.Z)*st.Half.Z, math.Abs(w.X), k, alongV}
	f.shadows = append(f.shadows, sh)
	need := sh.fixed + sh.rate*st.Half.X
	if alongV {
		f.needV = math.Max(f.needV, need)
	} else {
		f.needU = math.Max(f.needU, need)
	}
}

// Bound returns an upper bound on the slack, in metres, of a frame of a size at this facing, with a margin to keep.
func (f *Facing) Bound(size *Size, marginM float64) float64 {
	return math.Min(size.HalfU-f.needU, size.HalfV-f.needV) - marginM
}

// widest returns an upper bound on the half-width of a zone that a frame of a size can cover at this facing.
func (f *Facing) widest(sh *Size, marginM float64) float64 {
	most := math.Inf(1)
	for i := range f.shadows {
		s := &f.shadows[i]
		half := sh.HalfU
		if s.alongV {
			half = sh.HalfV
		}
		if room := half - marginM - s.fixed; room < most*s.rate {
			most = room / s.rate
		}
	}
	return most
}

// nearest returns, as a slack, a lower bound on the angle, in radians of yaw and of tilt at once, by which the facing has to turn
// before a frame can cover: 0 or more where it may cover as it is, else the angle with its sign changed.
func (f *Facing) nearest(st *scene.Stage, t *easing) float64 {
	least := math.Inf(1)
	for i := range f.shadows {
		s := &f.shadows[i]
		half := t.size.HalfU
		if s.alongV {
			half = t.size.HalfV
		}
		least = math.Min(least, (half-st.CoverM-s.fixed-s.rate*st.Half.X)/t.inset(s.slope, s.alongV))
	}
	return least
}
