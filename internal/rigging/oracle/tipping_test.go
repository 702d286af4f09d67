package oracle

import (
	"fmt"
	"math"
	"testing"

	"kitspan/internal/geom"
)

// onFeet is a body of a weight over the middle of feet around it, the first at an angle from X.
func onFeet(r *rig, middle geom.Vec, weightN, radiusM float64, feet int, firstDeg, friction float64) (*body, []sum) {
	b := r.body()
	b.weighs(weightN, middle)
	var pressed []sum
	for k := range feet {
		f, _, _ := r.foot(b, middle.Add(turned(geom.Vec{X: radiusM}, firstDeg+360*float64(k)/float64(feet))), friction)
		pressed = append(pressed, f)
	}
	return b, pressed
}

// A block 0.5 m wide of 1000 N, μ 0.3, pushed at a height (from memory: every textbook).
func TestBlockSlidesOrTips(t *testing.T) {
	for heightM, wantN := range map[float64]float64{0.6: 300, 1.0: 250} {
		r := newRig()
		b, _ := onFeet(r, geom.Vec{}, 1000, 0.25*math.Sqrt2, 4, 45, 0.3)
		r.pushes(b, geom.Vec{X: 1}, geom.Vec{Z: heightM})
		near(t, fmt.Sprintf("pushed at %g m", heightM), answer(t, "block", r.most(r.push)).value, wantN, 1e-5)
	}
	r := newRig()
	b, _ := onFeet(r, geom.Vec{}, 1000, 0.25*math.Sqrt2, 4, 45, 10)
	r.pushes(b, geom.Vec{X: 1}, geom.Vec{Z: 0.6})
	near(t, "tips at 0.6 m", answer(t, "block", r.most(r.push)).value, 416.667, 1e-3)
}

// A load at the rim of a round table, midway between two of its n legs, tips it at W·c/(1 − c), c = cos(180°/n) (the puzzle from
// memory; worked out). It is where FootprintM·cos(180°/Legs) comes from.
func TestRoundTable(t *testing.T) {
	for legs, want := range map[int]float64{3: 1, 4: 2.414214, 5: 4.236068, 6: 6.464102, 8: 12.137072} {
		r := newRig()
		b, _ := onFeet(r, geom.Vec{}, 1, 1, legs, 180/float64(legs), 1)
		r.pushes(b, geom.Vec{Z: -1}, geom.Vec{X: 1})
		near(t, fmt.Sprint(legs, " legs"), answer(t, "table", r.most(r.push)).value, want, 1e-6*want)
	}
}

// A stand of 300 N with n feet at 0.6 m, pulled at 2.5 m by the bearing of the pull from a foot (worked out, by hand too): the least of
// all bearings is W·R·cos(180°/n)/h, and no more may be promised where nobody knows how the feet are turned.
func TestPullOnAStand(t *testing.T) {
	for legs, by := range map[int]map[float64]float64{
		3: {0: 72, 15: 50.9117, 30: 41.5692, 45: 37.2699, 60: 36},
		4: {0: 72, 15: 58.7878, 30: 52.7077, 45: 50.9117},
	} {
		for deg, want := range by {
			r := newRig()
			b, _ := onFeet(r, geom.Vec{}, 300, 0.6, legs, 0, 10)
			r.pushes(b, turned(geom.Vec{X: 1}, deg), geom.Vec{Z: 2.5})
			near(t, fmt.Sprintf("%d feet, %g°", legs, deg), answer(t, "stand", r.most(r.push)).value, want, 1e-4*want)
		}
	}
}

// A table with legs at (±1, ±0.5) and 100 N on it: what each leg bears is not determined, but how much it may be (worked out; that it is
// not determined: Euler 1773, in Garcia, Wood and Barrera-Mora 2015).
func TestTableOnFourLegs(t *testing.T) {
	corners := []geom.Vec{{X: 1, Y: 0.5}, {X: 1, Y: -0.5}, {X: -1, Y: 0.5}, {X: -1, Y: -0.5}}
	for _, c := range []struct {
		at     geom.Vec
		forceN [4][2]float64
	}{
		{geom.Vec{X: 0.4, Y: 0.1}, [4][2]float64{{30, 60}, {10, 40}, {0, 30}, {0, 30}}},
		{geom.Vec{}, [4][2]float64{{0, 50}, {0, 50}, {0, 50}, {0, 50}}},
		{geom.Vec{X: 0.6, Y: 0.4}, [4][2]float64{{70, 80}, {0, 10}, {10, 20}, {0, 10}}},
	} {
		for i, want := range c.forceN {
			build := func() (*rig, sum) {
				r := newRig()
				b := r.body()
				b.weighs(100, c.at)
				var legs [4]sum
				for k, at := range corners {
					legs[k], _, _ = r.contact(b, at, geom.Vec{Z: 1}, geom.Vec{X: 1}, 0, 0)
				}
				return r, legs[i]
			}
			r, leg := build()
			near(t, "least", answer(t, "table", r.least(leg)).value, want[0], 1e-6)
			r, leg = build()
			near(t, "most", answer(t, "table", r.most(leg)).value, want[1], 1e-6)
		}
	}
}

// A portal as one body, 600 N at mid-span, feet 3 m apart, pulled at 3 m (from memory: every textbook).
func TestPortal(t *testing.T) {
	for friction, want := range map[float64]float64{0.3: 180, 0.5: 300, 2: 300} {
		r := newRig()
		b := r.body()
		b.weighs(600, geom.Vec{})
		r.foot(b, geom.Vec{X: -1.5}, friction)
		r.foot(b, geom.Vec{X: 1.5}, friction)
		r.pushes(b, geom.Vec{X: 1}, geom.Vec{Z: 3})
		near(t, fmt.Sprint("μ ", friction), answer(t, "portal", r.most(r.push)).value, want, 1e-6*want)
	}
}

