package sizing

import (
	"math"

	"kitspan/internal/geom"
)

// sheet is a frame's half-sizes as it is turned: the opening along u and v, and the outer tubes.
type sheet struct{ halfU, halfV, outU, outV float64 }

func (sh sheet) turned() sheet { return sheet{sh.halfV, sh.halfU, sh.outV, sh.outU} }

func (sh sheet) square() bool { return sh.halfU == sh.halfV && sh.outU == sh.outV }

// hold is what supports allow: heights of the point held, arm, radius of the feet, and how many.
type hold struct {
	lowestM, highestM, armM, footM float64
	count                          int // 2 at the middles of the level sides' ends, 4 at the corners
}

// yields says which condition gives way in a search: its slack, in metres, is what the search makes largest.
// A slack of 0 or more means that everything fits.
type yields int

const (
	yieldCover yields = iota // inside the opening's edge
	yieldView                // outside the view
	yieldHigh                // under the supports' reach
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
	case_  corner
}

// corner names the branch of the case distinction that a spot came from: which plane keeps it out of view, which
// keeps head room, and which supports go left of the view.
type corner struct{ view, head, split int }

// placer finds, for one facing, where a frame has most slack. The conditions that are not convex (out of view, head
// room, supports left or right of the view) are split into cases, each a small linear program; a case whose
// relaxation is already worse than the best so far is skipped, which loses nothing.
type placer struct {
	st   *stage
	lp   geom.Program
	rows [96]geom.Row
	// only restricts the cases to one branch, for refining around a known spot; nil for all.
	only *corner
	// accept, where set, must agree to a spot that fits before it is taken.
	accept func(*spot) bool
	tried  int
}

// heightWeight prefers, among equal slacks, the lower place; sideWeight only keeps the program's goal off zero.
const (
	heightWeight = 1e-5
	sideWeight   = 1e-8
)

