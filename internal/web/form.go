package web

import (
	"errors"
	"math"
	"net/url"
	"strconv"
	"strings"
	"time"

	"github.com/bojanz/currency"

	"kitspan/internal/catalog"
	"kitspan/internal/fault"
	"kitspan/internal/phrase"
	"kitspan/internal/shot"
	"kitspan/internal/text"
)

// outside are members that no field of the table holds: read by hand.
const (
	houseField = "house"
	nameField  = "name"
	unitsField = "units"
	// numbersField is the language whose numbers were typed, so that an address means the same to whoever opens it.
	numbersField = "numbers"
	// lengthsField are the units in which bare lengths were typed where the reader has just chosen others.
	lengthsField = "lengths"
)

// shotForm is a form as it was sent: what was typed, what it means, and what is wrong with it.
type shotForm struct {
	typed url.Values
	House string
	Units string
	// notation is that of what was typed.
	notation notation
	to       text.Reader // for whom faults are said
	Draft    shot.Draft
	Errors   map[string]string // by field
	// Needed are the fields that a shot cannot do without and that are blank, among those of Errors.
	Needed []string
	// General are faults that no field is to blame for.
	General []string
	// filled are fields that a quick entry has filled in, or emptied, with what they hold now.
	filled map[string]string
}

// readForm reads a query; money is in the house's currency, and numbers are the reader's where the query does not say whose; what
// is wrong is said to whom it is for.
func readForm(q url.Values, code string, reads notation, to text.Reader) *shotForm {
	f := &shotForm{
		typed: q, notation: notationOf(q.Get(numbersField), reads), House: strings.TrimSpace(q.Get(houseField)), Units: q.Get(unitsField), Errors: map[string]string{},
		filled: map[string]string{}, to: to,
	}
	f.convertLengths()
	f.quick()
	f.Draft.Name = strings.TrimSpace(q.Get(nameField))
	for _, g := range groups {
		for _, def := range g.Fields {
			f.read(def, code)
		}
	}
	f.overMidnight()
	return f
}

func (f *shotForm) feet() bool { return f.Units == feetUnit }

// convertLengths writes lengths that were typed before the reader chose other units in the units chosen.
func (f *shotForm) convertLengths() {
	was := f.typed.Get(lengthsField)
	f.typed.Del(lengthsField)
	if was == "" || (was == feetUnit) == f.feet() {
		return
	}
	for _, g := range groups {
		for _, def := range g.Fields {
			if s := strings.TrimSpace(f.typed.Get(def.Name)); def.Kind == asLength && s != "" {
				if m, err := f.notation.length(s, was == feetUnit); err == nil {
					f.typed.Set(def.Name, f.notation.plainLength(m, f.feet()))
				}
			}
		}
	}
}

// longestNextDay is the longest shot that an end earlier than its start makes of itself: a longer one is rather a slip of the hand
// (common practice, no source), and takes an end's date.
const longestNextDay = 12 * time.Hour

// overMidnight takes an end before its start as one of the next day.
func (f *shotForm) overMidnight() {
	w := &f.Draft.Window
	if w.Date == nil || w.Start == nil || w.End == nil || w.EndDate != nil {
		return
	}
	day, err := time.Parse(time.DateOnly, *w.Date)
	start, startErr := time.Parse("15:04", *w.Start)
	end, endErr := time.Parse("15:04", *w.End)
	if err != nil || startErr != nil || endErr != nil || !end.Before(start) || end.AddDate(0, 0, 1).Sub(start) > longestNextDay {
		return
	}
	next := day.AddDate(0, 0, 1).Format(time.DateOnly)
	w.EndDate = &next
}

func (f *shotForm) read(def *fieldDef, code string) {
	s := strings.TrimSpace(f.typed.Get(def.Name))
	if s == "" {
		return
	}
	var v float64
	var err error
	var give phrase.Key = "give a number, such as 1.5"
	switch def.Kind {
	case asQuick: // read before
		return
	case asCheck:
		yes := s != noWord
		*def.flag(&f.Draft) = &yes
		return
	case asLines:
		f.lines(def.Name, s)
		return
	case asBearing:
		v, err = f.notation.bearing(s)
		give = "give degrees from 0 to 360, or a point of the compass such as SW"
	case asLength:
		v, err = f.notation.length(s, f.feet())
		give = "give a length, such as 3.5, 3.5 m or 11 ft 6 in"
	case asWhole:
		if v, err = f.notation.number(s); err == nil && (v != math.Trunc(v) || math.Abs(v) > 1e6) {
			err, give = errNoNumber, "give a whole number of people, such as 6"
		}
	case asNumber, asMoney:
		if def.Name == backField && strings.EqualFold(s, anyWord) {
			f.Draft.Look.AnyBack = true
			return
		}
		v, err = f.notation.number(s)
	default:
		if def.Name == ladderName {
			f.ladder(s)
			return
		}
		*def.text(&f.Draft) = &s
		return
	}
	switch {
	case err != nil:
		f.Errors[def.Name] = f.wrongNumber(err, give)
	case def.Kind == asMoney:
		f.price(def, v, code)
	case def.Kind == asBearing:
		f.Draft.Camera.BearingDeg = &v
	case def.set != nil:
		def.set(&f.Draft, v)
	default:
		*def.number(&f.Draft) = &v
	}
}

