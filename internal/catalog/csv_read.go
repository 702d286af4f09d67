package catalog

import (
	"bufio"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode/utf8"
)

// csvReader reads one file and gathers its faults.
type csvReader struct {
	bounded *recordLimiter
	rows    *csv.Reader
	kind    Kind
	houses  func(string) (House, bool)
	names   []string       // the heading
	at      map[string]int // column → place in a record; nil before a sound heading
	read    int            // records so far, the heading among them
	seen    map[string]int // house and SKU → line
	line    int            // of the record read last; records may hold line breaks inside quotes
	faults  *CSVError
}

func newCSVReader(r io.Reader, kind Kind, houses func(string) (House, bool)) *csvReader {
	bounded := &recordLimiter{r: r, budget: maxRecordBytes}
	buffered := bufio.NewReader(bounded)
	if mark, err := buffered.Peek(3); err == nil && string(mark) == "\ufeff" {
		_, _ = buffered.Discard(3) // they are in the buffer
	}
	rows := csv.NewReader(buffered)
	rows.FieldsPerRecord = -1 // counted here, so that a short row is one fault among others
	rows.ReuseRecord = true
	return &csvReader{bounded: bounded, rows: rows, kind: kind, houses: houses, seen: map[string]int{}, faults: &CSVError{}}
}

// next reads on to a row and notes its faults; io.EOF at the end, or where reading on makes no sense. Any other error is
// the stream's.
func (c *csvReader) next() (Row, error) {
	for {
		if c.faults.More >= maxCounted {
			c.faults.GivenUp = true
			return Row{}, io.EOF
		}
		c.bounded.budget = maxRecordBytes
		record, err := c.rows.Read()
		switch bad := (*csv.ParseError)(nil); {
		case errors.As(err, &bad):
			c.faults.add(bad.StartLine, "", "%v: put text with quotes, commas or line breaks in double quotes, and double the quotes inside", bad.Err)
			if c.at == nil {
				return Row{}, io.EOF
			}
			continue
		case errors.Is(err, errRecordTooLong):
			c.faults.add(c.line+1, "", "%v", err)
			return Row{}, io.EOF
		case errors.Is(err, io.EOF) && c.read == 0 && len(c.faults.Faults) == 0:
			c.faults.add(1, "", "the file is empty: the first row must name the columns %s", strings.Join(CSVColumns(c.kind), ", "))
			return Row{}, err
		case err != nil:
			return Row{}, err
		}
		c.line, _ = c.rows.FieldPos(0)
		c.read++
		switch {
		case c.at == nil:
			if c.header(record); c.at == nil {
				return Row{}, io.EOF
			}
		case c.read > MaxCSVRows+1:
			c.faults.add(c.line, "", "more than %d rows: split the file", MaxCSVRows)
			return Row{}, io.EOF
		default:
			house, item := c.item(record)
			return Row{Line: c.line, House: house.Slug, Item: item}, nil
		}
	}
}

// header maps the columns, or reports why it cannot and leaves the map nil.
func (c *csvReader) header(record []string) {
	wanted := CSVColumns(c.kind)
	at := make(map[string]int, len(wanted))
	var missing, unknown, twice int
	for i, name := range record {
		name = strings.TrimSpace(name)
		if _, known := at[name]; known {
			twice++
			c.faults.add(c.line, name, "the column is repeated")
		} else if !slices.Contains(wanted, name) {
			unknown++
			c.faults.add(c.line, strings.ToValidUTF8(name, "�"), "no such column for a %s: the columns are %s", c.kind, strings.Join(wanted, ", "))
		}
		at[name] = i
		c.names = append(c.names, strings.Clone(name))
	}
	for _, name := range wanted {
		if _, ok := at[name]; !ok {
			missing++
			c.faults.add(c.line, name, "the column is missing")
		}
	}
	c.faults.Heading = headingFault(missing, unknown, twice)
	if c.faults.Heading == "" {
		c.at = at
	}
}

// headingFault counts what is wrong with a heading: "9 columns are missing, 1 is unknown"; empty where nothing is.
func headingFault(missing, unknown, twice int) string {
	var said []string
	for _, f := range []struct {
		n         int
		one, many string
	}{{missing, "is missing", "are missing"}, {unknown, "is unknown", "are unknown"}, {twice, "is repeated", "are repeated"}} {
		if f.n == 0 {
			continue
		}
		columns, what := "columns ", f.many
		if f.n == 1 {
			columns, what = "column ", f.one
		}
		if len(said) > 0 {
			columns = ""
		}
		said = append(said, fmt.Sprintf("%d %s%s", f.n, columns, what))
	}
	return strings.Join(said, ", ")
}

