package overhead

import (
	"cmp"
	"context"
	"encoding/binary"
	"iter"
	"math"
	"math/bits"
	"slices"

	"kitspan/internal/catalog"
	"kitspan/internal/scene"
	"kitspan/internal/shot"
)

// shareExactly is the largest number of sources of which every way of sharing them is looked at: 6 have 203.
const shareExactly = 6

// sharing is the search for how to share sources that no single frame stops among several frames.
type sharing struct {
	pl    *Planner
	st    *scene.Stage
	list  []*scene.Source
	cands []*Candidate
	parts map[set]*part
	// stood are the frames of sets put up one after the other, by which sets in which order.
	stood map[string]standing
	// mostM2 is the area of the best split so far.
	mostM2 float64
}

// standing are frames that were put up; nil where the last found no place for no more than mostM2.
type standing struct {
	split  *split
	mostM2 float64
}

// areaTolerance is a difference in m² that is rounding in sums of areas.
const areaTolerance = 1e-9

// set is a set of sources, as a bit mask of their places in the list: a request has at most [shot.MaxLamps] lamps and the sun.
type set uint64

// size returns how many sources a set has.
func (s set) size() int { return bits.OnesCount64(uint64(s)) }

// part is a set of sources for one frame, with the search for it, once there is one.
type part struct {
	list  []*scene.Source
	group *Group
	// alone is the frame that it takes where nothing else stands, nil where none does, once chosen.
	alone  *Rig
	chosen bool
	// leastM2 is a lower bound on the area of a frame for it, and tried how many of the candidates are known not to take it.
	leastM2 float64
	tried   int
}

// Share splits sources that no single frame stops among several frames, with the least total area of openings and,
// among equals, the least price. Frames may not be in each other's way, nor be more than the house owns. It returns nil where
// there is no such split.
func (pl *Planner) Share(ctx context.Context, st *scene.Stage, list []*scene.Source, cands []*Candidate) []*Rig {
	sh := &sharing{pl: pl, st: st, list: list, cands: cands, parts: map[set]*part{}, stood: map[string]standing{}, mostM2: math.Inf(1)}
	sh.parts[1<<len(list)-1] = &part{chosen: true} // no single frame stops them all, which is why they are shared
	var best *split
	for s := range sh.splits(ctx) {
		if best != nil && best.compare(s) <= 0 {
			break // no better even with every frame in its best place
		}
		if t := sh.assemble(ctx, s, sh.mostM2); t != nil && (best == nil || t.compare(*best) < 0) {
			best, sh.mostM2 = t, t.areaM2
		}
	}
	if ctx.Err() != nil {
		return nil
	}
	if best == nil {
		return nil
	}
	return best.rigs
}

// part returns the part of a set.
func (sh *sharing) part(s set) *part {
	p := sh.parts[s]
	if p == nil {
		var list []*scene.Source
		for i, src := range sh.list {
			if s>>i&1 == 1 {
				list = append(list, src)
			}
		}
		p = &part{list: list, leastM2: sh.st.LeastOpeningM2(list)}
		sh.parts[s] = p
	}
	return p
}

// group returns the search for a part's frame.
func (sh *sharing) group(ctx context.Context, p *part) *Group {
	if p.group == nil {
		p.group = NewGroup(ctx, sh.st, p.list)
	}
	return p.group
}

// candidates returns the frames that may take a set: all but those that are known not to take a smaller set of its sources.
func (sh *sharing) candidates(s set) []*Candidate {
	list := sh.cands
	for o, q := range sh.parts {
		if o == s || o&^s != 0 {
			continue
		}
		if q.chosen && q.alone == nil {
			return nil
		}
		if q.group != nil {
			list = q.group.mayCoverMore(list)
		}
	}
	return list
}

// alone returns the frame that a set takes where nothing else stands; nil where none does.
func (sh *sharing) alone(ctx context.Context, s set) *Rig {
	p := sh.part(s)
	if p.chosen {
		return p.alone
	}
	p.alone, p.chosen = sh.pl.pick(ctx, sh.group(ctx, p), sh.candidates(s)), true
	if p.alone != nil && sh.pl.shot.Prefer == shot.PreferSmallest {
		p.leastM2 = p.alone.Candidate.AreaM2
	}
	return p.alone
}

