package geom

import "math"

// View is the pyramid that a rectilinear lens sees: an eye, three unit vectors (right, forward along the axis, up),
// and the tangents of the half-angles across and up.
type View struct {
	Eye                Vec
	Right, Forward, Up Vec
	TanX, TanY         float64
}

// Look returns the view from eye through aim, with the horizon level. Eye and aim must differ in plan.
func Look(eye, aim Vec, tanX, tanY float64) View {
	f := aim.Sub(eye).Unit()
	r := Vec{f.Y, -f.X, 0}.Unit()
	return View{Eye: eye, Right: r, Forward: f, Up: r.Cross(f), TanX: tanX, TanY: tanY}
}

// Coords returns p's offset across the axis, up, and its depth along the axis, in metres.
func (v *View) Coords(p Vec) (x, y, depth float64) {
	d := p.Sub(v.Eye)
	return d.Dot(v.Right), d.Dot(v.Up), d.Dot(v.Forward)
}

// Ray returns the direction through the picture's edge: sx, sy are −1 or 1 for a corner, 0 for the middle.
func (v *View) Ray(sx, sy float64) Vec {
	return v.Forward.Add(v.Right.Scale(sx * v.TanX)).Add(v.Up.Scale(sy * v.TanY))
}

// Clearance returns how far p is from the view, across the axis at p's own depth; 0 inside, +Inf behind the lens.
func (v *View) Clearance(p Vec) float64 {
	x, y, t := v.Coords(p)
	if t < 0 {
		return math.Inf(1)
	}
	return math.Hypot(math.Max(0, math.Abs(x)-v.TanX*t), math.Max(0, math.Abs(y)-v.TanY*t))
}

// SegmentClearance returns the least [View.Clearance] over the segment from a to b, exact: along a segment the two gaps are
// piecewise linear, so that on each piece the square of the clearance is a parabola.
func (v *View) SegmentClearance(a, b Vec) float64 {
	ax, ay, at := v.Coords(a)
	bx, by, bt := v.Coords(b)
	lo, hi := 0.0, 1.0
	switch {
	case at < 0 && bt < 0:
		return math.Inf(1)
	case at < 0:
		lo = at / (at - bt)
	case bt < 0:
		hi = at / (at - bt)
	}
	gap := func(s float64) (gx, gy float64) {
		t := at + s*(bt-at)
		return math.Abs(ax+s*(bx-ax)) - v.TanX*t, math.Abs(ay+s*(by-ay)) - v.TanY*t
	}
	// Where a gap or an offset changes sign a new piece begins.
	cuts := [8]float64{lo, hi}
	n := 2
	zero := func(fa, fb float64) {
		if (fa < 0) != (fb < 0) {
			if s := fa / (fa - fb); s > lo && s < hi {
				cuts[n] = s
				n++
			}
		}
	}
	zero(ax, bx)
	zero(ay, by)
	zero(ax-v.TanX*at, bx-v.TanX*bt)
	zero(-ax-v.TanX*at, -bx-v.TanX*bt)
	zero(ay-v.TanY*at, by-v.TanY*bt)
	zero(-ay-v.TanY*at, -by-v.TanY*bt)
	sortSmall(cuts[:n])
	best := math.Inf(1)
	for i := 0; i+1 < n; i++ {
		s0, s1 := cuts[i], cuts[i+1]
		x0, y0 := gap(s0)
		x1, y1 := gap(s1)
		if (x0+x1)/2 <= 0 {
			x0, x1 = 0, 0
		}
		if (y0+y1)/2 <= 0 {
			y0, y1 = 0, 0
		}
		best = math.Min(best, pointToSegment(0, 0, x0, y0, x1, y1))
	}
	return best
}

