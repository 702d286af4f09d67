package quote_test

import (
	"fmt"
	"math/big"
	"math/rand/v2"
	"strconv"
	"testing"

	"github.com/google/go-cmp/cmp"

	"kitspan/internal/catalog"
	"kitspan/internal/price"
	"kitspan/internal/quote"
	"kitspan/internal/terms"
)

// slow prices straight from the table of steps, with fractions, and tries every way to use packages.
type slow struct {
	a     *quote.Asked
	lines map[quote.Group][]int64
}

func rat(s string) *big.Rat {
	r, ok := new(big.Rat).SetString(s)
	if !ok {
		panic(s)
	}
	return r
}

func whole(n int64) *big.Rat { return new(big.Rat).SetInt64(n) }

func mul(f ...*big.Rat) *big.Rat {
	out := whole(1)
	for _, x := range f {
		out.Mul(out, x)
	}
	return out
}

func percentOf(minor int64, p price.Decimal) *big.Rat {
	return mul(whole(minor), rat(p.String()), big.NewRat(1, 100))
}

// rounded is half away from zero, by way of text.
func rounded(r *big.Rat) int64 {
	n, err := strconv.ParseInt(r.FloatString(0), 10, 64)
	if err != nil {
		panic(err)
	}
	return n
}

func (s *slow) charged(n int) int {
	t := s.a.Terms.ChargedDays
	if n <= len(t) {
		return t[n-1]
	}
	if len(t) < 7 {
		return t[len(t)-1] + n - len(t)
	}
	before := 0
	if len(t) > 7 {
		before = t[len(t)-8]
	}
	least := 0
	if n > 7 {
		least = s.charged(n - 7)
	}
	return least + t[len(t)-1] - before
}

func (s *slow) total() (total, deposit, perDay int64) {
	a, by := s.a, s.a.Terms
	s.lines = map[quote.Group][]int64{}
	put := func(g quote.Group, n int64) {
		if n != 0 || g != quote.LongHire && g != quote.Package && g != quote.Customer && g != quote.Minimum && g != quote.Waiver && g != quote.Delivery {
			s.lines[g] = append(s.lines[g], n)
		}
	}
	var left []int64
	for _, p := range a.Hire {
		charged := s.charged(p.To.Day - p.From.Day + 1)
		line := int64(p.Quantity) * p.RateMinor * int64(charged)
		put(quote.Hire, line)
		var off int64
		for _, l := range by.LongHire {
			if l.FromChargedDays <= charged {
				off = rounded(percentOf(line, l.Percent))
			}
		}
		put(quote.LongHire, -off)
		left = append(left, line-off)
	}
	for i, off := range s.packages(left) {
		put(quote.Package, -off)
		left[i] -= off
	}
	var hire int64
	for i := range left {
		off := rounded(percentOf(left[i], a.CustomerPercent))
		put(quote.Customer, -off)
		hire += left[i] - off
	}
	if least, _ := by.MinimumHire.Int64(); len(left) > 0 && hire < least {
		put(quote.Minimum, least-hire)
		hire = least
	}
	if !a.Insured {
		put(quote.Waiver, rounded(percentOf(hire, by.WaiverPercent)))
	}
	for _, p := range a.Sales {
		put(quote.Sale, int64(p.Quantity)*p.RateMinor)
	}
	for _, p := range a.Labour {
		put(quote.Labour, rounded(s.labour(&p)))
	}
	for _, p := range a.Transport {
		put(quote.Transport, int64(p.Quantity)*p.RateMinor)
	}
	rate, _ := by.KmRate.Int64()
	put(quote.Delivery, rounded(mul(rat(a.Km.String()), whole(rate), whole(int64(a.Trips)))))
	as := map[quote.Group]terms.Category{quote.Hire: "hire", quote.LongHire: "hire", quote.Package: "hire", quote.Customer: "hire", quote.Minimum: "hire",
		quote.Waiver: "waiver", quote.Sale: "sale", quote.Labour: "labour", quote.Transport: "transport", quote.Delivery: "delivery"}
	sums := map[terms.Category]int64{}
	for g, list := range s.lines {
		for _, n := range list {
			total += n
			sums[as[g]] += n
		}
	}
	for _, t := range by.Taxes {
		var base int64
		for _, c := range t.On {
			base += sums[c]
		}
		total += rounded(percentOf(base, t.Percent))
	}
	return total, rounded(percentOf(total, by.DepositPercent)), rounded(mul(whole(total), big.NewRat(1, int64(a.To.Day-a.From.Day+1))))
}

