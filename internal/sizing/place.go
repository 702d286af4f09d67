package sizing

import (
	"math"

	"kitspan/internal/geom"
)

// sheet is a frame's half-sizes as it is turned: the opening along u and v, and the outer tubes.
type sheet struct{ halfU, halfV, outU, outV float64 }

func (sh sheet) turned() sheet { return sheet{sh.halfV, sh.halfU, sh.outV, sh.outU} }

func (sh sheet) square() bool { return sh.halfU == sh.halfV && sh.outU == sh.outV }

// yields says which condition gives way in a search: its slack, in metres, is what the search makes largest.
// A slack of 0 or more means that everything fits.
type yields int

const (
	yieldCover yields = iota // inside the opening's edge
	yieldView                // outside the view
	yieldHigh                // under the supports' reach
	yieldTop                 // under the limit on the height of a rig
	yieldLow                 // over head room
	yieldWidth               // none: the zone's half-width itself is made largest
)

// spot is a placed frame: where, turned how, and with what slack.
type spot struct {
	center geom.Vec
	yaw    float64
	tilt   float64
	sheet  sheet
	slack  float64
	branch branch
}

// branch names the case that a spot came from: which plane keeps it out of view, which
// keeps head room, and which supports go left of the view.
type branch struct{ view, head, split int }

// placer finds, for one facing, where a frame has most slack. The conditions that are not convex (out of view, head
// room, supports left or right of the view) are split into cases, each a small linear program; a case whose
// relaxation is already worse than the best so far is skipped, which loses nothing.
type placer struct {
	st   *stage
	lp   geom.Program
	rows []geom.Row
	// only restricts the cases to one branch, for refining around a known spot; nil for all.
	only *branch
	// accept, where set, must agree to a spot that fits before it is taken.
	accept func(*spot) bool
	// patience is how many more places accept will look at.
	patience int
	// thorough makes it try more places of a case before giving it up.
	thorough bool
	walk     walk
	tried    int // linear programs solved
}

// heightWeight prefers, among equal slacks, the lower place; sideWeight only keeps the program's goal off zero.
const (
	heightWeight = 1e-5
	sideWeight   = 1e-8
)

var slackGoal = [geom.Dim]float64{sideWeight, sideWeight, -heightWeight, 1}

// caseRowsMax is room for all rows of one case beside those of the rays.
const caseRowsMax = 96

