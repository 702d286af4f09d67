package sharedkit

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// charged are the charges of a table of charged days at a rate of 1.
func charged(table ...int64) Charges {
	out := make(Charges, len(table))
	for first := range out {
		out[first] = table[:len(table)-first]
	}
	return out
}

// weekly is a usual table: from the third day on a week costs three.
func weekly(days int) Charges {
	out := make(Charges, days)
	for first := range out {
		for n := 1; n <= days-first; n++ {
			out[first] = append(out[first], int64(3*((n-1)/7)+min(3, (n-1)%7+1)))
		}
	}
	return out
}

// Needs and what they cost, by linear programming and recursion, and passes of 1, 7 and 30 days from a published exercise
// (phantomwolf/leetcode-problems 0983).
func TestHireCostsTheLeast(t *testing.T) {
	days := func(n int, on ...int) []int {
		need := make([]int, n)
		for _, d := range on {
			need[d-1] = 1
		}
		return need
	}
	passes := make(Charges, 20)
	for first := range passes {
		for n := 1; n <= 20-first; n++ {
			price := int64(2)
			if n > 1 {
				price = 7
			}
			if n > 7 {
				price = 15
			}
			passes[first] = append(passes[first], price)
		}
	}
	for _, tc := range []struct {
		name    string
		charges Charges
		need    []int
		want    int64
		spans   []Span
	}{
		{"two days apart", weekly(3), days(3, 1, 3), 2, []Span{{0, 0, 1}, {2, 2, 1}}},
		{"four apart", weekly(5), days(5, 1, 5), 2, []Span{{0, 0, 1}, {4, 4, 1}}},
		{"through or given back, which is fewer unit-days", weekly(4), days(4, 1, 2, 4), 3, []Span{{0, 1, 1}, {3, 3, 1}}},
		{"through", weekly(5), days(5, 1, 2, 4, 5), 3, []Span{{0, 4, 1}}},
		{"through a week", weekly(7), days(7, 1, 2, 6, 7), 3, []Span{{0, 6, 1}}},
		{"eight days", weekly(8), days(8, 1, 2, 3, 8), 4, nil},
		{"units, one in the middle", weekly(3), []int{2, 1, 2}, 5, nil},
		{"three given back", weekly(4), []int{3, 0, 0, 3}, 6, nil},
		{"two through", weekly(6), []int{2, 2, 0, 0, 2, 2}, 6, []Span{{0, 5, 2}}},
		{"four, one, four", weekly(5), []int{4, 0, 1, 0, 4}, 9, nil},
		{"passes", passes, days(20, 1, 4, 6, 7, 8, 20), 11, nil},
		{"nothing", weekly(3), []int{0, 0, 0}, 0, nil},
		{"every day counts", Flat(4, 10), []int{1, 0, 2, 1}, 40, nil},
		{"a table beaten by two spans", charged(1, 1, 1, 2, 3, 4), []int{1, 1, 1, 1, 1, 1}, 2, []Span{{0, 2, 1}, {3, 5, 1}}},
		{"the rate of the first day holds", Charges{{10, 20}, {15}}, []int{0, 1}, 15, []Span{{1, 1, 1}}},
		{"kept from before the rate rose", Charges{{10, 11}, {15}}, []int{0, 1}, 11, []Span{{0, 1, 1}}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			spans, got, ok := Hire(tc.charges, tc.need)
			if !ok || got != tc.want {
				t.Errorf("%d, %t, want %d; spans %v", got, ok, tc.want, spans)
			}
			if tc.spans != nil {
				if diff := cmp.Diff(tc.spans, spans); diff != "" {
					t.Error(diff)
				}
			}
		})
	}
}

func TestADayWithoutARateIsNotHired(t *testing.T) {
	c := Charges{{NoRate, NoRate}, {5}}
	if spans, _, ok := Hire(c, []int{1, 1}); ok {
		t.Errorf("hired %v on a day without a rate", spans)
	}
	if _, got, ok := Hire(c, []int{0, 2}); !ok || got != 10 {
		t.Errorf("%d, %t, want 10", got, ok)
	}
}