func (s *slow) labour(p *quote.Piece) *big.Rat {
	day := mul(whole(int64(p.Quantity)), whole(p.RateMinor))
	out := new(big.Rat).Set(day)
	hours, said := s.a.Hours[p.From]
	if !said || p.HoursPerDay.IsZero() {
		return out
	}
	perHour := new(big.Rat).Quo(day, rat(p.HoursPerDay.String()))
	for begins := rat(p.HoursPerDay.String()); begins.Cmp(rat(hours.String())) < 0; begins.Add(begins, whole(1)) {
		factor := whole(1)
		for _, step := range s.a.Terms.Overtime {
			if begins.Cmp(whole(int64(step.AfterHours))) >= 0 {
				factor = rat(step.Times.String())
			}
		}
		out.Add(out, mul(perHour, factor))
	}
	return out
}

// packages returns what the best way takes off each line: of all ways, tried one by one, the first that takes off most.
func (s *slow) packages(left []int64) []int64 {
	best, most := make([]int64, len(left)), int64(0)
	var way func(p int, from []int, off []int64, used []bool)
	// A way names for each package, in their order, the tuples of lines used, ascending.
	way = func(p int, from []int, off []int64, used []bool) {
		if p == len(s.a.Terms.Packages) {
			var sum int64
			for _, n := range off {
				sum += n
			}
			if sum > most {
				most = sum
				copy(best, off)
			}
			return
		}
		of := &s.a.Terms.Packages[p]
		for _, tuple := range s.tuples(of, 0, nil) {
			if from != nil && !ascending(from, tuple) {
				continue
			}
			taken := false
			for _, i := range tuple {
				taken = taken || used[i]
			}
			if taken {
				continue
			}
			sets := 1 << 30
			for k, i := range tuple {
				sets = min(sets, s.a.Hire[i].Quantity/of.Items[k].Quantity)
			}
			next, using := append([]int64(nil), off...), append([]bool(nil), used...)
			for k, i := range tuple {
				using[i] = true
				next[i] = rounded(mul(percentOf(left[i], of.Percent), big.NewRat(int64(sets*of.Items[k].Quantity), int64(s.a.Hire[i].Quantity))))
			}
			way(p, tuple, next, using)
		}
		way(p+1, nil, off, used)
	}
	way(0, nil, make([]int64, len(left)), make([]bool, len(left)))
	return best
}

func ascending(a, b []int) bool {
	for k := range a {
		if a[k] != b[k] {
			return a[k] < b[k]
		}
	}
	return false
}

func (s *slow) tuples(p *terms.Package, k int, chosen []int) (out [][]int) {
	if k == len(p.Items) {
		return [][]int{append([]int(nil), chosen...)}
	}
	for i := range s.a.Hire {
		h := &s.a.Hire[i]
		same := len(chosen) == 0 || h.From == s.a.Hire[chosen[0]].From && h.To == s.a.Hire[chosen[0]].To
		if same && h.SKU == p.Items[k].SKU && h.Quantity >= p.Items[k].Quantity {
			out = append(out, s.tuples(p, k+1, append(chosen, i))...)
		}
	}
	return out
}

