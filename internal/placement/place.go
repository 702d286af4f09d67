package placement

import (
	"cmp"
	"math"
	"slices"

	"kitspan/internal/geom"
	"kitspan/internal/scene"
	"kitspan/internal/shot"
)

// Size is the half-sizes in metres of a frame as it is turned: HalfU and HalfV of its opening, OutU and OutV of the outer edge of
// its tubes, each along the axes u and v of a [Facing].
type Size struct{ HalfU, HalfV, OutU, OutV float64 }

// Turned returns the size with its sides swapped.
func (sh Size) Turned() Size { return Size{sh.HalfV, sh.HalfU, sh.OutV, sh.OutU} }

// Square reports whether swapping the sides changes nothing.
func (sh Size) Square() bool { return sh.HalfU == sh.HalfV && sh.OutU == sh.OutV }

// Yield is the condition that gives way in a search: its slack, in metres, is what the search maximizes.
// A slack of 0 or more means that everything fits.
type Yield int

const (
	YieldCover       Yield = iota // every ray inside the opening's edge
	YieldView                     // outside the view
	YieldReach                    // below the greatest height that the supports reach
	YieldHeightLimit              // below the limit asked for on the highest part
	YieldHeadRoom                 // above head room
	YieldWidth                    // none: the zone's half-width itself is maximized
	yieldTurn                     // all, as turning could mend them: the slack is in radians, of yaw and of tilt at once
)

// Spot is a placed frame: the middle of its opening in the camera's axes, its turn in radians, its size so turned, and the slack
// of the condition that gave way, in metres.
type Spot struct {
	Center geom.Vec
	Yaw    float64
	Tilt   float64
	Size   Size
	Slack  float64
	branch branch
}

// placer finds, for one facing, where a frame has most slack. The conditions that are not convex (out of view, head
// room, where each support stands) are split into cases, each a small linear program; a case whose relaxation is already
// worse than the best so far is skipped, which loses nothing.
type placer struct {
	st     *scene.Stage
	lp     geom.Program
	rows   []geom.Row
	easing easing // of the facing looked at, for yieldTurn
	search caseSearch
	tried  int // linear programs solved
}

// heightWeight prefers, among equal slacks, the lower place; sideWeight only keeps the program's goal off zero.
const (
	heightWeight = 1e-5
	sideWeight   = 1e-8
)

var slackGoal = [geom.Dim]float64{sideWeight, sideWeight, -heightWeight, 1}

// caseRowsMax is room for all rows of one case beside those of the rays.
const caseRowsMax = 96

func newPlacer(st *scene.Stage, rays int) *placer {
	p := &placer{st: st, rows: make([]geom.Row, 4*rays+caseRowsMax+zoneLists*len(st.Others)), search: newCaseSearch(st.Others)}
	p.lp.Goal = slackGoal
	p.lp.Box = [geom.Dim]float64{scene.FarM, scene.FarM, st.Mid.Z + scene.FarM, 2 * shot.MaxWidthM}
	return p
}

func (p *placer) put(n int, a geom.Vec, slack, b float64) int {
	p.rows[n] = geom.Row{A: [geom.Dim]float64{a.X, a.Y, a.Z, slack}, B: b}
	return n + 1
}

func flag(on bool) float64 {
	if on {
		return 1
	}
	return 0
}

// solve solves the first n rows; a value under cutoff is of no interest.
func (p *placer) solve(n int, cutoff float64) ([geom.Dim]float64, float64, geom.Verdict) {
	b := p.lp.Start()
	return p.resume(&b, n, cutoff)
}

// resume solves the first n rows from a basis that was best for some of them.
func (p *placer) resume(b *geom.Basis, n int, cutoff float64) ([geom.Dim]float64, float64, geom.Verdict) {
	p.tried++
	p.lp.Rows = p.rows[:n]
	return p.lp.Continue(b, cutoff-1e-9)
}

