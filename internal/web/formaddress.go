package web

import (
	"net/url"
	"regexp"
	"strconv"
	"strings"

	"kitspan/internal/phrase"
	"kitspan/internal/shot"
)

// addressOf is the address of a draft's plan in metres: what it says and nothing else, as every notation reads it.
func addressOf(house string, d *shot.Draft) url.Values {
	q := url.Values{}
	set := func(name, value string) {
		if value != "" {
			q.Set(name, value)
		}
	}
	set(houseField, house)
	set(nameField, d.Name)
	for _, g := range groups {
		for _, def := range g.Fields {
			set(def.Name, def.typedFor(d))
		}
	}
	return q
}

// typedFor is what is typed in a field for a draft; empty for what it does not say.
func (f *fieldDef) typedFor(d *shot.Draft) string {
	switch {
	case f.get != nil:
		return f.get(d)
	case f.Name == backField && d.Look.AnyBack:
		return anyWord
	case f.Kind == asBearing:
		return numberTyped(d.Camera.BearingDeg)
	case f.Kind == asLength:
		if v := *f.number(d); v != nil {
			return anyNotation(*v)
		}
	case f.number != nil:
		return numberTyped(*f.number(d))
	case f.money != nil:
		if a := *f.money(d); a != nil {
			return a.Number()
		}
	case f.flag != nil:
		switch yes := *f.flag(d); {
		case yes == nil:
		case *yes:
			return "yes"
		default:
			return noWord
		}
	case f.Kind == asTable:
		return tableTyped(d)
	case f.text != nil:
		if v := *f.text(d); v != nil {
			return *v
		}
	case f.Kind == asLines:
		return strings.Join(linesTyped(f.Name, d), "\n")
	}
	return ""
}

func numberTyped(v *float64) string {
	if v == nil {
		return ""
	}
	return anyNotation(*v)
}

// linesTyped are the lines of a field of which there may be several.
func linesTyped(field string, d *shot.Draft) (list []string) {
	line := func(label *string, numbers ...*float64) *lineTyped {
		l := &lineTyped{}
		if label != nil {
			l.parts = append(l.parts, *label)
		}
		for _, v := range numbers {
			if v != nil {
				l.parts = append(l.parts, anyNotation(*v))
			}
		}
		return l
	}
	at := func(position []float64) (list []*float64) {
		for i := range position {
			list = append(list, &position[i])
		}
		return list
	}
	switch field {
	case "lamps":
		for i := range d.Lamps {
			lamp := &d.Lamps[i]
			l := line(lamp.Label, append(at(lamp.PositionM), lamp.IntensityCd, lamp.AzimuthDeg, lamp.ElevationDeg, lamp.IlluminanceLx)...)
			l.after(radiusWord, lamp.AngularRadiusDeg)
			if lamp.CanBeOff != nil && *lamp.CanBeOff {
				l.parts = append(l.parts, offWord)
			}
			list = append(list, l.String())
		}
	case "anchors":
		for i := range d.Site.Anchors {
			a := &d.Site.Anchors[i]
			list = append(list, line(a.Label, append(at(a.PositionM), a.SafePullN)...).String())
		}
	case "others":
		for i := range d.OtherZones {
			z := &d.OtherZones[i]
			l := line(z.Label, append(at(z.CenterM), z.WidthM)...)
			l.after(keyWord, z.KeyStops)
			l.after(depthWord, z.DepthM)
			l.after(baseWord, z.BaseM)
			l.after(topWord, z.TopM)
			list = append(list, l.String())
		}
	}
	return list
}

// lineTyped is a line as it is typed.
type lineTyped struct{ parts []string }

func (l *lineTyped) after(word string, v *float64) {
	if v != nil {
		l.parts = append(l.parts, word+" "+anyNotation(*v))
	}
}

func (l *lineTyped) String() string { return strings.Join(l.parts, "; ") }

// tableTyped is a forecast as a table, its times with their offsets.
func tableTyped(d *shot.Draft) string {
	if d.ForecastCSV != nil || len(d.Forecast) == 0 {
		if d.ForecastCSV == nil {
			return ""
		}
		return *d.ForecastCSV
	}
	rows := []string{strings.Join(shot.ForecastColumns, ",")}
	for _, r := range d.Forecast {
		cells := make([]string, 0, 3)
		if r.At != nil {
			cells = append(cells, *r.At)
		}
		for _, v := range []*float64{r.GustMS, r.Cloud} {
			cell := ""
			if v != nil {
				cell = strconv.FormatFloat(*v, 'f', -1, 64)
			}
			cells = append(cells, cell)
		}
		rows = append(rows, strings.Join(cells, ","))
	}
	return strings.Join(rows, "\n")
}

// memberName is a name of the contract in a sentence.
var memberName = regexp.MustCompile(`\b[a-z]+(_[a-z0-9]+)+\b`)

// labelled names members of the contract in a sentence by the labels of their fields, as the page has them.
func labelled(l *phrase.Language, says string) string {
	return memberName.ReplaceAllStringFunc(says, func(member string) string {
		for _, g := range groups {
			for _, def := range g.Fields {
				if def.pointer != "" && strings.HasSuffix(def.pointer, "/"+member) {
					return strconv.Quote(l.Say(def.Label))
				}
			}
		}
		if part := parts[member]; part != "" {
			return l.Say(part)
		}
		return member
	})
}
