package oracle

import (
	"math"

	"kitspan/internal/rigging"
)

const (
	enoughN = -1e-4 // of slack: what rounding may take
	// finest is how close the ends of a ratio are brought together before what is between them counts as not standing.
	finest = 1.002
	// mostNodes is after how many parts a load counts as not borne.
	mostNodes = 2000
)

// Stands reports whether a structure stands with a ballast on each stand in kg: in calm air, on leaning ground, and in the wind up to a
// gust, with a factor on the actions as the structure's comment has it. Slack is by how many newtons all limits could be drawn in under the
// worst load, or at least that; negative where it does not stand, by how many they would have to be let out; −Inf where no limits
// would do.
//
// The twist of a stand counts by the ratio of the weight on its feet without and with the lift of its joint. For ratios between a low and a
// high one, what can be borne is less than with the low one and lifts that the high one allows, and more than with the true
// one. The spans are halved until either does.
func Stands(s *rigging.Structure, ballastKg []float64, gustMS, factor float64) (ok bool, slack float64) {
	slack = math.Inf(1)
	for _, l := range loads(s, pressurePa(gustMS), factor) {
		slack = math.Min(slack, bear(s, l, ballastKg).slackN)
	}
	return slack >= enoughN, slack
}

// loads are all that a structure has to bear up to a velocity pressure.
func loads(s *rigging.Structure, pressurePa, factor float64) []*load {
	list := append(onSlopes(s), inCalm(s, factor))
	for _, b := range blows(s) {
		for _, q := range pressures(s, b, pressurePa, factor) {
			list = append(list, inWind(s, b, q, factor))
		}
	}
	return list
}

// borne is how a load is borne.
type borne struct {
	slackN float64
	// gain is how much the slack grows with each kilogram of ballast, in newtons, with the ratios as they are.
	gain   []float64
	twists []float64
}

// bear finds the forces that leave the most slack to a load; it stops at the first that leave any.
func bear(s *rigging.Structure, l *load, ballastKg []float64) borne {
	root := make([]span, len(s.Stands))
	for i := range root {
		root[i] = span{1, most}
	}
	best := borne{slackN: math.Inf(-1)}
	for open, nodes := [][]span{root}, 0; len(open) > 0 && nodes < mostNodes; nodes++ {
		spans := open[len(open)-1]
		open = open[:len(open)-1]
		loose, forces := solve(s, l, ballastKg, spans)
		if loose.slackN <= best.slackN || loose.slackN < enoughN && nodes > 0 {
			continue
		}
		ratios := make([]float64, len(spans))
		exact := make([]span, len(spans))
		at, far := -1, finest
		for i, sp := range spans {
			ratios[i] = forces.ratio(i, sp)
			exact[i] = span{ratios[i], ratios[i]}
			if !twistable(s, i) {
				exact[i] = sp
			} else if by := ratios[i] / sp.low; by > far {
				at, far = i, by
			}
		}
		tight := loose
		if at >= 0 {
			tight, _ = solve(s, l, ballastKg, exact)
		}
		tight.twists = ratios
		if tight.slackN > best.slackN {
			best = tight
		}
		if best.slackN >= enoughN || loose.slackN < enoughN {
			return best
		}
		if at < 0 {
			continue
		}
		part := math.Sqrt(spans[at].low * ratios[at])
		lower, upper := append([]span(nil), spans...), append([]span(nil), spans...)
		lower[at].high, upper[at].low = part, part
		open = append(open, lower, upper)
	}
	return best
}

// twistable reports whether the frame can twist a stand.
func twistable(s *rigging.Structure, i int) bool {
	st := s.Stands[i]
	return math.Hypot(st.Held.X-st.Foot.X, st.Held.Y-st.Foot.Y) > 1e-9
}

// twists reports whether the frame can twist some stand.
func twists(s *rigging.Structure) bool {
	for i := range s.Stands {
		if twistable(s, i) {
			return true
		}
	}
	return false
}

// forces are those of one answer, joint by joint.
type forces struct{ liftN, feetN []float64 }

// ratio is that by which the twist of a stand counts, within a span.
func (f *forces) ratio(i int, within span) float64 {
	if f.liftN[i] <= 0 {
		return within.low
	}
	if f.feetN[i] <= 0 {
		return within.high
	}
	return math.Min(within.high, math.Max(within.low, 1+f.liftN[i]/f.feetN[i]))
}

func solve(s *rigging.Structure, l *load, ballastKg []float64, twists []span) (borne, *forces) {
	b := newBalance(s, l, ballastKg, twists)
	o := b.maximize(b.slack)
	if o.verdict != optimal {
		return borne{slackN: math.Inf(-1)}, nil
	}
	r, f := borne{slackN: o.value}, &forces{}
	for i := range s.Stands {
		r.gain = append(r.gain, o.gain[b.more[i].terms[0].variable])
		f.liftN = append(f.liftN, b.joints[i].z.at(o.x))
		f.feetN = append(f.feetN, b.feet[i].at(o.x))
	}
	return r, f
}

// SafeTo returns the largest gust in m/s, to 0.05 %, up to which a structure stands with a ballast on each stand in kg; at most 60, and −1
// where it does not stand in calm air.
func SafeTo(s *rigging.Structure, ballastKg []float64, factor float64) float64 {
	bears := func(l *load) bool { return bear(s, l, ballastKg).slackN >= enoughN }
	for _, l := range append(onSlopes(s), inCalm(s, factor)) {
		if !bears(l) {
			return -1
		}
	}
	top := pressurePa(mostGustMS)
	for _, b := range blows(s) {
		low := 0.0
		for k, q := range pressures(s, b, top, factor) {
			if bears(inWind(s, b, q, factor)) {
				low = q
				continue
			}
			if k == 0 {
				return -1
			}
			for high := q; ; {
				if high-low < 1e-3*low || high < 1e-6 { // half as much in the gust
					top = low
					break
				}
				if middle := (low + high) / 2; bears(inWind(s, b, middle, factor)) {
					low = middle
				} else {
					high = middle
				}
			}
			break
		}
	}
	return gustOf(top)
}