// bound returns a tighter bound than [Facing.Bound], for two linear programs a facing: it knows that the rays of different
// instants spread with distance and that a frame is no lower than the ground allows.
func (p *placer) bound(f *Facing, sh *Size) float64 {
	if !f.capped {
		f.capped = true
		f.capU, f.capV = p.cap(f, false, 0, 0), p.cap(f, true, 0, 0)
	}
	return math.Min(sh.HalfU+f.capU, sh.HalfV+f.capV)
}

// cap returns the slack along one side of an opening of size 0 in its best place, which may lie deepM too deep along the rays and
// lowM too low.
func (p *placer) cap(f *Facing, alongV bool, deepM, lowM float64) float64 {
	n := 0
	margin := p.st.CoverM + scene.GuardM
	for i := range f.cover {
		if r := &f.cover[i]; r.alongV == alongV {
			n = p.put(n, r.x.Scale(-1), 1, -margin-r.k)
		}
	}
	toward := f.n.Scale(f.side)
	n = p.put(n, toward.Scale(-1), 0, deepM-f.behind)
	if !math.IsInf(f.before, 1) {
		n = p.put(n, toward, 0, deepM+f.before)
	}
	n = p.put(n, geom.Vec{Z: -1}, 0, lowM-scene.LowEdgeM)
	switch x, _, v := p.solve(n, math.Inf(-1)); v {
	case geom.Optimal:
		return x[3]
	case geom.Infeasible:
		return math.Inf(-1)
	default:
		return math.Inf(1)
	}
}

// common writes the conditions that apply in every case, and returns how many rows they take.
func (p *placer) common(f *Facing, sh *Size, ho *SupportLimits, y Yield) int {
	st := p.st
	n := 0
	margin := st.CoverM + scene.GuardM
	for i := range f.cover {
		r := &f.cover[i]
		half := sh.HalfU
		if r.alongV {
			half = sh.HalfV
		}
		k, slack := r.k, flag(y == YieldCover)
		switch y {
		case YieldWidth:
			slack = math.Abs(r.x.X)
			k -= slack * st.Half.X
		case yieldTurn:
			slack = p.easing.inset(r.slope, r.alongV)
		default:
		}
		n = p.put(n, r.x.Scale(-1), slack, half-margin-k)
	}
	toward := f.n.Scale(f.side)
	depth, rise, held := 0.0, 0.0, 0.0 // by how much each gives
	if y == yieldTurn {
		depth, rise = p.easing.depth(), p.easing.rise()
	}
	if y == YieldWidth {
		// Beyond the zone however wide it grows.
		n = p.put(n, toward.Scale(-1), math.Abs(f.n.X), -(f.behind - math.Abs(f.n.X)*st.Half.X))
		n = p.put(n, geom.Vec{}, -1, 0)
	} else {
		n = p.put(n, toward.Scale(-1), depth, -f.behind)
	}
	if !math.IsInf(f.before, 1) {
		n = p.put(n, toward, depth, f.before)
	}
	up := geom.Vec{Z: 1}
	edge := sh.OutV * f.up
	n = p.put(n, up.Scale(-1), rise, -(scene.LowEdgeM + scene.GuardM + edge)) // lowest edge
	if !math.IsInf(ho.TopM, 1) {
		n = p.put(n, up, flag(y == YieldHeightLimit)+rise, ho.TopM-edge-scene.GuardM)
	}
	if ho.Count == 4 {
		held = edge
	} else {
		rise = 0
	}
	n = p.put(n, up, flag(y == YieldReach)+rise, ho.HighestM-held)
	return p.put(n, up.Scale(-1), rise, -(ho.LowestM + held))
}

// maxSeparators is the picture's four sides and the lens's plane, each corner of the picture with each side of the frame, and
// the frame's own plane either way.
const maxSeparators = 5 + 4*2 + 2

