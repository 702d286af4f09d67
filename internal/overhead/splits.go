package overhead

import (
	"cmp"
	"container/heap"
	"context"
	"iter"
	"math"
	"slices"

	"kitspan/internal/shot"
)

// splits returns the ways to share the sources, the least area first and among equals the least price and the fewest frames, each with
// the frames that its sets take where nothing else stands. More than shareExactly sources are looked at in some ways alone.
func (sh *sharing) splits(ctx context.Context) iter.Seq[split] {
	switch {
	case len(sh.list) > shareExactly:
		return sh.sorted(ctx, sh.mergers(ctx))
	case sh.pl.shot.Prefer != shot.PreferSmallest:
		return sh.sorted(ctx, partitions(len(sh.list), func(s set) bool { return sh.alone(ctx, s) != nil }))
	}
	return sh.lazily(ctx, partitions(len(sh.list), func(set) bool { return true }))
}

// sorted looks for the frames of all ways first.
func (sh *sharing) sorted(ctx context.Context, ways iter.Seq[[]set]) iter.Seq[split] {
	return func(yield func(split) bool) {
		var all []split
		for sets := range ways {
			if ctx.Err() != nil {
				return
			}
			s := split{sets: slices.Clone(sets)}
			for _, set := range sets {
				s.add(sh.alone(ctx, set))
			}
			all = append(all, s)
		}
		slices.SortStableFunc(all, split.order)
		for _, s := range all {
			if !yield(s) {
				return
			}
		}
	}
}

// order compares splits by area, then price, then number of frames.
func (s split) order(t split) int {
	return cmp.Or(s.compare(t), cmp.Compare(len(s.sets), len(t.sets)))
}

// lazily looks for no frame larger than it takes to determine which way comes next: the ways are kept in the order of a lower bound
// on their areas, and the foremost is looked into until its area is known.
func (sh *sharing) lazily(ctx context.Context, ways iter.Seq[[]set]) iter.Seq[split] {
	return func(yield func(split) bool) {
		var queue frontier
		for sets := range ways {
			queue = append(queue, bounded{split: split{sets: slices.Clone(sets)}, at: len(queue)})
		}
		for i := range queue {
			queue[i].bound(sh)
		}
		heap.Init(&queue)
		for len(queue) > 0 && ctx.Err() == nil {
			first := &queue[0]
			if was := first.areaM2; first.open != 0 && was <= sh.mostM2 {
				if first.bound(sh); first.open != 0 && first.areaM2 == was { // what is known of its sets is in it
					sh.lookFurther(ctx, first.open)
					first.bound(sh)
				}
				heap.Fix(&queue, 0)
				continue
			}
			if first.areaM2 > sh.mostM2 || math.IsInf(first.areaM2, 1) || !yield(heap.Pop(&queue).(bounded).split) {
				return // of those that are left no frame takes some set, or they take more than the best
			}
		}
	}
}

// bounded is a split and, while the frame of one of its sets is open, a lower bound on its area.
type bounded struct {
	split
	open set
	at   int // in the list of all
}

// bound works out area and price, and which set to look at next: of those that are open the one with most sources, which no frame
// may take.
func (b *bounded) bound(sh *sharing) {
	b.open, b.rigs, b.areaM2, b.minor = 0, nil, 0, 0
	for _, s := range b.sets {
		switch p := sh.part(s); {
		case !p.chosen:
			b.areaM2 += p.leastM2
			if b.open == 0 || s.size() > b.open.size() {
				b.open = s
			}
		case p.alone == nil:
			b.open, b.areaM2 = 0, math.Inf(1)
			return
		default:
			b.add(p.alone)
		}
	}
}

// frontier is a heap of splits, the one that may be the first at its head.
type frontier []bounded

func (f frontier) Len() int      { return len(f) }
func (f frontier) Swap(i, k int) { f[i], f[k] = f[k], f[i] }
func (f frontier) Less(i, k int) bool {
	a, b := &f[i], &f[k]
	return cmp.Or(cmp.Compare(a.areaM2, b.areaM2), cmp.Compare(min(b.open, 1), min(a.open, 1)), a.order(b.split), cmp.Compare(a.at, b.at)) < 0
}
func (f *frontier) Push(x any) { *f = append(*f, x.(bounded)) }
func (f *frontier) Pop() any {
	last := (*f)[len(*f)-1]
	*f = (*f)[:len(*f)-1]
	return last
}

// lookFurther tries the smallest frame that may take a set and was not tried yet: either it does, and the set's is chosen, or none
// that small does. Sets within it come first: what does not take one of them does not take it.
func (sh *sharing) lookFurther(ctx context.Context, s set) {
	p := sh.part(s)
	list := sh.candidates(s)
	next := func() *Candidate {
		for ; p.tried < len(sh.cands) && len(sh.cands[p.tried].Options) > 0; p.tried++ { // those without an option come last
			if c := sh.cands[p.tried]; slices.Contains(list, c) {
				return c
			}
		}
		return nil
	}
	// raised reports whether the bound has risen, or no frame is left.
	raised := func() bool {
		was := p.leastM2
		if c := next(); c != nil {
			p.leastM2 = math.Max(was, c.AreaM2)
		} else {
			p.chosen = true
		}
		return p.chosen || p.leastM2 > was
	}
	if raised() {
		return
	}
	for left := s; left != 0; left &= left - 1 {
		if less := s &^ (left & -left); less != 0 {
			if q := sh.part(less); !q.chosen && q.tried <= p.tried {
				sh.lookFurther(ctx, less)
				return
			}
		}
	}
	if sh.group(ctx, p).BestPlace(ctx, sh.cands[p.tried]).Fits() {
		sh.alone(ctx, s)
		return
	}
	p.tried++
	raised()
}
