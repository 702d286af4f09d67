package rigging

// asks is what a wrench on the frame asks of the stands and ropes while no force is free, and the free joint forces with which all
// forces are as small as they can be.
type asks struct {
	of    [MaxSupports][asked]float64
	alike [MaxSupports][2]float64 // level force along each axis if all stands gave alike
	pull  [MaxRopes]float64
	even  [maxDim]float64
}

func (m *statics) asks(w *wrench, out *asks) {
	for i := range m.stands {
		for k := range asked {
			out.of[i][k] = m.byLoad[i][k].dot(w)
		}
		for k := range 2 {
			out.alike[i][k] = m.alike[i][k].dot(w)
		}
	}
	for j := range m.ropes {
		out.pull[j] = m.pullLoad[j].dot(w)
	}
	for k := range m.free - m.ropes {
		out.even[k] = m.even[k].dot(w)
	}
}

// caseAsks is what a load case asks besides what the weight of the frame does, by the pascal of wind or, tilted, altogether. It does not change with
// pressure and ballast, and is worked out when the case is first looked at.
type caseAsks struct {
	asks
	known bool
	ropes [MaxRopes]running
	// apart is how far the free forces that were found last lay from the even ones, found whether any were.
	apart [maxDim]float64
	found bool
}

// running says when a rope runs against the wind: always, or where weight + pressure·push is negative.
type running struct {
	level        bool
	weight, push float64
}

// none is what is asked by no wind.
var none asks

// asksOf returns what load case i asks.
func (v *Solver) asksOf(i int) *caseAsks {
	own, l, s := &v.asked[i], &v.loads[i], v.of
	if own.known {
		return own
	}
	own.known, own.found = true, false
	switch l.air {
	case windy:
		v.m.asks(&l.wind, &own.asks)
		for k := range v.m.stands {
			h, f := s.Stands[k].Held.Z-s.Stands[k].Foot.Z, &own.of[k]
			mast := mastDrag * mastM * h
			f[slidesX] += mast * l.along.X
			f[slidesY] += mast * l.along.Y
			f[topplesX] += mast * h / 2 * l.along.X
			f[topplesY] += mast * h / 2 * l.along.Y
		}
		for j := range s.Ropes {
			r := &own.ropes[j]
			r.level, r.weight, r.push = s.Ropes[j].against(l)
		}
	case tilted:
		v.m.asks(&l.dead, &own.asks)
		for k := range v.m.stands {
			h, f := s.Stands[k].Held.Z-s.Stands[k].Foot.Z, &own.of[k]
			fall := s.Stands[k].MassKg * GravityMS2 * tiltedFall
			f[topplesX] += fall * h / 2 * l.along.X
			f[topplesY] += fall * h / 2 * l.along.Y
		}
	default:
	}
	return own
}

// set turns to load case i at a pressure, with the ballast and the factor that are loaded.
func (v *Solver) set(i int, q float64) {
	m, l, own := &v.m, &v.loads[i], v.asksOf(i)
	v.now, v.own, v.q = l, own, q
	dead, weight, down := &v.weight, 1.0, 1.0
	v.perPa = &none
	switch l.air {
	case windy:
		v.perPa = &own.asks
	case calm:
		weight = v.onWeight
	case tilted:
		dead, down = &own.asks, tiltedDown
	}
	for k := range m.stands {
		b, d, g := &v.base[k], &dead.of[k], &v.perPa.of[k]
		for what := range asked {
			b[what] = weight*d[what] + q*g[what]
		}
		b[standsOn] += v.standN[k] * down
		for axis := range 2 {
			v.against[k][axis] = dead.alike[k][axis] + q*v.perPa.alike[k][axis]
		}
		v.pressN[k] = v.safeN[k]
		switch l.air {
		case windy:
			v.pressN[k] = v.shareN + v.factor*(v.safeN[k]-v.shareN)
		case calm:
			v.against[k] = [2]float64{}
		default:
		}
	}
	for k := range m.free - m.ropes {
		v.even[k] = weight*dead.even[k] + q*v.perPa.even[k]
	}
	v.guyed = false
	for j := range m.ropes {
		v.pull[j] = weight*dead.pull[j] + q*v.perPa.pull[j]
		v.cap[j] = 0
		if r := &own.ropes[j]; l.air == windy && !v.gone[j] && (r.level || r.weight+q*r.push < 0) {
			v.cap[j], v.guyed = v.bearsN[j], true
		}
	}
	for axis := range v.bars {
		v.bars[axis] = [2]bool{v.barred(axis, 1), v.barred(axis, -1)}
	}
}
