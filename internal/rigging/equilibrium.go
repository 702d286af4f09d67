package rigging

import (
	"math"
)

// bound on a structure that some load case sets: at a factored pressure q, with B kg of ballast on the stands and W kg at the feet of
// ropes, it stands only where Pressure·q ≤ Dead + Ballast·B + Weights·W. It holds at every pressure and for any ballast.
type bound struct {
	pressure, dead float64
	ballast        [MaxSupports]float64
	weights        [MaxRopes]float64
	first          term // the condition that says most in it
}

const (
	// tinyCost keeps free forces out of the basis where they do not matter, in newtons to the newton.
	tinyCost = 1e-7
	// maxSteps bounds the steps of one program: those of four stands with eight ropes take 5 to 40.
	maxSteps = 2000
	// standsN is the slack, in newtons, up to which equilibrium counts as found.
	standsN = 1e-3
)

// stands looks for an equilibrium in load case i at a pressure. Where there is none it says what stands in the way.
func (v *Solver) stands(i int, q float64) (ok bool, b bound) {
	l := &v.loads[i]
	for range maxTurns {
		v.leverage = v.turns[i]
		v.set(l, q)
		if v.easily() {
			if v.twistMore(i) {
				continue
			}
			return true, b
		}
		if !v.solve() || v.program.x[v.m.free] > standsN {
			return false, v.obstacle()
		}
		if v.twistMore(i) {
			continue
		}
		for k := range v.m.free {
			v.apart[k] = v.program.x[k] - v.even[k]
		}
		return true, b
	}
	return false, bound{pressure: 1, dead: -1, first: v.obstacle().first}
}

// standsUpTo looks for an equilibrium in load case i at a pressure and wherever below it a rope goes slack: between such pressures
// what is borne is convex, so that what stands at both ends stands. Where there is none it returns the pressure and what stands in
// the way there.
func (v *Solver) standsUpTo(i int, q float64) (ok bool, at float64, b bound) {
	if ok, b = v.stands(i, q); !ok {
		return false, q, b
	}
	for _, at = range v.slacken[i] {
		if at < q {
			if ok, b = v.stands(i, at); !ok {
				return false, at, b
			}
		}
	}
	return true, q, b
}

const (
	// maxTurns is how often the lever of a twist is corrected, and turnStep by how much more than asked.
	maxTurns = 40
	turnStep = 1.01
)

// twistMore corrects the leverage of twists where joints lift stands, and reports whether it was too small.
func (v *Solver) twistMore(i int) (more bool) {
	for k := range v.m.stands {
		if math.Abs(v.value(k, twists)) < standsN {
			continue
		}
		up, n := v.value(k, lifts), v.value(k, standsOn)
		if up <= 0 {
			continue
		}
		if need := (n + up) / math.Max(n, singular); need > v.turns[i][k]*turnStep {
			v.turns[i][k], more = need*turnStep, true
		}
	}
	return more
}

// easily reports whether the stands do with each its even part, or with what differed from that when forces were last found, before
// anything is searched for.
func (v *Solver) easily() bool {
	l, q := v.now, v.q
	joints := v.m.free - v.m.ropes
	for k := range joints {
		e := &v.m.even[k]
		v.even[k] = e.dot(&l.dead) + q*e.dot(&l.wind)
		v.alike[k] = v.even[k] + v.apart[k]
	}
	for k := joints; k < v.m.free; k++ {
		v.alike[k] = v.apart[k]
	}
	v.x = &v.alike
	if t, _ := v.worst(&v.alike); t.kind == box {
		return true
	}
	if v.apart == [maxDim]float64{} {
		return false
	}
	v.x = &v.even
	t, _ := v.worst(&v.even)
	return t.kind == box
}

// value is what is asked of a stand in the equilibrium found.
func (v *Solver) value(stand, what int) float64 {
	sum := v.base[stand][what]
	for c := range v.m.free {
		sum += v.m.byFree[stand][what][c] * v.x[c]
	}
	return sum
}

