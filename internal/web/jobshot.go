package web

import (
	"errors"
	"maps"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/labstack/echo/v4"

	"kitspan/internal/catalog"
	"kitspan/internal/fault"
	"kitspan/internal/job"
	"kitspan/internal/phrase"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
	"kitspan/internal/text"
)

// The page of one shot of a job: the form of a single shot without what its place says, and what a job says of it beside.

const (
	jobShotPath = "/jobs/:job/shots/:shot"

	numberField   = "number"
	placeField    = "place"
	minutesField  = "min"
	pinField      = "pin"
	currencyField = "currency"
)

// jobShotPage is the form of a shot of a job.
type jobShotPage struct {
	ID, Job, Number string
	Version         int64
	Own             []cellView // what a job says of a shot
	Form            formView
	Faults          []cellFault
	Saved           bool
	Lost            bool
	Theirs          []string
	Alone           string // the address of the shot planned by itself
}

// pinWords are the kinds of plan that a shot may be held to.
var pinWords = []word{
	{"", "what costs least"}, {string(sizing.LabelOverhead), "On stands"}, {string(sizing.LabelOnLift), "On lifting machines"},
	{string(sizing.LabelMoved), "On stands, moved about"}, {string(sizing.LabelReflectors), "Reflectors alone"}, {string(sizing.LabelLamps), "title|Lamps"},
	{string(sizing.LabelOtherHour), "At another hour"}, {string(sizing.LabelHandHeld), "Held by hand"},
}

// ofAShot reports whether a field is asked of a shot of a job: what is not of its place, and not for a shot alone.
func ofAShot(def *fieldDef) bool {
	return !strings.HasPrefix(def.pointer, "/shot/site") && def.Name != pastedField && def.Name != ladderName
}

// jobShotForm is the form of one shot of a job as it was sent or is kept.
type jobShotForm struct {
	*shotForm
	own    typedRow
	errors map[string]string // of own
	code   string            // the currency of its limits
	Shot   job.DraftShot
}

// readJobShot reads the form of a shot at one of the job's places.
func readJobShot(q url.Values, d *job.Draft, base *job.DraftShot, houses []catalog.House, r reader) *jobShotForm {
	f := &jobShotForm{own: typedRow{}, errors: map[string]string{}, code: q.Get(currencyField)}
	for _, name := range []string{numberField, placeField, minutesField, pinField, currencyField} {
		f.own[name] = strings.TrimSpace(q.Get(name))
	}
	if !slices.ContainsFunc(houses, func(h catalog.House) bool { return h.Currency == f.code }) && len(houses) > 0 {
		f.code = houses[0].Currency
	}
	site := d.Places[f.own[placeField]]
	asked := url.Values{}
	for name, v := range q {
		if def := defOf(name); name == nameField || name == numbersField || name == unitsField || def != nil && ofAShot(def) {
			asked[name] = v
		}
	}
	asked.Set(latField, numberTyped(site.LatitudeDeg)) // for entries that look from the place
	asked.Set(lonField, numberTyped(site.LongitudeDeg))
	asked.Set(zoneField, textTyped(site.TimeZone))
	f.shotForm = readForm(asked, f.code, r.notation, r.text())
	out := f.Draft
	out.Site, out.CrewLadder = shot.DraftSite{}, nil
	if out.ForecastCSV == nil || textTyped(out.ForecastCSV) == tableTyped(&base.Draft) {
		out.Forecast = nil
		if out.ForecastCSV != nil {
			out.Forecast = base.Forecast
		}
	} else { // a table is kept as what it says
		whole := out
		whole.Site = site.DraftSite
		resolved, _ := whole.Resolve() // its faults are found again with those of the job
		for _, row := range resolved.Forecast {
			at, gust := row.At.Format(time.RFC3339), row.GustMS
			out.Forecast = append(out.Forecast, shot.DraftForecastRow{At: &at, GustMS: &gust, Cloud: row.Cloud})
		}
	}
	number, place := f.own[numberField], f.own[placeField]
	f.Shot = job.DraftShot{Number: &number, Place: &place, Draft: out}
	if pin := f.own[pinField]; pin != "" {
		f.Shot.Pin = &pin
	}
	if typed := f.own[minutesField]; typed != "" {
		minutes, err := strconv.Atoi(typed)
		if err != nil {
			f.errors[minutesField] = r.language.Say("give a whole number of minutes, such as 45")
		}
		f.Shot.When = &job.DraftWhen{Date: out.Window.Date, Earliest: out.Window.Start, Latest: out.Window.End, DurationMin: &minutes}
		f.Shot.Window = shot.DraftWindow{}
	}
	return f
}

