package geom

import "math"

// Rect is a flat rectangle in space: centre, two unit vectors along its sides, and its half-sizes along them.
type Rect struct {
	Center Vec
	U, V   Vec
	HalfU  float64
	HalfV  float64
}

// Corners returns the corners in order around the rectangle, starting at −U −V.
func (r Rect) Corners() [4]Vec {
	u, v := r.U.Scale(r.HalfU), r.V.Scale(r.HalfV)
	return [4]Vec{
		r.Center.Sub(u).Sub(v), r.Center.Add(u).Sub(v), r.Center.Add(u).Add(v), r.Center.Sub(u).Add(v),
	}
}

// Normal returns the unit vector U × V.
func (r Rect) Normal() Vec { return r.U.Cross(r.V) }

// Grow returns the rectangle with both half-sizes larger by m.
func (r Rect) Grow(m float64) Rect {
	r.HalfU += m
	r.HalfV += m
	return r
}

// Inset returns how far inside the edge the line from p along dir crosses the rectangle's plane (negative: outside, by the
// larger of the two overshoots), and how far along dir, in lengths of dir, the crossing lies. A line that runs along
// the plane crosses nowhere: the inset is −Inf.
func (r Rect) Inset(p, dir Vec) (inset, along float64) {
	n := r.Normal()
	slope := n.Dot(dir)
	if math.Abs(slope) < 1e-12 {
		return math.Inf(-1), math.Inf(1)
	}
	along = n.Dot(r.Center.Sub(p)) / slope
	q := p.Add(dir.Scale(along)).Sub(r.Center)
	return math.Min(r.HalfU-math.Abs(q.Dot(r.U)), r.HalfV-math.Abs(q.Dot(r.V))), along
}

// CutBy reports whether the segment from a to b passes through the rectangle, edges counted in.
func (r Rect) CutBy(a, b Vec) bool {
	inset, along := r.Inset(a, b.Sub(a))
	return inset >= 0 && along >= 0 && along <= 1
}

// Meets reports whether two rectangles touch or cross: an edge of one passes through the other. Rectangles in one
// plane are told apart only where an edge of one cuts the other.
func (r Rect) Meets(s Rect) bool {
	rc, sc := r.Corners(), s.Corners()
	for i := range 4 {
		if s.CutBy(rc[i], rc[(i+1)%4]) || r.CutBy(sc[i], sc[(i+1)%4]) {
			return true
		}
	}
	return false
}
