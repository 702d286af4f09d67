package shotlist

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"errors"
	"io"
	"math"
	"reflect"
	"strconv"
	"strings"
	"unicode/utf8"

	"kitspan/internal/catalog"
	"kitspan/internal/fault"
	"kitspan/internal/job"
)

// maxUnread is how many cells that cannot be read are listed; after them the rest is not looked at.
const maxUnread = 1000

// Read reads CSV: the names of columns in any order in the first line, then a shot a line. Cells are parted by commas or, as the first line has
// it, by semicolons or tabs; beside those decimals may have a comma. Lines with nothing in them mean nothing.
func Read(file []byte) *Table {
	t := &Table{}
	if i := firstInvalid(file); i >= 0 {
		t.give(1, "", fault.NotText{Byte: i})
		return t
	}
	file = bytes.TrimPrefix(file, []byte("\ufeff"))
	in := csv.NewReader(bytes.NewReader(file))
	in.Comma = separatorOf(file)
	in.FieldsPerRecord = -1
	in.ReuseRecord = true
	r := reader{Table: t, decimalComma: in.Comma != ','}
	for {
		record, err := in.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if bad := (*csv.ParseError)(nil); errors.As(err, &bad) {
			r.give(bad.StartLine, "", fault.OpenQuote{})
			break
		}
		line, _ := in.FieldPos(0)
		if !r.row(line, record) {
			break
		}
	}
	r.end()
	return t
}

// give ends a reading that makes no sense.
func (t *Table) give(line int, column string, k fault.Kind) {
	t.wrong(line, column, "", k)
	t.broken = true
}

func firstInvalid(b []byte) int {
	for i := 0; i < len(b); {
		c, n := utf8.DecodeRune(b[i:])
		if c == utf8.RuneError && n == 1 {
			return i
		}
		i += n
	}
	return -1
}

// separatorOf is what parts the names of the columns.
func separatorOf(file []byte) rune {
	first, _, _ := bytes.Cut(file, []byte("\n"))
	best, most := ',', 0
	for _, s := range ",;\t" {
		if n := bytes.Count(first, []byte(string(s))); n > most {
			best, most = s, n
		}
	}
	return best
}

// reader reads a table row by row, whatever file it is in.
type reader struct {
	*Table
	decimalComma bool
	serials      bool      // days and times may be numbers of a spreadsheet
	epoch        int       // of those days, where it is another
	heading      []*column // nil before it, an element nil where it is not known
	extra        int       // rows beyond the most
}

// row reads one; more is false where reading on makes no sense.
func (r *reader) row(line int, cells []string) (more bool) {
	for len(cells) > 0 && cells[len(cells)-1] == "" {
		cells = cells[:len(cells)-1]
	}
	switch {
	case len(cells) == 0:
		return true
	case r.heading == nil:
		return r.names(line, cells)
	case len(r.Shots) == job.MaxShots:
		r.extra++
		return true
	case len(r.unread) >= maxUnread:
		return false
	}
	at := len(r.Shots)
	r.Shots, r.lines = append(r.Shots, job.DraftShot{}), append(r.lines, line)
	if len(cells) > len(r.heading) {
		r.wrong(line, "", "", fault.WrongCells{Count: len(cells), Most: len(r.heading)})
		cells = cells[:len(r.heading)]
	}
	for i, cell := range cells {
		c := r.heading[i]
		if c == nil || cell == "" {
			continue
		}
		if k := r.read(c, &r.Shots[at], cell); k != nil {
			r.wrong(line, c.name, place(at, c), k)
		}
	}
	return true
}

// names reads the heading.
func (r *reader) names(line int, cells []string) (more bool) {
	seen := map[string]bool{}
	for _, cell := range cells {
		name := strings.ToLower(strings.TrimSpace(cell))
		c := byName[name]
		switch {
		case name == "":
			r.give(line, "", fault.Missing{Want: fault.WantLabel})
		case c == nil:
			r.give(line, cut(strings.TrimSpace(cell)), fault.UnknownAmong(name, Columns()))
		case seen[name]:
			r.give(line, name, fault.Twice{})
		}
		seen[name] = true
		r.heading = append(r.heading, c)
	}
	for _, needed := range []string{"number", "place"} {
		if !seen[needed] {
			r.give(line, needed, fault.Missing{Want: fault.WantLabel})
		}
	}
	return !r.broken
}

