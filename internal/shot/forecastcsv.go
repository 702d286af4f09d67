package shot

import (
	"strconv"
	"strings"

	"kitspan/internal/fault"
)

// ForecastColumns are the columns of a forecast as CSV. The last may be left out.
var ForecastColumns = []string{"at", "gust_ms", "cloud"}

const forecastNeeded = 2

// readForecastCSV reads the lines of a table: the names of the columns, in any order, then a row a line. Cells are parted by commas or, as
// the first line has it, by semicolons or tabs, as spreadsheets do; beside those decimals may have a comma. Cells may stand in double
// quotes, though none needs them. Empty lines count as lines and are no rows. What is at fault with the table is noted; what is in the
// cells of a row is left to whoever reads it.
func readForecastCSV(r *resolver, table string) []forecastEntry {
	note := func(line int, k fault.Kind) {
		r.faults = append(r.faults, fault.Fault{Pointer: forecastPointer, Line: line, Kind: k})
	}
	var out []forecastEntry
	var columns []string // nil before the first line with something in it
	separator, heading, rows := ",", 1, 0
	line := 0
	for text := range strings.Lines(strings.TrimPrefix(table, "\ufeff")) {
		line++
		if strings.TrimSpace(text) == "" {
			continue
		}
		if columns == nil {
			heading, separator = line, separatorOf(text)
			if columns = forecastHeading(cellsOf(text, separator)); columns == nil {
				note(line, fault.WrongColumns{Got: cut(strings.TrimSpace(text)), Columns: ForecastColumns[:forecastNeeded], MayBe: ForecastColumns[forecastNeeded:]})
				return nil
			}
			continue
		}
		if rows++; rows > MaxForecastRows {
			continue // they are counted
		}
		cells := cellsOf(text, separator)
		if len(cells) > len(columns) {
			note(line, fault.WrongCells{Count: len(cells), Most: len(columns)})
			continue
		}
		out = append(out, forecastRow(line, columns, cells, separator))
	}
	switch {
	case rows > MaxForecastRows:
		note(heading, fault.TooMany{Count: rows, Most: MaxForecastRows})
		return nil
	case rows == 0:
		note(heading, fault.Missing{Want: fault.WantRows})
	}
	return out
}

// separatorOf is what parts the cells of a table with this first line.
func separatorOf(heading string) string {
	for _, s := range []string{";", "\t"} {
		if strings.Contains(heading, s) {
			return s
		}
	}
	return ","
}

func cellsOf(line, separator string) []string {
	cells := strings.Split(strings.TrimRight(line, "\r\n"), separator)
	for i, c := range cells {
		c = strings.TrimSpace(c)
		if len(c) >= 2 && c[0] == '"' && c[len(c)-1] == '"' {
			c = strings.TrimSpace(c[1 : len(c)-1])
		}
		cells[i] = c
	}
	return cells
}

// forecastHeading is the columns that a first line names; nil where it does not.
func forecastHeading(cells []string) []string {
	seen := map[string]bool{}
	for i, c := range cells {
		c = strings.ToLower(c)
		known := false
		for _, name := range ForecastColumns {
			known = known || c == name
		}
		if !known || seen[c] {
			return nil
		}
		cells[i], seen[c] = c, true
	}
	for _, name := range ForecastColumns[:forecastNeeded] {
		if !seen[name] {
			return nil
		}
	}
	return cells
}

func forecastRow(line int, columns, cells []string, separator string) forecastEntry {
	e := forecastEntry{line: line, unread: map[string]string{}}
	for i, text := range cells {
		if text == "" {
			continue
		}
		if columns[i] == "at" {
			e.At = &text
			continue
		}
		into := &e.GustMS
		if columns[i] == "cloud" {
			into = &e.Cloud
		}
		number := text
		if separator != "," {
			number = strings.Replace(number, ",", ".", 1)
		}
		v, err := strconv.ParseFloat(number, 64)
		if err != nil || strings.Trim(number, "+-.0123456789eE") != "" { // hexadecimal, underscores, infinity
			e.unread[columns[i]] = text
			continue
		}
		*into = &v
	}
	return e
}