// within returns the frame that a set takes where nothing else stands; nil where none does, or where none of up to mostM2 fits.
func (sh *sharing) within(ctx context.Context, s set, mostM2 float64) *Rig {
	p := sh.part(s)
	if !p.chosen && !slices.ContainsFunc(sh.candidates(s), func(c *Candidate) bool {
		return c.AreaM2 <= mostM2+areaTolerance && len(c.Options) > 0 && sh.group(ctx, p).BestPlace(ctx, c).Fits()
	}) {
		return nil
	}
	return sh.alone(ctx, s)
}

// split is one way to share the sources: a set of them for each frame.
type split struct {
	sets   []set
	rigs   []*Rig
	areaM2 float64
	minor  int64
}

func (s *split) add(ch *Rig) {
	s.rigs = append(s.rigs, ch)
	s.areaM2 += ch.Candidate.AreaM2
	s.minor += ch.Minor
}

func (s split) compare(t split) int {
	return cmp.Or(cmp.Compare(s.areaM2, t.areaM2), cmp.Compare(s.minor, t.minor))
}

// assemble puts the frames of a split up one after the other, each clear of those that stand and from what the house
// still has: the largest first, and the smallest first, whichever takes less. nil where neither does with an area of no more
// than mostM2.
func (sh *sharing) assemble(ctx context.Context, s split, mostM2 float64) *split {
	sets := slices.Clone(s.sets)
	slices.SortStableFunc(sets, func(a, b set) int {
		return cmp.Compare(sh.parts[b].alone.Candidate.AreaM2, sh.parts[a].alone.Candidate.AreaM2)
	})
	best := sh.inTurn(ctx, sets, mostM2)
	if best != nil {
		if best.compare(s) == 0 {
			return best
		}
		mostM2 = best.areaM2
	}
	slices.Reverse(sets)
	if other := sh.inTurn(ctx, sets, mostM2); other != nil && (best == nil || other.compare(*best) < 0) {
		return other
	}
	return best
}

// inTurn puts the frames of sets up in their order; nil where one of them finds no place any more, or none for no more than
// mostM2 in all. What stood before the last is remembered: splits differ in a set or two, and many begin alike.
func (sh *sharing) inTurn(ctx context.Context, sets []set, mostM2 float64) *split {
	if len(sets) == 0 {
		return &split{}
	}
	last := sets[len(sets)-1]
	var key []byte
	for _, s := range sets {
		key = binary.AppendUvarint(key, uint64(s))
	}
	if known, ok := sh.stood[string(key)]; ok && (known.split != nil || mostM2 <= known.mostM2) {
		if known.split != nil && known.split.areaM2 > mostM2+areaTolerance {
			return nil
		}
		return known.split
	}
	s := sh.inTurn(ctx, sets[:len(sets)-1], mostM2-sh.parts[last].leastM2)
	if s != nil {
		s = sh.beside(ctx, s, last, mostM2-s.areaM2)
	}
	sh.stood[string(key)] = standing{s, mostM2}
	return s
}

// beside puts the frame of one more set up; nil where none of no more than mostM2 finds a place.
func (sh *sharing) beside(ctx context.Context, standing *split, next set, mostM2 float64) *split {
	p := sh.parts[next]
	ch := p.alone
	if !sh.pl.together(append(slices.Clone(standing.rigs), ch)) {
		small := slices.DeleteFunc(slices.Clone(sh.cands), func(c *Candidate) bool { return c.AreaM2 > mostM2+areaTolerance })
		if ch = sh.pl.pick(ctx, sh.group(ctx, p).beside(standing.rigs, sh.pl.leftover(standing.rigs)), small); ch == nil {
			return nil
		}
		ch.Group = p.group // to which later questions go
	}
	out := &split{
		sets: append(slices.Clone(standing.sets), next), rigs: slices.Clone(standing.rigs), areaM2: standing.areaM2, minor: standing.minor,
	}
	out.add(ch)
	return out
}