// end looks at the table as a whole.
func (r *reader) end() {
	if r.heading == nil && !r.broken {
		r.give(1, "", fault.WrongColumns{Columns: []string{"number", "place"}, MayBe: Columns()[2:]})
	}
	if r.extra > 0 {
		r.give(1, "", fault.TooMany{Count: job.MaxShots + r.extra, Most: job.MaxShots})
		r.unread[len(r.unread)-1].Pointer = job.Pointer + "/shots"
	}
}

// read reads a cell into a shot, or returns what is wrong with it.
func (r *reader) read(c *column, s *job.DraftShot, cell string) fault.Kind {
	if c.form != text {
		if cell = strings.TrimSpace(cell); cell == "" {
			return nil
		}
	}
	if c.anyBack && strings.EqualFold(cell, "null") {
		s.Look.AnyBack = true
		return nil
	}
	var value any
	switch c.form {
	case number, whole:
		n, k := r.number(cell)
		if k != nil {
			return k
		}
		value = n
		if c.form == whole {
			if n != math.Trunc(n) || math.Abs(n) >= 1<<31 {
				return fault.NotWhole{Got: cut(cell)}
			}
			value = int(n)
		}
	case yesNo:
		yes, err := strconv.ParseBool(strings.ToLower(cell))
		if err != nil {
			return fault.WrongType{Got: fault.WantText, Want: fault.WantBool}
		}
		value = yes
	case money:
		amount, k := r.money(cell)
		if k != nil {
			return k
		}
		value = amount
	case asJSON:
		v, _ := c.field(s, true)
		return readList(catalog.UnescapeFormulas(cell), v)
	default:
		value = r.said(c, cell)
	}
	v, _ := c.field(s, true)
	if v.Kind() == reflect.Pointer {
		v.Set(reflect.New(v.Type().Elem()))
		v = v.Elem()
	}
	v.Set(reflect.ValueOf(value))
	return nil
}

// said is the text of a cell.
func (r *reader) said(c *column, cell string) string {
	switch {
	case onlyQuotes(cell):
		return strings.TrimPrefix(cell, saidEmpty)
	case r.serials && c.form == date:
		return dateOfSerial(cell, r.epoch)
	case r.serials && c.form == clock:
		return timeOfSerial(cell)
	}
	return catalog.UnescapeFormulas(cell)
}

// number reads one that is written as JSON writes it, or with a decimal comma where that may be.
func (r *reader) number(cell string) (float64, fault.Kind) {
	n := cell
	if r.decimalComma {
		n = strings.Replace(n, ",", ".", 1)
	}
	v, err := strconv.ParseFloat(n, 64)
	switch {
	case strings.Trim(n, "+-.0123456789eE") != "" || errors.Is(err, strconv.ErrSyntax): // hexadecimal, underscores and infinity too
		return 0, fault.WrongType{Got: fault.WantText, Want: fault.WantNumber}
	case err != nil:
		return 0, fault.FarOutOfRange{Got: cut(cell)}
	}
	return v + 0, nil // -0 becomes 0
}

// readList reads a list as JSON, strictly.
func readList(cell string, into reflect.Value) fault.Kind {
	if !strings.HasPrefix(cell, "[") {
		return fault.NotAList{Got: cut(cell)}
	}
	dec := json.NewDecoder(strings.NewReader(cell))
	dec.DisallowUnknownFields()
	list := reflect.New(into.Type())
	err := dec.Decode(list.Interface())
	if err == nil {
		if _, err = dec.Token(); errors.Is(err, io.EOF) {
			into.Set(list.Elem())
			return nil
		}
	} else if name, unknown := strings.CutPrefix(err.Error(), "json: unknown field "); unknown {
		return fault.UnknownAmong(strings.Trim(name, `"`), membersOf(into.Type().Elem()))
	}
	return fault.NotAList{Got: cut(cell)}
}

// membersOf are the names of a list's members.
func membersOf(t reflect.Type) (names []string) {
	if t.Kind() != reflect.Struct {
		return nil
	}
	for i := range t.NumField() {
		name, _, _ := strings.Cut(t.Field(i).Tag.Get("json"), ",")
		names = append(names, name)
	}
	return names
}

func cut(s string) string {
	const longest = 60
	if r := []rune(s); len(r) > longest {
		return string(r[:longest]) + "…"
	}
	return s
}
