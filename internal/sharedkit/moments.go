package sharedkit

import (
	"cmp"
	"slices"
)

// Moment is a span of time, From ≤ t < To in minutes, and the shots that are up in it, ascending. Where shots count as up at once only
// because of the way between their places, it is the time in between.
type Moment struct {
	From, To int
	Shots    []int
}

// up is when one shot's kit is up, and where.
type up struct {
	shot, from, to, place int
}

// atOnce reports whether two count as up at once.
func (p *Problem) atOnce(a, b up) bool {
	gap := 0
	if p.Way != nil {
		gap = p.Way[a.place][b.place]
	}
	return a.from < b.to+gap && b.from < a.to+gap
}

// AtOnce reports whether an option of one shot and an option of another count as up at once.
func (p *Problem) AtOnce(s, o, t, u int) bool {
	at := func(s, o int) up {
		opt := &p.Shots[s].Options[o]
		return up{s, opt.From, opt.To, p.Shots[s].Place}
	}
	return p.atOnce(at(s, o), at(t, u))
}

// ups returns when the shots of a choice are up, by their beginning.
func (p *Problem) ups(choice []int) []up {
	var out []up
	for s, o := range choice {
		if o >= 0 {
			opt := &p.Shots[s].Options[o]
			out = append(out, up{s, opt.From, opt.To, p.Shots[s].Place})
		}
	}
	slices.SortFunc(out, func(a, b up) int { return cmp.Or(a.from-b.from, a.shot-b.shot) })
	return out
}

// together returns the largest sets of what is up at once, as places in ups, each ascending: the maximal cliques of the pairs that meet.
// Without ways between places these are the sets up as one begins.
func (p *Problem) together(ups []up) [][]int {
	var sets [][]int
	if p.Way == nil {
		for k := range ups {
			var set []int
			for j := range k + 1 {
				if ups[j].to > ups[k].from {
					set = append(set, j)
				}
			}
			sets = append(sets, set)
		}
		return largest(sets)
	}
	all := make([]int, len(ups))
	for k := range all {
		all[k] = k
	}
	p.cliques(ups, nil, all, nil, func(set []int) {
		set = slices.Clone(set)
		slices.Sort(set)
		sets = append(sets, set)
	})
	slices.SortFunc(sets, slices.Compare[[]int])
	return sets
}

// cliques gives every maximal clique that holds set, may hold any of open and none of done, which meet all of set: the method of Bron and
// Kerbosch with a pivot (1973; from memory).
func (p *Problem) cliques(ups []up, set, open, done []int, found func([]int)) {
	if len(open) == 0 {
		if len(done) == 0 && len(set) > 0 {
			found(set)
		}
		return
	}
	meeting := func(of []int, k int) (out []int) {
		for _, j := range of {
			if j != k && p.atOnce(ups[j], ups[k]) {
				out = append(out, j)
			}
		}
		return out
	}
	pivot, most := -1, -1
	for _, list := range [2][]int{open, done} {
		for _, k := range list {
			if n := len(meeting(open, k)); n > most {
				pivot, most = k, n
			}
		}
	}
	for _, k := range slices.Clone(open) {
		if k != pivot && p.atOnce(ups[k], ups[pivot]) {
			continue
		}
		p.cliques(ups, append(slices.Clone(set), k), meeting(open, k), meeting(done, k), found)
		open = slices.DeleteFunc(open, func(j int) bool { return j == k })
		done = append(done, k)
	}
}

// largest leaves out sets that are part of another; of equal ones the first stays.
func largest(sets [][]int) [][]int {
	var out [][]int
	for i, s := range sets {
		part := false
		for j, t := range sets {
			if i != j && within(s, t) && (len(s) < len(t) || j < i) {
				part = true
				break
			}
		}
		if !part {
			out = append(out, s)
		}
	}
	return out
}

// within reports whether an ascending list is part of another.
func within(s, t []int) bool {
	for _, x := range s {
		if _, in := slices.BinarySearch(t, x); !in {
			return false
		}
	}
	return true
}

// Moments returns the moments of a choice in the order of time: every span of time with the same shots up, and what counts as up at once
// between places.
func (p *Problem) Moments(choice []int) []Moment {
	ups := p.ups(choice)
	var cuts []int
	for _, u := range ups {
		cuts = append(cuts, u.from, u.to)
	}
	slices.Sort(cuts)
	cuts = slices.Compact(cuts)
	var out []Moment
	for i := 1; i < len(cuts); i++ {
		m := Moment{From: cuts[i-1], To: cuts[i]}
		for _, u := range ups {
			if u.from <= m.From && m.From < u.to {
				m.Shots = append(m.Shots, u.shot)
			}
		}
		slices.Sort(m.Shots)
		switch last := len(out) - 1; {
		case len(m.Shots) == 0:
		case last >= 0 && out[last].To == m.From && slices.Equal(out[last].Shots, m.Shots):
			out[last].To = m.To
		default:
			out = append(out, m)
		}
	}
	if p.Way != nil {
		for _, set := range p.together(ups) {
			m := Moment{From: ups[set[0]].to, To: ups[set[len(set)-1]].from}
			for _, k := range set {
				m.From = min(m.From, ups[k].to)
				m.Shots = append(m.Shots, ups[k].shot)
			}
			slices.Sort(m.Shots)
			if m.From <= m.To {
				out = append(out, m)
			}
		}
		slices.SortStableFunc(out, func(a, b Moment) int { return cmp.Or(a.From-b.From, a.To-b.To) })
	}
	return out
}
