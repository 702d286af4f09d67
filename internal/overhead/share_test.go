package overhead

import (
	"slices"
	"testing"

	"kitspan/internal/shot"
)

// takesAllBut takes any set that is not among those that no frame takes, or holds one of them.
func takesAllBut(none ...set) func(set) bool {
	return func(s set) bool {
		return !slices.ContainsFunc(none, func(n set) bool { return n&^s == 0 })
	}
}

// TestPartitionsAreAllOfThem counts the ways to split n things: the Bell numbers (OEIS A000110).
func TestPartitionsAreAllOfThem(t *testing.T) {
	for n, bell := range []int{1, 1, 2, 5, 15, 52, 203, 877, 4140} {
		seen := map[string]bool{}
		for sets := range partitions(n, takesAllBut()) {
			var all set
			for _, s := range sets {
				if s == 0 || all&s != 0 {
					t.Fatalf("%b: a set is empty or shares with another", sets)
				}
				all |= s
			}
			if all != 1<<n-1 {
				t.Fatalf("%b does not hold all %d", sets, n)
			}
			sorted := slices.Sorted(slices.Values(sets))
			key := make([]byte, 0, n)
			for _, s := range sorted {
				key = append(key, byte(s), byte(s>>8))
			}
			seen[string(key)] = true
		}
		if len(seen) != bell {
			t.Errorf("%d things are split in %d ways, want %d", n, len(seen), bell)
		}
	}
}

// TestPartitionsLeaveOutWhatNoFrameTakes counts by hand: of the 5 ways to split three things, 3 keep the first two apart.
func TestPartitionsLeaveOutWhatNoFrameTakes(t *testing.T) {
	n := 0
	for sets := range partitions(3, takesAllBut(0b011)) {
		n++
		for _, s := range sets {
			if s&0b011 == 0b011 {
				t.Errorf("%b holds what no frame takes", sets)
			}
		}
	}
	if n != 3 {
		t.Errorf("%d ways, want 3", n)
	}
}

// TestPartitionsAreListedAsTheyAreAsked bounds what it takes to look at the first ways to share as many sources as a request may
// have: there are 27,644,437.
func TestPartitionsAreListedAsTheyAreAsked(t *testing.T) {
	allocs := testing.AllocsPerRun(10, func() {
		n := 0
		for range partitions(shot.MaxLamps+1, takesAllBut()) {
			if n++; n == 10 {
				break
			}
		}
	})
	if allocs > 20 {
		t.Errorf("%g allocations for the first ten", allocs)
	}
}
