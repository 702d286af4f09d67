package sizing

import (
	"math"

	"kitspan/internal/geom"
)

// The planes of [stage.viewPlanes].
const (
	leftOfView = iota
	rightOfView
	behindView
	underView // the mast and what it holds stay below the picture
	overView  // a lens that looks down sees the ground no farther than to the upper edge of the picture
	viewSides
)

// viewPlanes are the planes through the eye with the picture behind them.
func (st *stage) viewPlanes() [viewSides]geom.Vec {
	v := &st.view
	ahead := v.Forward.Scale(v.TanX)
	return [viewSides]geom.Vec{
		leftOfView:  v.Right.Scale(-1).Sub(ahead),
		rightOfView: v.Right.Sub(ahead),
		behindView:  v.Forward.Scale(-1),
		underView:   v.Up.Scale(-1).Sub(v.Forward.Scale(v.TanY)),
		overView:    v.Up.Sub(v.Forward.Scale(v.TanY)),
	}
}

// keepOff is by how much supports stay beyond a plane of the picture.
func (st *stage) keepOff(plane int) float64 {
	if plane == behindView {
		return guardM
	}
	return st.viewM + guardM
}

// feetBeside reports, without measuring, whether a circle of feet is clear of one side of the view.
func (st *stage) feetBeside(base geom.Vec, footM float64) bool {
	planes := st.viewPlanes()
	for _, g := range planes[:behindView] {
		if g.Dot(base.Sub(st.view.Eye))-footM*math.Hypot(g.X, g.Y) >= st.viewM {
			return true
		}
	}
	return false
}

// outline is what the view takes of an upright plane square to the lens: half its width, and its height over the ground.
type outline struct{ halfX, top, bottom float64 }

// viewAt is the view's outline at a distance behind the origin; infinite where the view does not end there.
func (st *stage) viewAt(y float64) outline {
	o := outline{bottom: math.Inf(1)}
	for _, side := range [2]float64{-1, 1} {
		var edge [2]geom.Vec // of the picture, lower end first
		for k, up := range [2]float64{-1, 1} {
			ray := st.view.Ray(side, up)
			if ray.Y <= 1e-6 {
				return outline{math.Inf(1), math.Inf(1), 0}
			}
			edge[k] = st.view.Eye.Add(ray.Scale((y - st.view.Eye.Y) / ray.Y))
		}
		if low, high := edge[0], edge[1]; low.Z < 0 && high.Z > 0 { // what is under the ground is not seen
			edge[0] = low.Add(high.Sub(low).Scale(-low.Z / (high.Z - low.Z)))
		}
		for _, p := range edge {
			o.halfX, o.top, o.bottom = math.Max(o.halfX, math.Abs(p.X)), math.Max(o.top, p.Z), math.Min(o.bottom, p.Z)
		}
	}
	o.bottom = math.Max(0, o.bottom)
	return o
}

// outOfView is how far along a direction the rays of all the zone's corners have left the view; +Inf where one never does.
func (st *stage) outOfView(dir geom.Vec) float64 {
	v := &st.view
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

// silhouette is the area that the zone shows from a direction: no opening that covers it is smaller, however turned.
func (st *stage) silhouette(dir geom.Vec) float64 {
	return 4 * (math.Abs(dir.X)*st.half.Y*st.half.Z + math.Abs(dir.Y)*st.half.X*st.half.Z + math.Abs(dir.Z)*st.half.X*st.half.Y)
}