// separators appends planes through the eye with the view on one side: a piece wholly on the other is out of shot. Two convex
// bodies that do not meet are always parted by a face of one or by an edge of each, so that these few are enough.
func (p *placer) separators(list []alternative, only uint8) []alternative {
	v, f, sh := &p.st.View, p.search.f, p.search.sh
	// add takes a plane g: a point p is out of view where g·(p−eye) is at least what the clearance asks across the axis, in units of g.
	add := func(id uint8, g geom.Vec, keep float64) {
		if !wanted(id, only) {
			return
		}
		reach := math.Abs(g.Dot(f.u))*sh.OutU + math.Abs(g.Dot(f.v))*sh.OutV
		var o *alternative
		list, o = appendAlternative(list, id)
		o.put(g.Scale(-1), flag(p.search.y == YieldView)+p.easing.corner(g), -(keep + reach + g.Dot(v.Eye)))
	}
	across := func(id uint8, g geom.Vec) {
		add(id, g, math.Max(scene.GuardM, math.Hypot(g.Dot(v.Right), g.Dot(v.Up))*(p.st.ViewM+scene.GuardM)))
	}
	planes := p.st.ViewPlanes()
	across(1, planes[scene.OverView])
	across(2, planes[scene.LeftOfView])
	across(3, planes[scene.RightOfView])
	add(4, planes[scene.BehindView], scene.GuardM)
	across(5, planes[scene.UnderView])
	// An edge of the frame past a corner of the picture, the upper ones first.
	for corner := range 4 {
		sx, sy := float64(2*(corner&1)-1), float64(1-2*(corner>>1))
		ray := v.Ray(sx, sy)
		for k, e := range [2]geom.Vec{f.u, f.v} {
			g := ray.Cross(e)
			x, y := g.Dot(v.Right)*sx, g.Dot(v.Up)*sy
			if x < 0 {
				g, x, y = g.Scale(-1), -x, -y
			}
			if l := math.Hypot(x, y); x > 0 && y > 1e-3*l && x > 1e-3*l {
				across(uint8(6+2*corner+k), g.Scale(1/l))
			}
		}
	}
	// The frame's own plane, with the whole view behind it.
	g := f.n
	for id := range uint8(2) {
		if v.Ray(1, 1).Dot(g) <= 0 && v.Ray(-1, 1).Dot(g) <= 0 && v.Ray(1, -1).Dot(g) <= 0 && v.Ray(-1, -1).Dot(g) <= 0 {
			across(14+id, g)
		}
		g = g.Scale(-1)
	}
	return list
}

const maxHeads = 18

// headCases appends the ways to keep head room: the lowest edge is above it; or the part of the frame below it lies wholly
// to one side of the grown zone. That part and the grown zone are both rectangles in plan, so that four axes, two from
// each, decide whether they meet.
func (p *placer) headCases(list []alternative, over scene.HeadRoom, only uint8) []alternative {
	st, f, sh, turn := p.st, p.search.f, p.search.sh, &p.easing
	slack := flag(p.search.y == YieldHeadRoom)
	wide := flag(p.search.y == YieldWidth) * over.PerHalfWidth
	rise := sh.OutV * f.up
	head := over.HeadM + scene.GuardM
	add := func(id uint8, a geom.Vec, s, b float64) {
		if !wanted(id, only) {
			return
		}
		var o *alternative
		list, o = appendAlternative(list, id)
		o.put(a, s, b)
	}
	add(1, geom.Vec{Z: -1}, slack+turn.rise(), -(head + rise))
	if f.up < 1e-9 && head <= scene.LowEdgeM {
		return list
	}
	plan := geom.Vec{X: f.v.X, Y: f.v.Y}
	axes := [4]geom.Vec{{X: 1}, {Y: 1}, f.u, plan.Unit()}
	if plan.Len() < 1e-9 {
		axes[3] = geom.Vec{X: -f.u.Y, Y: f.u.X}
	}
	for i, axis := range axes {
		if i == 1 && math.Abs(f.u.X) > 1-1e-12 || i == 0 && math.Abs(f.u.Y) > 1-1e-12 {
			continue // one of the frame's own axes is the same
		}
		for k, sign := range [2]float64{1, -1} {
			e := axis.Scale(sign)
			id := uint8(2 + 4*i + 2*k)
			edge := math.Abs(e.X)*over.HalfX + math.Abs(e.Y)*over.HalfY + scene.GuardM + e.X*over.Mid.X + e.Y*over.Mid.Y
			grow := wide * math.Abs(e.X)
			edge -= grow * st.Half.X
			along := math.Abs(e.Dot(f.u)) * sh.OutU
			climb := e.Dot(f.v) // how far one goes along e going up the slope
			s := slack + grow + turn.corner(e)
			// e·(c + t·v) − along ≥ edge, with t the place on the slope that lies nearest the zone.
			whole := func(id uint8, t float64) { add(id, e.Scale(-1), s, -(edge + along - t*climb)) }
			switch {
			case climb >= 0 || f.up < 1e-9:
				whole(id, math.Copysign(sh.OutV, -climb))
			default:
				// Only up to the line at head height, t = (head − c.z)/v.z …
				a := e.Scale(-1)
				a.Z = climb / f.up
				add(id, a, s-climb/f.up*turn.rise(), climb*head/f.up-edge-along)
				// … or the whole frame, where it is all below.
				whole(id+1, sh.OutV)
			}
		}
	}
	return list
}

