package shotlist

import (
	"encoding/csv"
	"encoding/json"
	"io"
	"math"
	"reflect"
	"strconv"
	"strings"

	"github.com/bojanz/currency"

	"kitspan/internal/catalog"
	"kitspan/internal/job"
)

// saidEmpty is the cell of a text that was said and is empty, where nothing in a cell means that nothing was said. A text that is nothing but
// such pairs of quotes has one more.
const saidEmpty = `""`

// onlyQuotes reports whether a text is nothing but pairs of quotes, or nothing.
func onlyQuotes(s string) bool { return len(s)%2 == 0 && strings.Trim(s, `"`) == "" }

// Write writes shots as CSV (RFC 4180) that [Read] reads back to the same shots, a line each under the names of the columns. Decimals have a
// point and cells are parted by commas, or with decimalComma a comma and semicolons. A text that a spreadsheet would compute has an
// apostrophe before it.
func Write(w io.Writer, shots []job.DraftShot, decimalComma bool) error {
	out := csv.NewWriter(w)
	if decimalComma {
		out.Comma = ';'
	}
	if err := out.Write(Columns()); err != nil {
		return err
	}
	row := make([]string, len(columns))
	for i := range shots {
		for k := range columns {
			cell, err := columns[k].cell(&shots[i], decimalComma)
			if err != nil {
				return err
			}
			row[k] = cell
		}
		if err := out.Write(row); err != nil {
			return err
		}
	}
	out.Flush()
	return out.Error()
}

// cell returns what stands in the column for a shot; empty where it was not said.
func (c *column) cell(s *job.DraftShot, decimalComma bool) (string, error) {
	v, there := c.field(s, false)
	if c.anyBack && s.Look.AnyBack {
		return "null", nil
	}
	if !there || v.IsZero() {
		return "", nil
	}
	if v.Kind() == reflect.Pointer {
		v = v.Elem()
	}
	local := func(n string) string {
		if decimalComma {
			return strings.Replace(n, ".", ",", 1)
		}
		return n
	}
	switch c.form {
	case number:
		return local(formatNumber(v.Float())), nil
	case whole:
		return strconv.FormatInt(v.Int(), 10), nil
	case yesNo:
		return strconv.FormatBool(v.Bool()), nil
	case money:
		amount := v.Interface().(currency.Amount)
		return local(amount.Number()) + " " + amount.CurrencyCode(), nil
	case asJSON:
		list, err := json.Marshal(v.Interface())
		return catalog.EscapeFormulas(string(list)), err
	default:
		if onlyQuotes(v.String()) {
			return v.String() + saidEmpty, nil
		}
		return catalog.EscapeFormulas(v.String()), nil
	}
}

// formatNumber writes a number so that it reads back as the same, without an exponent where it is of usual size.
func formatNumber(v float64) string {
	const small, large = 1e-6, 1e15
	if a := math.Abs(v); v == 0 || a >= small && a < large {
		return strconv.FormatFloat(v, 'f', -1, 64)
	}
	return strconv.FormatFloat(v, 'g', -1, 64)
}
