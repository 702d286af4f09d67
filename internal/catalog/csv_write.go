package catalog

import (
	"encoding/csv"
	"fmt"
	"io"
)

// CSVWriter writes a catalogue file that [ReadCSV] reads back to the same items: numbers with as many digits as bring back the same
// number, and texts as they are, but for an apostrophe before what a spreadsheet program would take for a formula.
type CSVWriter struct {
	csv  *csv.Writer
	kind Kind
	row  []string
}

// NewCSVWriter writes the heading of a kind's file.
func NewCSVWriter(w io.Writer, kind Kind) (*CSVWriter, error) {
	if NewSpec(kind) == nil {
		return nil, fmt.Errorf("catalog: %s is not a kind of item: must be one of %s", quote(string(kind)), kindNames())
	}
	c := &CSVWriter{csv: csv.NewWriter(w), kind: kind}
	return c, c.csv.Write(CSVColumns(kind))
}

// Write adds one item of a house. An item of another kind is an error.
func (c *CSVWriter) Write(house House, item *Item) error {
	if item.Kind() != c.kind {
		return fmt.Errorf("catalog: %s is a %s: the file holds items of kind %s", item.SKU, item.Kind(), c.kind)
	}
	c.row = append(c.row[:0], house.Slug, item.SKU)
	for _, f := range item.Fields(house.Currency) {
		if f.Name == beforeRates {
			c.row = append(c.row, house.Currency)
		}
		text := f.Format()
		if f.isText() {
			text = EscapeFormulas(text)
		}
		c.row = append(c.row, text)
	}
	return c.csv.Write(c.row)
}

// Flush writes out what is still held back and returns the first error of the writing.
func (c *CSVWriter) Flush() error {
	c.csv.Flush()
	return c.csv.Error()
}

// WriteCSV writes the items of one kind among items as one file.
func WriteCSV(w io.Writer, kind Kind, house House, items []Item) error {
	c, err := NewCSVWriter(w, kind)
	if err != nil {
		return err
	}
	for i := range items {
		if items[i].Kind() == kind {
			if err := c.Write(house, &items[i]); err != nil {
				return err
			}
		}
	}
	return c.Flush()
}
