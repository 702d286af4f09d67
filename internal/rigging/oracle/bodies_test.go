package oracle

import (
	"math"
	"testing"

	"kitspan/internal/geom"
)

// rig is bodies in any arrangement, by nothing but their equilibrium: what acts on each is added up, joint by joint and foot by foot.
// It is there to hold the programs to published answers.
type rig struct {
	program
	bodies []*body
	push   sum // the push that is looked for, in newtons
}

type body struct{ force, moment vector }

func newRig() *rig {
	r := &rig{}
	r.push = r.variable(positive)
	return r
}

func (r *rig) body() *body {
	b := &body{}
	r.bodies = append(r.bodies, b)
	return b
}

func (b *body) feels(f vector, at geom.Vec, by float64) {
	b.force = b.force.plus(f, by)
	b.moment = b.moment.plus(arm(at, f), by)
}

func (b *body) weighs(n float64, at geom.Vec) { b.feels(known(geom.Vec{Z: -n}), at, 1) }

func (r *rig) pushes(b *body, way, at geom.Vec) { b.feels(times(way, r.push), at, 1) }

// ball joins two bodies, or one with what does not move, and returns the force on the first.
func (r *rig) ball(a, b *body, at geom.Vec) vector {
	f := vector{r.variable(free), r.variable(free), r.variable(free)}
	a.feels(f, at, 1)
	if b != nil {
		b.feels(f, at, -1)
	}
	return f
}

// rope pulls a body toward a point.
func (r *rig) rope(b *body, from, to geom.Vec) sum {
	pull := r.variable(positive)
	b.feels(times(to.Sub(from).Unit(), pull), from, 1)
	return pull
}

// contact presses a body where it rests on something, by the unit vector square to that; its friction is in a cone with a number of
// sides cut into the round one, of which an edge lies along a unit vector. None where there are no sides.
func (r *rig) contact(b *body, at, square, edge geom.Vec, friction float64, sides int) (pressed, along, across sum) {
	pressed = r.variable(positive)
	b.feels(times(square, pressed), at, 1)
	if sides == 0 {
		return pressed, sum{}, sum{}
	}
	along, across = r.variable(free), r.variable(free)
	b.feels(times(edge, along), at, 1)
	b.feels(times(square.Cross(edge), across), at, 1)
	for k := range sides {
		sin, cos := math.Sincos((2*float64(k) + 1) * math.Pi / float64(sides))
		r.atLeast(pressed.times(friction*math.Cos(math.Pi/float64(sides))), along.times(cos).plus(across, sin))
	}
	return pressed, along, across
}

// foot is a contact with the ground.
func (r *rig) foot(b *body, at geom.Vec, friction float64) (pressed, along, across sum) {
	return r.contact(b, at, geom.Vec{Z: 1}, geom.Vec{X: 1}, friction, 64)
}

// most makes an expression as large as equilibrium allows.
func (r *rig) most(goal sum) optimum {
	for _, b := range r.bodies {
		for _, s := range []sum{b.force.x, b.force.y, b.force.z, b.moment.x, b.moment.y, b.moment.z} {
			r.equal(s, fixed(0))
		}
	}
	r.bodies = nil
	return r.maximize(goal)
}

func (r *rig) least(goal sum) optimum {
	o := r.most(goal.times(-1))
	o.value = -o.value
	return o
}

func (r *rig) stands() bool { return r.most(fixed(0)).verdict == optimal }

// from is the smallest number between two from which something holds.
func from(low, high float64, holds func(x float64) bool) float64 {
	for high-low > 1e-9*math.Abs(high) {
		if middle := (low + high) / 2; holds(middle) {
			high = middle
		} else {
			low = middle
		}
	}
	return high
}

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: %.7g, want %.7g ± %.2g", what, got, want, tolerance)
	}
}

// answer is an optimum that there has to be.
func answer(t *testing.T, what string, o optimum) optimum {
	t.Helper()
	if o.verdict != optimal {
		t.Fatalf("%s: no optimum (%d)", what, o.verdict)
	}
	return o
}
