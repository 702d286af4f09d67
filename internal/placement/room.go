package placement

import (
	"math"

	"kitspan/internal/geom"
	"kitspan/internal/scene"
)

// room is how far a frame can be moved beyond each plane of the view, and toward the lens, at one facing and still cover or
// nearly so. It is worked out once for each facing and frame, and shows at once that a support with too short an arm has no room.
type room struct {
	known bool
	size  Size
	topM  float64
	// beyond is the greatest g·c of each plane of the view; near is the greatest sum of left and right: toward the lens,
	// where the view is narrow.
	beyond [scene.ViewSides]float64
	near   float64
}

// room reports whether supports could stand out of view at a facing: a relaxation of [placer.standOn] that looks at the
// ground alone, at one support each and at a left and a right one together, and drops every other condition but covering.
func (p *placer) room(f *Facing, sh *Size, ho *SupportLimits) bool {
	r := &f.rooms[int(flag(sh.HalfU < sh.HalfV))]
	p.easing = easing{}
	above := p.st.ViewPlanes()
	planes := above
	for i := range planes {
		planes[i].Z = 0
	}
	if !r.known || r.size != *sh || r.topM != ho.TopM {
		*r = room{known: true, size: *sh, topM: ho.TopM}
		free := AnySupport // the room is kept for all supports: it must not depend on the heights of any
		free.TopM = ho.TopM
		n := p.common(f, sh, &free, YieldCover)
		n = p.put(n, geom.Vec{}, -1, SeedDepthM(p.st)) // a little short of covering: turning a little may mend that
		for i, g := range planes {
			r.beyond[i] = math.Inf(-1)
			if !neverNeeded(p.st, i, above[i], &free) {
				r.beyond[i] = p.farthest(n, g)
			}
		}
		r.near = p.farthest(n, planes[scene.LeftOfView].Add(planes[scene.RightOfView]))
	}
	off := OffsetsOf(f, sh, ho.Count)
	var need [scene.ViewSides]float64 // least g·(c + offset) of a support that stands beyond the plane
	for i, g := range above {
		flat := math.Hypot(g.X, g.Y)
		need[i] = p.st.ClearanceM(i) + g.Dot(p.st.View.Eye) - ho.armReach(flat, flat)
	}
	onLeft, onRight, anywhere := true, true, true // all supports there, or behind the lens, under the picture or over it
	most := [2]float64{math.Inf(-1), math.Inf(-1)}
	for _, o := range off.At[:off.N] {
		var stands [scene.ViewSides]bool
		for i, g := range planes {
			stands[i] = r.beyond[i]+g.Dot(o) >= need[i]
		}
		elsewhere := stands[scene.BehindView] || stands[scene.UnderView] || stands[scene.OverView]
		onLeft, onRight = onLeft && (elsewhere || stands[scene.LeftOfView]), onRight && (elsewhere || stands[scene.RightOfView])
		anywhere = anywhere && (elsewhere || stands[scene.LeftOfView] || stands[scene.RightOfView])
		most[0], most[1] = math.Max(most[0], planes[scene.LeftOfView].Dot(o)), math.Max(most[1], planes[scene.RightOfView].Dot(o))
	}
	return onLeft || onRight || anywhere && r.near+most[0]+most[1] >= need[scene.LeftOfView]+need[scene.RightOfView]
}

// farthest returns the greatest g·c over the places that keep the first n rows; −Inf where there is none.
func (p *placer) farthest(n int, g geom.Vec) float64 {
	p.lp.Goal = [geom.Dim]float64{g.X, g.Y, -heightWeight, -sideWeight}
	for j := range 2 {
		if p.lp.Goal[j] == 0 {
			p.lp.Goal[j] = sideWeight
		}
	}
	x, _, v := p.solve(n, math.Inf(-1))
	p.lp.Goal = slackGoal
	if v != geom.Optimal {
		return math.Inf(-1)
	}
	return g.X*x[0] + g.Y*x[1]
}
