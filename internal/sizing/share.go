package sizing

import (
	"cmp"
	"slices"

	"kitspan/internal/catalog"
)

// shareExactly is up to how many sources every way of sharing them is looked at: 6 have 203.
const shareExactly = 6

// share splits sources that no single frame stops among several frames, with the least total area of openings and,
// among equals, the least price. Frames may not be in each other's way nor more than the house owns. nil where there is
// no such split.
func (e *engine) share(st *stage, list []*source, cands []*candidate) []*choice {
	bySet := map[uint]*choice{}
	choose := func(set uint) *choice {
		ch, done := bySet[set]
		if !done {
			var part []*source
			for i, s := range list {
				if set>>i&1 == 1 {
					part = append(part, s)
				}
			}
			ch = newGroup(st, part).choose(cands, e.limit)
			bySet[set] = ch
		}
		return ch
	}
	var splits [][]uint
	if len(list) <= shareExactly {
		splits = partitions(len(list))
	} else {
		splits = mergers(len(list), choose)
	}
	type shared struct {
		choices []*choice
		areaM2  float64
		minor   int64
	}
	var all []shared
	for _, split := range splits {
		var s shared
		for _, set := range split {
			ch := choose(set)
			if ch == nil {
				s.choices = nil
				break
			}
			s.choices = append(s.choices, ch)
			s.areaM2 += ch.candidate.areaM2
			s.minor += ch.way.minor
		}
		if s.choices != nil {
			all = append(all, s)
		}
	}
	slices.SortStableFunc(all, func(a, b shared) int {
		return cmp.Or(cmp.Compare(a.areaM2, b.areaM2), cmp.Compare(a.minor, b.minor))
	})
	for _, s := range all {
		if e.together(s.choices) {
			return s.choices
		}
	}
	return nil
}

// together says whether the rigs stand clear of each other and the house owns enough for all.
func (e *engine) together(list []*choice) bool {
	need := map[string]int{}
	for i, a := range list {
		for _, b := range list[:i] {
			if a.meets(b) {
				return false
			}
		}
		for _, n := range a.counts() {
			need[n.SKU] += n.Quantity
		}
	}
	for sku, n := range need {
		if e.stock.Item(sku).Owned < n {
			return false
		}
	}
	return true
}

// partitions are all ways to split n things into sets, as bit masks, fewest sets first.
func partitions(n int) [][]uint {
	var out [][]uint
	var grow func(i int, sets []uint)
	grow = func(i int, sets []uint) {
		if i == n {
			out = append(out, slices.Clone(sets))
			return
		}
		for k := range sets {
			sets[k] |= 1 << i
			grow(i+1, sets)
			sets[k] &^= 1 << i
		}
		grow(i+1, append(sets, 1<<i))
	}
	grow(0, nil)
	slices.SortStableFunc(out, func(a, b []uint) int { return cmp.Compare(len(a), len(b)) })
	return out
}

// mergers start from one frame a source and join, step by step, the two sets that save most area: a good split, not
// proven the best, for more sources than can be looked at in every way.
func mergers(n int, choose func(uint) *choice) [][]uint {
	sets := make([]uint, n)
	for i := range sets {
		sets[i] = 1 << i
	}
	out := [][]uint{slices.Clone(sets)}
	for len(sets) > 1 {
		saved, at, with := 0.0, -1, -1
		for i := range sets {
			for k := range i {
				a, b, both := choose(sets[i]), choose(sets[k]), choose(sets[i]|sets[k])
				if a == nil || b == nil || both == nil {
					continue
				}
				if s := a.candidate.areaM2 + b.candidate.areaM2 - both.candidate.areaM2; at < 0 || s > saved {
					saved, at, with = s, i, k
				}
			}
		}
		if at < 0 {
			break
		}
		sets[with] |= sets[at]
		sets = slices.Delete(sets, at, at+1)
		out = append(out, slices.Clone(sets))
	}
	return out
}

func countAll(list []*choice) []catalog.Count {
	var out []catalog.Count
	for _, ch := range list {
		out = append(out, ch.counts()...)
	}
	return out
}
