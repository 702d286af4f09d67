package rigging

import (
	"math"
	"slices"

	"kitspan/internal/geom"
)

// MaxRopes is how many ropes a structure has at most.
const MaxRopes = 8

// maxForces is how many unknown forces there are at most: three in each joint, one in each rope.
const maxForces = 3*MaxSupports + MaxRopes

// What is asked of a stand, as linear functions of the unknown forces.
const (
	standsOn = iota // the force on its feet but for its own weight
	topplesX        // moment about the foot of the mast that would tip it toward x
	topplesY
	slidesX // level force on its feet
	slidesY
	twists // moment about the mast
	lifts  // force of the joint, upward
	major  // level force of the joint along the frame's two axes
	minor
	asked
)

// statics is the geometry of a structure as matrices. The equilibrium of the frame, six equations, is solved for six of the
// unknown forces; the others are free.
type statics struct {
	stands, ropes, free int
	// byFree and byLoad give what is asked of each stand by the free forces and by the wrench on the frame.
	byFree [MaxSupports][asked][maxDim]float64
	byLoad [MaxSupports][asked]wrench
	// pullFree and pullLoad do the same for the pull of each rope.
	pullFree [MaxRopes][maxDim]float64
	pullLoad [MaxRopes]wrench
	axes     [2]geom.Vec
	// Unknown forces are three of each joint in the axes, its moments about the axes about, and the pulls. Those solved for are in solved,
	// as freeBy of the free forces, whose number comes first; free force k is unknown freeOf[k].
	perStand, moments int
	about             [3]geom.Vec
	solved            [6]int
	freeBy            [maxDim][6]float64
	freeOf            [maxForces]int
	// armX and armY lead from the foot to the point held, heldM over it.
	armX, armY, heldM [MaxSupports]float64
	ropeAt            [MaxRopes]int      // the stand from whose head a rope runs, OnFrame for none
	ropeTo            [MaxRopes]geom.Vec // its direction
	// alike gives the level force on each stand along the two axes, by the wrench on the frame, if all stands gave alike.
	alike [MaxSupports][2]wrench
	// even gives the free forces by the wrench on the frame where all forces are as small as they can be, by their squares.
	even [maxDim]wrench
}

// staticsOf works out the matrices; ok is false where the joints do not hold the frame (points held in one line, say).
func staticsOf(s *Structure) (m statics, ok bool) {
	n, ropes := len(s.Stands), len(s.Ropes)
	if n == 0 || n > MaxSupports || ropes > MaxRopes {
		return m, false
	}
	m.stands, m.ropes = n, ropes
	level := s.Frame.U
	if math.Abs(s.Frame.V.Z) < math.Abs(level.Z) {
		level = s.Frame.V
	}
	m.axes[0] = geom.Vec{X: level.X, Y: level.Y}.Unit()
	m.axes[1] = geom.Vec{X: -m.axes[0].Y, Y: m.axes[0].X}

	// Unknowns: joint forces on the stands, moments of ears or of a rigid joint on them, pulls.
	moments := 0
	var about [3]geom.Vec
	switch n {
	case 1:
		moments, about = 3, [3]geom.Vec{{X: 1}, {Y: 1}, {Z: 1}}
	case 2:
		moments, about = 1, [3]geom.Vec{s.Stands[1].Held.Sub(s.Stands[0].Held).Unit()}
	}
	per := 3 + moments // of one stand
	count := per*n + ropes
	pulls := per * n
	var forces [maxForces]wrench // each unknown's part in the equilibrium of the frame
	for i := range s.Stands {
		arm := s.Stands[i].Held.Sub(s.Frame.Center)
		for k, e := range [3]geom.Vec{{X: 1}, {Y: 1}, {Z: 1}} {
			forces[per*i+k] = wrenchOf(e, arm.Cross(e))
		}
		for k := range moments {
			forces[per*i+3+k] = wrenchOf(geom.Vec{}, about[k])
		}
	}
	for j := range s.Ropes {
		r := &s.Ropes[j]
		if r.Stand != OnFrame {
			continue
		}
		u := r.To.Sub(r.From).Unit()
		forces[pulls+j] = wrenchOf(u.Scale(-1), r.From.Sub(s.Frame.Center).Cross(u).Scale(-1))
	}
	var byFree [maxForces][maxDim]float64
	var byLoad [maxForces]wrench
	m.perStand, m.moments, m.about = per, moments, about
	if m.free, m.solved, ok = eliminate(forces[:count], pulls, byFree[:count], byLoad[:count]); !ok {
		return m, false
	}
	free := 0
	for u := range count {
		if slices.Contains(m.solved[:], u) {
			continue
		}
		m.freeOf[free], free = u, free+1
	}
	for k := range m.free {
		for r, u := range m.solved {
			m.freeBy[k][r] = byFree[u][k]
		}
	}
	for j := range ropes {
		m.ropeAt[j], m.ropeTo[j] = s.Ropes[j].Stand, s.Ropes[j].To.Sub(s.Ropes[j].From).Unit()
		m.pullFree[j], m.pullLoad[j] = byFree[pulls+j], byLoad[pulls+j]
	}
	m.evenly(byFree[:pulls], byLoad[:pulls])
	m.giveAlike(s)
	for i := range s.Stands {
		st := &s.Stands[i]
		m.armX[i], m.armY[i], m.heldM[i] = st.Held.X-st.Foot.X, st.Held.Y-st.Foot.Y, st.Held.Z-st.Foot.Z
		arm, h := geom.Vec{X: st.Held.X - st.Foot.X, Y: st.Held.Y - st.Foot.Y}, st.Held.Z-st.Foot.Z
		add := func(unknown, what int, by float64) {
			if by == 0 {
				return
			}
			for k := range m.free {
				m.byFree[i][what][k] += by * byFree[unknown][k]
			}
			for k := range 6 {
				m.byLoad[i][what][k] += by * byLoad[unknown][k]
			}
		}
		x, y, z := per*i, per*i+1, per*i+2
		add(z, standsOn, -1)
		add(x, topplesX, h)
		add(z, topplesX, -arm.X)
		add(y, topplesY, h)
		add(z, topplesY, -arm.Y)
		add(x, slidesX, 1)
		add(y, slidesY, 1)
		add(y, twists, arm.X)
		add(x, twists, -arm.Y)
		add(z, lifts, 1)
		for k, a := range [2]int{major, minor} {
			add(x, a, m.axes[k].X)
			add(y, a, m.axes[k].Y)
		}
		for k := range moments {
			add(per*i+3+k, topplesX, about[k].Y)
			add(per*i+3+k, topplesY, -about[k].X)
		}
		for j := range s.Ropes {
			if s.Ropes[j].Stand != i {
				continue
			}
			u := s.Ropes[j].To.Sub(s.Ropes[j].From).Unit()
			add(pulls+j, standsOn, -u.Z)
			add(pulls+j, topplesX, h*u.X)
			add(pulls+j, topplesY, h*u.Y)
			add(pulls+j, slidesX, u.X)
			add(pulls+j, slidesY, u.Y)
		}
	}
	return m, true
}

