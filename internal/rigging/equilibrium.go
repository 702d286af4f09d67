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
	// provenN is a value of a program, in newtons, from which there is a slack of more than that: what free forces cost that differ by 10⁶ N
	// from where it started is a tenth of it.
	provenN = 1
)

// stands looks for an equilibrium in load case i at a pressure. Where there is none it says what stands in the way.
//
// What friction leaves for a twist falls with the force on the feet, which is not convex: it is looked for with a leverage, weight
// over that force, that is kept while the rest is solved for. 1 asks for least, so that nothing stands that does not with it; from there it rises
// to what the forces ask that were found. A case that was broken by the last load begins with the leverage of then, unless what it lacks would
// do with less.
func (v *Solver) stands(i int, q float64) (ok bool, b bound) {
	v.set(i, q)
	near, ok := v.easily()
	if ok {
		return true, b
	}
	v.leverage = noLift
	again := v.basisOf == i && v.filled != noLift
	if again {
		v.leverage = v.filled
	}
	for range maxTurns {
		if !v.solve(i, near) || v.program.x[v.m.free] > standsN {
			if again && v.twistsLess() {
				again, v.leverage = false, noLift
				continue
			}
			return false, v.obstacle()
		}
		if v.twistMore() {
			v.tries[0] = v.program.x
			near = &v.tries[0]
			continue
		}
		for k := range v.m.free {
			v.apart[k] = v.program.x[k] - v.even[k]
		}
		v.own.apart, v.own.found = v.apart, true
		return true, b
	}
	return false, bound{pressure: 1, dead: -1, first: v.obstacle().first}
}

// noLift is the leverage of twists where no joint lifts its stand.
var noLift = [MaxSupports]float64{1, 1, 1, 1}

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
	// maxTurns is how often the leverage of twists is corrected, turnStep by how much more than asked, and lessTurns how far under it
	// counts as less.
	maxTurns  = 40
	turnStep  = 1.01
	lessTurns = 0.98
)

// leverageOf is the leverage that a twist has by the force on the feet of a stand and that by which its joint lifts it.
func leverageOf(onN, liftN, twistNM float64) float64 {
	if liftN <= 0 || math.Abs(twistNM) < standsN {
		return 1
	}
	return (onN + liftN) / max(onN, singular)
}

// asksLeverage is the leverage at a stand that the forces found ask for.
func (v *Solver) asksLeverage(k int) float64 {
	return leverageOf(v.value(k, standsOn), v.value(k, lifts), v.value(k, twists))
}

// twistMore corrects the leverage of twists, and reports whether it was too small for the forces found.
func (v *Solver) twistMore() (more bool) {
	for k := range v.m.stands {
		if need := v.asksLeverage(k); need > v.leverage[k]*turnStep {
			v.leverage[k], more = need*turnStep, true
		}
	}
	return more
}

// twistsLess reports whether the forces found ask for less leverage of some twist than is set.
func (v *Solver) twistsLess() bool {
	for k := range v.m.stands {
		if v.leverage[k] > 1 && v.asksLeverage(k)*turnStep < lessTurns*v.leverage[k] {
			return true
		}
	}
	return false
}

// easily reports whether the stands do with forces that are known, before anything is searched for: with what differed from the even ones when
// the case stood last, or the case before it, or with those. It returns those that break least.
func (v *Solver) easily() (near *[maxDim]float64, ok bool) {
	least := math.Inf(1)
	for n, apart := range [...]*[maxDim]float64{&v.own.apart, &v.apart, &noForces} {
		if n == 0 && !v.own.found || n == 1 && *apart == noForces {
			continue
		}
		x := &v.tries[n]
		for k := range v.m.free {
			x[k] = v.even[k] + apart[k]
		}
		t, short := v.worstWith(x, true)
		if t.kind == box {
			v.x = x
			v.own.apart, v.own.found = *apart, true
			return x, true
		}
		if short < least {
			least, near = short, x
		}
	}
	return near, false
}

var noForces [maxDim]float64

// forget makes load case i start from the even forces.
func (v *Solver) forget(i int) {
	v.apart, v.asked[i].found, v.basisOf = noForces, false, -1
}

// value is what is asked of a stand in the equilibrium found.
func (v *Solver) value(stand, what int) float64 {
	sum := v.base[stand][what]
	for c := range v.m.free {
		sum += v.m.byFree[stand][what][c] * v.x[c]
	}
	return sum
}

// solve finds the least slack of load case i, which is set, with free forces near some, or from where it was solved last. It returns false where its rows
// contradict each other and, brief, where it is proven that some slack is left.
func (v *Solver) solve(i int, near *[maxDim]float64) bool {
	p, free := &v.program, v.m.free
	v.x = &p.x
	if v.basisOf == i && v.filled == v.leverage {
		for k := range p.dim {
			if r := &p.rows[k]; r.what.kind != box {
				b := v.bound(&r.what)
				p.value += p.price[k] * (b - r.b)
				r.b = b
			}
		}
		p.settle()
	} else {
		p.around(near, free+1, tinyCost)
		v.basisOf, v.filled = i, v.leverage
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
		if v.brief && p.value > provenN {
			return false
		}
	}
	v.basisOf = -1
	return false
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
		e, g := &sides[t.side], &v.perPa.of[t.of]
		return (e[0]*g[topplesX]+e[1]*g[topplesY])/v.lever[t.of] - cut*g[standsOn]
	case grips, gripsOwn:
		e, g := &sides[t.side], &v.perPa.of[t.of]
		n := g[standsOn]
		if t.kind == gripsOwn {
			n = 0
		}
		return e[0]*g[slidesX] + e[1]*g[slidesY] + cut*(t.sign*v.leverage[t.of]/v.turn[t.of]*g[twists]-v.of.Friction*n)
	case presses:
		return -v.perPa.of[t.of][lifts]
	case pullsOnly:
		return -v.perPa.pull[t.of]
	case parts:
		return v.perPa.pull[t.of]
	case pushed:
		if v.barred(t.side, t.sign) {
			slope := -t.sign * v.perPa.of[t.of][major+t.side]
			if t.sign*v.against[t.of][t.side] < 0 {
				slope += t.sign * v.perPa.alike[t.of][t.side]
			}
			return slope
		}
	default:
	}
	return 0
}