// slowHire tries every way to cover the first day that lacks units.
func slowHire(c Charges, need []int) price {
	for d, n := range need {
		if n <= 0 {
			continue
		}
		best := price{minor: 1 << 60}
		for first := 0; first <= d; first++ {
			for k := range c[first] {
				if first+k < d || c[first][k] == NoRate {
					continue
				}
				rest := append([]int(nil), need...)
				for x := first; x <= first+k; x++ {
					rest[x]--
				}
				if p := slowHire(c, rest).plus(price{c[first][k], k + 1, first + k}); p.less(best) {
					best = p
				}
			}
		}
		return best
	}
	return price{}
}

func TestHireIsTheBestOfAll(t *testing.T) {
	for seed := range uint64(400) {
		r := rand.New(rand.NewPCG(seed, 3))
		days := 1 + r.IntN(4)
		c := make(Charges, days)
		for first := range c {
			run := int64(r.IntN(6))
			for range days - first {
				if c[first] = append(c[first], run); r.IntN(9) == 0 && run > 0 {
					c[first][len(c[first])-1] = NoRate
				}
				run += int64(r.IntN(4))
			}
		}
		need := make([]int, days)
		for d := range need {
			need[d] = r.IntN(3)
		}
		want := slowHire(c, need)
		spans, got, ok := Hire(c, need)
		if ok != (want.minor < 1<<59) {
			t.Fatalf("seed %d: ok %t, the slow one %+v", seed, ok, want)
		}
		if !ok {
			continue
		}
		have, sum := make([]int, days), price{}
		for _, s := range spans {
			for d := s.First; d <= s.Last; d++ {
				have[d] += s.Units
			}
			for range s.Units {
				sum = sum.plus(price{c[s.First][s.Last-s.First], s.Last - s.First + 1, s.Last})
			}
		}
		for d := range need {
			if have[d] < need[d] {
				t.Fatalf("seed %d: day %d has %d of %d", seed, d, have[d], need[d])
			}
		}
		if sum != want || got != sum.minor {
			t.Fatalf("seed %d: %v of %v costs %+v (%d), the best of all %+v", seed, need, c, sum, got, want)
		}
	}
}

// What a day costs in the dual adds up to at most what any need costs.
func TestDailyIsALowerBound(t *testing.T) {
	for seed := range uint64(400) {
		r := rand.New(rand.NewPCG(seed, 4))
		days := 1 + r.IntN(6)
		c := make(Charges, days)
		for first := range c {
			run := int64(r.IntN(6))
			for range days - first {
				c[first] = append(c[first], run)
				run += int64(r.IntN(4))
			}
		}
		need, other := make([]int, days), make([]int, days)
		for d := range need {
			need[d], other[d] = r.IntN(2), r.IntN(4)
		}
		each := c.daily(need)
		for k, n := range [2][]int{need, other} {
			_, minor, _ := Hire(c, n)
			sum := 0.0
			for d := range n {
				sum += each[d] * float64(n[d])
			}
			if sum > float64(minor)+1e-9 || k == 0 && sum < float64(minor)-1e-9 {
				t.Fatalf("seed %d: %v at %v comes to %g, hired for %d", seed, n, each, sum, minor)
			}
		}
	}
}

// A few days of a year, against as many without what lies between.
func BenchmarkHireOfTwelveDays(b *testing.B) {
	for _, days := range []int{12, 366} {
		b.Run(fmt.Sprint("of ", days), func(b *testing.B) {
			c, need := weekly(days), make([]int, days)
			for k := range 12 {
				need[k*days/12] = 1 + k%3
			}
			for b.Loop() {
				if _, _, ok := Hire(c, need); !ok {
					b.Fatal("not hired")
				}
			}
		})
	}
}
