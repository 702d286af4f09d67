package oracle

import (
	"cmp"
	"math"
	"slices"

	"kitspan/internal/geom"
	"kitspan/internal/rigging"
)

// Case is one of the things that a structure has to bear: calm air, ground that leans one way, or one way in which the wind blows, in
// whatever strength up to some gust. None is no case.
type Case int

const (
	None Case = iota - 1
	calmAir
	firstSlope
	firstWind = firstSlope + directions
)

// loadsOf are the loads of a case, the wind's strongest first.
func loadsOf(s *rigging.Structure, c Case, ways []blow, pressurePa, factor float64) (list []*load) {
	switch {
	case c == calmAir:
		return []*load{inCalm(s, factor)}
	case c < firstWind:
		return onSlopes(s)[c-firstSlope : c-firstSlope+1]
	}
	b := ways[c-firstWind]
	for _, q := range pressures(s, b, pressurePa, factor) {
		list = append(list, inWind(s, b, q, factor))
	}
	slices.Reverse(list)
	return list
}

// bears reports whether loads are borne, the sides that stand for circles so far off the middle. How much slack they leave does not matter then, but in the search for the ratio of twists.
func bears(s *rigging.Structure, ballastKg []float64, list []*load, sideOff float64) bool {
	for _, l := range list {
		l.sideOff = sideOff
		if !twists(s) {
			l.roomN = 0
		}
	}
	return !slices.ContainsFunc(list, func(l *load) bool { return bear(s, l, ballastKg).slackN < enoughN })
}

// StandsCalm reports whether a structure stands in still air with a factor on its weight.
func StandsCalm(s *rigging.Structure, ballastKg []float64, factor float64) bool {
	return bears(s, ballastKg, loadsOf(s, calmAir, nil, 0, factor), around)
}

// StandsPartly is [Stands] for a part of the cases, for where many structures are looked at: still air, one given case, and of the others one
// in so many, from a number on. Sides lie around the circles that they stand for, so that what stands by other sides stands.
func StandsPartly(s *rigging.Structure, ballastKg []float64, gustMS, factor float64, given Case, oneIn, from int) bool {
	ways := blows(s)
	for c := calmAir; int(c) < int(firstWind)+len(ways); c++ {
		if c != calmAir && c != given && (int(c)+from)%oneIn != 0 {
			continue
		}
		if !bears(s, ballastKg, loadsOf(s, c, ways, pressurePa(gustMS), factor), around) {
			return false
		}
	}
	return true
}

// Fails returns a case in which a structure does not stand, as [Stands] has it, None where it stands in all. It looks first at what turns
// the frame over most. Sides lie well within the circles that they stand for, so that what does not stand by other sides fails.
func Fails(s *rigging.Structure, ballastKg []float64, gustMS, factor float64) Case {
	ways := blows(s)
	for _, c := range hardest(s, ways) {
		if !bears(s, ballastKg, loadsOf(s, c, ways, pressurePa(gustMS), factor), wellIn) {
			return c
		}
	}
	return None
}

// AtLeast returns a sum of ballast in kg with less than which a structure certainly does not stand, which is at most that of
// [LeastBallast]: that by the harder third of the cases, twists taken as if nothing lifted. It is +Inf where no ballast will do.
func AtLeast(s *rigging.Structure, gustMS, factor float64, floorKg []float64) float64 {
	ways := blows(s)
	var list []*load
	cases := hardest(s, ways)
	for _, c := range cases[:(len(cases)+2)/3] {
		list = append(list, loadsOf(s, c, ways, pressurePa(gustMS), factor)[0])
	}
	kg, ok := newCutter(s, list, floorKg).cheapest()
	if !ok {
		return math.Inf(1)
	}
	return total(kg)
}

// hardest are all cases, those first that are likely to be the hardest: the wind by the moment about the ground under the middle of the
// points held, still air, slopes.
func hardest(s *rigging.Structure, ways []blow) (list []Case) {
	var foot geom.Vec
	for _, st := range s.Stands {
		foot = foot.Add(level(st.Held).Scale(1 / float64(len(s.Stands))))
	}
	momentM3 := make([]float64, len(ways))
	for k, b := range ways {
		m := b.pushAt.Sub(foot).Cross(b.push).Add(b.dragAt.Sub(foot).Cross(b.drag))
		momentM3[k] = math.Hypot(m.X, m.Y)
		list = append(list, firstWind+Case(k))
	}
	slices.SortStableFunc(list, func(a, b Case) int { return cmp.Compare(momentM3[b-firstWind], momentM3[a-firstWind]) })
	for c := range firstWind {
		list = append(list, c)
	}
	return list
}