// giveAlike finds alike: an even share, and a share by the distance from the middle of the points held of what turns about it.
func (m *statics) giveAlike(s *Structure) {
	n := float64(m.stands)
	var middle geom.Vec
	for i := range s.Stands {
		middle = middle.Add(s.Stands[i].Held.Scale(1 / n))
	}
	spread := 0.0
	for i := range s.Stands {
		r := s.Stands[i].Held.Sub(middle)
		spread += r.X*r.X + r.Y*r.Y
	}
	off := s.Frame.Center.Sub(middle)
	turn := wrench{-off.Y, off.X, 0, 0, 0, 1} // the moment about the vertical through the middle
	for i := range s.Stands {
		r := s.Stands[i].Held.Sub(middle)
		for k, a := range m.axes {
			m.alike[i][k] = wrench{a.X / n, a.Y / n}
			if spread > singular {
				by := (-r.Y*a.X + r.X*a.Y) / spread
				for c := range turn {
					m.alike[i][k][c] += by * turn[c]
				}
			}
		}
	}
}

// evenly finds even: the least squares of the joint forces, with no rope.
func (m *statics) evenly(byFree [][maxDim]float64, byLoad []wrench) {
	// Normal equations of min |free·z + load·w|²: (FᵀF) z = −FᵀL w.
	joint := m.free - m.ropes
	var a [maxDim][maxDim + 6]float64
	for i := range joint {
		for k := range joint {
			for c := range byFree {
				a[i][k] += byFree[c][i] * byFree[c][k]
			}
		}
		for k := range 6 {
			for c := range byFree {
				a[i][joint+k] -= byFree[c][i] * byLoad[c][k]
			}
		}
	}
	for i := range joint { // positive definite: no pivoting is needed
		by := 1 / a[i][i]
		for c := i; c < joint+6; c++ {
			a[i][c] *= by
		}
		for r := range joint {
			if f := a[r][i]; r != i && f != 0 {
				for c := i; c < joint+6; c++ {
					a[r][c] -= f * a[i][c]
				}
			}
		}
	}
	for i := range joint {
		copy(m.even[i][:], a[i][joint:joint+6])
	}
}

// singular is a pivot under which the frame counts as not held, in newtons or newton metres to the newton.
const singular = 1e-6

// eliminate solves the six equations Σ forces·unknown = load for six of the first joints unknowns by Gauss and Jordan's method with
// the largest pivots. It writes each unknown as a linear function of the free ones and of the load, and returns how many are free and which are solved for.
func eliminate(forces []wrench, joints int, byFree [][maxDim]float64, byLoad []wrench) (free int, basic [6]int, ok bool) {
	var a [6][maxForces + 6]float64
	n := len(forces)
	for k, f := range forces {
		for r := range f {
			a[r][k] = f[r]
		}
	}
	for r := range 6 {
		a[r][n+r] = 1
	}
	var solved [maxForces]bool
	var done [6]bool
	for range 6 {
		row, col, best := -1, -1, singular
		for r := range 6 {
			if done[r] {
				continue
			}
			for c := range joints {
				if v := math.Abs(a[r][c]); !solved[c] && v > best*(1+1e-9) {
					row, col, best = r, c, v
				}
			}
		}
		if row < 0 {
			return 0, basic, false
		}
		done[row], solved[col], basic[row] = true, true, col
		by := 1 / a[row][col]
		for c := range n + 6 {
			a[row][c] *= by
		}
		for r := range 6 {
			if f := a[r][col]; r != row && f != 0 {
				for c := range n + 6 {
					a[r][c] -= f * a[row][c]
				}
			}
		}
	}
	var order []int
	for c := range n {
		if !solved[c] {
			order = append(order, c)
		}
	}
	for k, c := range order {
		byFree[c][k] = 1
		for r := range 6 {
			byFree[basic[r]][k] = -a[r][c]
		}
	}
	for r := range 6 {
		for k := range 6 {
			byLoad[basic[r]][k] = a[r][n+k]
		}
	}
	return len(order), basic, len(order) < maxDim
}
