package web

import (
	"errors"
	"math"
	"net/url"
	"regexp"
	"strconv"
	"strings"

	"kitspan/internal/fault"
	"kitspan/internal/job"
	"kitspan/internal/phrase"
	"kitspan/internal/shot"
	"kitspan/internal/text"
)

// jobForm is the form of a job read: what it means, and what is wrong with it.
type jobForm struct {
	*jobTyped
	reader   reader
	notation notation // of what was typed
	kept     *job.Draft
	marked   map[string]bool // rows, by table and place
	Draft    job.Draft
	Errors   map[string]string // by field
	General  []string
	shotRow  []int          // of the shots of the draft
	placeRow map[string]int // of the places of the draft
	moveRow  []int
}

// readJob reads a form against the job as it is kept, of which whatever the form has no field for is taken over.
func readJob(t *jobTyped, kept *job.Draft, n notation, r reader) *jobForm {
	f := &jobForm{jobTyped: t, reader: r, notation: n, kept: kept, Errors: map[string]string{}, placeRow: map[string]int{}}
	f.Draft = *kept
	said := func(field string) *string {
		if v := t.Head[field]; v != "" {
			return &v
		}
		return nil
	}
	name := t.Head["name"]
	f.Draft.Name, f.Draft.Notes, f.Draft.TimeZone = &name, said("notes"), said("zone")
	f.Draft.Production = job.DraftProduction{Name: said("production"), Contact: said("contact"), Address: said("address")}
	f.Draft.Hire = job.DraftHire{From: said("hire_from"), To: said("hire_to")}
	f.readPlaces()
	f.readMoves()
	f.readShots()
	_, faults := f.Draft.Resolve()
	f.blame(faults)
	return f
}

func rowOf(table string, i int, column string) string {
	return table + strconv.Itoa(i) + "-" + column
}

// wrong notes what is wrong with a field, once.
func (f *jobForm) wrong(field, says string) {
	if f.Errors[field] == "" {
		f.Errors[field] = says
	}
}

func (f *jobForm) say(k phrase.Key, args ...any) string { return f.reader.language.Say(k, args...) }

// readPlaces reads the places. One without a name is left out, and so is a name's second.
func (f *jobForm) readPlaces() {
	f.Draft.Places = map[string]job.Place{}
	for i, row := range f.Places {
		field := func(column string) string { return rowOf("p", i, column) }
		p := f.kept.Places[row[wasColumn]]
		name := row["name"]
		if lat, lon, err := coordinates(row["at"]); err != nil {
			f.wrong(field("at"), f.say(wrongPoint))
			p.LatitudeDeg, p.LongitudeDeg = nil, nil
		} else if row["at"] != positionTyped(&p) {
			p.LatitudeDeg, p.LongitudeDeg = &lat, &lon
		}
		p.TimeZone = nil
		if zone := row["zone"]; zone != "" {
			p.TimeZone = &zone
		}
		if ground := row["ground"]; ground != "" && (p.Ground == nil || *p.Ground != ground) {
			p.Ground = &ground
		}
		_, twice := f.Draft.Places[name]
		switch {
		case name == "":
			f.wrong(field("name"), f.say("give each place a name of its own"))
		case twice:
			f.wrong(field("name"), text.FaultBeside(f.reader.text(), fault.Fault{Kind: fault.Reserved{Got: name}}))
		default:
			f.Draft.Places[name], f.placeRow[name] = p, i
		}
	}
}

// renamed is a place's name now: a field that nobody has touched since it was read follows the place that it named.
func (f *jobForm) renamed(name string, untouched bool) string {
	if _, there := f.placeRow[name]; there && !untouched {
		return name
	}
	for _, row := range f.Places {
		if row[wasColumn] == name && name != "" && row["name"] != "" {
			return row["name"]
		}
	}
	return name
}

// whole reads a whole number; nil where there is none.
func (f *jobForm) whole(field, typed string) *int {
	if typed == "" {
		return nil
	}
	v, err := f.notation.number(typed)
	const most = 1e6
	if err != nil || v != math.Trunc(v) || math.Abs(v) > most {
		f.wrong(field, f.say("give a whole number of minutes, such as 45"))
		return nil
	}
	n := int(v)
	return &n
}