// keptShot is the form of a shot as it is kept.
func keptShot(d *job.DraftShot, houses []catalog.House) url.Values {
	draft := d.Draft
	if w := d.When; w != nil {
		draft.Window = shot.DraftWindow{Date: w.Date, Start: w.Earliest, End: w.Latest}
	}
	q := addressOf("", &draft)
	q.Set(numberField, textTyped(d.Number))
	q.Set(placeField, textTyped(d.Place))
	q.Set(pinField, textTyped(d.Pin))
	if d.When != nil {
		q.Set(minutesField, wholeTyped(d.When.DurationMin))
	}
	for _, limit := range []*shot.DraftLimits{&d.Limits} {
		switch {
		case limit.PricePerDay != nil:
			q.Set(currencyField, limit.PricePerDay.CurrencyCode())
		case limit.TotalPerDay != nil:
			q.Set(currencyField, limit.TotalPerDay.CurrencyCode())
		case len(houses) > 0:
			q.Set(currencyField, houses[0].Currency)
		}
	}
	return q
}

// shot is the page of one shot.
func (s jobPages) shot(c echo.Context) error {
	stored, at, houses, err := s.oneShot(c)
	if err != nil {
		return err
	}
	d, r := &stored.Draft.Shots[at], readerOf(c.Request(), "")
	f := readJobShot(keptShot(d, houses), &stored.Draft, d, houses, r)
	f.Errors = map[string]string{}
	return s.showShot(c, http.StatusOK, &stored, at, f, houses, jobShotPage{Saved: c.QueryParam("saved") != ""})
}

// oneShot reads the job of the address and the place of its shot.
func (s jobPages) oneShot(c echo.Context) (stored job.Stored, at int, houses []catalog.House, err error) {
	if stored, err = s.stored(c); err != nil {
		return stored, 0, nil, err
	}
	if at, err = stored.ShotAt(unescaped(c.Param("shot"))); err != nil {
		return stored, 0, nil, err
	}
	houses, err = s.Office.Stock.Houses(c.Request().Context())
	return stored, at, houses, err
}

// unescaped is a segment of an address that may still be escaped.
func unescaped(segment string) string {
	if plain, err := url.PathUnescape(segment); err == nil {
		return plain
	}
	return segment
}

func (s jobPages) showShot(c echo.Context, status int, stored *job.Stored, at int, f *jobShotForm, houses []catalog.House, page jobShotPage) error {
	d := &stored.Draft.Shots[at]
	l := languageOf(c.Request())
	page.ID, page.Job, page.Number = stored.ID, nameOf(stored.Draft), textTyped(d.Number)
	if page.Version == 0 {
		page.Version = stored.ShotVersions[at]
	}
	page.Own = f.ownCells(&stored.Draft, houses)
	resolvedJob, faults := stored.Draft.Resolve()
	var resolved *shot.Shot
	if len(faults) == 0 {
		resolved = &resolvedJob.Shots[at].Shot
		alone := d.Draft
		alone.Site = stored.Draft.Places[textTyped(d.Place)].DraftSite
		if len(houses) > 0 && d.When == nil {
			page.Alone = "/plan?" + addressOf(houses[0].Slug, &alone).Encode()
		}
	}
	r := readerOf(c.Request(), "")
	form := s.view(&taken{form: f.shotForm, houses: houses, reader: r}, resolved, nil)
	form.Vehicles, form.Name = nil, f.typed.Get(nameField)
	for i := range form.Groups {
		g := &form.Groups[i]
		g.Fields = slices.DeleteFunc(g.Fields, func(v fieldView) bool { return !ofAShot(v.fieldDef) })
		for k := range g.Fields {
			if g.Fields[k].Kind == asMoney {
				g.Fields[k].Unit = f.code
			}
		}
	}
	form.Groups = slices.DeleteFunc(form.Groups, func(g groupView) bool { return len(g.Fields) == 0 })
	page.Form = form
	for _, cell := range page.Own {
		if cell.Error != "" {
			page.Faults = append(page.Faults, cellFault{Field: cell.Field, Label: cell.Label, Says: cell.Error})
		}
	}
	for _, one := range f.faults() {
		page.Faults = append(page.Faults, cellFault{Field: one.Field, Label: one.Label, Says: one.Says})
	}
	title := l.Say("Shot %s of %s", page.Number, page.Job)
	return s.render(c, status, "jobshot", frame{Title: title, Here: "jobs", Page: page, Extra: s.jobStyle})
}

// ownCells are the fields that a shot has in a job alone.
func (f *jobShotForm) ownCells(d *job.Draft, houses []catalog.House) []cellView {
	var places, codes []word
	for _, name := range placeNamesOf(d) {
		places = append(places, word{name, ""})
	}
	if typed := f.own[placeField]; !slices.ContainsFunc(places, func(w word) bool { return w.Value == typed }) {
		places = append([]word{{typed, ""}}, places...)
	}
	for _, h := range houses {
		if w := (word{h.Currency, ""}); !slices.Contains(codes, w) {
			codes = append(codes, w)
		}
	}
	cell := func(name string, label phrase.Key, k kind, words []word) cellView {
		return cellView{Field: name, Label: label, Kind: k, Value: f.own[name], Error: f.errors[name], Words: words}
	}
	money := cell(currencyField, "Currency of its limits", asChoice, codes)
	money.Value, money.Plain = f.code, true
	place := cell(placeField, "Place", asChoice, places)
	place.Plain = true
	return []cellView{
		cell(numberField, "table|Shot", asText, nil), place, cell(minutesField, "Movable, minutes", asWhole, nil),
		cell(pinField, "Held to", asChoice, pinWords), money,
	}
}

