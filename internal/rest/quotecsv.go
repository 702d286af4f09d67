package rest

import (
	"encoding/csv"
	"io"
	"strconv"
	"strings"

	"kitspan/internal/catalog"
	"kitspan/internal/quote"
	"kitspan/internal/text"
)

// quoteColumns are the columns of a quote as CSV.
var quoteColumns = []string{"line", "group", "sku", "name", "account", "quantity", "from", "to", "charged_days", "rate", "percent", "amount", "currency", "tax_code", "shots", "of", "why"}

// WriteQuoteCSV writes a quote's lines by RFC 4180, a row each under the names of the columns: plain numbers, ISO dates, discounts as
// negative numbers. Texts that a spreadsheet would compute have an apostrophe before them. An error is w's.
func WriteQuoteCSV(w io.Writer, to text.Reader, q *quote.Quote) error {
	out := csv.NewWriter(w)
	out.UseCRLF = true
	_ = out.Write(quoteColumns) // errors stay until Flush
	words := catalog.EscapeFormulas
	number := func(n int) string {
		if n == 0 {
			return ""
		}
		return strconv.Itoa(n)
	}
	for i := range q.Lines {
		l := quoteLine(to, q, &q.Lines[i])
		rate := ""
		if l.Rate != nil {
			rate = l.Rate.Amount
		}
		_ = out.Write([]string{
			number(l.Line), l.Group, words(deref(l.Sku)), words(l.Name), words(l.Account), number(l.Quantity), deref(l.From), deref(l.To), number(deref(l.ChargedDays)),
			rate, deref(l.Percent), l.Amount.Amount, l.Amount.Currency, words(deref(l.TaxCode)), words(strings.Join(l.Shots, " ")), number(deref(l.Of)), words(l.Why),
		})
	}
	out.Flush()
	return out.Error()
}
