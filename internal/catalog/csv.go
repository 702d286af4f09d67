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

// A catalogue file holds items of one kind as RFC 4180 CSV in UTF-8, one item a row, columns named in the first row
// in any order:
//
//	house        the house's short name
//	sku, name, mass_kg, packed_m3, owned, replacement, account
//	…            the attributes of the kind ([Spec.Fields])
//	currency     of replacement and rates; the house's own
//	rates        every rate of the item, earliest first: "2026-01-01=12.00;2027-01-01=13.00"
//
// Rates share one cell, so that one row is one item whole and a row that is imported replaces the item whole; the
// text form also keeps a spreadsheet program from reformatting dates and amounts. A byte order mark and CRLF line
// ends are accepted. Amounts have the currency's decimals; those that a spreadsheet has dropped are filled up.

// CSVColumns are the headings of a kind's file in the order in which [CSVWriter] writes them.
func CSVColumns(k Kind) []string {
	columns := []string{"house", "sku", "name", "mass_kg", "packed_m3", "owned", "replacement", "account"}
	for _, f := range NewSpec(k).Fields() {
		columns = append(columns, f.Name)
	}
	return append(columns, "currency", "rates")
}

const (
	// MaxFaults is how many bad cells of one file are listed; the rest are counted.
	MaxFaults = 1000
	// maxRecordBytes bounds one row, so that a quote that never closes cannot pull a whole file into memory. The
	// longest sound row has some 100 rates of 25 bytes.
	maxRecordBytes = 64 << 10
	// MaxCSVRows bounds a file, because SKUs are remembered to find doubles.
	MaxCSVRows = 500_000
)

// CellFault is one bad cell. Column is empty where the fault is the row's or the file's.
type CellFault struct {
	Line   int // from 1, the heading's line among them
	Column string
	Reason string
}

func (f CellFault) String() string {
	if f.Column == "" {
		return fmt.Sprintf("line %d: %s", f.Line, f.Reason)
	}
	return fmt.Sprintf("line %d, %s: %s", f.Line, f.Column, f.Reason)
}

// CSVError lists the bad cells of a file in the order of its lines, at most [MaxFaults]; More counts the rest.
type CSVError struct {
	Faults []CellFault
	More   int
}

func (e *CSVError) Error() string {
	n := len(e.Faults) + e.More
	if n == 1 {
		return "catalogue file: " + e.Faults[0].String()
	}
	return fmt.Sprintf("catalogue file: %d faults, the first at %s", n, e.Faults[0])
}

func (e *CSVError) add(line int, column, format string, args ...any) {
	if len(e.Faults) == MaxFaults {
		e.More++
		return
	}
	e.Faults = append(e.Faults, CellFault{line, column, fmt.Sprintf(format, args...)})
}

// OneHouse is the lookup for [ReadCSV] that knows one house alone.
func OneHouse(h House) func(slug string) (House, bool) {
	return func(slug string) (House, bool) { return h, slug == h.Slug }
}

// ReadCSV reads a catalogue file as a stream and hands each item to row, in the order of the file. The file is read
// to its end whatever is wrong with it, and every bad cell is reported in one [*CSVError]; after the first fault rows
// are checked and no longer handed over, so that a caller who undoes its work on an error imports all or nothing.
// houses says which houses the file may speak of. An error of row or of r ends the reading and is returned as it is.
func ReadCSV(r io.Reader, kind Kind, houses func(slug string) (House, bool), row func(house string, item Item) error) error {
	if NewSpec(kind) == nil {
		return fmt.Errorf("catalog: %s is not a kind of item: must be one of %s", quote(string(kind)), kindNames())
	}
	bounded := &recordLimiter{r: r, budget: maxRecordBytes}
	buffered := bufio.NewReader(bounded)
	if mark, err := buffered.Peek(3); err == nil && string(mark) == "\ufeff" {
		_, _ = buffered.Discard(3)
	}
	rows := csv.NewReader(buffered)
	rows.FieldsPerRecord = -1
	rows.ReuseRecord = true
	in := &csvReader{kind: kind, houses: houses, seen: map[string]int{}, faults: &CSVError{}}
	for n := 0; ; n++ {
		bounded.budget = maxRecordBytes
		record, err := rows.Read()
		if err == io.EOF {
			break
		}
		if bad := (*csv.ParseError)(nil); errors.As(err, &bad) {
			in.faults.add(bad.StartLine, "", "%v: put text with quotes, commas or line breaks in double quotes, and double the quotes inside", bad.Err)
			if n == 0 {
				break
			}
			continue
		}
		if errors.Is(err, errRecordTooLong) {
			in.faults.add(in.line+1, "", "%v", err)
			break
		}
		if err != nil {
			return err
		}
		in.line, _ = rows.FieldPos(0)
		if n == 0 {
			if in.header(record); in.at == nil {
				break
			}
			continue
		}
		if n > MaxCSVRows {
			in.faults.add(in.line, "", "more than %d rows: split the file", MaxCSVRows)
			break
		}
		house, item := in.item(record)
		if len(in.faults.Faults) == 0 {
			if err := row(house.Slug, item); err != nil {
				return err
			}
		}
	}
	if in.at == nil && len(in.faults.Faults) == 0 {
		in.faults.add(1, "", "the file is empty: the first row must name the columns %s", strings.Join(CSVColumns(kind), ", "))
	}
	if len(in.faults.Faults) > 0 {
		return in.faults
	}
	return nil
}

