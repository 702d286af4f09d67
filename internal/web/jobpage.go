package web

import (
	"errors"
	"net/http"
	"slices"
	"strconv"

	"github.com/labstack/echo/v4"

	"kitspan/internal/catalog"
	"kitspan/internal/job"
	"kitspan/internal/phrase"
)

// jobPage is one job to read and, for staff, to fill in.
type jobPage struct {
	ID      string
	Name    string
	Version int64
	Numbers string // the language of the numbers in the fields
	Head    []cellView
	Places  tableView
	Moves   tableView
	Shots   tableView
	Gone    []string
	Faults  []cellFault
	Zones   []string
	Names   []string // of places
	Houses  []catalog.House
	Days    string
	Export  string // the address of the shots as a table
	// Saved is set after saving, and Unsaved where what is shown is not what is kept.
	Saved, Unsaved bool
	// Lost means that somebody else changed the job meanwhile; Theirs is what it says now where that is another than was typed.
	Lost   bool
	Theirs []string
}

// tableView is a table of the form, a blank row at its end.
type tableView struct {
	Title   string
	Columns []column
	Rows    []rowView
}

type rowView struct {
	Name, Label string // "s3", "Row 4"
	Was, Like   string
	Cells       []cellView
	Blank       bool
	Marked      bool
	More        string // the address of the page of the shot
}

// cellView is a field of the form.
type cellView struct {
	Field, Row   string
	Label        phrase.Key
	Kind         kind
	Value, Error string
	Words        []word
	List         string
	// Plain is set where the words are names that nobody translates.
	Plain bool
}

// cellFault is what is wrong with a field, for the list on top.
type cellFault struct {
	Field, Row string
	Label      phrase.Key
	Says       string
}

// show is the page of a job, or the one of a row of the form for the shot pages.
func (s jobPages) show(c echo.Context) error {
	stored, err := s.stored(c)
	if err != nil {
		return err
	}
	r := readerOf(c.Request(), "")
	f := &jobForm{jobTyped: typedOf(&stored.Draft, r.notation), reader: r, notation: r.notation}
	return s.showJob(c, http.StatusOK, &stored, f, jobPage{Saved: c.QueryParam("saved") != ""})
}

func (s jobPages) showJob(c echo.Context, status int, stored *job.Stored, f *jobForm, page jobPage) error {
	houses, err := s.Office.Stock.Houses(c.Request().Context())
	if err != nil {
		return err
	}
	page.ID, page.Name, page.Numbers, page.Gone, page.Zones, page.Houses = stored.ID, nameOf(stored.Draft), f.notation.language, f.Gone, zoneNames(), houses
	page.Export = exportOf(stored.ID, f.reader)
	if page.Version == 0 {
		page.Version = stored.Version
	}
	for _, field := range headFields {
		page.Head = append(page.Head, cellView{Field: field.Name, Label: field.Label, Kind: field.Kind, Value: f.Head[field.Name], Error: f.Errors[field.Name], List: field.List})
	}
	page.Places = f.table("p", "Places", placeColumns, f.Places, "Place %d")
	page.Moves = f.table("m", "Ways between places", moveColumns, f.Moves, "Way %d")
	page.Shots = f.table("s", "Shots", shotColumns, f.Shots, "Row %d")
	for i := range page.Shots.Rows {
		if row := &page.Shots.Rows[i]; row.Was != "" {
			row.More = jobPath(stored.ID, "shots", row.Was)
		}
	}
	for _, row := range f.Places {
		page.Names = append(page.Names, row["name"])
	}
	page.Faults = page.faults(f.General)
	if resolved, faults := stored.Draft.Resolve(); len(faults) == 0 {
		page.Days = f.reader.span(resolved.From, resolved.To)
	}
	return s.render(c, status, "job", frame{Title: page.Name, Here: "jobs", Page: page, Extra: s.jobStyle, Script: jobScriptPath})
}

// grounds are the words of a place's ground.
func grounds() []word { return defOf("ground").Words }

// table shows rows and a blank one.
func (f *jobForm) table(name string, title phrase.Key, columns []column, rows []typedRow, label phrase.Key) tableView {
	t := tableView{Title: f.say(title), Columns: columns}
	for i, row := range append(slices.Clone(rows), typedRow{}) {
		v := rowView{Name: name + strconv.Itoa(i), Label: f.say(label, i+1), Was: row[wasColumn], Like: row[likeColumn], Blank: i == len(rows), Marked: f.marked[name+strconv.Itoa(i)]}
		for _, c := range columns {
			cell := cellView{Field: rowOf(name, i, c.Name), Row: v.Label, Label: c.Label, Kind: c.Kind, Value: row[c.Name], Error: f.Errors[rowOf(name, i, c.Name)], List: c.List}
			if c.Kind == asChoice {
				cell.Words = grounds()
			}
			v.Cells = append(v.Cells, cell)
		}
		t.Rows = append(t.Rows, v)
	}
	return t
}

