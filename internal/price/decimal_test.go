package price_test

import (
	"errors"
	"math/big"
	"math/rand/v2"
	"testing"

	"kitspan/internal/price"
)

func decimal(t *testing.T, s string) price.Decimal {
	t.Helper()
	d, err := price.ParseDecimal(s)
	if err != nil {
		t.Fatalf("%s: %v", s, err)
	}
	return d
}

// Percents of amounts in minor units.
func TestPercentsAreRoundedHalfAwayFromZeroOnce(t *testing.T) {
	for _, tc := range []struct {
		source  string
		minor   int64
		percent string
		want    int64
	}{
		{"EN 16931 example 1, 6 %", 18323, "6", 1099},
		{"EN 16931 example 1, 21 %", 4637, "21", 974},
		{"EN 16931 example 2, a tie", 146050, "25", 36513},
		{"EN 16931 example 2", 100, "15", 15},
		{"10 × 11.31 at 20 % on the total, tucasi.atlassian.net", 11310, "20", 2262},
		{"JPY, computed with a decimal library", 999, "10", 100},
		{"JPY, computed with a decimal library", 2345, "7.5", 176},
		{"KWD, computed with a decimal library", 12345, "8", 988},
		{"KWD, computed with a decimal library", 125, "70", 88},
		{"half a cent off, computed with a decimal library", -1250, "5", -63},
		{"half a cent off, computed with a decimal library", -10, "5", -1},
	} {
		got, err := decimal(t, tc.percent).Percent(tc.minor, 1, 1)
		if err != nil || got != tc.want {
			t.Errorf("%s: %s %% of %d is %d, %v; want %d", tc.source, tc.percent, tc.minor, got, err, tc.want)
		}
	}
}

// The values of RoundingMode in the documentation of OpenJDK, ties away from zero: tenths to a whole.
func TestSharesAreRoundedHalfAwayFromZero(t *testing.T) {
	for tenths, want := range map[int64]int64{55: 6, 25: 3, 16: 2, 11: 1, 10: 1, -10: -1, -11: -1, -16: -2, -25: -3, -55: -6} {
		if got, err := price.Share(tenths, 10); err != nil || got != want {
			t.Errorf("%d tenths are %d, %v; want %d", tenths, got, err, want)
		}
	}
}

func TestDecimalsAreReadAsTheyAreWritten(t *testing.T) {
	for s, want := range map[string]string{"0": "0", "23": "23", "7.5": "7.5", "0.2500": "0.25", "10.0001": "10.0001", "007": "7"} {
		if got := decimal(t, s).String(); got != want {
			t.Errorf("%s reads as %s", s, got)
		}
	}
	for _, s := range []string{"", "-1", "+1", "1e3", ".5", "5.", "1,5", "1.23456", "123456", "0x1", " 1"} {
		if d, err := price.ParseDecimal(s); !errors.Is(err, price.ErrDecimal) {
			t.Errorf("%q reads as %s, %v", s, d, err)
		}
	}
}

// Against fractions of any size.
func TestRoundingAgreesWithFractions(t *testing.T) {
	const seed = 16
	rng := rand.New(rand.NewPCG(seed, seed))
	round := func(f *big.Rat) int64 {
		twice := new(big.Rat).Add(new(big.Rat).Mul(new(big.Rat).Abs(f), big.NewRat(2, 1)), big.NewRat(1, 1))
		down := new(big.Int).Quo(twice.Num(), new(big.Int).Mul(twice.Denom(), big.NewInt(2)))
		return down.Int64() * int64(f.Sign())
	}
	for range 20_000 {
		minor := rng.Int64N(1e13) - 5e12
		part, whole := 1+rng.IntN(500), 1+rng.IntN(500)
		text := decimal(t, big.NewRat(int64(rng.IntN(1_000_001)), 10_000).FloatString(4)).String()
		d := decimal(t, text)
		exact, _ := new(big.Rat).SetString(text)
		of := new(big.Rat).Mul(big.NewRat(minor, 1), exact)
		want := round(new(big.Rat).Mul(of, big.NewRat(int64(part), 100*int64(whole))))
		if got, err := d.Percent(minor, part, whole); err != nil || got != want {
			t.Fatalf("seed %d: %s %% of %d × %d/%d is %d, %v; want %d", seed, text, minor, part, whole, got, err, want)
		}
		if got, err := d.Times(minor); err != nil || got != round(of) {
			t.Fatalf("seed %d: %s × %d is %d, %v; want %d", seed, text, minor, got, err, round(of))
		}
		want = round(new(big.Rat).Mul(of, big.NewRat(4, 29)))
		if got, err := decimal(t, "7.25").Over(d, minor); err != nil || got != want {
			t.Fatalf("seed %d: %s × %d / 7.25 is %d, %v; want %d", seed, text, minor, got, err, want)
		}
	}
}

func TestTooMuchIsNoAmount(t *testing.T) {
	const most = 1<<63 - 1
	if _, err := price.Product(most, 2); !errors.Is(err, price.ErrTooMuch) {
		t.Errorf("twice the most: %v", err)
	}
	if _, err := price.Sum(most, 1); !errors.Is(err, price.ErrTooMuch) {
		t.Errorf("the most and one: %v", err)
	}
	if _, err := price.Sum(-most, -2); !errors.Is(err, price.ErrTooMuch) {
		t.Errorf("the least less two: %v", err)
	}
	if _, err := decimal(t, "2").Times(most); !errors.Is(err, price.ErrTooMuch) {
		t.Errorf("2 × the most: %v", err)
	}
	if got, err := price.Sum(most, -most, 3, -5); err != nil || got != -2 {
		t.Errorf("sum %d, %v", got, err)
	}
}
