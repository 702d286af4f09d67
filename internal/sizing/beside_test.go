package sizing

import (
	"strings"
	"sync/atomic"
	"testing"
)

func TestSideBySideDoesEachOnce(t *testing.T) {
	for _, n := range []int{0, 1, 2, 1000} {
		done := make([]atomic.Int32, n)
		workers := atomic.Int32{}
		sideBySide(t.Context(), 4, n, func() func(int) {
			workers.Add(1)
			return func(i int) { done[i].Add(1) }
		})
		for i := range done {
			if got := done[i].Load(); got != 1 {
				t.Errorf("%d of %d was done %d times", i, n, got)
			}
		}
		if got := int(workers.Load()); got > n {
			t.Errorf("%d at work on %d", got, n)
		}
	}
}

func TestSideBySideRaisesAPanicWhereItWasCalled(t *testing.T) {
	defer func() {
		if said, ok := recover().(string); !ok || !strings.HasPrefix(said, "the seventh") || !strings.Contains(said, "beside_test.go") {
			t.Errorf("recovered %q", said)
		}
	}()
	sideBySide(t.Context(), 4, 100, func() func(int) {
		return func(i int) {
			if i == 7 {
				panic("the seventh")
			}
		}
	})
	t.Error("no panic came back")
}
