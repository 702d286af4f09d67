package sharedkit

import (
	"cmp"
	"math"
	"slices"
)

// sum says that a resource has at least as many units as the options of several shots take together that are up at once.
type sum struct {
	resource int
	shots    []int
	// takers are the options of each of these shots that are up then and take the resource, and how many units each does.
	takers [][]Use
}

// values is all that a sum may come to, ascending.
func (su *sum) values() []int {
	all := map[int]bool{0: true}
	for _, takers := range su.takers {
		for _, n := range sorted(all) {
			for _, u := range takers {
				all[n+u.N] = true
			}
		}
	}
	return sorted(all)
}

// within reports whether another sum holds all that this one does.
func (su *sum) within(t *sum) bool {
	if su.resource != t.resource {
		return false
	}
	for k, s := range su.shots {
		j, ok := slices.BinarySearch(t.shots, s)
		if !ok || len(su.takers[k]) > len(t.takers[j]) {
			return false
		}
		for _, u := range su.takers[k] {
			if !slices.Contains(t.takers[j], u) {
				return false
			}
		}
	}
	return true
}

// upAtOnce are options of shots of one day that are up at once, by shot.
type upAtOnce map[int][]int

// atTimes returns the options that are up at one time, for each time at which the most are.
func (p *Problem) atTimes() []upAtOnce {
	var starts []int
	for s := range p.Shots {
		for o := range p.Shots[s].Options {
			starts = append(starts, p.Shots[s].Options[o].From)
		}
	}
	slices.Sort(starts)
	starts = slices.Compact(starts)
	var out []upAtOnce
	for k, t := range starts {
		next := math.MaxInt
		if k+1 < len(starts) {
			next = starts[k+1]
		}
		byDay, ends := map[int]upAtOnce{}, false
		for s := range p.Shots {
			sh := &p.Shots[s]
			for o := range sh.Options {
				opt := &sh.Options[o]
				if opt.From > t || opt.To <= t {
					continue
				}
				ends = ends || opt.To <= next
				if byDay[sh.Day] == nil {
					byDay[sh.Day] = upAtOnce{}
				}
				byDay[sh.Day][s] = append(byDay[sh.Day][s], o)
			}
		}
		if !ends {
			continue // all of them are up at the next start too
		}
		for _, d := range sorted(byDay) {
			if len(byDay[d]) > 1 {
				out = append(out, byDay[d])
			}
		}
	}
	return out
}

// surelyTogether returns the sets of two and more shots of one day that are up at once whatever is chosen.
func (p *Problem) surelyTogether() [][]int {
	var core []up // what is up by every option
	for s := range p.Shots {
		sh := &p.Shots[s]
		if len(sh.Options) == 0 {
			continue
		}
		u := up{shot: s, from: math.MinInt, to: math.MaxInt, place: sh.Place}
		for o := range sh.Options {
			u.from, u.to = max(u.from, sh.Options[o].From), min(u.to, sh.Options[o].To)
		}
		if u.from < u.to {
			core = append(core, u)
		}
	}
	slices.SortFunc(core, func(a, b up) int { return cmp.Or(a.from-b.from, a.shot-b.shot) })
	var out [][]int
	for _, set := range p.together(core) {
		byDay := map[int][]int{}
		for _, k := range set {
			d := p.Shots[core[k].shot].Day
			byDay[d] = append(byDay[d], core[k].shot)
		}
		for _, d := range sorted(byDay) {
			if len(byDay[d]) > 1 {
				slices.Sort(byDay[d])
				out = append(out, byDay[d])
			}
		}
	}
	return out
}

// beside returns how many units the others take at least that are up with a shot whatever is chosen; one place shares who is in charge.
func (m *model) beside(sure [][]int, s, r int, least []map[int]int) int {
	if m.resources[r].kind == byShared {
		return 0
	}
	most := 0
	for _, set := range sure {
		if !slices.Contains(set, s) {
			continue
		}
		n := 0
		for _, t := range set {
			if t != s {
				n += least[t][r]
			}
		}
		most = max(most, n)
	}
	return most
}

// addSums makes the sums of what is up at once at one time and, where there are ways between places, of the shots that are at once whatever
// is chosen; of each resource that two and more of the shots may take.
func (m *model) addSums(own taking, sure [][]int) {
	sets := m.p.atTimes()
	if m.p.Way != nil {
		for _, set := range sure {
			all := upAtOnce{}
			for _, s := range set {
				for o := range own[s] {
					all[s] = append(all[s], o)
				}
			}
			sets = append(sets, all)
		}
	}
	of := make([][]sum, len(m.resources)) // of each resource, its sums
	for _, set := range sets {
		here := map[int]*sum{}
		for _, s := range sorted(set) {
			for _, o := range set[s] {
				for r, n := range own[s][o] {
					if m.resources[r].kind == byShared {
						continue
					}
					su := here[r]
					if su == nil {
						su = &sum{resource: r}
						here[r] = su
					}
					if k := len(su.shots) - 1; k < 0 || su.shots[k] != s {
						su.shots, su.takers = append(su.shots, s), append(su.takers, nil)
					}
					last := len(su.takers) - 1
					su.takers[last] = append(su.takers[last], Use{o, n})
				}
			}
		}
		for _, r := range sorted(here) {
			if su := here[r]; len(su.shots) > 1 && !slices.ContainsFunc(of[r], func(t sum) bool { return su.within(&t) }) {
				of[r] = append(slices.DeleteFunc(of[r], func(t sum) bool { return t.within(su) }), *su)
			}
		}
	}
	for s := range m.shots {
		m.shots[s].in = make([][]Use, len(own[s]))
	}
	for _, list := range of {
		for _, su := range list {
			for k, s := range su.shots {
				for _, u := range su.takers[k] {
					in := &m.shots[s].in[u.Of]
					*in = append(*in, Use{Of: len(m.sums), N: u.N})
				}
			}
			m.sums = append(m.sums, su)
		}
	}
}

// leastHaul returns the least that bringing an option's own kit costs, whoever else is there that day.
func (p *Problem) leastHaul(s, o int) int {
	opt, day := &p.Shots[s].Options[o], p.Shots[s].Day
	var load Load
	for _, u := range opt.Items {
		it := &p.Items[u.Of]
		if it.Alone || u.N == 0 {
			continue
		}
		load.MassKg += float64(u.N) * it.MassKg
		load.VolumeM3 += float64(u.N) * it.VolumeM3
		load.HeaviestKg, load.BulkiestM3 = math.Max(load.HeaviestKg, it.MassKg), math.Max(load.BulkiestM3, it.VolumeM3)
	}
	return int(p.haulAtLeast(day, load))
}
