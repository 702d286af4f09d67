package scene

import (
	"math"

	"kitspan/internal/geom"
)

// Indices of the planes that [Stage.ViewPlanes] returns.
const (
	LeftOfView = iota
	RightOfView
	BehindView
	UnderView // the mast and what it holds stay below the picture
	OverView  // a lens that looks down sees the ground no farther than to the upper edge of the picture
	ViewSides
)

// ViewPlanes returns, by their normals, planes through the eye with the picture behind them. The normals are not of unit length.
func (st *Stage) ViewPlanes() [ViewSides]geom.Vec {
	v := &st.View
	ahead := v.Forward.Scale(v.TanX)
	return [ViewSides]geom.Vec{
		LeftOfView:  v.Right.Scale(-1).Sub(ahead),
		RightOfView: v.Right.Sub(ahead),
		BehindView:  v.Forward.Scale(-1),
		UnderView:   v.Up.Scale(-1).Sub(v.Forward.Scale(v.TanY)),
		OverView:    v.Up.Sub(v.Forward.Scale(v.TanY)),
	}
}

// ClearanceM returns by how much, in metres, supports stay beyond a plane of the picture, by its index in [Stage.ViewPlanes].
func (st *Stage) ClearanceM(plane int) float64 {
	if plane == BehindView {
		return GuardM
	}
	return st.ViewM + GuardM
}

// FeetOutOfView reports, without measuring the distance, whether a circle of feet lies wholly beyond one side of the view.
func (st *Stage) FeetOutOfView(base geom.Vec, footM float64) bool {
	planes := st.ViewPlanes()
	for _, g := range planes[:BehindView] {
		if g.Dot(base.Sub(st.View.Eye))-footM*math.Hypot(g.X, g.Y) >= st.ViewM {
			return true
		}
	}
	return false
}

// Outline is the part of an upright plane square to the lens that is in view: half its width, and the heights of its upper and
// lower edge over the ground, in metres.
type Outline struct{ HalfX, Top, Bottom float64 }

// ViewAt returns the view's outline at a distance in metres behind the origin; infinite where the view does not end there.
func (st *Stage) ViewAt(y float64) Outline {
	o := Outline{Bottom: math.Inf(1)}
	for _, side := range [2]float64{-1, 1} {
		var edge [2]geom.Vec // of the picture, lower end first
		for k, up := range [2]float64{-1, 1} {
			ray := st.View.Ray(side, up)
			if ray.Y <= 1e-6 {
				return Outline{math.Inf(1), math.Inf(1), 0}
			}
			edge[k] = st.View.Eye.Add(ray.Scale((y - st.View.Eye.Y) / ray.Y))
		}
		if low, high := edge[0], edge[1]; low.Z < 0 && high.Z > 0 { // what is under the ground is not seen
			edge[0] = low.Add(high.Sub(low).Scale(-low.Z / (high.Z - low.Z)))
		}
		for _, p := range edge {
			o.HalfX, o.Top, o.Bottom = math.Max(o.HalfX, math.Abs(p.X)), math.Max(o.Top, p.Z), math.Min(o.Bottom, p.Z)
		}
	}
	o.Bottom = math.Max(0, o.Bottom)
	return o
}

// OutOfView returns how far along a direction, in metres, the rays of all the zone's corners have left the view; +Inf where one
// never does.
func (st *Stage) OutOfView(dir geom.Vec) float64 {
	v := &st.View
	far := 0.0
	for _, p := range st.corners() {
		out := math.Inf(1)
		for _, g := range [4]geom.Vec{
			v.Up.Sub(v.Forward.Scale(v.TanY)), v.Up.Scale(-1).Sub(v.Forward.Scale(v.TanY)),
			v.Right.Sub(v.Forward.Scale(v.TanX)), v.Right.Scale(-1).Sub(v.Forward.Scale(v.TanX)),
		} {
			at, rate := g.Dot(p.Sub(v.Eye)), g.Dot(dir)
			switch {
			case at >= 0:
				out = 0
			case rate > 0:
				out = math.Min(out, -at/rate)
			}
		}
		far = math.Max(far, out)
	}
	return far
}

// Silhouette returns the area in square metres that the zone shows along a unit direction: no opening that covers it is smaller,
// however turned.
func (st *Stage) Silhouette(dir geom.Vec) float64 {
	return 4 * (math.Abs(dir.X)*st.Half.Y*st.Half.Z + math.Abs(dir.Y)*st.Half.X*st.Half.Z + math.Abs(dir.Z)*st.Half.X*st.Half.Y)
}

// ClearOfAllM is the clearance in metres printed for a piece that lies wholly behind the lens, where none can be measured.
const ClearOfAllM = 100

// Sees reports whether any part of a box is in the picture. The picture has no end, so that one through the box cuts its sides.
func (st *Stage) Sees(z *geom.Box) bool {
	for _, face := range [6][4]int{{0, 1, 3, 2}, {4, 5, 7, 6}, {0, 1, 5, 4}, {2, 3, 7, 6}, {0, 2, 6, 4}, {1, 3, 7, 5}} {
		var c [4]geom.Vec
		for i, k := range face {
			c[i] = z.Corner(k)
		}
		if st.View.PolygonClearance(c[:]) <= 0 {
			return true
		}
	}
	return false
}
