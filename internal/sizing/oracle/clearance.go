package oracle

import (
	"fmt"
	"math"
	"slices"

	"kitspan/internal/finding"
	"kitspan/internal/sizing"
)

// The distance from a point to the view across the axis at the point's own depth is a convex function of the point
// (the view is a cone whose section grows in proportion to the depth). So the least over a flat convex part is found
// by golden section, along one direction of the part and, inside, along the other.
const sectionSteps = 48 // 0.618^48 = 1e-10 of the length

// sectionLeast is the least value of a convex function on [lo, hi].
func sectionLeast(lo, hi float64, f func(float64) float64) float64 {
	const g = 0.6180339887498949
	a, b := hi-g*(hi-lo), lo+g*(hi-lo)
	fa, fb := f(a), f(b)
	least := math.Min(f(lo), f(hi))
	for range sectionSteps {
		least = math.Min(least, math.Min(fa, fb))
		if fa < fb {
			hi, b, fb = b, a, fa
			a = hi - g*(hi-lo)
			fa = f(a)
		} else {
			lo, a, fa = a, b, fb
			b = lo + g*(hi-lo)
			fb = f(b)
		}
	}
	return least
}

// leastOnSegment is the least clearance on a segment; +Inf where all of it is behind the lens.
func (v View) leastOnSegment(a, b vec) float64 {
	lo, hi := 0.0, 1.0
	da, db := a.minus(v.lens).dot(v.axis), b.minus(v.lens).dot(v.axis)
	if da < 0 && db < 0 {
		return math.Inf(1)
	}
	// The share of the segment in front of the lens; a hair is kept off so that rounding does not fall behind it.
	if da < 0 {
		lo = math.Min(1, da/(da-db)+1e-12)
	}
	if db < 0 {
		hi = math.Max(0, da/(da-db)-1e-12)
	}
	along := b.minus(a)
	return sectionLeast(lo, hi, func(t float64) float64 {
		d, ok := v.clear(a.along(along, t))
		if !ok {
			return math.Inf(1)
		}
		return d
	})
}

// leastOnPlate is the least clearance over a whole rectangle, inside and edges, given by a corner and its two sides.
func (v View) leastOnPlate(corner, side1, side2 vec) float64 {
	// The rows of the rectangle that reach in front of the lens: depth is linear in the row, so they are a range.
	rowDepth := func(t float64) float64 {
		a := corner.along(side1, t)
		return math.Max(a.minus(v.lens).dot(v.axis), a.plus(side2).minus(v.lens).dot(v.axis))
	}
	lo, hi := 0.0, 1.0
	switch d0, d1 := rowDepth(0), rowDepth(1); {
	case d0 < 0 && d1 < 0:
		return math.Inf(1)
	case d0 < 0:
		lo = bisect(0, 1, func(t float64) bool { return rowDepth(t) >= 0 })
	case d1 < 0:
		hi = bisect(1, 0, func(t float64) bool { return rowDepth(t) >= 0 })
	}
	return sectionLeast(lo, hi, func(t float64) float64 {
		a := corner.along(side1, t)
		return v.leastOnSegment(a, a.plus(side2))
	})
}

// bisect is where a condition that fails at from and holds at to begins to hold, on the side where it does.
func bisect(from, to float64, holds func(float64) bool) float64 {
	for range 60 {
		mid := (from + to) / 2
		if holds(mid) {
			to = mid
		} else {
			from = mid
		}
	}
	return to
}

// leastOnDisc is the least clearance over a level disc, a stand's feet on the ground.
func (v View) leastOnDisc(centre vec, radius float64) float64 {
	if radius <= 0 {
		return v.leastOnSegment(centre, centre)
	}
	// Chords along the view's own right, so that a chord lies at one depth and is in front of the lens whole or not at all.
	back := v.right.cross(up)
	chord := func(t float64) float64 {
		half := v.right.times(math.Sqrt(math.Max(0, radius*radius-t*t)))
		mid := centre.along(back, t)
		return v.leastOnSegment(mid.minus(half), mid.plus(half))
	}
	depth := func(t float64) float64 { return centre.along(back, t).minus(v.lens).dot(v.axis) }
	lo, hi := -radius, radius
	switch d0, d1 := depth(lo), depth(hi); {
	case d0 < 0 && d1 < 0:
		return math.Inf(1)
	case d0 < 0:
		lo = bisect(lo, hi, func(t float64) bool { return depth(t) >= 0 })
	case d1 < 0:
		hi = bisect(hi, lo, func(t float64) bool { return depth(t) >= 0 })
	}
	return sectionLeast(lo, hi, chord)
}