func (f *jobForm) readMoves() {
	f.Draft.Moves = nil
	for i, row := range f.Moves {
		untouched := false
		for k := range f.kept.Moves {
			b := f.kept.Moves[k].Between
			untouched = untouched || len(b) == 2 && b[0] == row["a"] && b[1] == row["b"]
		}
		for _, end := range []string{"a", "b"} {
			row[end] = f.renamed(row[end], untouched)
		}
		f.Draft.Moves = append(f.Draft.Moves, job.DraftMove{Between: []string{row["a"], row["b"]}, Minutes: f.whole(rowOf("m", i, "min"), row["min"])})
		f.moveRow = append(f.moveRow, i)
	}
}

// readShots reads the shots. A date or a place that is left out is that of the row above.
func (f *jobForm) readShots() {
	kept := map[string]*job.DraftShot{}
	for i := range f.kept.Shots {
		kept[textTyped(f.kept.Shots[i].Number)] = &f.kept.Shots[i]
	}
	f.Draft.Shots = nil
	for i, row := range f.Shots {
		base := job.DraftShot{}
		if k := kept[row[likeColumn]]; k != nil && row[likeColumn] != "" {
			base = *k
		}
		if i > 0 {
			for _, column := range []string{"place", dateField} {
				if row[column] == "" {
					row[column] = f.Shots[i-1][column]
				}
			}
		}
		row["place"] = f.renamed(row["place"], textTyped(base.Place) == row["place"])
		f.Draft.Shots = append(f.Draft.Shots, f.readShot(i, row, base))
		f.shotRow = append(f.shotRow, i)
	}
}

// readShot reads a row over the details of a shot.
func (f *jobForm) readShot(i int, row typedRow, d job.DraftShot) job.DraftShot {
	q := url.Values{numbersField: {f.notation.language}}
	for _, column := range []string{nameField, dateField, fromField, toField, bearingField, "width", "distance"} {
		q.Set(column, row[column])
	}
	read := readForm(q, "", f.notation, f.reader.text())
	for name, says := range read.Errors {
		f.wrong(rowOf("s", i, name), says)
	}
	number, place := row["number"], row["place"]
	if number == "" {
		f.wrong(rowOf("s", i, "number"), f.say("give each shot a number of its own"))
	}
	if place == "" {
		f.wrong(rowOf("s", i, "place"), f.say("give the name of a place of the job"))
	}
	was := d.Window
	d.Number, d.Place, d.Name = &number, &place, read.Draft.Name
	d.Window, d.When = read.Draft.Window, nil
	switch minutes := f.whole(rowOf("s", i, "min"), row["min"]); {
	case minutes != nil || row["min"] != "":
		d.When = &job.DraftWhen{Date: d.Window.Date, Earliest: d.Window.Start, Latest: d.Window.End, DurationMin: minutes}
		d.Window = shot.DraftWindow{}
	case textTyped(was.Date) == row[dateField] && textTyped(was.Start) == row[fromField] && textTyped(was.End) == row[toField]:
		d.Window = was // with the date of its end
	}
	d.Camera.BearingDeg, d.Framing.DistanceM, d.Framing.WidthM = read.Draft.Camera.BearingDeg, read.Draft.Framing.DistanceM, read.Draft.Framing.WidthM
	if d.Framing.WidthM != nil {
		d.Framing.FocalLengthMM, d.Framing.SensorWidthMM = nil, nil
	}
	return d
}

// cellOf are the columns of the members of a shot; those of its details are said beside its number.
var cellOf = map[string]string{
	"/number": "number", "/place": "place", "/name": "name", "/window": dateField, "/window/date": dateField, "/window/start": fromField, "/window/end": toField,
	"/when": dateField, "/when/date": dateField, "/when/earliest": fromField, "/when/latest": toField, "/when/duration_min": "min",
	"/camera/bearing_deg": bearingField, "/framing/width_m": "width", "/framing/distance_m": "distance",
}

// headOf are the fields of the members of a job.
var headOf = map[string]string{
	"/name": "name", "/notes": "notes", "/time_zone": "zone", "/hire/from": "hire_from", "/hire/to": "hire_to",
	"/production/name": "production", "/production/contact": "contact", "/production/address": "address",
}