// Offsets are the points at which N supports hold a frame, from its centre in metres: ascending by x, from left to right in view.
type Offsets struct {
	At [4]geom.Vec
	// endU and endV are −1, 0 or 1: on which side of the frame along u and along v a point lies.
	endU, endV [4]float64
	N          int
}

// OffsetsOf returns where count supports, 2 or 4, hold a frame of a size at a facing.
func OffsetsOf(f *Facing, size *Size, count int) Offsets {
	o := Offsets{N: count}
	if count == 2 {
		o.endU = [4]float64{-1, 1}
	} else {
		o.endU, o.endV = [4]float64{-1, 1, 1, -1}, [4]float64{-1, -1, 1, 1}
	}
	for i := range count {
		o.At[i] = f.u.Scale(o.endU[i] * size.OutU).Add(f.v.Scale(o.endV[i] * size.OutV))
	}
	for i := 1; i < count; i++ {
		for j := i; j > 0 && o.At[j].X < o.At[j-1].X; j-- {
			o.At[j], o.At[j-1] = o.At[j-1], o.At[j]
			o.endU[j], o.endU[j-1] = o.endU[j-1], o.endU[j]
			o.endV[j], o.endV[j-1] = o.endV[j-1], o.endV[j]
		}
	}
	return o
}

// FromOutside returns the indices of the points from the outermost in the picture to the innermost, with the frame's centre at x:
// an order that a mirror keeps. The first N are valid.
func (o *Offsets) FromOutside(x float64) [4]int {
	order := [4]int{0, 1, 2, 3}
	slices.SortStableFunc(order[:o.N], func(a, b int) int { return cmp.Compare(math.Abs(x+o.At[b].X), math.Abs(x+o.At[a].X)) })
	return order
}

// armGain returns how far along g, in g's own units, an arm of 1 m can put a mast that holds point i. An arm may lead any way
// out from the frame or along its edge, but inward only from a low edge, or from the middle of a side to under the higher
// half: elsewhere the mast would come up through the fabric.
func (o *Offsets) armGain(i int, f *Facing, g geom.Vec) float64 {
	flat := math.Hypot(g.X, g.Y)
	if o.endV[i] < 0 && f.up > upSlope {
		return flat
	}
	across := geom.Vec{X: -f.u.Y, Y: f.u.X} // level and square to u
	if across.Dot(f.v) < 0 {
		across = across.Scale(-1)
	}
	outU, outV := g.Dot(f.u)*o.endU[i], g.Dot(across)*o.endV[i]
	switch {
	case outU >= 0 || outV > 0:
		return flat
	case o.endV[i] == 0 && g.Dot(across) >= 0 && f.up > upSlope:
		return flat // under the higher half, which hangs over the point held
	case o.endV[i] == 0:
		return math.Abs(g.Dot(across))
	}
	return math.Max(-outU, -outV)
}

// upSlope is the rise of a frame, as the sine of its tilt, from which a mast under the low edge is clear of the fabric.
const upSlope = 0.05