// joined are two stands on square feet of a half side of 0.5 m, of 500 and 200 N, whose tops at 3 m are joined by a bar of 4 m on balls, pushed
// at a share of the bar from the heavy one.
func joined(share float64, way geom.Vec, friction float64, sides int) *rig {
	r := newRig()
	bar := r.body()
	for i, weightN := range []float64{500, 200} {
		at := geom.Vec{X: 4 * float64(i)}
		b := r.body()
		b.weighs(weightN, at)
		for k := range 4 {
			foot := at.Add(turned(geom.Vec{X: 0.5 * math.Sqrt2}, 45+90*float64(k)))
			r.contact(b, foot, geom.Vec{Z: 1}, geom.Vec{X: 1}, friction, sides)
		}
		r.ball(b, bar, at.Add(geom.Vec{Z: 3}))
	}
	r.pushes(bar, way, geom.Vec{X: 4 * share, Z: 3})
	return r
}

// Two stands with a bar (worked out, by hand too).
func TestTwoStandsWithABar(t *testing.T) {
	along, across := geom.Vec{X: 1}, geom.Vec{Y: 1}
	for _, c := range []struct {
		share    float64
		way      geom.Vec
		friction float64
		want     float64
	}{
		{0.5, along, 10, 116.667}, {0.5, across, 10, 66.667}, {2. / 7, across, 10, 116.667},
		{0.5, along, 0.1, 70}, {0.5, across, 0.1, 40},
	} {
		r := joined(c.share, c.way, c.friction, 64)
		near(t, fmt.Sprintf("%.2f of the bar, %v, μ %g", c.share, c.way, c.friction), answer(t, "bar", r.most(r.push)).value, c.want, 1e-5*c.want)
	}
}

// A cone of n sides cut into the round one loses at most 1 − cos(180°/n), square to a side (worked out).
func TestConesOfSides(t *testing.T) {
	for sides, lostPercent := range map[int]float64{4: 29.29, 8: 7.61, 12: 3.41, 16: 1.92, 22: 1.018, 23: 0.931, 24: 0.856, 32: 0.48} {
		r := newRig()
		b := r.body()
		b.weighs(1000, geom.Vec{})
		r.contact(b, geom.Vec{}, geom.Vec{Z: 1}, geom.Vec{X: 1}, 0.3, sides)
		r.pushes(b, turned(geom.Vec{X: -1}, 180/float64(sides)), geom.Vec{}) // friction answers square to a side
		near(t, fmt.Sprint(sides, " sides"), 100*(1-answer(t, "cone", r.most(r.push)).value/300), lostPercent, 0.0051)
	}
	for sides, want := range map[int]float64{8: 64.6716, 512: 70} {
		r := joined(2./7, turned(geom.Vec{X: 1}, 22.5), 0.1, sides)
		near(t, fmt.Sprint("two stands, ", sides, " sides"), answer(t, "bar", r.most(r.push)).value, want, 1e-3*want)
	}
}

// A mast of 150 N and 4 m pushed by 400 N at a share of its height, with a guy from its top to windward (from memory: every textbook; worked
// out): T = H·s/cos α, N = W + T·sin α, shear H·(1 − s) and the friction that it takes.
func TestMastWithAGuy(t *testing.T) {
	for _, c := range []struct{ deg, share, pullN, pressedN, shearN, friction float64 }{
		{45, 1, 565.685, 550, 0, 0}, {45, 0.5, 282.843, 350, 200, 0.571429},
		{60, 1, 800, 842.820, 0, 0}, {30, 0.8, 369.504, 334.752, 80, 0.238983},
	} {
		build := func(friction float64) (r *rig, guy, pressed, shear sum) {
			r = newRig()
			b := r.body()
			top := geom.Vec{Z: 4}
			b.weighs(150, geom.Vec{})
			b.feels(known(geom.Vec{X: 400}), geom.Vec{Z: 4 * c.share}, 1)
			guy = r.rope(b, top, geom.Vec{X: -4 / math.Tan(c.deg*math.Pi/180)})
			pressed, shear, _ = r.foot(b, geom.Vec{}, friction)
			return r, guy, pressed, shear
		}
		r, guy, pressed, shear := build(1)
		o := answer(t, "mast", r.most(fixed(0)))
		near(t, "guy", guy.at(o.x), c.pullN, 1e-5*c.pullN)
		near(t, "foot", pressed.at(o.x), c.pressedN, 1e-5*c.pressedN)
		near(t, "shear", -shear.at(o.x), c.shearN, 1e-3)
		near(t, "friction", from(0, 1, func(friction float64) bool { r, _, _, _ := build(friction); return r.stands() }), c.friction, 1e-6)
	}
}

// Between two rough walls equilibrium 'holds' any weight of a rod by a thrust that nothing makes (worked out; weak against strong
// stability: Pang and Trinkle, in scaron.info/teaching/contact-stability). That is why a structure has rules against such forces.
func TestRodBetweenWalls(t *testing.T) {
	r := newRig()
	rod := r.body()
	r.contact(rod, geom.Vec{}, geom.Vec{X: 1}, geom.Vec{Z: 1}, 0.05, 32)
	r.contact(rod, geom.Vec{X: 2}, geom.Vec{X: -1}, geom.Vec{Z: 1}, 0.05, 32)
	r.pushes(rod, geom.Vec{Z: -1}, geom.Vec{X: 1})
	if o := r.most(r.push); o.verdict != unbounded {
		t.Errorf("verdict %d with a weight of %g N, want no end to it", o.verdict, o.value)
	}
}
