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
	slidePa                    float64 // still air slides nothing
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
	own := v.of.Stands[0].MassKg * GravityMS2
	for i := range to {
		asks := &v.asksOf(i).of[0]
		dead, g, weight, down := &v.weight.of[0], &none.of[0], 1.0, 1.0
		c := &v.one[i]
		switch c.air = v.loads[i].air; c.air {
		case windy:
			g = asks
		case calm:
			weight = v.onWeight
		case tilted:
			dead, down = asks, tiltedDown
		}
		c.on, c.lift, c.twist = weight*dead[standsOn]+own*down, weight*dead[lifts], weight*dead[twists]
		c.tipX, c.tipY = weight*dead[topplesX], weight*dead[topplesY]
		c.onPa, c.upPa, c.twistPa, c.tipXPa, c.tipYPa = g[standsOn], g[lifts], g[twists], g[topplesX], g[topplesY]
		c.slidePa = length(g[slidesX], g[slidesY])
	}
	return v.one
}

// down is the share of a weight that presses on the ground in the load case looked at.
func (v *Solver) down() float64 {
	if v.now.air == tilted {
		return tiltedDown
	}
	return 1
}

// tiltedFall and tiltedDown are the shares of a weight along a slope of [TiltDeg] and square to it.
var tiltedFall, tiltedDown = math.Sincos(TiltDeg * math.Pi / 180)

// length is that of a level vector; forces are far from where squares overflow.
func length(x, y float64) float64 { return math.Sqrt(x*x + y*y) }

// needN returns the ballast, in newtons, that a case asks of the stand at a pressure, and what for. It is the larger of
// what keeps it from tipping and from sliding; infinite where no ballast does.
func (v *Solver) needN(c *onOne, q float64) (n float64, what kind) {
	s := v.of
	own := s.Stands[0].MassKg*GravityMS2 + s.MassKg*GravityMS2
	on, lift := c.on+q*c.onPa, c.lift+q*c.upPa
	n, what = length(c.tipX+q*c.tipXPa, c.tipY+q*c.tipYPa)/v.lever[0]-on, tips
	if c.air == tilted {
		return n / tiltedDown, what
	}
	if down := -lift; c.air == windy && down > s.MassKg*GravityMS2+v.factor*(s.Stands[0].SafeLoadKg-s.MassKg)*GravityMS2+standsN ||
		c.air == calm && down > s.Stands[0].SafeLoadKg*GravityMS2+standsN {
		return math.Inf(1), presses
	}
	level, turn := q*c.slidePa, math.Abs(c.twist+q*c.twistPa)/v.turn[0]
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
	by = max(by, (level+turn*leverage)/s.Friction-own)
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