// random is a quote in which much happens: amounts that end in halves, few items, packages that vie for lines.
func random(rng *rand.Rand) quote.Asked {
	percent := func() price.Decimal {
		return decimal([]string{"0", "2.5", "5", "7.5", "10", "12.3456", "33.3333", "50", "100"}[rng.IntN(9)])
	}
	tables := [][]int{{1}, {1, 1}, {1, 2, 3, 3, 3, 3, 3}, {1, 2, 2, 3, 4, 4, 4}, {1, 2, 3, 4, 4, 4, 4, 5, 6}}
	by := terms.None("EUR")
	by.ChargedDays = tables[rng.IntN(len(tables))]
	by.LongHire = []terms.LongHire{{FromChargedDays: 2, Percent: percent()}, {FromChargedDays: 4, Percent: percent()}}[:rng.IntN(3)]
	skus := []string{"A", "B", "C", "D"}
	for range rng.IntN(4) {
		p := terms.Package{Percent: percent()}
		for _, i := range rng.Perm(len(skus))[:1+rng.IntN(3)] {
			p.Items = append(p.Items, catalog.Count{SKU: skus[i], Quantity: 1 + rng.IntN(3)})
		}
		by.Packages = append(by.Packages, p)
	}
	by.MinimumHire, by.KmRate = euro(int64(rng.IntN(3))*5000), euro(rng.Int64N(200))
	by.WaiverPercent, by.DepositPercent = percent(), percent()
	by.Overtime = []terms.Overtime{{AfterHours: 9, Times: decimal("1.25")}, {AfterHours: 10, Times: decimal("1.5")}, {AfterHours: 13, Times: decimal("2")}}[rng.IntN(3):]
	by.Taxes = []terms.Tax{{Code: "S", Percent: percent(), On: []terms.Category{terms.Hire, terms.Sale, terms.Waiver}}, {Code: "R", Percent: percent(), On: []terms.Category{terms.Labour, terms.Delivery}}}[:rng.IntN(3)]
	a := quote.Asked{Terms: by, From: june(1), To: june(1 + rng.IntN(20)), CustomerPercent: percent(), Insured: rng.IntN(4) == 0, Km: decimal(fmt.Sprintf("%d.%d", rng.IntN(90), rng.IntN(10))),
		Trips: rng.IntN(4), Hours: map[catalog.Date]price.Decimal{}}
	piece := func() quote.Piece {
		from := 1 + rng.IntN(a.To.Day)
		return quote.Piece{SKU: skus[rng.IntN(len(skus))], Quantity: 1 + rng.IntN(6), From: june(from), To: june(from + rng.IntN(a.To.Day-from+1)), RateMinor: int64(1 + rng.IntN(9)*rng.IntN(3000))}
	}
	seen := map[string]int{} // a line of the kit and an extra of one item and span at most
	for range rng.IntN(9) {
		p := piece()
		if rng.IntN(2) == 0 {
			p.From, p.To = june(1), a.To
		}
		key := fmt.Sprint(p.SKU, p.From, p.To)
		if seen[key]++; seen[key] <= 2 {
			a.Hire = append(a.Hire, p)
		}
	}
	for range rng.IntN(3) {
		a.Sales = append(a.Sales, piece())
		l := piece()
		l.To, l.HoursPerDay = l.From, decimal([]string{"8", "10", "7.5", "0"}[rng.IntN(4)])
		a.Labour = append(a.Labour, l)
		a.Transport = append(a.Transport, piece())
		a.Hours[l.From] = decimal(fmt.Sprintf("%d.%d", rng.IntN(17), rng.IntN(100)))
	}
	return a
}

func TestPricesAgreeWithTheSlowPricer(t *testing.T) {
	const quotes, seed = 5000, 1613
	packaged := 0
	for n := range uint64(quotes) {
		a := random(rand.New(rand.NewPCG(seed, n)))
		got, err := quote.Price(a)
		if err != nil {
			t.Fatalf("quote %d: %v", n, err)
		}
		s := &slow{a: &a}
		total, deposit, perDay := s.total()
		if diff := cmp.Diff(s.lines, amounts(got)); diff != "" {
			t.Fatalf("quote %d: %+v\n(-slow +got)\n%s", n, a, diff)
		}
		if got.TotalMinor != total || got.DepositMinor != deposit || got.PerDayMinor != perDay {
			t.Fatalf("quote %d: total %d, deposit %d, per day %d; slowly %d, %d, %d", n, got.TotalMinor, got.DepositMinor, got.PerDayMinor, total, deposit, perDay)
		}
		if len(s.lines[quote.Package]) > 0 {
			packaged++
		}
		sumsAgree(t, n, &got)
	}
	if packaged < quotes/10 {
		t.Errorf("%d quotes of %d have packages", packaged, quotes)
	}
}

// sumsAgree holds the sums of a quote to its lines.
func sumsAgree(t *testing.T, n uint64, s *quote.Sums) {
	t.Helper()
	var lines, groups, accounts, taxed int64
	for i, l := range s.Lines {
		lines += l.AmountMinor
		if l.Number != i+1 || l.Of >= l.Number || (l.Of > 0) != (l.AmountMinor < 0) {
			t.Errorf("quote %d: line %+v", n, l)
		}
	}
	for _, g := range s.ByGroup {
		groups += g.Minor
	}
	for _, a := range s.ByAccount {
		accounts += a.Minor
	}
	for _, x := range s.Taxes {
		taxed += x.Minor
	}
	if lines != s.NetMinor || groups != lines || accounts != lines || s.NetMinor+taxed != s.TotalMinor {
		t.Errorf("quote %d: lines %d, groups %d, accounts %d, net %d and taxes %d, total %d", n, lines, groups, accounts, s.NetMinor, taxed, s.TotalMinor)
	}
}
