package oracle

import (
	"math"
	"testing"

	"kitspan/internal/geom"
)

// A mast with three guys at 0, 120 and 240° clockwise from north, tied at 100 ft, anchored 50 ft off, and a moment of 50 000 ft·lb of
// the wind (question: home.btconnect.com/cadoss; answers worked out, by hand too). Newtons stand for pounds and metres for feet.
func TestGuyedMast(t *testing.T) {
	for _, c := range []struct {
		wind                       string
		fromDeg                    float64
		north, east, west, addedLb float64
	}{
		{"north", 0, 1118.034, 0, 0, 1000},
		{"south", 180, 0, 1118.034, 1118.034, 2000},
		{"east", 90, 645.497, 1290.994, 0, 1732.051},
	} {
		r := newRig()
		mast, top := r.body(), geom.Vec{Z: 100}
		mast.feels(known(geom.Toward(c.fromDeg+180, 0).Scale(500)), top, 1)
		base := r.ball(mast, nil, geom.Vec{})
		var guys [3]sum
		all := sum{}
		for i := range guys {
			guys[i] = r.rope(mast, top, geom.Toward(120*float64(i), 0).Scale(50))
			all = all.plus(guys[i], 1)
		}
		o := answer(t, c.wind, r.least(all)) // nothing pulls more than it has to
		for i, want := range []float64{c.north, c.east, c.west} {
			near(t, "wind from "+c.wind, guys[i].at(o.x), want, 1e-5*1300)
		}
		near(t, "mast, wind from "+c.wind, base.z.at(o.x), c.addedLb, 1e-5*2000)
	}
}

// tripod has legs that only press, from an apex to feet, and a load on top.
func tripod(apex geom.Vec, feet []geom.Vec, loadN, friction float64) (r *rig, legs []vector) {
	r = newRig()
	top := r.body()
	top.weighs(loadN, apex)
	for _, at := range feet {
		leg := r.body()
		legs = append(legs, r.ball(leg, top, apex))
		outward := level(at.Sub(apex)).Unit()
		r.contact(leg, at, geom.Vec{Z: 1}, outward, friction, 64)
	}
	return r, legs
}

// A tripod with legs of 4 m whose feet are 3 m apart, 1000 N on top (question: studyx.ai 4le5492; worked out. Its printed 333.33 N is
// the upright share of a leg's force).
func TestTripod(t *testing.T) {
	highM := math.Sqrt(16 - 3)
	near(t, "height", highM, 3.605551, 1e-6)
	var feet []geom.Vec
	for i := range 3 {
		feet = append(feet, geom.Toward(120*float64(i), 0).Scale(math.Sqrt(3)))
	}
	r, legs := tripod(geom.Vec{Z: highM}, feet, 1000, 1)
	o := answer(t, "tripod", r.most(fixed(0)))
	for _, f := range legs {
		x, y, z := f.x.at(o.x), f.y.at(o.x), f.z.at(o.x)
		near(t, "leg", math.Hypot(math.Hypot(x, y), z), 369.8001, 4e-3)
		near(t, "thrust", math.Hypot(x, y), 160.1282, 2e-3)
	}
	near(t, "friction needed", from(0.1, 1, func(friction float64) bool {
		r, _ := tripod(geom.Vec{Z: highM}, feet, 1000, friction)
		return r.stands()
	}), 0.480384, 5e-6)
}

// A tripod whose load lies over the line between two feet leaves the third leg idle (askfilo.com, Fig 4.19).
func TestTripodWithAnIdleLeg(t *testing.T) {
	feet := []geom.Vec{{X: 1.5}, {X: -1.5}, {Y: 1.25}}
	r, legs := tripod(geom.Vec{Z: 2}, feet, 2500, 10)
	o := answer(t, "tripod", r.most(fixed(0)))
	for i, want := range []float64{1562.5, 1562.5, 0} {
		f := legs[i]
		near(t, "leg", math.Hypot(math.Hypot(f.x.at(o.x), f.y.at(o.x)), f.z.at(o.x)), want, 2e-3)
	}
}

// ladder leans against a smooth wall at X = 0, its foot to the right.
func ladder(longM, footM, friction float64) (r *rig, l *body, wall sum, at func(share float64) geom.Vec) {
	r = newRig()
	l = r.body()
	at = func(share float64) geom.Vec {
		return geom.Vec{X: footM * (1 - share), Z: math.Sqrt(longM*longM-footM*footM) * share}
	}
	r.foot(l, at(0), friction)
	wall, _, _ = r.contact(l, at(1), geom.Vec{X: 1}, geom.Vec{Z: 1}, 0, 0)
	return r, l, wall, at
}

// The least angle of a ladder on a smooth wall is atan(1/2μ) (Giancoli, Physics, 7th ed., 9.30; jiskha 1479054 for μ 0.4).
func TestLadderLeastAngle(t *testing.T) {
	for friction, wantDeg := range map[float64]float64{0.5: 45, 0.4: 51.34019, 0.3: 59.03624, 0.2: 68.19859} {
		near(t, "angle", from(20, 89, func(deg float64) bool {
			r, l, _, at := ladder(4, 4*math.Cos(deg*math.Pi/180), friction)
			l.weighs(100, at(0.5))
			return r.stands()
		}), wantDeg, 1e-4)
	}
}

// A ladder of 5 m and 12 kg at 50° with 2.5 kg at 80 % of it, g 9.8 (data and the sums 24.5, 117.6 and 142 N: jobilize.com; worked
// out).
func TestLadderAtFiftyDegrees(t *testing.T) {
	build := func(friction float64) (*rig, sum) {
		r, l, wall, at := ladder(5, 5*math.Cos(50*math.Pi/180), friction)
		l.weighs(12*9.8, at(0.5))
		l.weighs(2.5*9.8, at(0.8))
		return r, wall
	}
	r, wall := build(1)
	near(t, "wall", wall.at(answer(t, "ladder", r.most(fixed(0))).x), 65.7854, 7e-4)
	near(t, "friction", from(0.1, 1, func(friction float64) bool { r, _ := build(friction); return r.stands() }), 0.462952, 5e-6)
}

// A ladder of 16 m and 240 N whose top is 7.0 m up a smooth wall, pushed toward the wall 2.8 m along it (wizedu.com 1124495, which
// prints 397.8 N for the most; worked out).
func TestLadderPushedAtItsFoot(t *testing.T) {
	build := func(friction float64) (*rig, sum) {
		r := newRig()
		l := r.body()
		footM := math.Sqrt(16*16 - 7*7)
		at := func(m float64) geom.Vec { return geom.Vec{X: footM * (1 - m/16), Z: 7 * m / 16} }
		_, ground, _ := r.foot(l, at(0), friction)
		r.contact(l, at(16), geom.Vec{X: 1}, geom.Vec{Z: 1}, 0, 0)
		l.weighs(240, at(8))
		r.pushes(l, geom.Vec{X: -1}, at(2.8))
		return r, ground
	}
	for pushN, wantN := range map[float64]float64{46: 208.693, 140: 131.143} {
		r, ground := build(100)
		r.equal(r.push, fixed(pushN))
		near(t, "ground toward the wall", -ground.at(answer(t, "ladder", r.most(fixed(0))).x), wantN, 2e-3)
	}
	r, _ := build(0.34)
	near(t, "least push", answer(t, "least", r.least(r.push)).value, 200.052, 2e-3)
	r, _ = build(0.34)
	near(t, "most push", answer(t, "most", r.most(r.push)).value, 397.870, 4e-3)
}