// placeCellOf are the columns of the members of a place.
var placeCellOf = map[string]string{"": "name", "/latitude_deg": "at", "/longitude_deg": "at", "/time_zone": "zone", "/ground": "ground"}

// blame puts the faults of the job beside the fields that they are of.
func (f *jobForm) blame(faults []fault.Fault) {
	for _, wrong := range faults {
		pointer := strings.TrimPrefix(wrong.Pointer, job.Pointer)
		field, exact := f.fieldOf(pointer)
		if at, rest, ok := indexed(pointer, "/shots/"); ok && rest == "/window" && at < len(f.shotRow) { // nothing was said of when
			for column, want := range map[string]fault.Want{dateField: fault.WantDate, fromField: fault.WantTime, toField: fault.WantTime} {
				f.wrong(rowOf("s", f.shotRow[at], column), text.FaultBeside(f.reader.text(), fault.Fault{Pointer: "/shot/window/" + column, Kind: fault.Missing{Want: want}}))
			}
			continue
		}
		switch {
		case field == "":
			f.General = append(f.General, f.worded(text.Fault(f.reader.text(), wrong)))
		case exact:
			f.wrong(field, f.worded(text.FaultBeside(f.reader.text(), wrong)))
		default:
			f.wrong(field, f.worded(text.Fault(f.reader.text(), wrong)))
		}
	}
}

// fieldOf is the field of a member of the job, exact where it is that very one; empty where no field is to blame.
func (f *jobForm) fieldOf(pointer string) (field string, exact bool) {
	if field := headOf[pointer]; field != "" {
		return field, true
	}
	if i, rest, ok := indexed(pointer, "/shots/"); ok && i < len(f.shotRow) {
		column, exact := cellOf[rest]
		if !exact {
			column = "number"
			for member, cell := range cellOf {
				if strings.HasPrefix(rest, member+"/") && member != "/window" && member != "/when" {
					column = cell
				}
			}
		}
		return rowOf("s", f.shotRow[i], column), exact
	}
	if i, rest, ok := indexed(pointer, "/moves/"); ok && i < len(f.moveRow) {
		switch rest {
		case "/minutes":
			return rowOf("m", f.moveRow[i], "min"), true
		case "/between/1":
			return rowOf("m", f.moveRow[i], "b"), true
		}
		return rowOf("m", f.moveRow[i], "a"), true
	}
	for name, i := range f.placeRow {
		at := strings.TrimPrefix(job.PlacePointer(name), job.Pointer)
		if rest, ok := strings.CutPrefix(pointer, at); ok && (rest == "" || rest[0] == '/') {
			column, exact := placeCellOf[rest]
			if !exact {
				column = "name"
			}
			return rowOf("p", i, column), exact
		}
	}
	return "", false
}

// indexed cuts a list's prefix and the number of an element off a pointer.
func indexed(pointer, prefix string) (i int, rest string, ok bool) {
	tail, ok := strings.CutPrefix(pointer, prefix)
	if !ok {
		return 0, "", false
	}
	digits, after, found := strings.Cut(tail, "/")
	i, err := strconv.Atoi(digits)
	if found {
		rest = "/" + after
	}
	return i, rest, err == nil && i >= 0
}

// shotMember is a shot in a sentence that names it by its place in the list.
var shotMember = regexp.MustCompile(`\bshots\[([0-9]+)\]`)

// worded names members of the contract in a sentence as the page has them.
func (f *jobForm) worded(says string) string {
	says = shotMember.ReplaceAllStringFunc(says, func(member string) string {
		i, err := strconv.Atoi(shotMember.FindStringSubmatch(member)[1])
		if err != nil || i >= len(f.shotRow) {
			return member
		}
		return f.say("row %d", f.shotRow[i]+1)
	})
	return labelled(f.reader.language, says)
}

// sound reports whether nothing is wrong.
func (f *jobForm) sound() bool { return len(f.Errors) == 0 && len(f.General) == 0 }

// refused takes over what the storage says of a form; false where that is not what went wrong.
func (f *jobForm) refused(err error) bool {
	var unsound *job.UnsoundError
	if !errors.As(err, &unsound) {
		return false
	}
	f.blame(unsound.Faults)
	return true
}
