package rigging

import "math"

// Forces are the largest that some equilibrium takes in a gust, without a safety factor: of several that balance a load one
// counts that is near that with the smallest forces, and pulls at ropes no more than it must.
type Forces struct {
	// PullN is of each rope, MastNM the bending moment at the foot of each mast, in newton metres, FeetN the force on each stand's
	// feet.
	PullN         [MaxRopes]float64
	MastNM, FeetN [MaxSupports]float64
}

// Forces returns what ropes and masts bear in a gust, in m/s, with a load. Load cases that find no equilibrium are left out.
func (v *Solver) Forces(gustMS float64, l *Load, u *Units) (out Forces) {
	if !v.held {
		return out
	}
	v.load(l.kg(v.m.stands, v.m.ropes, u), 1)
	if v.single() {
		for i := range v.ones() {
			c := &v.one[i]
			if q := VelocityPressure(gustMS); c.air != tilted {
				out.MastNM[0] = math.Max(out.MastNM[0], math.Hypot(c.tipX+q*c.tipXPa, c.tipY+q*c.tipYPa))
				out.FeetN[0] = math.Max(out.FeetN[0], c.on+q*c.onPa+v.ballast[0]*GravityMS2)
			}
		}
		return out
	}
	for i := range v.loads {
		if v.loads[i].air == tilted {
			continue
		}
		v.forget(i)
		if ok, _ := v.stands(i, VelocityPressure(gustMS)); !ok {
			continue
		}
		for k := range v.m.stands {
			x, y := v.value(k, topplesX), v.value(k, topplesY)
			out.MastNM[k] = math.Max(out.MastNM[k], math.Hypot(x, y))
			out.FeetN[k] = math.Max(out.FeetN[k], v.value(k, standsOn))
		}
		for j := range v.m.ropes {
			pull := v.pull[j]
			for c := range v.m.free {
				pull += v.m.pullFree[j][c] * v.x[c]
			}
			out.PullN[j] = math.Max(out.PullN[j], pull)
		}
	}
	return out
}
