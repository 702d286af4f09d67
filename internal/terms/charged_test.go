package terms_test

import (
	"testing"

	"kitspan/internal/sharedkit"
	"kitspan/internal/terms"
)

// A week of which three days are charged, as in the checks below.
var threeDayWeek = &terms.Terms{ChargedDays: []int{1, 2, 3, 3, 3, 3, 3}}

func TestAWeekGoesOnByItsLastSevenDays(t *testing.T) {
	// Computed by the rule c(n) = c(n − 7) + c(L) − c(L − 7), by hand.
	for days, want := range map[int]int{1: 1, 2: 2, 3: 3, 7: 3, 8: 4, 9: 5, 10: 6, 14: 6, 15: 7, 16: 8, 17: 9, 21: 9, 22: 10, 365: 157} {
		if got := threeDayWeek.Charged(days); got != want {
			t.Errorf("%d days are charged as %d, want %d", days, got, want)
		}
	}
	longer := &terms.Terms{ChargedDays: []int{1, 2, 3, 3, 3, 3, 3, 4, 5, 5}}
	for days, want := range map[int]int{10: 5, 11: 5, 14: 5, 15: 6, 17: 7, 24: 9} {
		if got := longer.Charged(days); got != want {
			t.Errorf("of ten days %d are charged as %d, want %d", days, got, want)
		}
	}
}

func TestAShorterTableGoesOnDayByDay(t *testing.T) {
	short := &terms.Terms{ChargedDays: []int{1, 1, 2}}
	for days, want := range map[int]int{1: 1, 2: 1, 3: 2, 4: 3, 10: 9} {
		if got := short.Charged(days); got != want {
			t.Errorf("%d days are charged as %d, want %d", days, got, want)
		}
	}
	for days := 1; days < 40; days++ {
		if got := terms.None("EUR").Charged(days); got != days {
			t.Errorf("without terms %d days are charged as %d", days, got)
		}
	}
}

// A table that is sound stays so after its end: it never falls, nor charges more than there are days.
func TestChargesGoOnSound(t *testing.T) {
	for _, table := range [][]int{{1}, {1, 1}, {1, 2, 3, 3, 3, 3, 3}, {1, 2, 2, 3, 4, 4, 4}, {1, 2, 3, 4, 4, 4, 4, 5, 6}, {1, 1, 1, 1, 1, 1, 1, 1, 1, 1}} {
		of := &terms.Terms{ChargedDays: table}
		for n := 2; n <= 120; n++ {
			if of.Charged(n) < of.Charged(n-1) || of.Charged(n) > n {
				t.Errorf("%v: %d days are charged as %d, a day less as %d", table, n, of.Charged(n), of.Charged(n-1))
			}
		}
	}
}

// charges are those of a unit at a rate of 1.
func charges(t *terms.Terms, days int) sharedkit.Charges {
	out := make(sharedkit.Charges, days)
	for first := range out {
		for n := 1; n <= days-first; n++ {
			out[first] = append(out[first], int64(t.Charged(n)))
		}
	}
	return out
}

// The least charges for a need over days, found by a linear program and by recursion (computed twice, outside this project).
func TestLeastChargesUnderTheTable(t *testing.T) {
	for _, tc := range []struct {
		need []int
		want int64
	}{
		{[]int{1, 0, 1}, 2},
		{[]int{1, 0, 0, 0, 1}, 2},
		{[]int{1, 1, 0, 1}, 3},
		{[]int{1, 1, 0, 1, 1}, 3},
		{[]int{1, 1, 0, 0, 0, 1, 1}, 3},
		{[]int{1, 1, 1, 0, 0, 0, 0, 1}, 4},
		{[]int{2, 1, 2}, 5},
		{[]int{3, 0, 0, 3}, 6},
		{[]int{2, 2, 0, 0, 2, 2}, 6},
		{[]int{4, 0, 1, 0, 4}, 9},
	} {
		spans, got, ok := sharedkit.Hire(charges(threeDayWeek, len(tc.need)), tc.need)
		if !ok || got != tc.want {
			t.Errorf("%v costs %d by %v, want %d", tc.need, got, spans, tc.want)
		}
	}
}
