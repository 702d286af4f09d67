package web

import (
	"cmp"
	"maps"
	"net/url"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"kitspan/internal/job"
	"kitspan/internal/phrase"
)

// The form of a job as texts: what stands in its fields, whether it came from storage or was typed.

// typedRow is a row of a table, by the names of its columns.
type typedRow map[string]string

// jobTyped is what stands in the form of a job.
type jobTyped struct {
	Head                 typedRow
	Places, Moves, Shots []typedRow
	// Gone are shots and places that the form has deleted, as [goneShot] and [gonePlace] have them.
	Gone []string
}

// Columns of rows that no reader sees: the number or the name that a row had when it was read from storage, and the shot whose details it
// takes.
const (
	wasColumn  = "was"
	likeColumn = "like"
)

func goneShot(number string) string { return "s:" + number }
func gonePlace(name string) string  { return "p:" + name }

// column is one of a table of the form.
type column struct {
	Name  string
	Label phrase.Key
	Kind  kind
	List  string // of what may be typed
}

var (
	headFields = []column{
		{"name", "Name of the job", asText, ""}, {"production", "Production", asText, ""}, {"contact", "Contact", asText, ""},
		{"address", "Invoice address", asLines, ""}, {"hire_from", "Hire from", asDate, ""}, {"hire_to", "Hire to", asDate, ""},
		{"zone", "Time zone", asText, "zones"}, {"notes", "Notes", asLines, ""},
	}
	placeColumns = []column{
		{"name", "Name", asText, ""}, {"at", "Position", asText, ""}, {"zone", "Time zone", asText, "zones"}, {"ground", "Ground", asChoice, ""},
	}
	moveColumns = []column{{"a", "Between", asText, "places"}, {"b", "And", asText, "places"}, {"min", "Minutes", asWhole, ""}}
	shotColumns = []column{
		{"number", "table|Shot", asText, ""}, {"place", "Place", asText, "places"}, {dateField, "Date", asDate, ""}, {fromField, "From", asTime, ""}, {toField, "To", asTime, ""},
		{"min", "Minutes", asWhole, ""}, {bearingField, "Lens toward", asText, ""}, {"width", "Width", asLength, ""}, {"distance", "Distance", asLength, ""},
		{"name", "Name", asText, ""},
	}
)

// rowField are the parts of the name of a field in a row: which table, which row, which column.
var rowField = regexp.MustCompile(`^([pms])([0-9]{1,4})-([a-z_]+)$`)

// typedIn reads a form that was sent.
func typedIn(q url.Values) *jobTyped {
	t := &jobTyped{Head: typedRow{}, Gone: q["gone"]}
	for _, f := range headFields {
		t.Head[f.Name] = strings.TrimSpace(q.Get(f.Name))
	}
	rows := map[string]map[int]typedRow{"p": {}, "m": {}, "s": {}}
	for field, v := range q {
		m := rowField.FindStringSubmatch(field)
		if m == nil || len(v) == 0 {
			continue
		}
		n, _ := strconv.Atoi(m[2]) // digits alone
		if rows[m[1]][n] == nil {
			rows[m[1]][n] = typedRow{}
		}
		rows[m[1]][n][m[3]] = strings.TrimSpace(v[0])
	}
	inOrder := func(table string) (list []typedRow) {
		for _, n := range slices.Sorted(maps.Keys(rows[table])) {
			if row := rows[table][n]; !row.blank() {
				list = append(list, row)
			}
		}
		return list
	}
	t.Places, t.Moves, t.Shots = inOrder("p"), inOrder("m"), inOrder("s")
	return t
}

// blank reports whether nothing is typed in a row.
func (r typedRow) blank() bool {
	for name, v := range r {
		if v != "" && name != "ground" {
			return false
		}
	}
	return true
}

// numberIn writes a number as a notation has it, exactly.
func numberIn(v *float64, n notation) string {
	return strings.Replace(numberTyped(v), ".", n.decimal, 1)
}

func wholeTyped(v *int) string {
	if v == nil {
		return ""
	}
	return strconv.Itoa(*v)
}

func textTyped(v *string) string {
	if v == nil {
		return ""
	}
	return *v
}

