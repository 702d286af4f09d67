package oracle

import (
	"math"

	"kitspan/internal/geom"
	"kitspan/internal/rigging"
)

// vector is a force or a moment that is not known yet.
type vector struct{ x, y, z sum }

func known(v geom.Vec) vector { return vector{fixed(v.X), fixed(v.Y), fixed(v.Z)} }

func (v vector) plus(o vector, by float64) vector {
	return vector{v.x.plus(o.x, by), v.y.plus(o.y, by), v.z.plus(o.z, by)}
}

func (v vector) along(d geom.Vec) sum { return v.x.times(d.X).plus(v.y, d.Y).plus(v.z, d.Z) }

// times is s newtons the way of d.
func times(d geom.Vec, s sum) vector { return vector{s.times(d.X), s.times(d.Y), s.times(d.Z)} }

// arm is the moment of a force at r about the origin, r × f.
func arm(r geom.Vec, f vector) vector {
	return vector{
		f.z.times(r.Y).plus(f.y, -r.Z), f.x.times(r.Z).plus(f.z, -r.X), f.y.times(r.X).plus(f.x, -r.Y),
	}
}

// span is between which values the ratio lies by which a twist counts.
type span struct{ low, high float64 }

// most is the largest ratio that is looked at: with more a stand's weight on its feet is next to nothing.
const most = 200

// balance is the program of one load.
type balance struct {
	program
	s      *rigging.Structure
	load   *load
	slack  sum
	twists []span
	joints []vector // the force of the frame on each stand
	feet   []sum    // the force on the feet of each
	more   []sum    // a kilogram of ballast more on each
	pulls  []sum    // of each rope
}

func newBalance(s *rigging.Structure, l *load, ballastKg []float64, twists []span) *balance {
	b := &balance{s: s, load: l, twists: twists}
	b.slack = b.variable(free)
	b.atLeast(fixed(l.roomN), b.slack)
	middle := s.Frame.Center
	force, moment := vector{}, vector{} // on the frame
	for _, p := range l.frame {
		force = force.plus(known(p.force), 1)
		moment = moment.plus(known(p.at.Sub(middle).Cross(p.force)), 1)
	}
	for i, r := range s.Ropes {
		b.pulls = append(b.pulls, fixed(0))
		if !l.ropes[i] {
			continue
		}
		b.pulls[i] = b.variable(positive)
		b.spare(fixed(pullN(s, r, l.factor)), b.pulls[i])
		if r.Stand == rigging.OnFrame {
			pull := times(r.To.Sub(r.From).Unit(), b.pulls[i])
			force = force.plus(pull, 1)
			moment = moment.plus(arm(r.From.Sub(middle), pull), 1)
		}
	}
	for i, st := range s.Stands {
		joint, held := vector{b.variable(free), b.variable(free), b.variable(free)}, b.heldBy()
		force = force.plus(joint, -1)
		moment = moment.plus(arm(st.Held.Sub(middle), joint), -1).plus(held, -1)
		b.joints = append(b.joints, joint)
		b.stand(i, joint, held, ballastKg[i])
	}
	for _, f := range []sum{force.x, force.y, force.z, moment.x, moment.y, moment.z} {
		b.equal(f, fixed(0))
	}
	b.rules()
	return b
}

// spare has a limit not be reached, by as much as can be had.
func (b *balance) spare(limit, what sum) { b.atLeast(limit.plus(what, -1), b.slack) }

// heldBy is the moment in a joint.
func (b *balance) heldBy() vector {
	switch len(b.s.Stands) {
	case 1:
		return vector{b.variable(free), b.variable(free), b.variable(free)}
	case 2:
		return times(b.s.Stands[1].Held.Sub(b.s.Stands[0].Held).Unit(), b.variable(free))
	}
	return vector{}
}