// leastOnSupport is the least clearance of a mast, its feet and its arm, and what part that is.
func (v View) leastOnSupport(sp sizing.Support) (least float64, part string) {
	base := fromGeom(sp.Base)
	top := base
	top.z = sp.HeightM
	least, part = v.leastOnSegment(base, top), "mast"
	if d := v.leastOnDisc(base, sp.FootprintM); d < least {
		least, part = d, "feet"
	}
	if sp.Arm != nil {
		if d := v.leastOnSegment(fromGeom(sp.Arm[0]), fromGeom(sp.Arm[1])); d < least {
			least, part = d, "arm"
		}
	}
	return least, part
}

// leastOfPiece is the least clearance of a piece's tubes, cloth, board or lamp, its supports and its lines, and what part that is. Of a net
// only the edges count that are off the ground: the picture is meant to look through its inside and down to its foot.
func (v View) leastOfPiece(p sizing.Piece, pl plate) (least float64, part string) {
	switch {
	case p.Lamp != nil:
		at := fromGeom(p.Lamp.Position)
		least, part = v.leastOnSegment(at, at), "lamp"
	case p.Role == finding.RoleNet:
		least, part = math.Inf(1), "edge"
		c := pl.outline()
		for i, a := range c {
			if b := c[(i+1)%4]; math.Max(a.z, b.z) > tubeOnGroundM {
				least = math.Min(least, v.leastOnSegment(a, b))
			}
		}
	default:
		c := pl.corner(-1, -1, true)
		least, part = v.leastOnPlate(c, pl.e1.times(2*pl.outer1), pl.e2.times(2*pl.outer2)), "sheet"
	}
	for i, sp := range p.Supports {
		if d, what := v.leastOnSupport(sp); d < least {
			least, part = d, what+" of support "+string(rune('1'+i))
		}
	}
	for i, l := range p.Lines {
		if d := v.leastOnSegment(fromGeom(l.From), fromGeom(l.To)); d < least {
			least, part = d, fmt.Sprintf("line %d", i+1)
		}
	}
	return least, part
}

// behindM is the clearance told of a piece that lies wholly behind the lens, or further off than that.
const behindM = 100

// tubeOnGroundM is the height under which a net's edge counts as standing on the ground: its tubes lie between.
const tubeOnGroundM = 0.06

// polygonShare is how much larger the corners of a polygon of 64 sides around a circle lie than the circle, rounded up.
const polygonShare = 1.00125

// onPolygons is a piece on feet that a polygon around their circle would take: what it tells may be as near to the view.
// Where feet reach hardly past the plane of the lens, that is much nearer than the circle.
func onPolygons(p sizing.Piece) sizing.Piece {
	p.Supports = slices.Clone(p.Supports)
	for i := range p.Supports {
		p.Supports[i].FootprintM *= polygonShare
	}
	return p
}

// CheckView walks over a piece: no part may be in the picture or nearer to it than the clearance asked, and the
// clearance that the piece tells must be the least found.
func CheckView(s *Scene, p sizing.Piece, pl plate) []Violation {
	var bad []Violation
	least, part := s.View.leastOfPiece(p, pl)
	if want := s.Shot.Allowance.ViewM; least < want-placeTolM {
		bad = append(bad, broken(RuleInView, want-least, "%s: the %s is %.4f m from the view, wanted %.4f m", p.Role, part, least, want))
	}
	lowest, _ := s.View.leastOfPiece(onPolygons(p), pl)
	off := math.Max(p.ViewClearanceM-math.Min(least, behindM), math.Min(lowest, behindM)-p.ViewClearanceM)
	if off > clearanceTolM {
		bad = append(bad, broken(RuleClearance, off, "%s tells a clearance of %.4f m, its %s is %.4f m from the view",
			p.Role, p.ViewClearanceM, part, least))
	}
	return bad
}
