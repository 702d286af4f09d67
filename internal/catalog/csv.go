package catalog

import (
	"errors"
	"fmt"
	"io"
	"iter"
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

// CSVColumns returns the headings of a kind's file in the order in which [CSVWriter] writes them.
func CSVColumns(k Kind) []string {
	columns := []string{"house", "sku"}
	for _, f := range (&Item{Spec: NewSpec(k)}).Fields("") {
		if f.Name == beforeRates {
			columns = append(columns, "currency")
		}
		columns = append(columns, f.Name)
	}
	return columns
}

// beforeRates is the field before which a file names the currency.
const beforeRates = "rates"

const (
	// MaxFaults is how many bad cells of one file are listed; the rest are counted.
	MaxFaults = 1000
	// maxCounted is at how many more bad cells a file is given up: it is of another kind, or hostile.
	maxCounted = 10 * MaxFaults
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

// CSVError lists the bad cells of a file in the order of its lines, at most [MaxFaults]; More counts the rest, up to where
// the file was given up. Where the
// heading is wrong, no row was read: Heading says what is wrong with it ("9 columns are missing") and Faults name its columns.
type CSVError struct {
	Faults  []CellFault
	More    int
	Heading string
	// GivenUp means that there were so many that the rest of the file was not read.
	GivenUp bool
}

func (e *CSVError) Error() string {
	n := len(e.Faults) + e.More
	if e.Heading != "" && n > 1 {
		return fmt.Sprintf("catalogue file: %s, the first at %s", e.Heading, e.Faults[0])
	}
	if n == 1 {
		return "catalogue file: " + e.Faults[0].String()
	}
	least := ""
	if e.GivenUp {
		least = "at least "
	}
	return fmt.Sprintf("catalogue file: %s%d faults, the first at %s", least, n, e.Faults[0])
}

func (e *CSVError) add(line int, column, format string, args ...any) {
	if len(e.Faults) == MaxFaults {
		e.More++
		return
	}
	e.Faults = append(e.Faults, CellFault{line, column, fmt.Sprintf(format, args...)})
}

// OneHouse returns the lookup for [ReadCSV] that knows one house alone.
func OneHouse(h House) func(slug string) (House, bool) {
	return func(slug string) (House, bool) { return h, slug == h.Slug }
}

// Row is one item of a catalogue file.
type Row struct {
	Line  int
	House string
	Item  Item
}

// ReadCSV reads a catalogue file by [CSVRows] and hands each item to row, in the order of the file. An error of row ends
// the reading and is returned as it is.
func ReadCSV(r io.Reader, kind Kind, houses func(slug string) (House, bool), row func(house string, item Item) error) error {
	for line, err := range CSVRows(r, kind, houses) {
		if err != nil {
			return err
		}
		if err := row(line.House, line.Item); err != nil {
			return err
		}
	}
	return nil
}

// CSVRows reads a catalogue file as a stream, row by row. The file is read to its end whatever is wrong with it, but
// for one that is wrong in many thousand cells, and every bad cell is reported in one [*CSVError], which comes last; after the first fault rows are checked and no longer
// given, so that a caller who undoes its work on an error takes all or nothing. houses says which houses the file may
// speak of. An error of r comes last too, as it is.
func CSVRows(r io.Reader, kind Kind, houses func(slug string) (House, bool)) iter.Seq2[Row, error] {
	return func(yield func(Row, error) bool) {
		if NewSpec(kind) == nil {
			yield(Row{}, fmt.Errorf("catalog: %s is not a kind of item: must be one of %s", quote(string(kind)), kindNames()))
			return
		}
		in := newCSVReader(r, kind, houses)
		for {
			row, err := in.next()
			if errors.Is(err, io.EOF) {
				break
			}
			if err != nil {
				yield(Row{}, err)
				return
			}
			if len(in.faults.Faults) == 0 && !yield(row, nil) {
				return
			}
		}
		if len(in.faults.Faults) > 0 {
			yield(Row{}, in.faults)
		}
	}
}
