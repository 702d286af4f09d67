package shotlist

import (
	"math"
	"strconv"
	"strings"
	"time"

	"github.com/bojanz/currency"

	"kitspan/internal/catalog"
	"kitspan/internal/fault"
)

// money reads an amount and the code of its currency: "900.00 EUR".
func (r *reader) money(cell string) (currency.Amount, fault.Kind) {
	number, code, _ := strings.Cut(cell, " ")
	code = strings.ToUpper(strings.TrimSpace(code))
	if code == "" {
		return currency.Amount{}, fault.Missing{Want: fault.WantCurrency}
	}
	if _, known := currency.GetDigits(code); !known {
		return currency.Amount{}, fault.UnknownCurrency{Got: cut(code)}
	}
	if r.decimalComma {
		number = strings.Replace(number, ",", ".", 1)
	}
	amount, err := catalog.ParseMoney(number, code)
	if err != nil {
		return currency.Amount{}, fault.NotAnAmount{Reason: err.Error()}
	}
	return amount, nil
}

// A spreadsheet keeps a day as the number of days since 30 December 1899 and a time of day as a share of one (ECMA-376-1, 18.17.4.1, whose
// day 60 is a 29 February 1900 that never was: days of this century are not touched by it).
var serialEpoch = time.Date(1899, 12, 30, 0, 0, 0, 0, time.UTC)

const (
	mostSerial = 2_958_465 // 9999-12-31
	epoch1904  = 1462      // days from there to 1 January 1904, from which some workbooks count (18.17.4.1)
)

// dateOfSerial is a day as YYYY-MM-DD; what is no such number stays as it is.
func dateOfSerial(cell string, epoch int) string {
	n, err := strconv.ParseFloat(cell, 64)
	if err != nil || !(n >= 1 && n <= mostSerial) {
		return cell
	}
	return serialEpoch.AddDate(0, 0, int(n)+epoch).Format(time.DateOnly)
}

// timeOfSerial is a time of day as HH:MM, to the nearest minute; what is no such number stays as it is. The day before the point is left out.
func timeOfSerial(cell string) string {
	const minutes = 24 * 60
	n, err := strconv.ParseFloat(cell, 64)
	if err != nil || !(n >= 0 && n <= mostSerial) {
		return cell
	}
	m := int(math.Round((n-math.Floor(n))*minutes)) % minutes
	return time.Time{}.Add(time.Duration(m) * time.Minute).Format("15:04")
}