func newPlacer(st *stage, rays int) *placer {
	p := &placer{st: st, rows: make([]geom.Row, 4*rays+caseRowsMax)}
	p.lp.Goal = slackGoal
	p.lp.Box = [geom.Dim]float64{farM, farM, st.mid.Z + farM, 2 * widestAskedM}
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

// resume does so from a basis that was best for some of them.
func (p *placer) resume(b *geom.Basis, n int, cutoff float64) ([geom.Dim]float64, float64, geom.Verdict) {
	p.tried++
	p.lp.Rows = p.rows[:n]
	return p.lp.Continue(b, cutoff-1e-9)
}

// bound is a tighter bound than [facing.bound], for two linear programs a facing: it knows that the rays of different
// instants spread with distance and that a frame is no lower than the ground allows.
func (p *placer) bound(f *facing, sh *sheet) float64 {
	if !f.capped {
		f.capped = true
		f.capU, f.capV = p.cap(f, false), p.cap(f, true)
	}
	return math.Min(sh.halfU+f.capU, sh.halfV+f.capV)
}

func (p *placer) cap(f *facing, alongV bool) float64 {
	n := 0
	margin := p.st.coverM + guardM
	for i := range f.cover {
		if r := &f.cover[i]; r.alongV == alongV {
			n = p.put(n, r.x.Scale(-1), 1, -margin-r.k)
		}
	}
	n = p.put(n, f.n.Scale(-f.side), 0, -f.behind)
	n = p.put(n, geom.Vec{Z: -1}, 0, -lowEdgeM)
	x, _, v := p.solve(n, math.Inf(-1))
	if v != geom.Optimal {
		return math.Inf(-1)
	}
	return x[3]
}

// common are the conditions that hold in every case.
func (p *placer) common(f *facing, sh *sheet, ho *hold, y yields) int {
	st := p.st
	n := 0
	margin := st.coverM + guardM
	for i := range f.cover {
		r := &f.cover[i]
		half := sh.halfU
		if r.alongV {
			half = sh.halfV
		}
		k, slack := r.k, flag(y == yieldCover)
		if y == yieldWidth {
			slack = math.Abs(r.x.X)
			k -= slack * st.half.X
		}
		n = p.put(n, r.x.Scale(-1), slack, half-margin-k)
	}
	toward := f.n.Scale(f.side)
	if y == yieldWidth {
		// Beyond the zone however wide it grows.
		n = p.put(n, toward.Scale(-1), math.Abs(f.n.X), -(f.behind - math.Abs(f.n.X)*st.half.X))
		n = p.put(n, geom.Vec{}, -1, 0)
	} else {
		n = p.put(n, toward.Scale(-1), 0, -f.behind)
	}
	if !math.IsInf(f.before, 1) {
		n = p.put(n, toward, 0, f.before)
	}
	up := geom.Vec{Z: 1}
	rise := sh.outV * f.up
	n = p.put(n, up.Scale(-1), 0, -(lowEdgeM + guardM + rise)) // lowest edge
	held := 0.0
	if ho.count == 4 {
		held = rise
	}
	n = p.put(n, up, flag(y == yieldHigh), ho.highestM-held)
	if !math.IsInf(ho.topM, 1) {
		n = p.put(n, up, flag(y == yieldTop), ho.topM-rise-guardM)
	}
	return p.put(n, up.Scale(-1), 0, -(ho.lowestM + held))
}

// separator is a plane through the eye with the view on one side: a piece wholly on the other is out of shot. Two convex
// bodies that do not meet are always parted by a face of one or by an edge of each, so that these few are enough.
type separator struct {
	id int
	g  geom.Vec // out of view where g·(p−eye) ≥ keep
	// keep is how far across the axis, in units of g, the clearance asks.
	across float64
}

const maxSeparators = 16

const behindLens = 100 // id of the plane of the lens itself

func (st *stage) separators(out *[maxSeparators]separator, f *facing) int {
	v := &st.view
	n := 0
	add := func(id int, g geom.Vec) {
		if n < maxSeparators {
			out[n] = separator{id, g, math.Hypot(g.Dot(v.Right), g.Dot(v.Up))}
			n++
		}
	}
	add(0, v.Up.Sub(v.Forward.Scale(v.TanY)))
	add(1, v.Right.Scale(-1).Sub(v.Forward.Scale(v.TanX)))
	add(2, v.Right.Sub(v.Forward.Scale(v.TanX)))
	out[n] = separator{id: behindLens, g: v.Forward.Scale(-1)}
	n++
	// An edge of the frame past an upper corner of the picture.
	for side := range 2 {
		sx := float64(2*side - 1)
		ray := v.Ray(sx, 1)
		for k, e := range [2]geom.Vec{f.u, f.v} {
			g := ray.Cross(e)
			x, y := g.Dot(v.Right)*sx, g.Dot(v.Up)
			if x < 0 {
				g, x, y = g.Scale(-1), -x, -y
			}
			if l := math.Hypot(x, y); x > 0 && y > 1e-3*l && x > 1e-3*l {
				add(3+2*side+k, g.Scale(1/l))
			}
		}
	}
	// The frame's own plane, with the whole view behind it.
	g := f.n
	for range 2 {
		if v.Ray(1, 1).Dot(g) <= 0 && v.Ray(-1, 1).Dot(g) <= 0 && v.Ray(1, -1).Dot(g) <= 0 && v.Ray(-1, -1).Dot(g) <= 0 {
			add(7, g)
		}
		g = g.Scale(-1)
	}
	return n
}

func (p *placer) viewRow(n int, f *facing, sh *sheet, s *separator, y yields) int {
	v := &p.st.view
	keep := math.Max(guardM, s.across*(p.st.viewM+guardM))
	reach := math.Abs(s.g.Dot(f.u))*sh.outU + math.Abs(s.g.Dot(f.v))*sh.outV
	return p.put(n, s.g.Scale(-1), flag(y == yieldView), -(keep + reach + s.g.Dot(v.Eye)))
}

// headCase is one way to keep head room.
type headCase struct {
	id   int
	rows [2]struct {
		a        geom.Vec
		slack, b float64
	}
	n int
}

const maxHeads = 18

// headCases are the ways to keep head room: the lowest edge is above it; or the part of the frame below it lies wholly
// to one side of the grown zone. That part and the grown zone are both rectangles in plan, so that four axes, two from
// each, tell whether they meet.
func (st *stage) headCases(out *[maxHeads]headCase, f *facing, sh *sheet, y yields) int {
	n := 0
	slack := flag(y == yieldLow)
	wide := flag(y == yieldWidth)
	rise := sh.outV * f.up
	head := st.headM + guardM
	add := func(id int, a geom.Vec, s, b float64) {
		out[n].id, out[n].n = id, 1
		out[n].rows[0].a, out[n].rows[0].slack, out[n].rows[0].b = a, s, b
		n++
	}
	add(0, geom.Vec{Z: -1}, slack, -(head + rise))
	if f.up < 1e-9 && head <= lowEdgeM {
		return n
	}
	plan := geom.Vec{X: f.v.X, Y: f.v.Y}
	axes := [4]geom.Vec{{X: 1}, {Y: 1}, f.u, plan.Unit()}
	if plan.Len() < 1e-9 {
		axes[3] = geom.Vec{X: -f.u.Y, Y: f.u.X}
	}
	for i, axis := range axes {
		if i == 1 && math.Abs(f.u.X) > 1-1e-12 || i == 0 && math.Abs(f.u.Y) > 1-1e-12 {
			continue // the frame's own axes say the same
		}
		for k, sign := range [2]float64{1, -1} {
			e := axis.Scale(sign)
			id := 1 + 4*i + 2*k
			edge := math.Abs(e.X)*st.grownX + math.Abs(e.Y)*st.grownY + guardM
			grow := wide * math.Abs(e.X)
			edge -= grow * st.half.X
			along := math.Abs(e.Dot(f.u)) * sh.outU
			climb := e.Dot(f.v) // how far one goes along e going up the slope
			s := slack + grow
			// e·(c + t·v) − along ≥ edge, with t the place on the slope that lies nearest the zone.
			whole := func(id int, t float64) { add(id, e.Scale(-1), s, -(edge + along - t*climb)) }
			switch {
			case climb >= 0 || f.up < 1e-9:
				whole(id, math.Copysign(sh.outV, -climb))
			default:
				// Only up to the line at head height, t = (head − c.z)/v.z …
				a := e.Scale(-1)
				a.Z = climb / f.up
				add(id, a, s, climb*head/f.up-edge-along)
				// … or the whole frame, where it is all below.
				whole(id+1, sh.outV)
			}
		}
	}
	return n
}

// offsets are where the supports take hold, from the frame's centre: ascending by x, the side of the view.
type offsets struct {
	at [4]geom.Vec
	// endU and endV are −1, 0 or 1: on which side of the frame along u and along v a point lies.
	endU, endV [4]float64
	n          int
}

func offsetsOf(f *facing, sh *sheet, count int) offsets {
	o := offsets{n: count}
	if count == 2 {
		o.endU = [4]float64{-1, 1}
	} else {
		o.endU, o.endV = [4]float64{-1, 1, 1, -1}, [4]float64{-1, -1, 1, 1}
	}
	for i := range count {
		o.at[i] = f.u.Scale(o.endU[i] * sh.outU).Add(f.v.Scale(o.endV[i] * sh.outV))
	}
	for i := 1; i < count; i++ {
		for j := i; j > 0 && o.at[j].X < o.at[j-1].X; j-- {
			o.at[j], o.at[j-1] = o.at[j-1], o.at[j]
			o.endU[j], o.endU[j-1] = o.endU[j-1], o.endU[j]
			o.endV[j], o.endV[j-1] = o.endV[j-1], o.endV[j]
		}
	}
	return o
}

// armGain is how far along g, in g's own units, an arm of 1 m can put a mast that holds point i. An arm may lead any way
// out from the frame or along its edge, but inward only from a low edge, or from the middle of a side to under the higher
// half: elsewhere the mast would come up through the fabric.
func (o *offsets) armGain(i int, f *facing, g geom.Vec) float64 {
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

// supportRows keep, within the arm's reach of each held point, room for a mast and its feet out of view: the leftmost
// `left` supports left of it and the others right, or (left = count + 1) all behind the lens. It is a relaxation: arms
// and the zone are looked at afterwards, when the bases are put down. besideZone keeps them to the sides of the zone too.
func (p *placer) supportRows(n int, f *facing, off *offsets, ho *hold, left int, y yields, besideZone bool) int {
	st := p.st
	s := flag(y == yieldView)
	gl, gr, gb := st.sides()
	for i := range off.n {
		g, keep := gr, st.viewM+guardM
		switch {
		case left == off.n+1:
			g, keep = gb, guardM
		case i < left:
			g = gl
		}
		gain, flat := off.armGain(i, f, g), math.Hypot(g.X, g.Y)
		at := g.Dot(st.view.Eye)
		level := geom.Vec{X: g.X, Y: g.Y}
		// At the ground, with the feet …
		n = p.put(n, level.Scale(-1), s, level.Dot(off.at[i])+ho.reach(gain, flat)-keep-at)
		// … and at the top of the mast, where the lens looks up or down.
		if math.Abs(g.Z) > 1e-12 {
			n = p.put(n, g.Scale(-1), s, g.Dot(off.at[i])+ho.reach(gain, 0)-keep-at)
		}
		if besideZone && left <= off.n {
			side := geom.Vec{X: math.Copysign(1, g.X)}
			wide := flag(y == yieldWidth)
			edge := st.half.X*(1-wide) + guardM
			n = p.put(n, side.Scale(-1), wide, side.Dot(off.at[i])+ho.reach(off.armGain(i, f, side), 1)-edge)
		}
	}
	return n
}