// PolygonClearance returns the least [View.Clearance] over a flat convex polygon, its inside counted in. The clearance is a
// convex function whose level sets are bounded by planes and by cones about the picture's corner rays, so that its
// least value on a flat piece lies on the edge unless the piece cuts the view.
func (v *View) PolygonClearance(corners []Vec) float64 {
	for _, s := range [4][2]float64{{-1, -1}, {1, -1}, {1, 1}, {-1, 1}} {
		if piercesPolygon(v.Eye, v.Ray(s[0], s[1]), corners) {
			return 0
		}
	}
	best := math.Inf(1)
	var cut [2]Vec
	cuts := 0
	for i, a := range corners {
		b := corners[(i+1)%len(corners)]
		best = math.Min(best, v.SegmentClearance(a, b))
		_, _, ta := v.Coords(a)
		_, _, tb := v.Coords(b)
		if (ta < 0) != (tb < 0) && cuts < 2 {
			cut[cuts] = a.Add(b.Sub(a).Scale(ta / (ta - tb)))
			cuts++
		}
	}
	if cuts == 2 {
		// At the plane of the lens the view is a point; by its rounded depth a cut may seem to lie behind it.
		x0, y0, _ := v.Coords(cut[0])
		x1, y1, _ := v.Coords(cut[1])
		best = math.Min(best, pointToSegment(0, 0, x0, y0, x1, y1))
	}
	return best
}

// piercesPolygon reports whether the ray from eye along dir passes through a flat convex polygon.
func piercesPolygon(eye, dir Vec, corners []Vec) bool {
	n := corners[1].Sub(corners[0]).Cross(corners[2].Sub(corners[1]))
	slope := n.Dot(dir)
	if math.Abs(slope) < 1e-12 {
		return false
	}
	along := n.Dot(corners[0].Sub(eye)) / slope
	if along < 0 {
		return false
	}
	q := eye.Add(dir.Scale(along))
	for i, a := range corners {
		if corners[(i+1)%len(corners)].Sub(a).Cross(q.Sub(a)).Dot(n) < 0 {
			return false
		}
	}
	return true
}

// discSides is how many sides stand for a circle; they are drawn around it, so that the clearance is never too large
// and at most 0.12 % of the radius too small.
const discSides = 64

// DiscOuter is the radius of those polygons' corners against that of their circle.
var DiscOuter = 1 / math.Cos(math.Pi/discSides)

// DiscClearance returns the least [View.Clearance] over a level disc.
func (v *View) DiscClearance(center Vec, radius float64) float64 {
	if radius <= 0 {
		return v.Clearance(center)
	}
	var ring [discSides]Vec
	outer := radius * DiscOuter
	for i := range ring {
		s, c := math.Sincos(2 * math.Pi * float64(i) / discSides)
		ring[i] = Vec{center.X + outer*c, center.Y + outer*s, center.Z}
	}
	return v.PolygonClearance(ring[:])
}

// SeesDisc reports whether any part of a distant disc shows: its middle in direction dir, its angular radius in degrees.
func (v *View) SeesDisc(dir Vec, radiusDeg float64) bool {
	x, y, t := dir.Dot(v.Right), dir.Dot(v.Up), dir.Dot(v.Forward)
	if t > 0 && math.Abs(x) <= v.TanX*t && math.Abs(y) <= v.TanY*t {
		return true
	}
	corner := [4]Vec{v.Ray(-1, -1).Unit(), v.Ray(1, -1).Unit(), v.Ray(1, 1).Unit(), v.Ray(-1, 1).Unit()}
	for i, a := range corner {
		if angleToArc(dir, a, corner[(i+1)%4]) <= radiusDeg {
			return true
		}
	}
	return false
}

// angleToArc is the angle in degrees between a direction and the nearest point of the great-circle arc from a to b.
func angleToArc(dir, a, b Vec) float64 {
	n := a.Cross(b).Unit()
	foot := dir.Sub(n.Scale(dir.Dot(n)))
	if a.Cross(foot).Dot(n) >= 0 && foot.Cross(b).Dot(n) >= 0 {
		return math.Asin(math.Min(1, math.Abs(dir.Unit().Dot(n)))) * 180 / math.Pi
	}
	return math.Min(AngleDeg(dir, a), AngleDeg(dir, b))
}

func sortSmall(s []float64) {
	for i := 1; i < len(s); i++ {
		for j := i; j > 0 && s[j] < s[j-1]; j-- {
			s[j], s[j-1] = s[j-1], s[j]
		}
	}
}