// typedOf is the form of a draft, its numbers in a notation.
func typedOf(d *job.Draft, n notation) *jobTyped {
	t := &jobTyped{Head: typedRow{
		"name": textTyped(d.Name), "production": textTyped(d.Production.Name), "contact": textTyped(d.Production.Contact), "address": textTyped(d.Production.Address),
		"hire_from": textTyped(d.Hire.From), "hire_to": textTyped(d.Hire.To), "zone": textTyped(d.TimeZone), "notes": textTyped(d.Notes),
	}}
	for _, name := range slices.Sorted(maps.Keys(d.Places)) {
		p := d.Places[name]
		t.Places = append(t.Places, typedRow{
			wasColumn: name, "name": name, "at": positionTyped(&p), "zone": textTyped(p.TimeZone), "ground": cmp.Or(textTyped(p.Ground), "concrete"),
		})
	}
	for i := range d.Moves {
		row := typedRow{"min": wholeTyped(d.Moves[i].Minutes)}
		for k, end := range d.Moves[i].Between {
			if k < 2 {
				row[moveColumns[k].Name] = end
			}
		}
		t.Moves = append(t.Moves, row)
	}
	for i := range d.Shots {
		t.Shots = append(t.Shots, shotTyped(&d.Shots[i], n))
	}
	return t
}

// positionTyped is a place's position as it is typed.
func positionTyped(p *job.Place) string {
	if p.LatitudeDeg == nil || p.LongitudeDeg == nil {
		return ""
	}
	exact := func(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
	return exact(*p.LatitudeDeg) + ", " + exact(*p.LongitudeDeg)
}

// shotTyped is the row of a shot.
func shotTyped(d *job.DraftShot, n notation) typedRow {
	number := textTyped(d.Number)
	row := typedRow{
		wasColumn: number, likeColumn: number, "number": number, "place": textTyped(d.Place), "name": d.Name, bearingField: numberIn(d.Camera.BearingDeg, n),
		"width": numberIn(d.Framing.WidthM, n), "distance": numberIn(d.Framing.DistanceM, n),
		dateField: textTyped(d.Window.Date), fromField: textTyped(d.Window.Start), toField: textTyped(d.Window.End),
	}
	if w := d.When; w != nil {
		row[dateField], row[fromField], row[toField], row["min"] = textTyped(w.Date), textTyped(w.Earliest), textTyped(w.Latest), wholeTyped(w.DurationMin)
	}
	return row
}

// act does to marked rows what a button asks, and returns the rows that are marked then: rows are named by table and place, "s3".
func (t *jobTyped) act(what string, marked []string) (mark map[string]bool) {
	mark = map[string]bool{}
	for _, m := range marked {
		mark[m] = true
	}
	at := func(table string, i int) bool { return mark[table+strconv.Itoa(i)] }
	switch what {
	case "delete":
		kept := func(table string, rows []typedRow) (out []typedRow) {
			for i, row := range rows {
				switch was := row[wasColumn]; {
				case !at(table, i):
					out = append(out, row)
				case was != "" && table == "s":
					t.Gone = append(t.Gone, goneShot(was))
				case was != "" && table == "p":
					t.Gone = append(t.Gone, gonePlace(was))
				}
			}
			return out
		}
		t.Places, t.Moves, t.Shots = kept("p", t.Places), kept("m", t.Moves), kept("s", t.Shots)
		return nil
	case "copy":
		var out []typedRow
		for i, row := range t.Shots {
			out = append(out, row)
			if at("s", i) {
				again := maps.Clone(row)
				delete(again, wasColumn)
				again["number"] = t.numberAfter(row["number"])
				out = append(out, again)
			}
		}
		t.Shots = out
		return nil
	case "up":
		for i := 1; i < len(t.Shots); i++ {
			if at("s", i) && !at("s", i-1) {
				t.Shots[i-1], t.Shots[i] = t.Shots[i], t.Shots[i-1]
				mark["s"+strconv.Itoa(i-1)], mark["s"+strconv.Itoa(i)] = true, false
			}
		}
	case "down":
		for i := len(t.Shots) - 2; i >= 0; i-- {
			if at("s", i) && !at("s", i+1) {
				t.Shots[i+1], t.Shots[i] = t.Shots[i], t.Shots[i+1]
				mark["s"+strconv.Itoa(i+1)], mark["s"+strconv.Itoa(i)] = true, false
			}
		}
	}
	return mark
}

// numberAfter is the number that a crew would write next: 13 after 12, 12B after 12A; empty where that is taken or not plain.
func (t *jobTyped) numberAfter(number string) string {
	next := ""
	head := strings.TrimRight(number, "0123456789")
	switch {
	case head != number && len(number)-len(head) < 9:
		n, _ := strconv.Atoi(number[len(head):])
		next = head + strconv.Itoa(n+1)
	case number != "":
		last := number[len(number)-1]
		if last >= 'A' && last < 'Z' || last >= 'a' && last < 'z' {
			next = number[:len(number)-1] + string(last+1)
		}
	}
	if slices.ContainsFunc(t.Shots, func(row typedRow) bool { return row["number"] == next }) {
		return ""
	}
	return next
}