func newPlacer(st *stage) *placer {
	p := &placer{st: st}
	p.lp.Goal = [geom.Dim]float64{sideWeight, sideWeight, -heightWeight, 1}
	p.lp.Box = [geom.Dim]float64{farM + 30, farM + 30, 60, 120}
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

// best is the spot with most slack above cutoff for a sheet at a facing. It stops at the first spot of at least
// enough (+Inf to go on to the best).
func (p *placer) best(f *facing, sh *sheet, ho *hold, y yields, cutoff, enough float64) (spot, bool) {
	st := p.st
	found := false
	out := spot{yaw: f.yaw, tilt: f.tilt, sheet: *sh, slack: cutoff}
	n := p.common(f, sh, ho, y)
	free, _, v := p.solve(n, cutoff)
	if v != geom.Optimal {
		return out, false
	}
	top := free[3] - bestTolerance // no case can do better
	var seps [maxSeparators]separator
	var heads [maxHeads]headCase
	ns, nh := st.separators(&seps, f), st.headCases(&heads, f, sh, y)
	offsets := offsetsOf(f, sh, ho.count)
	splits := ho.count + 2 // k leftmost go left, or all behind the lens
	for si := range ns {
		if p.only != nil && p.only.view != seps[si].id {
			continue
		}
		n1 := p.viewRow(n, f, sh, &seps[si], y)
		if _, _, v := p.solve(n1, out.slack); v != geom.Optimal {
			continue
		}
		for hi := range nh {
			if p.only != nil && p.only.head != heads[hi].id {
				continue
			}
			n2 := n1
			for _, r := range heads[hi].rows[:heads[hi].n] {
				n2 = p.put(n2, r.a, r.slack, r.b)
			}
			if _, _, v := p.solve(n2, out.slack); v != geom.Optimal {
				continue
			}
			for k := range splits {
				if p.only != nil && p.only.split != k {
					continue
				}
				n3 := p.supportRows(n2, f, &offsets, ho, k, y, false)
				x, _, v := p.solve(n3, out.slack)
				if v != geom.Optimal || x[3] <= out.slack {
					continue
				}
				c := spot{
					center: geom.Vec{X: x[0], Y: x[1], Z: x[2]}, yaw: f.yaw, tilt: f.tilt, sheet: *sh, slack: x[3],
					case_: corner{seps[si].id, heads[hi].id, k},
				}
				if c.center.Sub(st.mid).Len() > farM {
					continue
				}
				if p.accept != nil {
					if x[3] < 0 || !p.settle(n3, &c) && !p.settleBesideZone(n2, f, &offsets, ho, k, y, &c) {
						continue
					}
				}
				out, found = c, true
				if out.slack >= enough || out.slack >= top {
					return out, true
				}
			}
		}
	}
	return out, found
}

// bestTolerance is the difference in slack, in metres, below which two places are as good as each other.
const bestTolerance = 1e-5

// spareM is the slack that a final place keeps beyond what was asked, where there is that much.
const spareM = 0.05

// settle moves a spot that fits to the lowest place that still keeps spareM, and asks accept; failing that, the place
// of most slack.
func (p *placer) settle(n int, c *spot) bool {
	goal := p.lp.Goal
	low := *c
	p.put(n, geom.Vec{}, -1, -math.Min(c.slack*0.999, spareM))
	p.lp.Goal = [geom.Dim]float64{sideWeight, sideWeight, -1, 1e-3}
	x, _, v := p.solve(n+1, math.Inf(-1))
	p.lp.Goal = goal
	if v == geom.Optimal {
		low.center, low.slack = geom.Vec{X: x[0], Y: x[1], Z: x[2]}, x[3]
		if low.center.Sub(p.st.mid).Len() <= farM && p.accept(&low) {
			*c = low
			return true
		}
	}
	return p.accept(c)
}

// settleBesideZone tries again with the supports kept to the sides of the zone as well as of the view.
func (p *placer) settleBesideZone(n int, f *facing, off *offsets, ho *hold, k int, y yields, c *spot) bool {
	n = p.supportRows(n, f, off, ho, k, y, true)
	x, _, v := p.solve(n, 0)
	if v != geom.Optimal {
		return false
	}
	c.center, c.slack = geom.Vec{X: x[0], Y: x[1], Z: x[2]}, x[3]
	return c.center.Sub(p.st.mid).Len() <= farM && p.settle(n, c)
}

func (p *placer) solve(n int, cutoff float64) ([geom.Dim]float64, float64, geom.Verdict) {
	p.tried++
	p.lp.Rows = p.rows[:n]
	return p.lp.Maximize(cutoff - 1e-9)
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

// offsets are where the supports take hold, from the frame's centre.
type offsets struct {
	at [4]geom.Vec // ascending by x, the side of the view
	n  int
}

func offsetsOf(f *facing, sh *sheet, count int) offsets {
	u, v := f.u.Scale(sh.outU), f.v.Scale(sh.outV)
	o := offsets{n: count}
	if count == 2 {
		o.at[0], o.at[1] = u.Scale(-1), u
	} else {
		o.at = [4]geom.Vec{u.Scale(-1).Sub(v), u.Sub(v), u.Add(v), v.Sub(u)}
	}
	for i := 1; i < count; i++ {
		for j := i; j > 0 && o.at[j].X < o.at[j-1].X; j-- {
			o.at[j], o.at[j-1] = o.at[j-1], o.at[j]
		}
	}
	return o
}

// supportRows keep, within the arm's reach of each held point, room for a mast and its feet out of view: the leftmost
// `left` supports left of it and the others right, or (left = count + 1) all behind the lens. It is a relaxation: arms
// and the zone are looked at afterwards, when the bases are put down. besideZone keeps them to the sides of the zone too.
func (p *placer) supportRows(n int, f *facing, off *offsets, ho *hold, left int, y yields, besideZone bool) int {
	v := &p.st.view
	s := flag(y == yieldView)
	clear := p.st.viewM + guardM
	for i := range off.n {
		var g geom.Vec
		switch {
		case left == off.n+1:
			g = v.Forward.Scale(-1)
		case i < left:
			g = v.Right.Scale(-1).Sub(v.Forward.Scale(v.TanX))
		default:
			g = v.Right.Sub(v.Forward.Scale(v.TanX))
		}
		flat := math.Hypot(g.X, g.Y)
		keep := clear
		if left == off.n+1 {
			keep = guardM
		}
		at := g.Dot(v.Eye)
		level := geom.Vec{X: g.X, Y: g.Y}
		// At the ground, with the feet …
		n = p.put(n, level.Scale(-1), s, level.Dot(off.at[i])+(ho.armM-ho.footM)*flat-keep-at)
		// … and at the top of the mast, where the lens looks up or down.
		if math.Abs(g.Z) > 1e-12 {
			n = p.put(n, g.Scale(-1), s, g.Dot(off.at[i])+ho.armM*flat-keep-at)
		}
		if besideZone && left <= off.n {
			side := geom.Vec{X: math.Copysign(1, g.X)}
			wide := flag(y == yieldWidth)
			edge := p.st.half.X*(1-wide) + ho.footM + guardM
			n = p.put(n, side.Scale(-1), wide, side.Dot(off.at[i])+ho.armM-edge)
		}
	}
	return n
}