type csvReader struct {
	kind   Kind
	houses func(string) (House, bool)
	names  []string       // the heading
	at     map[string]int // column → place in a record; nil before a sound heading
	seen   map[string]int // house and SKU → line
	line   int            // of the record read last; records may hold line breaks inside quotes
	faults *CSVError
}

// header maps the columns, or reports why it cannot and leaves the map nil.
func (c *csvReader) header(record []string) {
	wanted := CSVColumns(c.kind)
	at := make(map[string]int, len(wanted))
	before := len(c.faults.Faults)
	for i, name := range record {
		name = strings.TrimSpace(name)
		if _, twice := at[name]; twice {
			c.faults.add(c.line, name, "the column stands twice")
		} else if !slices.Contains(wanted, name) {
			c.faults.add(c.line, strings.ToValidUTF8(name, "�"), "no such column for a %s: the columns are %s", c.kind, strings.Join(wanted, ", "))
		}
		at[name] = i
		c.names = append(c.names, strings.Clone(name))
	}
	for _, name := range wanted {
		if _, ok := at[name]; !ok {
			c.faults.add(c.line, name, "the column is missing")
		}
	}
	if len(c.faults.Faults) == before {
		c.at = at
	}
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
	item := Item{SKU: cell("sku"), Spec: NewSpec(c.kind)}
	key := cell("house") + " " + item.SKU
	if earlier, twice := c.seen[key]; twice {
		fault("sku", "%s stands already on line %d", quote(item.SKU), earlier)
	} else if item.SKU != "" {
		c.seen[key] = line
	}
	unread := map[string]bool{} // columns whose text says nothing: no rule to check either
	for _, f := range append(item.itemFields(), item.Spec.Fields()...) {
		if err := f.Parse(cell(f.Name)); err != nil {
			fault(f.Name, "%v", err)
			unread[f.Name] = true
		}
	}
	code := cell("currency")
	if known && code != house.Currency {
		fault("currency", "%s: house %s reckons in %s", quote(code), house.Slug, house.Currency)
	}
	if known {
		c.money(&item, cell, house.Currency, fault, unread)
	}
	c.validate(&item, known, fault, unread)
	return house, item
}

func (c *csvReader) money(item *Item, cell func(string) string, code string, fault func(column, format string, args ...any), unread map[string]bool) {
	var err error
	if item.Replacement, err = ParseMoney(padMoney(cell("replacement"), code), code); err != nil {
		fault("replacement", "%v", err)
		unread["replacement"] = true
	}
	if item.Rates, err = parseRates(cell("rates"), code); err != nil {
		fault("rates", "%v", err)
		unread["rates"] = true
	}
}

// validate reports the item's problems under the column that each belongs to.
func (c *csvReader) validate(item *Item, known bool, fault func(column, format string, args ...any), unread map[string]bool) {
	contradictory := len(unread) == 0
	for _, p := range item.Validate() {
		column, _, _ := strings.Cut(p.Field, "/")
		switch {
		case unread[column] || (!known && (column == "replacement" || column == "rates")):
		case !contradictory && isContradiction(item, p):
		default:
			fault(column, "%s", p.Detail)
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