// solve finds the least slack of the load case set. ok is false where its rows contradict each other.
func (v *Solver) solve() bool {
	v.x = &v.program.x
	p, free := &v.program, v.m.free
	if v.warm = v.warm && v.rewarmed(); v.warm {
		for i := range p.dim {
			p.rows[i].b = v.bound(&p.rows[i].what)
		}
		p.settle()
	} else {
		cost := [maxDim]float64{}
		for k := range free {
			cost[k] = tinyCost
		}
		cost[free] = 1
		p.boxed(cost[:free+1])
		r := &p.rows[free]
		v.fill(term{kind: slack}, r)
		p.settle()
		v.warm, v.filled = true, v.leverage
	}
	for range maxSteps {
		t, short := v.worst(&p.x)
		if t.kind == box {
			return true
		}
		v.fill(t, &v.scratch)
		if !p.take(&v.scratch, short) {
			break
		}
	}
	v.warm = false
	return false
}

// rewarmed writes the rows of the last basis anew that the leverage of twists changes; false where that leaves no basis to start from.
func (v *Solver) rewarmed() bool {
	if v.filled == v.leverage {
		return true
	}
	p := &v.program
	for i := range p.dim {
		if t := p.rows[i].what; (t.kind == grips || t.kind == gripsOwn) && v.filled[t.of] != v.leverage[t.of] {
			v.fill(t, &v.scratch)
			if !p.replace(i, &v.scratch) {
				return false
			}
		}
	}
	v.filled = v.leverage
	p.turnOver()
	return true
}

// obstacle returns the bound that the load case sets by the prices of the rows in the basis.
func (v *Solver) obstacle() (b bound) {
	p := &v.program
	most := 0.0
	sum := 0.0
	down := v.down()
	for i := range p.dim {
		t, y := &p.rows[i].what, p.price[i]
		if t.kind == box || y < tinyCost*10 {
			continue
		}
		sum += y * p.rows[i].b
		b.pressure += y * v.slope(t)
		switch t.kind {
		case tips:
			b.ballast[t.of] += y * cut * GravityMS2 * down
		case grips, gripsOwn:
			b.ballast[t.of] += y * cut * v.of.Friction * GravityMS2
		case parts:
			if r := &v.of.Ropes[t.of]; r.AnchorN <= 0 && v.anchor(t.of) <= v.factor*r.SafePullN {
				b.weights[t.of] += y * v.hold[t.of] * GravityMS2
			}
		default:
		}
		if y > most && t.kind != slack && t.kind != pullsOnly && t.kind != pushed {
			most, b.first = y, *t
		}
	}
	// sum = pressure·q − dead − ballast·B − weights·W in the case looked at.
	b.dead = b.pressure*v.q - sum
	for i := range b.ballast {
		b.dead -= b.ballast[i] * v.ballast[i]
	}
	for j := range b.weights {
		b.dead -= b.weights[j] * v.weights[j]
	}
	return b
}

// slope is how the bound of a row grows with the pressure.
func (v *Solver) slope(t *term) float64 {
	switch t.kind {
	case tips:
		e, g := &sides[t.side], &v.perPa[t.of]
		return (e[0]*g[topplesX]+e[1]*g[topplesY])/v.lever[t.of] - cut*g[standsOn]
	case grips, gripsOwn:
		e, g := &sides[t.side], &v.perPa[t.of]
		n := g[standsOn]
		if t.kind == gripsOwn {
			n = 0
		}
		return e[0]*g[slidesX] + e[1]*g[slidesY] + cut*(t.sign*v.leverage[t.of]/v.turn[t.of]*g[twists]-v.of.Friction*n)
	case presses:
		return -v.perPa[t.of][lifts]
	case pullsOnly:
		return -v.pullPa[t.of]
	case parts:
		return v.pullPa[t.of]
	case pushed:
		if v.barred(t.side, t.sign) {
			slope := -t.sign * v.perPa[t.of][major+t.side]
			if t.sign*v.against[t.of][t.side] < 0 {
				slope += t.sign * v.againstPa[t.of][t.side]
			}
			return slope
		}
	default:
	}
	return 0
}
