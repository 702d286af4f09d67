package web

import (
	"slices"
	"sync"
	"unicode/utf8"

	"kitspan/internal/catalog"
	"kitspan/internal/phrase"
	"kitspan/internal/shot"
)

// formView is the form as it is shown.
type formView struct {
	Name, Units string
	// Numbers is the language whose numbers the fields hold.
	Numbers    string
	Houses     []catalog.House
	House      string
	Groups     []groupView
	Zones      []string
	Vehicles   []*catalog.Item
	Places     []place
	HouseError string
}

type groupView struct {
	Name   string
	Label  phrase.Key
	Folded bool
	Open   bool // a folded one in which something is said or wrong
	Fields []fieldView
}

type fieldView struct {
	*fieldDef
	Value, Placeholder, Error, Unit string
	Checked                         bool
	Long                            bool // a choice among words that take a whole line, in this language
}

// longWord is how many letters of a choice half a line has room for, measured at the narrowest form.
const longWord = 15

// view shows the form; where the shot is sound, blanks show what is taken for them.
func (s planPages) view(t *taken, shot *shot.Shot, places []place) formView {
	f, r := t.form, t.reader
	out := formView{
		Name: f.typed.Get(nameField), Units: f.Units, Numbers: r.notation.language, Houses: t.houses, House: f.House, Zones: zoneNames(), Places: places,
		HouseError: f.Errors[houseField], Vehicles: vehiclesOf(t.job.Stock),
	}
	for _, g := range groups {
		view := groupView{Name: g.Name, Label: g.Label, Folded: g.Folded}
		for _, def := range g.Fields {
			v := fieldView{fieldDef: def, Value: f.valueFor(def, r.notation), Error: f.Errors[def.Name], Unit: def.Unit}
			switch def.Kind {
			case asLength:
				v.Unit = "m"
				if f.feet() {
					v.Unit = feetUnit
				}
			case asMoney:
				v.Unit = currencyOf(t.houses, f.House)
			case asCheck:
				v.Checked = v.Value != "" && v.Value != noWord
			case asChoice:
				v.Long = slices.ContainsFunc(def.Words, func(w word) bool { return utf8.RuneCountInString(r.language.Say(w.Label)) > longWord })
				if v.Value == def.Words[0].Value { // said, and what is taken anyway
					v.Value = ""
				}
			case asNumber, asWhole, asText, asDate, asTime, asBearing, asLines, asTable, asQuick: // as it was typed
			}
			if v.Value == "" {
				v.Placeholder = placeholderOf(def, shot, r)
			}
			view.Open = view.Open || v.Value != "" || v.Error != ""
			view.Fields = append(view.Fields, v)
		}
		out.Groups = append(out.Groups, view)
	}
	return out
}

// placeholderOf is what a blank field shows of what is taken for it; shot is nil where that is not known: then
// what follows from nothing else is.
func placeholderOf(def *fieldDef, shot *shot.Shot, r reader) string {
	if shot == nil && !def.follows {
		shot = usual()
	}
	switch {
	case shot == nil || def.shown == nil:
		return ""
	case def.Kind == asLength:
		return r.length(def.shown(shot))
	}
	return r.short(def.shown(shot))
}

// usual is a shot of which nothing is said but what must be: the defaults that follow from nothing else are its own.
var usual = sync.OnceValue(func() *shot.Shot {
	number, date, from, to, zone := 1.0, "2027-06-18", "12:00", "13:00", "Etc/UTC"
	d := shot.Draft{
		Site: shot.DraftSite{LatitudeDeg: &number, LongitudeDeg: &number, TimeZone: &zone}, Window: shot.DraftWindow{Date: &date, Start: &from, End: &to},
		Camera: shot.DraftCamera{BearingDeg: &number}, Framing: shot.DraftFraming{WidthM: &number, DistanceM: &number},
	}
	s, faults := d.Resolve()
	if len(faults) > 0 {
		panic(faults) // all that must be said is said
	}
	return &s
})

// vehiclesOf are a house's vehicles, to choose one from.
func vehiclesOf(stock *catalog.Snapshot) (list []*catalog.Item) {
	if stock == nil {
		return nil
	}
	items := stock.Items()
	for i := range items {
		if items[i].Kind() == catalog.KindVehicle {
			list = append(list, &items[i])
		}
	}
	return list
}

// currencyOf is the currency of a house, "" where there is none of that name.
func currencyOf(houses []catalog.House, slug string) string {
	if i := slices.IndexFunc(houses, func(h catalog.House) bool { return h.Slug == slug }); i >= 0 {
		return houses[i].Currency
	}
	return ""
}
