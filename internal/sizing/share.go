package sizing

import (
	"cmp"
	"context"
	"slices"

	"kitspan/internal/catalog"
)

// shareExactly is up to how many sources every way of sharing them is looked at: 6 have 203.
const shareExactly = 6

// share splits sources that no single frame stops among several frames, with the least total area of openings and,
// among equals, the least price. Frames may not be in each other's way nor more than the house owns. nil where there is
// no such split.
func (e *engine) share(ctx context.Context, st *stage, list []*source, cands []*candidate) []*choice {
	groups := map[uint]*group{}
	alone := map[uint]*choice{}
	choose := func(set uint) *choice {
		if g := groups[set]; g != nil {
			return alone[set]
		}
		var part []*source
		for i, s := range list {
			if set>>i&1 == 1 {
				part = append(part, s)
			}
		}
		groups[set] = newGroup(ctx, st, part)
		alone[set] = e.pick(ctx, groups[set], cands)
		return alone[set]
	}
	splits := partitions(len(list))
	if len(list) > shareExactly {
		splits = mergers(len(list), choose)
	}
	var all []split
	for _, sets := range splits {
		if ctx.Err() != nil {
			return nil
		}
		s := split{sets: sets}
		for _, set := range sets {
			ch := choose(set)
			if ch == nil {
				s.sets = nil
				break
			}
			s.add(ch)
		}
		if s.sets != nil {
			all = append(all, s)
		}
	}
	slices.SortStableFunc(all, split.compare)
	var best *split
	for _, s := range all {
		if best != nil && best.compare(s) <= 0 {
			break // even with every frame where it would like to be, no better
		}
		if ctx.Err() != nil {
			return nil
		}
		if t, ok := e.assemble(ctx, s, groups, alone, cands); ok && (best == nil || t.compare(*best) < 0) {
			best = &t
		}
	}
	if best == nil {
		return nil
	}
	return best.choices
}

// split is one way to share the sources: a set of them, as a bit mask, for each frame.
type split struct {
	sets    []uint
	choices []*choice
	areaM2  float64
	minor   int64
}

func (s *split) add(ch *choice) {
	s.choices = append(s.choices, ch)
	s.areaM2 += ch.candidate.areaM2
	s.minor += ch.minor
}

func (s split) compare(t split) int {
	return cmp.Or(cmp.Compare(s.areaM2, t.areaM2), cmp.Compare(s.minor, t.minor))
}

// assemble puts the frames of a split up one after the other, each clear of those that stand and from what the house
// still has: the largest first, and the smallest first, whichever takes less.
func (e *engine) assemble(ctx context.Context, s split, groups map[uint]*group, alone map[uint]*choice, cands []*candidate) (split, bool) {
	sets := slices.Clone(s.sets)
	slices.SortStableFunc(sets, func(a, b uint) int {
		return cmp.Compare(alone[b].candidate.areaM2, alone[a].candidate.areaM2)
	})
	best, ok := e.inTurn(ctx, sets, groups, alone, cands)
	if ok && best.compare(s) == 0 {
		return best, true
	}
	slices.Reverse(sets)
	if other, also := e.inTurn(ctx, sets, groups, alone, cands); also && (!ok || other.compare(best) < 0) {
		return other, true
	}
	return best, ok
}

func (e *engine) inTurn(ctx context.Context, sets []uint, groups map[uint]*group, alone map[uint]*choice, cands []*candidate) (split, bool) {
	out := split{sets: sets}
	for _, set := range sets {
		ch := alone[set]
		if !e.together(append(slices.Clone(out.choices), ch)) {
			g := groups[set]
			g.others, g.left = out.choices, e.leftover(out.choices)
			ch = e.pick(ctx, g, cands)
			g.others, g.left = nil, nil
		}
		if ch == nil {
			return out, false
		}
		out.add(ch)
	}
	return out, true
}

// leftover is how many of an item the house has beside what the choices take.
func (e *engine) leftover(taken []*choice) func(sku string) int {
	used := map[string]int{}
	for _, n := range countAll(taken) {
		used[n.SKU] += n.Quantity
	}
	return func(sku string) int { return e.stock.Item(sku).Owned - used[sku] }
}

// together says whether the rigs stand clear of each other and the house owns enough for all.
func (e *engine) together(list []*choice) bool {
	for i, a := range list {
		for _, b := range list[:i] {
			if a.meets(b) {
				return false
			}
		}
	}
	left := e.leftover(list)
	for _, n := range countAll(list) {
		if left(n.SKU) < 0 {
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
