package catalog

import (
	"strings"
	"testing"

	"github.com/bojanz/currency"
)

func mustMoney(t testing.TB, s, code string) currency.Amount {
	t.Helper()
	a, err := ParseMoney(s, code)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// Decimals by ISO 4217, as in the browser engine table CurrencyDataGenerated that Mozilla generates from the ISO
// list (2025/2026). CLDR differs for the last row, which is why it is there: 0 decimals by CLDR, 2 (IQD 3) by ISO.
var isoDecimals = map[int]string{
	0: "BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX UYI VND VUV XAF XOF XPF",
	3: "BHD IQD JOD KWD LYD OMR TND",
	4: "CLF UYW",
	2: "EUR USD GBP CHF HUF IDR LBP MMK AFN ALL IRR LAK SOS YER MGA",
}

func TestMoneyHasTheDecimalsOfISO4217(t *testing.T) {
	for decimals, codes := range isoDecimals {
		for _, code := range strings.Fields(codes) {
			for have := range 6 {
				s := "125"
				if have > 0 {
					s += "." + strings.Repeat("0", have)
				}
				a, err := ParseMoney(s, code)
				if (err == nil) != (have == decimals) {
					t.Errorf("%s %s: error %v, wants %d decimals", s, code, err, decimals)
				}
				if err == nil && a.Number() != s {
					t.Errorf("%s %s comes back as %s", s, code, a.Number())
				}
			}
		}
	}
	known := map[string]bool{}
	for decimals, codes := range isoDecimals {
		if decimals != 2 {
			for _, code := range strings.Fields(codes) {
				known[code] = true
			}
		}
	}
	for _, code := range currency.GetCurrencyCodes() {
		if d, _ := currency.GetDigits(code); d != 2 && !known[code] {
			t.Errorf("%s has %d decimals, ISO 4217 has 2", code, d)
		}
	}
}

func TestMoneyRefusesWhatIsNotAPlainAmount(t *testing.T) {
	for _, s := range []string{
		"", ".", "1.", ".50", "-1.00", "+1.00", "1,00", "1 000.00", "1e2", "NaN", "Infinity", "0x10", "1.0.0", "１.00", "1.005", "12", "1234567890123.00", "€1.00",
	} {
		if a, err := ParseMoney(s, "EUR"); err == nil {
			t.Errorf("%q taken as %s", s, a)
		}
	}
	for _, code := range []string{"", "eur", "EURO", "XXX", "DEM"} {
		if _, err := ParseMoney("1.00", code); err == nil {
			t.Errorf("currency %q taken", code)
		}
	}
}

func TestPaddingAddsDecimalsAndNothingElse(t *testing.T) {
	for _, c := range [][3]string{
		{"12", "EUR", "12.00"}, {"12.5", "EUR", "12.50"}, {"12.50", "EUR", "12.50"}, {"12.505", "EUR", "12.505"}, {"12", "JPY", "12"},
		{"12", "KWD", "12.000"}, {"", "EUR", ""}, {"x", "EUR", "x"}, {".5", "EUR", ".5"}, {"-3", "EUR", "-3"}, {"12", "?", "12"}, {"12.", "EUR", "12."},
	} {
		if got := padMoney(c[0], c[1]); got != c[2] {
			t.Errorf("padMoney(%q, %s) = %q, want %q", c[0], c[1], got, c[2])
		}
	}
}
