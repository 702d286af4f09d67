package rigging

import (
	"math"
	"slices"
)

// onOne is what a load case asks of a single stand without ropes, at no pressure and by the pascal, in closed form: force on the
// feet without ballast, moment that tips, level force, twist about the mast, and lift.
type onOne struct {
	air                        air
	on, onPa                   float64
	tipX, tipXPa, tipY, tipYPa float64
	slideX, slideY             float64 // by the pascal; still air slides nothing
	twist, twistPa, lift, upPa float64
}

// single reports whether the structure is one stand without ropes, which leaves no force free.
func (v *Solver) single() bool { return v.m.free == 0 }

// ones works out the load cases of a single stand; that of calm air, the first, by the factor on weight.
func (v *Solver) ones() []onOne {
	to := len(v.loads)
	if len(v.one) > 0 {
		if v.oneWeight == v.onWeight {
			return v.one
		}
		to = 1
	} else {
		v.one = slices.Grow(v.one, to)[:to]
	}
	v.oneWeight = v.onWeight
	for i := range to {
		v.set(&v.loads[i], 0)
		b, g := &v.base[0], &v.perPa[0]
		v.one[i] = onOne{
			air: v.loads[i].air, on: b[standsOn] - v.ballast[0]*GravityMS2*v.down(), onPa: g[standsOn],
			tipX: b[topplesX], tipXPa: g[topplesX], tipY: b[topplesY], tipYPa: g[topplesY],
			slideX: g[slidesX], slideY: g[slidesY], twist: b[twists], twistPa: g[twists], lift: b[lifts], upPa: g[lifts],
		}
	}
	return v.one
}

// down is the share of a weight that presses on the ground in the load case looked at.
func (v *Solver) down() float64 {
	if v.now.air == tilted {
		return math.Cos(TiltDeg * math.Pi / 180)
	}
	return 1
}

// needN returns the ballast, in newtons, that a case asks of the stand at a pressure, and what for. It is the larger of
// what keeps it from tipping and from sliding; infinite where no ballast does.
func (v *Solver) needN(c *onOne, q float64) (n float64, what kind) {
	s := v.of
	own := s.Stands[0].MassKg*GravityMS2 + s.MassKg*GravityMS2
	on, lift := c.on+q*c.onPa, c.lift+q*c.upPa
	tip := math.Hypot(c.tipX+q*c.tipXPa, c.tipY+q*c.tipYPa) / v.lever[0]
	n, what = math.Max(tip, 0)-on, tips
	if c.air == tilted {
		return n / math.Cos(TiltDeg*math.Pi/180), what
	}
	if down := -lift; c.air == windy && down > s.MassKg*GravityMS2+v.factor*(s.Stands[0].SafeLoadKg-s.MassKg)*GravityMS2+standsN ||
		c.air == calm && down > s.Stands[0].SafeLoadKg*GravityMS2+standsN {
		return math.Inf(1), presses
	}
	level, turn := q*math.Hypot(c.slideX, c.slideY), math.Abs(c.twist+q*c.twistPa)/v.turn[0]
	if level+turn == 0 {
		return n, what
	}
	if s.Friction <= 0 {
		return math.Inf(1), grips
	}
	// With the force N on the feet: level + turn·(N + lift)/N ≤ μ·N where the joint lifts, else level + turn ≤ μ·N; and of the
	// stand's own weight and ballast.
	slide := (level + turn) / s.Friction
	if lift > 0 {
		half := (level + turn) / (2 * s.Friction)
		slide = half + math.Sqrt(half*half+turn*lift/s.Friction)
	}
	by := slide - on
	leverage := 1.0
	if lift > 0 {
		leverage = (slide + lift) / slide
	}
	by = math.Max(by, (level+turn*leverage)/s.Friction-own)
	if by > n {
		n, what = by, grips
	}
	return n, what
}

// singlePressure is pressure for a single stand.
func (v *Solver) singlePressure(factor float64) (q float64, first term) {
	q = VelocityPressure(CeilingMS) * factor
	first = term{kind: box}
	have := v.ballast[0]*GravityMS2 + standsN
	for i := range v.ones() {
		c := &v.one[i]
		if n, _ := v.needN(c, q); n <= have {
			continue
		}
		if n, what := v.needN(c, 0); n > have {
			return fallen, term{kind: what}
		}
		lo, hi := 0.0, q
		for range 50 {
			mid := (lo + hi) / 2
			if n, _ := v.needN(c, mid); n <= have {
				lo = mid
			} else {
				hi = mid
			}
		}
		_, what := v.needN(c, hi)
		q, first = lo, term{kind: what}
	}
	return q, first
}