// item reads one row and reports what is wrong with it.
func (c *csvReader) item(record []string) (House, Item) {
	line := c.line
	if len(record) != len(c.names) {
		c.faults.add(line, "", "has %d cells, the heading has %d", len(record), len(c.names))
		return House{}, Item{}
	}
	sound := true
	fault := func(column, format string, args ...any) {
		sound = false
		c.faults.add(line, column, format, args...)
	}
	for i, text := range record {
		if !utf8.ValidString(text) {
			fault(c.names[i], "is not UTF-8 text: save the file as UTF-8")
		}
	}
	if !sound {
		return House{}, Item{}
	}
	cell := func(name string) string { return strings.TrimSpace(record[c.at[name]]) }

	house, known := c.houses(cell("house"))
	if !known {
		fault("house", "%s is not a house that this file may speak of", quote(cell("house")))
	}
	row := rowCells{cell: cell, text: unescapeFormulas, fault: fault, unread: map[string]bool{}}
	sku := cell("sku")
	key := cell("house") + " " + sku
	if earlier, twice := c.seen[key]; twice {
		fault("sku", "%s is on line %d already", quote(sku), earlier)
	} else if sku != "" {
		c.seen[key] = line
	}
	return house, row.item(c.kind, house, known)
}

// ItemOfCells reads one item of a house from the values of its columns as people typed them, by all the rules of a row of a
// catalogue file, but that texts are taken as they are. Faults name the column and no line.
func ItemOfCells(kind Kind, house House, cells map[string]string) (Item, []CellFault) {
	var faults []CellFault
	row := rowCells{
		cell: func(name string) string { return strings.TrimSpace(cells[name]) }, text: func(text string) string { return text },
		fault: func(column, format string, args ...any) {
			faults = append(faults, CellFault{Column: column, Reason: fmt.Sprintf(format, args...)})
		},
		unread: map[string]bool{},
	}
	return row.item(kind, house, true), faults
}

// rowCells are the cells of one item on their way in.
type rowCells struct {
	cell   func(column string) string
	text   func(string) string // what a cell says that holds words and not a number
	fault  func(column, format string, args ...any)
	unread map[string]bool // columns whose text says nothing: no rule to check either
}

// item reads an item and reports what is wrong with it; money is checked where the house is known.
func (r rowCells) item(kind Kind, house House, known bool) Item {
	item := Item{SKU: r.cell("sku"), Spec: NewSpec(kind)}
	for _, f := range append(item.itemFields(), item.Spec.Fields()...) {
		said := r.cell(f.Name)
		if _, ok := f.Value.(*string); ok {
			said = r.text(said)
		}
		if err := f.Parse(said); err != nil {
			r.fault(f.Name, "%v", err)
			r.unread[f.Name] = true
		}
	}
	if known {
		if code := r.cell("currency"); code != house.Currency {
			r.fault("currency", "%s: house %s reckons in %s", quote(code), house.Slug, house.Currency)
		}
		r.money(&item, house.Currency)
	}
	r.validate(&item, known)
	return item
}

func (r rowCells) money(item *Item, code string) {
	var err error
	if item.Replacement, err = ParseMoney(padMoney(r.cell("replacement"), code), code); err != nil {
		r.fault("replacement", "%v", err)
		r.unread["replacement"] = true
	}
	if item.Rates, err = parseRates(r.cell("rates"), code); err != nil {
		r.fault("rates", "%v", err)
		r.unread["rates"] = true
	}
}

// validate reports the item's problems under the column that each belongs to.
func (r rowCells) validate(item *Item, known bool) {
	contradictory := len(r.unread) == 0
	for _, p := range item.Validate() {
		column, _, _ := strings.Cut(p.Field, "/")
		switch {
		case r.unread[column] || (!known && (column == "replacement" || column == "rates")):
		case !contradictory && isContradiction(item, p):
		default:
			r.fault(column, "%s", p.Detail)
		}
	}
}

// isContradiction says that a problem is not one of the field's own value: in a row with unreadable cells it may come
// from the zero that stands in for one of them.
func isContradiction(item *Item, p Problem) bool {
	for _, f := range item.Spec.Fields() {
		if f.Name == p.Field {
			return f.Problem() == ""
		}
	}
	return false
}

// parseRates reads "2026-01-01=12.00;2027-01-01=13.00"; an empty cell is an item without a price.
func parseRates(s, code string) ([]Rate, error) {
	if s == "" {
		return nil, nil
	}
	var rates []Rate
	for part := range strings.SplitSeq(s, ";") {
		day, amount, ok := strings.Cut(strings.TrimSpace(part), "=")
		if !ok {
			return nil, fmt.Errorf("%s: write date=amount, several separated by ';', as 2026-01-01=12.00;2027-01-01=13.00", quote(part))
		}
		from, err := ParseDate(strings.TrimSpace(day))
		if err != nil {
			return nil, fmt.Errorf("%s is not a date: write YYYY-MM-DD", quote(day))
		}
		perDay, err := ParseMoney(padMoney(strings.TrimSpace(amount), code), code)
		if err != nil {
			return nil, err
		}
		rates = append(rates, Rate{from, perDay})
	}
	return rates, nil
}

var errRecordTooLong = fmt.Errorf("the row is longer than %d bytes: is a quote left open?", maxRecordBytes)

// recordLimiter fails once more than its budget has been read since it was last set.
type recordLimiter struct {
	r      io.Reader
	budget int
}

func (l *recordLimiter) Read(p []byte) (int, error) {
	if l.budget <= 0 {
		return 0, errRecordTooLong
	}
	n, err := l.r.Read(p)
	l.budget -= n
	return n, err
}
