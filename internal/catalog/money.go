package catalog

import (
	"fmt"
	"strings"

	"github.com/bojanz/currency"
)

// maxMoneyDigits bounds the whole units of an amount. With at most four decimals in any currency the minor units of
// one amount stay below 10¹⁶, inside 64 bits.
const maxMoneyDigits = 12

// ParseMoney reads a decimal string with exactly the currency's number of decimals by ISO 4217 ("125.00" EUR, "125"
// JPY, "125.000" KWD): digits and a point, neither sign nor exponent nor separator. The amount is exact.
func ParseMoney(s, code string) (currency.Amount, error) {
	digits, ok := currency.GetDigits(code)
	if !ok {
		return currency.Amount{}, fmt.Errorf("%s is not an ISO 4217 currency code in use", quote(code))
	}
	whole, decimals, point := strings.Cut(s, ".")
	switch {
	case strings.HasPrefix(s, "-"):
		return currency.Amount{}, fmt.Errorf("%s is negative: must be 0 or more", quote(s))
	case !allDigits(whole) || (point && !allDigits(decimals)):
		return currency.Amount{}, fmt.Errorf("%s is not an amount: write digits and a decimal point, as %s", quote(s), moneyExample(digits))
	case len(decimals) != int(digits):
		return currency.Amount{}, fmt.Errorf("%s has %d decimals: %s has %d, as %s", quote(s), len(decimals), code, digits, moneyExample(digits))
	case len(whole) > maxMoneyDigits:
		return currency.Amount{}, fmt.Errorf("%s is too much: at most %d digits before the point", quote(s), maxMoneyDigits)
	}
	return currency.NewAmount(s, code)
}

// padMoney fills up decimals that a spreadsheet has dropped: 12.5 becomes 12.50 in a currency of two decimals.
// Nothing is lost by it; what has too many decimals is left for [ParseMoney] to refuse.
func padMoney(s, code string) string {
	digits, _ := currency.GetDigits(code)
	whole, decimals, point := strings.Cut(s, ".")
	missing := int(digits) - len(decimals)
	if missing <= 0 || !allDigits(whole) || (point && !allDigits(decimals)) {
		return s
	}
	return whole + "." + decimals + strings.Repeat("0", missing)
}

func moneyExample(digits uint8) string {
	if digits == 0 {
		return "125"
	}
	return "125." + strings.Repeat("0", int(digits))
}

func allDigits(s string) bool {
	return s != "" && strings.Trim(s, "0123456789") == ""
}