// faults lists what is wrong in the order of the page.
func (p *jobPage) faults(general []string) (out []cellFault) {
	add := func(cells []cellView) {
		for i := range cells {
			if c := &cells[i]; c.Error != "" {
				out = append(out, cellFault{c.Field, c.Row, c.Label, c.Error})
			}
		}
	}
	add(p.Head)
	for _, t := range []*tableView{&p.Places, &p.Moves, &p.Shots} {
		for i := range t.Rows {
			add(t.Rows[i].Cells)
		}
	}
	for _, says := range general {
		out = append(out, cellFault{Says: says})
	}
	return out
}

// edit takes the form of a job: it saves what was typed, or does to its rows what a button asks and keeps nothing.
func (s jobPages) edit(c echo.Context) error {
	stored, err := s.stored(c)
	if err != nil {
		return err
	}
	version, err := strconv.ParseInt(c.FormValue("version"), 10, 64)
	if err != nil {
		return errNoVersion
	}
	r, q := readerOf(c.Request(), ""), c.Request().PostForm
	typed := typedIn(q)
	n := notationOf(q.Get(numbersField), r.notation)
	if do := q.Get("do"); do != "" && do != "save" {
		f := &jobForm{jobTyped: typed, reader: r, notation: n, marked: typed.act(do, q["mark"])}
		return s.showJob(c, http.StatusOK, &stored, f, jobPage{Version: version, Unsaved: true})
	}
	f := readJob(typed, &stored.Draft, n, r)
	if stored.Version != version {
		return s.lost(c, &stored, f)
	}
	if f.sound() {
		_, err = s.Jobs.ChangeJob(c.Request().Context(), stored.ID, job.Replace(job.Expect{Versions: []int64{version}}, f.Draft))
		switch {
		case err == nil:
			return c.Redirect(http.StatusSeeOther, jobPath(stored.ID)+"?saved=1")
		case errors.Is(err, job.ErrStale):
			if stored, err = s.stored(c); err != nil {
				return err
			}
			return s.lost(c, &stored, f)
		case !f.refused(err):
			return err
		}
	}
	return s.showJob(c, http.StatusUnprocessableEntity, &stored, f, jobPage{Unsaved: true})
}

// mostTheirs is how many differences of a lost race are listed; the form below has what was typed in any case.
const mostTheirs = 40

// lost shows what was typed beside what somebody else made of the job meanwhile. What that one added is added to the form, so that saving it
// loses nothing of either.
func (s jobPages) lost(c echo.Context, stored *job.Stored, f *jobForm) error {
	page := jobPage{Lost: true, Unsaved: true}
	now := typedOf(&stored.Draft, f.notation)
	tell := func(says string) { page.Theirs = append(page.Theirs, says) }
	label := func(k phrase.Key) string { return f.say(k) }
	for _, field := range headFields {
		if v := now.Head[field.Name]; v != f.Head[field.Name] {
			tell(label(field.Label) + ": " + v)
		}
	}
	compare := func(columns []column, theirs []typedRow, ours *[]typedRow, gone func(string) string, name phrase.Key, isNew phrase.Key, deleted phrase.Key) {
		for _, row := range theirs {
			was := row[wasColumn]
			at := slices.IndexFunc(*ours, func(o typedRow) bool { return o[wasColumn] == was })
			switch {
			case at >= 0:
				for _, column := range columns {
					if row[column.Name] != (*ours)[at][column.Name] {
						tell(f.say(name, was) + ", " + label(column.Label) + ": " + row[column.Name])
					}
				}
			case !slices.Contains(f.Gone, gone(was)):
				tell(f.say(isNew, was))
				*ours = append(*ours, row)
			}
		}
		for _, row := range *ours {
			if was := row[wasColumn]; was != "" && !slices.ContainsFunc(theirs, func(o typedRow) bool { return o[wasColumn] == was }) {
				tell(f.say(deleted, was))
				delete(row, wasColumn)
			}
		}
	}
	compare(placeColumns, now.Places, &f.Places, gonePlace, "place %s", "place %s is new: it stands at the end of the places below", "place %s was deleted: below it still stands")
	compare(shotColumns, now.Shots, &f.Shots, goneShot, "shot %s", "shot %s is new: it stands at the end of the table below", "shot %s was deleted: below it still stands, without its details")
	if !slices.EqualFunc(now.Moves, f.Moves, func(a, b typedRow) bool { return a["a"] == b["a"] && a["b"] == b["b"] && a["min"] == b["min"] }) {
		for _, row := range now.Moves {
			tell(f.say("between %s and %s: %s min", row["a"], row["b"], row["min"]))
		}
	}
	if more := len(page.Theirs) - mostTheirs; more > 0 {
		page.Theirs = append(page.Theirs[:mostTheirs], f.reader.language.Count("and %d more", "and %d more", more, more))
	}
	return s.showJob(c, http.StatusPreconditionFailed, stored, f, page)
}
