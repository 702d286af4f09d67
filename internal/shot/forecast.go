package shot

import (
	"fmt"
	"time"

	"kitspan/internal/fault"
)

// MaxForecastRows is how many rows of a forecast are taken: sixteen days by the hour (common practice, no source).
const MaxForecastRows = 400

var cloudBound = bound{lo: 0, hi: 1, unit: "of the sky"}

// forecastPointer is the place of the forecast in a request.
const forecastPointer = "/shot/forecast"

// forecastEntry is a row as it was given. Of one that was given as CSV line is its line, and unread the texts that are no numbers, by
// column.
type forecastEntry struct {
	DraftForecastRow
	line   int
	unread map[string]string
}

// resolveForecast reads a forecast, given as rows or as CSV. Without a location times of CSV that need it are left out.
func resolveForecast(r *resolver, rows []DraftForecastRow, table *string, zone string, loc *time.Location) []ForecastRow {
	var entries []forecastEntry
	switch {
	case table != nil && rows != nil:
		r.fault(forecastPointer, fault.BothGiven{Beside: []string{"csv"}, Sets: [][]string{{"forecast"}, {"csv"}}})
		return nil
	case table != nil:
		entries = readForecastCSV(r, *table)
	case len(rows) > MaxForecastRows:
		r.fault(forecastPointer, fault.TooMany{Count: len(rows), Most: MaxForecastRows})
		return nil
	default:
		for _, row := range rows {
			entries = append(entries, forecastEntry{DraftForecastRow: row})
		}
	}
	var out []ForecastRow
	var before time.Time // of the row just before; zero where that is at fault
	for i, e := range entries {
		first := len(r.faults)
		row := resolveForecastRow(r, i, e, before, zone, loc)
		for k := first; k < len(r.faults) && e.line > 0; k++ {
			r.faults[k].Line, r.faults[k].Column = e.line, field(r.faults[k].Pointer)
		}
		before = row.At
		out = append(out, row)
	}
	return out
}

func resolveForecastRow(r *resolver, i int, e forecastEntry, before time.Time, zone string, loc *time.Location) ForecastRow {
	at := fmt.Sprintf("%s/%d", forecastPointer, i)
	var row ForecastRow
	var ok bool
	if row.At, ok = resolveForecastAt(r, at+"/at", e, before, zone, loc); ok && !before.IsZero() && !row.At.After(before) {
		r.fault(at+"/at", fault.NotLater{At: row.At.Format(time.RFC3339Nano), Before: before.Format(time.RFC3339Nano)})
	}
	if text, unread := e.unread["gust_ms"]; unread {
		r.fault(at+"/gust_ms", fault.NotANumber{Got: cut(text), Range: gustBound.asked()})
	} else {
		row.GustMS, _ = r.needed(at+"/gust_ms", e.GustMS, gustBound)
	}
	if text, unread := e.unread["cloud"]; unread {
		r.fault(at+"/cloud", fault.NotANumber{Got: cut(text), Range: cloudBound.asked()})
	} else {
		row.Cloud = r.optional(at+"/cloud", e.Cloud, cloudBound)
	}
	return row
}

// resolveForecastAt reads the time of a row; not ok where it is at fault.
func resolveForecastAt(r *resolver, pointer string, e forecastEntry, before time.Time, zone string, loc *time.Location) (time.Time, bool) {
	if e.At == nil || *e.At == "" {
		r.fault(pointer, fault.Missing{Want: fault.WantInstant})
		return time.Time{}, false
	}
	var at time.Time
	err := at.UnmarshalText([]byte(*e.At)) // stricter than time.Parse, which takes a comma for the point
	wall, local := time.Time{}, false
	if err != nil && e.line > 0 {
		wall, local = readWallTime(*e.At)
	}
	switch year := max(at.Year(), wall.Year()); {
	case err != nil && !local:
		r.fault(pointer, fault.NotAnInstant{Got: cut(*e.At)})
		return time.Time{}, false
	case year < firstYear || year > lastYear:
		r.fault(pointer, fault.YearOutOfRange{Got: cut(*e.At), LeastYear: firstYear, MostYear: lastYear})
		return time.Time{}, false
	case loc == nil:
		return time.Time{}, false
	case local:
		return wallAfter(r, pointer, wall, before, zone, loc)
	}
	return at.In(loc), true
}

// wallTimes are how a time without an offset may be written in CSV.
var wallTimes = [...]string{"2006-01-02 15:04", "2006-01-02T15:04", "2006-01-02 15:04:05", "2006-01-02T15:04:05"}

// readWallTime reads a time of the clocks on the wall, as if they showed UTC.
func readWallTime(s string) (time.Time, bool) {
	for _, layout := range wallTimes {
		if t, err := time.Parse(layout, s); err == nil && t.Format(layout) == s {
			return t, true
		}
	}
	return time.Time{}, false
}

// wallAfter is the instant at which the clocks of a zone show a time. One that they show twice is the first of the two that is later than
// before: rows by the hour name it once for each.
func wallAfter(r *resolver, pointer string, wall, before time.Time, zone string, loc *time.Location) (time.Time, bool) {
	found, gap := wallInstants(wall, loc)
	if len(found) == 0 {
		r.fault(pointer, skipped(wall, zone, gap))
		return time.Time{}, false
	}
	for _, t := range found {
		if t.After(before) {
			return t, true
		}
	}
	return found[0], true
}