// Words that stand for what is no number and no text.
const (
	noWord  = "no"  // a box that is not ticked, said
	anyWord = "any" // a level that does not matter
)

// ladder reads numbers of people.
func (f *shotForm) ladder(s string) {
	for _, word := range strings.FieldsFunc(s, func(r rune) bool { return r == ' ' || r == ',' || r == ';' }) {
		n, err := strconv.Atoi(word)
		if err != nil {
			f.Errors[ladderName] = f.to.Language().Say("give numbers of people with spaces between, such as 2 3 4")
			return
		}
		f.Draft.CrewLadder = append(f.Draft.CrewLadder, n)
	}
}

// wrongNumber says what is wrong with a number: that it may be one of two, or what to give.
func (f *shotForm) wrongNumber(err error, give phrase.Key, args ...any) string {
	var two *ambiguousError
	if errors.As(err, &two) {
		return two.in(f.to.Language())
	}
	return f.to.Language().Say(give, args...)
}

// valueFor is what was typed in a field, as a reader of another notation would have typed it.
func (f *shotForm) valueFor(def *fieldDef, to notation) string {
	s := strings.TrimSpace(f.typed.Get(def.Name))
	switch def.Kind {
	case asNumber, asMoney, asWhole:
		return f.notation.rewrite(s, to, notation.number)
	case asBearing:
		return f.notation.rewrite(s, to, notation.bearing)
	case asLength:
		return f.notation.rewrite(s, to, func(n notation, s string) (float64, error) { return n.length(s, f.feet()) })
	case asLines:
		lines := strings.Split(s, "\n")
		for i, line := range lines {
			parts := strings.Split(line, ";")
			for k := 1; k < len(parts); k++ { // the first is a name
				key, number := wordBefore(parts[k])
				parts[k] = key + f.notation.rewrite(number, to, notation.number)
			}
			lines[i] = strings.Join(parts, ";")
		}
		return strings.Join(lines, "\n")
	default:
		return s
	}
}

func (f *shotForm) price(def *fieldDef, v float64, code string) {
	digits, _ := currency.GetDigits(code)
	written := strconvFixed(v, int(digits))
	a, err := catalog.ParseMoney(written, code)
	if err != nil {
		f.Errors[def.Name] = f.to.Language().Say("give an amount of 0 or more, such as 400")
		return
	}
	if kept, err := strconv.ParseFloat(written, 64); err != nil || kept != v { // the amount would be another than was typed
		f.Errors[def.Name] = f.to.Language().Say("give an amount with at most %d decimals, such as %s", digits, f.to.Language().Number(strconvFixed(400, int(digits))))
		return
	}
	*def.money(&f.Draft) = &a
}

// blame puts the engine's faults beside the fields that they are of. One of the very member that a field holds goes without
// the member's name: the label says it better; other members go by the labels of their fields.
func (f *shotForm) blame(faults []fault.Fault) {
	lines := map[string][]string{} // of tables, by field
	for _, wrong := range faults {
		name, exact := fieldOf(wrong.Pointer)
		_, missing := wrong.Kind.(fault.Missing)
		switch {
		case name == "":
			f.General = append(f.General, labelled(f.to.Language(), text.Fault(f.to, wrong)))
		case wrong.Line > 0:
			lines[name] = append(lines[name], text.FaultInLine(f.to, wrong))
		case f.Errors[name] != "": // what was typed and could not be read is reported once
		case exact:
			f.Errors[name] = labelled(f.to.Language(), text.FaultBeside(f.to, wrong))
			if missing && strings.TrimSpace(f.typed.Get(name)) == "" {
				f.Needed = append(f.Needed, name)
			}
		default:
			f.Errors[name] = f.inLine(name, wrong)
		}
	}
	for name, says := range lines {
		if more := len(says) - linesSaid; more > 0 {
			says = append(says[:linesSaid], f.to.Language().Count("and %d more", "and %d more", more, more))
		}
		f.Errors[name] = strings.Join(says, "\n")
	}
}

// linesSaid is how many faults of a table stand beside its field.
const linesSaid = 3

// fieldOf is the field of a member, exact where the field holds that very one, or of the member that it is a part of; empty
// where no field is to blame.
func fieldOf(pointer string) (name string, exact bool) {
	if pointer == "/house" {
		return houseField, true
	}
	for _, g := range groups {
		for _, def := range g.Fields {
			if def.pointer == "" { // of a quick entry
				continue
			}
			if pointer == def.pointer || strings.HasPrefix(pointer, def.pointer+"/") {
				return def.Name, pointer == def.pointer
			}
		}
	}
	return "", false
}

// query is the form's address: what was said and nothing else, in a fixed order; changes have the last word.
func (f *shotForm) query(changes ...string) string {
	q := url.Values{}
	for k, v := range f.typed {
		if len(v) > 0 && strings.TrimSpace(v[0]) != "" && known(k) {
			q.Set(k, strings.TrimSpace(v[0]))
		}
	}
	for i := 0; i+1 < len(changes); i += 2 {
		q.Set(changes[i], changes[i+1])
	}
	return q.Encode()
}

func known(name string) bool {
	if name == houseField || name == nameField || name == unitsField || name == numbersField || name == optionField {
		return true
	}
	return defOf(name) != nil
}