// ownOf are the fields of members that a shot has in a job alone.
var ownOf = map[string]string{"/number": numberField, "/place": placeField, "/pin": pinField, "/when/duration_min": minutesField}

// blameShot puts faults of the job beside the fields of the shot at a place in its list. Those of the rest of the job stand above them.
func (f *jobShotForm) blameShot(faults []fault.Fault, at int) {
	here := job.ShotPointer(at)
	var own []fault.Fault
	for _, wrong := range faults {
		if twice, ok := wrong.Kind.(fault.Repeated); ok && twice.First == here+"/number" { // of the later one, which was there before
			wrong.Pointer, twice.First = twice.First, wrong.Pointer
			wrong.Kind = twice
		}
		rest, mine := strings.CutPrefix(wrong.Pointer, here)
		if !mine || rest != "" && rest[0] != '/' {
			f.General = append(f.General, labelled(f.to.Language(), text.Fault(f.to, wrong)))
			continue
		}
		if name := ownOf[rest]; name != "" {
			if f.errors[name] == "" {
				f.errors[name] = labelled(f.to.Language(), text.FaultBeside(f.to, wrong))
			}
			continue
		}
		switch {
		case strings.HasPrefix(rest, "/limits"), strings.HasPrefix(rest, "/prefer"):
			wrong.Pointer = rest
		case strings.HasPrefix(rest, "/when/"):
			wrong.Pointer = "/shot/window/" + map[string]string{"date": "date", "earliest": "start", "latest": "end"}[strings.TrimPrefix(rest, "/when/")]
		case rest == "/window", rest == "/when":
			wrong.Pointer = "/shot/window/date"
		default:
			wrong.Pointer = "/shot" + rest
		}
		own = append(own, wrong)
	}
	f.blame(own)
}

// editShot puts what was typed in the place of a shot, if nobody else has changed it since.
func (s jobPages) editShot(c echo.Context) error {
	stored, at, houses, err := s.oneShot(c)
	if err != nil {
		return err
	}
	version, err := strconv.ParseInt(c.FormValue("version"), 10, 64)
	if err != nil {
		return errNoVersion
	}
	r, number := readerOf(c.Request(), ""), textTyped(stored.Draft.Shots[at].Number)
	f := readJobShot(c.Request().PostForm, &stored.Draft, &stored.Draft.Shots[at], houses, r)
	edit := job.ReplaceShot(number, job.Expect{Versions: []int64{version}}, f.Shot)
	_, faults, err := stored.Look(edit)
	if err == nil {
		f.blameShot(faults, at)
		if len(f.filled) > 0 && len(f.Errors) == 0 && len(f.errors) == 0 && len(f.General) == 0 { // what a quick entry has filled in is looked at first
			return s.showShot(c, http.StatusOK, &stored, at, f, houses, jobShotPage{Version: version})
		}
		if len(faults) == 0 && len(f.Errors) == 0 && len(f.errors) == 0 {
			_, err = s.Jobs.ChangeJob(c.Request().Context(), stored.ID, edit)
			if err == nil {
				return c.Redirect(http.StatusSeeOther, jobPath(stored.ID, "shots", f.own[numberField])+"?saved=1")
			}
		}
	}
	var unsound *job.UnsoundError
	switch {
	case errors.As(err, &unsound):
		f.blameShot(unsound.Faults, at)
	case errors.Is(err, job.ErrStale):
		if stored, at, _, err = s.oneShot(c); err != nil {
			return err
		}
		return s.showShot(c, http.StatusPreconditionFailed, &stored, at, f, houses, jobShotPage{Lost: true, Theirs: f.theirs(&stored.Draft.Shots[at], houses, r)})
	case err != nil:
		return err
	}
	return s.showShot(c, http.StatusUnprocessableEntity, &stored, at, f, houses, jobShotPage{Version: version})
}

// theirs is what a shot says now where that is another than was typed.
func (f *jobShotForm) theirs(now *job.DraftShot, houses []catalog.House, r reader) (list []string) {
	q := keptShot(now, houses)
	n := notations[0]
	for _, own := range f.ownCells(&job.Draft{}, houses) {
		if v := q.Get(own.Field); v != f.own[own.Field] && own.Field != currencyField {
			list = append(list, r.language.Say(own.Label)+": "+v)
		}
	}
	kept := readForm(q, f.code, n, r.text())
	for _, g := range groups {
		for _, def := range g.Fields {
			if !ofAShot(def) {
				continue
			}
			if v := kept.valueFor(def, f.notation); v != strings.TrimSpace(f.typed.Get(def.Name)) {
				list = append(list, r.language.Say(def.Label)+": "+v)
			}
		}
	}
	return list
}

// placeNamesOf are the names of a job's places, sorted.
func placeNamesOf(d *job.Draft) []string { return slices.Sorted(maps.Keys(d.Places)) }
