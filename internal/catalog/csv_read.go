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
	sku := cell("sku")
	key := cell("house") + " " + sku
	if earlier, twice := c.seen[key]; twice {
		fault("sku", "%s is on line %d already", quote(sku), earlier)
	} else if sku != "" {
		c.seen[key] = line
	}
	if code := cell("currency"); known && code != house.Currency {
		fault("currency", "%s: the currency of house %s is %s", quote(code), house.Slug, house.Currency)
	}
	item := Item{SKU: sku, Spec: NewSpec(c.kind)}
	texts := map[string]bool{}
	for _, f := range item.Fields("") {
		texts[f.Name] = f.isText()
	}
	code := "" // where the house is unknown, money is not checked
	if known {
		code = house.Currency
	}
	said := func(column string) string {
		if texts[column] {
			return UnescapeFormulas(cell(column))
		}
		return cell(column)
	}
	for _, p := range item.edit(code, said) {
		fault(p.Field, "%s", p.Detail)
	}
	return house, item
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