// stand adds one stand, on which the frame acts with a force and a moment where it is held.
func (b *balance) stand(i int, joint, held vector, ballastKg float64) {
	st, l := b.s.Stands[i], b.load
	heightM := st.Held.Z - st.Foot.Z
	head, half := geom.Vec{Z: heightM}, geom.Vec{Z: heightM / 2}
	more := b.variable(still)
	b.more = append(b.more, more)
	ballast := fixed(ballastKg).plus(more, 1)

	// The mast's own weight acts at half its height and ballast at the ground, which matters where that leans.
	force, moment := joint, arm(st.Held.Sub(st.Foot), joint).plus(held, 1)
	// What pulls at the head or blows on the mast does not twist it, and the joint's own moment turns the piece in its head.
	twisting := arm(st.Held.Sub(st.Foot), joint).z
	for _, f := range []vector{known(l.masts[i]), known(l.fall.Scale(st.MassKg))} {
		force = force.plus(f, 1)
		moment = moment.plus(arm(half, f), 1)
	}
	force = force.plus(times(l.fall, ballast), 1)
	for k, r := range b.s.Ropes {
		if r.Stand == i {
			pull := times(r.To.Sub(r.From).Unit(), b.pulls[k])
			force = force.plus(pull, 1)
			moment = moment.plus(arm(head, pull), 1)
		}
	}

	feet := b.variable(free)
	b.feet = append(b.feet, feet)
	b.equal(feet, force.z.times(-1))
	b.spare(feet, fixed(0))
	// The force on the feet acts at a point as far off the mast as these over it.
	atX, atY := b.variable(free), b.variable(free)
	b.equal(atX, moment.y)
	b.equal(atY, moment.x.times(-1))
	leverM := st.FootprintM * math.Cos(math.Pi/float64(st.Legs))
	for k := range rigging.ConeSides {
		sin, cos := math.Sincos(sideAt(k))
		b.spare(feet.times(leverM*l.sideOff), atX.times(cos).plus(atY, sin))
	}
	b.spare(fixed(l.pressN[i]), joint.z.times(-1))
	if l.rough {
		return
	}

	pushedX, pushedY, pushed := b.variable(free), b.variable(free), b.variable(positive)
	b.equal(pushedX, force.x)
	b.equal(pushedY, force.y)
	for k := range rigging.ConeSides {
		sin, cos := math.Sincos(sideAt(k))
		b.atLeast(pushed.times(l.sideOff), pushedX.times(cos).plus(pushedY, sin))
	}
	twist, twisted := b.variable(free), b.variable(positive)
	b.equal(twist, twisting)
	overM := st.FootprintM * math.Sin(math.Pi/float64(st.Legs))
	b.atLeast(twisted.times(overM), twist.times(b.twists[i].low))
	b.atLeast(twisted.times(overM), twist.times(-b.twists[i].low))
	if high := b.twists[i].high; high < most {
		b.spare(feet.times(high-1), joint.z) // what the joint lifts by
	}
	grip := pushed.plus(twisted, 1)
	b.spare(feet.times(b.s.Friction), grip)
	own := ballast.plus(fixed(st.MassKg+b.s.MassKg/float64(len(b.s.Stands))), 1)
	b.spare(own.times(b.s.Friction*gravityMS2), grip)
}

// sideAt is the angle of side k of what stands for a circle.
func sideAt(k int) float64 { return (2*float64(k) + 1) * math.Pi / rigging.ConeSides }

// How far off the middle the sides are, in radii. cutIn has their corners on the circle. Whatever sides others cut into it bear is borne with
// around, whose sides touch the circle, and whatever those do not bear, even in a case in which little more is borne than is asked, is not
// borne with wellIn.
var (
	cutIn  = math.Cos(math.Pi / rigging.ConeSides)
	around = 1.0
	wellIn = cutIn * cutIn
)

// rules keep off forces that nothing makes.
func (b *balance) rules() {
	if b.load.calm {
		for _, f := range b.joints {
			b.equal(f.x, fixed(0))
			b.equal(f.y, fixed(0))
		}
		return
	}
	if len(b.joints) == 1 {
		return // there is no other to lean on, and ropes may hold the mast as well
	}
	whole := b.load.onFrame()
	first := level(sheetOf(b.s).width).Unit()
	axes := [2]geom.Vec{first, turned(first, 90)}
	if math.Abs(whole.Dot(axes[1])) > math.Abs(whole.Dot(axes[0])) {
		axes[0], axes[1] = axes[1], axes[0]
	}
	alike := b.alike()
	for k, e := range axes {
		by := whole.Dot(e)
		none := math.Abs(by) <= 1e-9*whole.Len()
		if b.load.sideways && (k == 1 || none) {
			continue
		}
		for i, f := range b.joints {
			like := alike[i].Dot(e)
			if none || by > 0 {
				b.atLeast(f.along(e), fixed(math.Min(0, like)))
			}
			if none || by < 0 {
				b.atLeast(f.along(e).times(-1), fixed(math.Min(0, -like)))
			}
		}
	}
}

// alike is the level force on each stand if all gave alike.
func (b *balance) alike() []geom.Vec {
	n := float64(len(b.s.Stands))
	var middle, whole geom.Vec
	for _, st := range b.s.Stands {
		middle = middle.Add(st.Held.Scale(1 / n))
	}
	turn, spread := 0.0, 0.0
	for _, p := range b.load.frame {
		whole = whole.Add(level(p.force))
		turn += p.at.Sub(middle).Cross(p.force).Z
	}
	for _, st := range b.s.Stands {
		r := level(st.Held.Sub(middle))
		spread += r.Dot(r)
	}
	out := make([]geom.Vec, len(b.s.Stands))
	for i, st := range b.s.Stands {
		out[i] = whole.Scale(1 / n)
		if spread > 1e-6 {
			out[i] = out[i].Add(geom.Vec{Z: turn / spread}.Cross(level(st.Held.Sub(middle))))
		}
	}
	return out
}