// leftover returns how many of an item the house has beside what the rigs take.
func (pl *Planner) leftover(taken []*Rig) func(sku string) int {
	used := map[string]int{}
	for _, n := range CountAll(taken) {
		used[n.SKU] += n.Quantity
	}
	return func(sku string) int { return pl.stock.Item(sku).Owned - used[sku] }
}

// together reports whether the rigs stand clear of each other and the house owns enough for all.
func (pl *Planner) together(list []*Rig) bool {
	for i, a := range list {
		for _, b := range list[:i] {
			if a.meets(b) {
				return false
			}
		}
	}
	left := pl.leftover(list)
	for _, n := range CountAll(list) {
		if left(n.SKU) < 0 {
			return false
		}
	}
	return true
}

// partitions returns all ways to split n sources into sets for each of which takes is true: a frame takes it by itself. The slice
// of sets is reused from one to the next.
func partitions(n int, takes func(set) bool) iter.Seq[[]set] {
	return func(yield func([]set) bool) {
		sets := make([]set, 0, n)
		var grow func(i int) bool
		grow = func(i int) bool {
			if i == n {
				return yield(sets)
			}
			one := set(1) << i
			for k := range sets {
				was := sets[k]
				if !takes(was | one) {
					continue
				}
				sets[k] |= one
				more := grow(i + 1)
				sets[k] = was
				if !more {
					return false
				}
			}
			if !takes(one) {
				return true
			}
			sets = append(sets, one)
			more := grow(i + 1)
			sets = sets[:len(sets)-1]
			return more
		}
		grow(0)
	}
}

// mergers start from one frame a source and join, step by step, the two sets that save most area: a good split, not
// proven the best, for more sources than can be looked at in every way.
func (sh *sharing) mergers(ctx context.Context) iter.Seq[[]set] {
	return func(yield func([]set) bool) {
		sets := make([]set, len(sh.list))
		for i := range sets {
			if sets[i] = 1 << i; sh.alone(ctx, sets[i]) == nil {
				return
			}
		}
		for yield(sets) {
			best, ok := sh.bestMerger(ctx, sets)
			if !ok {
				return
			}
			sets[best.k] |= sets[best.i]
			sets = slices.Delete(sets, best.i, best.i+1)
		}
	}
}

// merger is two sets to be joined, set k before set i, and the area that this saves, or more.
type merger struct {
	i, k    int
	savesM2 float64
}

// compare orders mergers by what they save, the most first, then by the sets.
func (m merger) compare(o merger) int {
	return cmp.Or(cmp.Compare(o.savesM2, m.savesM2), cmp.Compare(m.i, o.i), cmp.Compare(m.k, o.k))
}

// bestMerger returns the one that saves most; ok is false where no frame takes any two of the sets. Few are searched whole: one is
// passed over as soon as no frame fits that is small enough to save as much as the best so far.
func (sh *sharing) bestMerger(ctx context.Context, sets []set) (best merger, ok bool) {
	var list []merger
	apart := func(m merger) float64 {
		return sh.alone(ctx, sets[m.i]).Candidate.AreaM2 + sh.alone(ctx, sets[m.k]).Candidate.AreaM2
	}
	for i := range sets {
		for k := range i {
			m := merger{i: i, k: k}
			m.savesM2 = apart(m) - sh.part(sets[i]|sets[k]).leastM2
			list = append(list, m)
		}
	}
	slices.SortFunc(list, merger.compare)
	best.savesM2 = math.Inf(-1)
	for _, m := range list {
		if m.savesM2 < best.savesM2 || ctx.Err() != nil {
			break
		}
		both := sh.within(ctx, sets[m.i]|sets[m.k], apart(m)-best.savesM2)
		if both == nil {
			continue
		}
		m.savesM2 = apart(m) - both.Candidate.AreaM2
		if !ok || m.compare(best) < 0 {
			best, ok = m, true
		}
	}
	return best, ok
}

// CountAll returns the items of several rigs, rig by rig.
func CountAll(list []*Rig) []catalog.Count {
	var out []catalog.Count
	for _, ch := range list {
		out = append(out, ch.Counts()...)
	}
	return out
}
