package oracle

import "math"

// The words for what gives way first, as an answer has them.
const (
	tips       = "overturning"
	slides     = "sliding"
	lifts      = "uplift"
	lineParts  = "line"
	anchorGoes = "anchor"
	overloads  = "support"
	houseSays  = "house_limit"
	nothing    = "none"
)

// condition is one inequality at one gust: what has to hold has room of 0 or more.
type condition struct {
	governs string
	support int
	roomN   float64 // newtons, or newton metres
}

// conditions are all inequalities of the piece at a gust, in an order that does not depend on the gust.
func (r *rigged) conditions(gustMS float64) []condition {
	var list []condition
	for i := range r.masts {
		if len(r.piece.Lines) > 0 {
			list = append(list, r.guyed(i, gustMS)...)
		} else {
			list = append(list, r.free(i, gustMS)...)
		}
	}
	return list
}

// offCentre is the moment of the force's acting off the middle on one support: along the slope on one or two, across besides on
// one.
func (r *rigged) offCentre(b blow) float64 {
	n := len(r.masts)
	share, m := windShare(n), 0.0
	if n <= 2 {
		m += share * b.square * r.offAlongM()
	}
	if n == 1 {
		m += share * b.upright * offMiddle * r.acrossM
	}
	return m
}

// deadMoment is what the weights of a support, its ballast and its share of the piece do about the tipping edge, the arm
// out over it.
func (r *rigged) deadMoment(m mast) float64 {
	n := len(r.masts)
	return (m.ownN+m.ballastN())*m.leverM + deadLeast(n)*r.weightN*math.Max(0, m.leverM-m.armM) -
		r.safety*deadMost(n)*r.weightN*math.Max(0, m.armM-m.leverM)
}

// overloaded is the room under a support's safe load, with a force down besides the piece's weight.
func (r *rigged) overloaded(i int, downN float64) condition {
	n := len(r.masts)
	room := r.masts[i].spec.SafeLoadKg*gravityMS2 - math.Max(r.safety/float64(n), deadMost(n))*r.weightN
	return condition{overloads, i, room - downN}
}

// slipping is the condition against sliding and lifting together, named by the larger of the two.
func (r *rigged) slipping(i int, levelN, liftN float64) condition {
	m := r.masts[i]
	holds := r.friction * (m.ownN + m.ballastN() + deadLeast(len(r.masts))*r.weightN)
	c := condition{slides, i, holds - r.safety*(levelN+r.friction*liftN)}
	if r.friction*liftN > levelN {
		c.governs = lifts
	}
	return c
}

// free are the conditions of a support without lines.
func (r *rigged) free(i int, gustMS float64) []condition {
	m, share := r.masts[i], windShare(len(r.masts))
	h, a, lever := m.sp.HeightM, m.armM, m.leverM
	var list []condition
	pressed, lifted := r.blown(pressedBy, gustMS), r.blown(liftedBy, gustMS)
	moment := func(b blow) float64 {
		return share*b.level*(h+r.aboveM()) + r.offCentre(b) + m.mastN(b)*h/2
	}
	add := func(room float64) { list = append(list, condition{tips, i, room}) }
	dead := r.deadMoment(m)
	add(dead - r.safety*(moment(pressed)+share*pressed.upright*math.Max(0, a-lever)))
	add(dead - r.safety*(moment(lifted)+share*lifted.upright*math.Max(0, lever-a)))
	far := (m.ownN+m.ballastN())*lever + deadLeast(len(r.masts))*r.weightN*(lever+a)
	add(far - r.safety*(moment(lifted)+share*lifted.upright*(lever+a)))
	list = append(list, r.slipping(i, share*lifted.level+m.mastN(lifted), share*lifted.upright))
	return append(list, r.overloaded(i, share*pressed.upright))
}

// limit is the greatest gust at which a test holds that holds at no greater one than it: by halving.
func limit(holds func(gustMS float64) bool) float64 {
	lo, hi := 0.0, float64(mostGustMS)
	switch {
	case !holds(lo):
		return 0
	case holds(hi):
		return hi
	}
	for range 80 {
		if mid := (lo + hi) / 2; holds(mid) {
			lo = mid
		} else {
			hi = mid
		}
	}
	return lo
}

// gusts are the four that a piece has, and what goes first with which support: one of several where they tie within a millionth.
type gusts struct {
	safeMS, lowerMS, watchMS, goesMS float64
	first                            []condition
}

// lowerShare is of the gust at which a piece goes, when it is to be down, and watchShare of that, when somebody watches (the event
// guide of Cardiff council: 80 % and 60 % of the limit).
const lowerShare, watchShare = 0.8, 0.75

func (r *rigged) gusts() gusts {
	plain := *r
	plain.safety = 1
	var g gusts
	g.safeMS, _ = r.givesWay()
	g.goesMS, g.first = plain.givesWay()
	g.lowerMS = math.Min(g.safeMS, lowerShare*g.goesMS)
	// Limits that somebody set: the lowest of them where it is under that, either word where it is as good as the same.
	set := []condition{}
	if r.houseLimitMS > 0 {
		set = append(set, condition{houseSays, -1, r.houseLimitMS})
	}
	for i, m := range r.masts {
		if m.isMachine {
			set = append(set, condition{overloads, i, machineGustMS})
		}
	}
	least := g.lowerMS
	for _, c := range set {
		least = math.Min(least, c.roomN)
	}
	if least < g.lowerMS*(1-sameGust) {
		g.first = nil
	}
	for _, c := range set {
		if c.roomN <= least*(1+sameGust) {
			g.first = append(g.first, c)
		}
	}
	g.lowerMS = least
	g.watchMS = watchShare * least
	return g
}

// givesWay is the gust from which a balance fails, its factor in it, and which conditions and supports fail there.
func (r *rigged) givesWay() (gustMS float64, first []condition) {
	caps := []condition{{nothing, -1, mostGustMS}}
	// What is larger, sliding or lifting, shows in any wind.
	for k, c := range r.conditions(1) {
		c.roomN = limit(func(v float64) bool { return r.conditions(v)[k].roomN >= 0 })
		caps = append(caps, c)
	}
	gustMS = math.Inf(1)
	for _, c := range caps {
		gustMS = math.Min(gustMS, c.roomN)
	}
	for _, c := range caps {
		if c.roomN <= gustMS*(1+sameGust) {
			first = append(first, c)
		}
	}
	return gustMS, first
}

// holdsAt reports whether a piece holds a gust: it need not be down.
func (r *rigged) holdsAt(gustMS float64) bool { return r.gusts().lowerMS >= gustMS*(1-sameGust) }

// sameGust is how near two gusts are the same, as a share.
const sameGust = 1e-6
