package price

import (
	"errors"
	"math/bits"
	"strconv"
	"strings"
)

// Decimal is an exact number of at least 0 with at most four decimals: a percent, a factor, hours, kilometres. The zero value is 0. Money is
// never multiplied by anything else, so that no amount depends on how a machine rounds.
type Decimal struct{ tenThousandths int64 }

// decimals is how many a [Decimal] has; common practice, no source: tax rates have three at most.
const (
	decimals = 4
	unit     = 10_000
	// wholeDigits keeps every Decimal, and a product of two, inside 64 bits.
	wholeDigits = 5
)

// ErrDecimal: a text that is no [Decimal].
var ErrDecimal = errors.New("not a decimal number")

// ParseDecimal reads digits and, if wanted, a point and up to four digits: "23", "7.5", "0.25". It takes neither sign nor exponent, and at
// most five digits before the point.
func ParseDecimal(s string) (Decimal, error) {
	whole, part, point := strings.Cut(s, ".")
	if !digitsOnly(whole) || point && !digitsOnly(part) || len(whole) > wholeDigits || len(part) > decimals {
		return Decimal{}, ErrDecimal
	}
	n, err := strconv.ParseInt(whole+part+strings.Repeat("0", decimals-len(part)), 10, 64)
	if err != nil {
		return Decimal{}, ErrDecimal
	}
	return Decimal{n}, nil
}

func digitsOnly(s string) bool { return s != "" && strings.Trim(s, "0123456789") == "" }

// WholeDecimal returns a whole number from 0 to 99,999, what it is held to.
func WholeDecimal(n int) Decimal { return Decimal{int64(max(0, min(n, 99_999))) * unit} }

// String writes the number without zeros at its end: "7.5".
func (d Decimal) String() string {
	whole := strconv.FormatInt(d.tenThousandths/unit, 10)
	part := d.tenThousandths % unit
	if part == 0 {
		return whole
	}
	digits := strconv.FormatInt(unit+part, 10)[1:]
	return whole + "." + strings.TrimRight(digits, "0")
}

// IsZero reports whether the number is 0.
func (d Decimal) IsZero() bool { return d.tenThousandths == 0 }

// Cmp is negative where d is less than e, 0 where they are equal, else positive.
func (d Decimal) Cmp(e Decimal) int {
	switch {
	case d.tenThousandths < e.tenThousandths:
		return -1
	case d.tenThousandths > e.tenThousandths:
		return 1
	}
	return 0
}

// Plus returns the sum.
func (d Decimal) Plus(e Decimal) Decimal { return Decimal{d.tenThousandths + e.tenThousandths} }

// Minus returns the difference, 0 where e is more.
func (d Decimal) Minus(e Decimal) Decimal { return Decimal{max(0, d.tenThousandths-e.tenThousandths)} }

// Up returns the least whole number that is not less.
func (d Decimal) Up() int { return int((d.tenThousandths + unit - 1) / unit) }

// Percent returns so many percent of an amount in minor units, rounded half away from zero. Of a share of the amount, part in whole, it
// returns the percent of that share, rounded once.
func (d Decimal) Percent(minor int64, part, whole int) (int64, error) {
	of, err := times(absolute(minor), int64(part))
	if err != nil {
		return 0, err
	}
	amount, err := divided(of, uint64(d.tenThousandths), 100*unit*uint64(whole))
	return signed(amount, minor), err
}

// Times returns an amount in minor units that many times, rounded half away from zero.
func (d Decimal) Times(minor int64) (int64, error) {
	amount, err := divided(absolute(minor), uint64(d.tenThousandths), unit)
	return signed(amount, minor), err
}

// Over returns factor × amount / d, rounded half away from zero; d is over 0.
func (d Decimal) Over(factor Decimal, minor int64) (int64, error) {
	amount, err := divided(absolute(minor), uint64(factor.tenThousandths), uint64(d.tenThousandths))
	return signed(amount, minor), err
}

// Share returns an amount in minor units divided by n, which is over 0, rounded half away from zero.
func Share(minor int64, n int) (int64, error) {
	amount, err := divided(absolute(minor), 1, uint64(n))
	return signed(amount, minor), err
}

// Product returns an amount of at least 0 so many times, and [ErrTooMuch] where that is more than can be counted.
func Product(minor int64, n ...int) (out int64, err error) {
	out = minor
	for _, n := range n {
		if out, err = times(out, int64(n)); err != nil {
			return 0, err
		}
	}
	return out, nil
}

// Sum adds up amounts of either sign.
func Sum(minor ...int64) (sum int64, err error) {
	for _, m := range minor {
		next := sum + m
		if (next > sum) != (m > 0) && m != 0 {
			return 0, ErrTooMuch
		}
		sum = next
	}
	return sum, nil
}

// divided returns a × b / c, rounded half up, by way of 128 bits. Nothing is added up to the half where c is odd: no rest is a half then.
func divided(a int64, b, c uint64) (int64, error) {
	high, low := bits.Mul64(uint64(a), b)
	low, carry := bits.Add64(low, c/2, 0)
	high += carry
	if high >= c {
		return 0, ErrTooMuch
	}
	q, _ := bits.Div64(high, low, c)
	if q > 1<<63-1 {
		return 0, ErrTooMuch
	}
	return int64(q), nil
}

func absolute(minor int64) int64 { return max(minor, -minor) }

func signed(amount, like int64) int64 {
	if like < 0 {
		return -amount
	}
	return amount
}
