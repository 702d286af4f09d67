package shotlist

import (
	"reflect"
	"slices"
	"strings"

	"github.com/bojanz/currency"

	"kitspan/internal/job"
	"kitspan/internal/shot"
)

// form is how a member stands in a cell.
type form int

const (
	text  form = iota // as it is
	word              // of a closed list, or a date or time: space around it means nothing
	date              // a word that a spreadsheet may keep as a day's number
	clock             // a word that a spreadsheet may keep as a share of a day
	number
	whole
	yesNo  // true or false
	money  // "900.00 EUR"
	asJSON // a list
)

// column is a member of a shot.
type column struct {
	name string
	form form
	path []int // of fields from a job.DraftShot on, through pointers
	// anyBack means that the column is the level of the back, which is null where it does not matter.
	anyBack bool
}

// notShots are members of a draft that a shot of a job does not have: its place stands for the site, and nobody asks about crews.
var notShots = []string{"site", "crew_ladder"}

// free are texts of people's own, of which nothing is taken away.
var free = []string{"number", "place", "name", "limits.vehicle_sku"}

// columns are all, in the order in which they are written.
var columns = func() []column {
	list := columnsOf(reflect.TypeFor[job.DraftShot](), "", nil)
	first := []string{"number", "place", "name", "window.", "when.", "camera.", "framing.", "zone.", "look."}
	rank := func(c column) int {
		at := slices.IndexFunc(first, func(f string) bool { return c.name == f || strings.HasSuffix(f, ".") && strings.HasPrefix(c.name, f) })
		if at < 0 {
			return len(first)
		}
		return at
	}
	slices.SortStableFunc(list, func(a, b column) int { return rank(a) - rank(b) })
	return list
}()

// byName finds them.
var byName = func() map[string]*column {
	out := map[string]*column{}
	for i := range columns {
		out[columns[i].name] = &columns[i]
	}
	return out
}()

// Columns returns the names of all columns in the order in which they are written.
func Columns() []string {
	out := make([]string, len(columns))
	for i := range columns {
		out[i] = columns[i].name
	}
	return out
}

// columnsOf walks over the members of a struct by their JSON names.
func columnsOf(t reflect.Type, prefix string, path []int) (out []column) {
	for i := range t.NumField() {
		f := t.Field(i)
		at := append(slices.Clone(path), i)
		name, _, _ := strings.Cut(f.Tag.Get("json"), ",")
		switch {
		case f.Anonymous && name == "":
			out = append(out, columnsOf(f.Type, prefix, at)...)
			continue
		case name == "" || name == "-" || slices.Contains(notShots, prefix+name):
			continue
		}
		member := f.Type
		if member.Kind() == reflect.Pointer {
			member = member.Elem()
		}
		c := column{name: prefix + name, path: at, anyBack: t == reflect.TypeFor[shot.DraftLook]() && name == "back_stops"}
		switch {
		case member == reflect.TypeFor[currency.Amount]():
			c.form = money
		case member.Kind() == reflect.Struct:
			out = append(out, columnsOf(member, prefix+name+".", at)...)
			continue
		case member.Kind() == reflect.String:
			c.form = formOfText(c.name, name)
		case member.Kind() == reflect.Float64:
			c.form = number
		case member.Kind() == reflect.Int:
			c.form = whole
		case member.Kind() == reflect.Bool:
			c.form = yesNo
		default:
			c.form = asJSON
		}
		out = append(out, c)
	}
	return out
}

func formOfText(path, name string) form {
	switch {
	case slices.Contains(free, path):
		return text
	case name == "date" || name == "end_date":
		return date
	case name == "start" || name == "end" || name == "earliest" || name == "latest":
		return clock
	}
	return word
}

// field returns the member of a shot, and whether all that leads to it is there. Where build is set, what leads to it is made.
func (c *column) field(s *job.DraftShot, build bool) (v reflect.Value, there bool) {
	v = reflect.ValueOf(s).Elem()
	for _, i := range c.path {
		if v.Kind() == reflect.Pointer {
			if v.IsNil() {
				if !build {
					return reflect.Value{}, false
				}
				v.Set(reflect.New(v.Type().Elem()))
			}
			v = v.Elem()
		}
		v = v.Field(i)
	}
	return v, true
}
