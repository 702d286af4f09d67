package web

import (
	"strconv"
	"strings"

	"kitspan/internal/shot"
)

// lines reads the fields of which there may be several: a thing a line, its parts between semicolons, the first its name.
func (f *shotForm) lines(field, text string) {
	for _, line := range strings.Split(text, "\n") {
		if line = strings.TrimSpace(line); line == "" {
			continue
		}
		parts := strings.Split(line, ";")
		label := strings.TrimSpace(parts[0])
		var v []float64
		for _, p := range parts[1:] {
			n, err := f.notation.number(p)
			if err != nil {
				f.Errors[field] = "in the line of " + strconv.Quote(label) + ", " + wrongNumber(err, strconv.Quote(strings.TrimSpace(p))+" is no number")
				return
			}
			v = append(v, n)
		}
		if !f.line(field, label, v) {
			f.Errors[field] = "the line of " + strconv.Quote(label) + " has " + strconv.Itoa(len(v)) + " numbers after the name; see below how many it takes"
			return
		}
	}
}

func (f *shotForm) line(field, label string, v []float64) bool {
	d := &f.Draft
	switch {
	case field == "lamps" && len(v) == 3:
		d.Lamps = append(d.Lamps, shot.DraftLamp{Label: &label, AzimuthDeg: &v[0], ElevationDeg: &v[1], IlluminanceLx: &v[2]})
	case field == "lamps" && len(v) == 4:
		d.Lamps = append(d.Lamps, shot.DraftLamp{Label: &label, PositionM: v[:3], IntensityCd: &v[3]})
	case field == "anchors" && (len(v) == 3 || len(v) == 4):
		point := shot.DraftAnchor{Label: &label, PositionM: v[:3]}
		if len(v) == 4 { // one without a pull is the engine's to refuse
			point.SafePullN = &v[3]
		}
		d.Site.Anchors = append(d.Site.Anchors, point)
	case field == "others" && (len(v) == 3 || len(v) == 4):
		zone := shot.DraftOtherZone{Label: &label, CenterM: v[:2], WidthM: &v[2]}
		if len(v) == 4 {
			zone.KeyStops = &v[3]
		}
		d.OtherZones = append(d.OtherZones, zone)
	default:
		return false
	}
	return true
}

// inLine says in which line of a field stands what a pointer is of, to begin a sentence; empty of a field that has no lines.
func (f *shotForm) inLine(name, pointer string) string {
	def := defOf(name)
	if def == nil || def.Kind != asLines {
		return ""
	}
	element, _, _ := strings.Cut(strings.TrimPrefix(pointer, def.pointer+"/"), "/")
	n, err := strconv.Atoi(element)
	if err != nil {
		return ""
	}
	line := 0
	for text := range strings.Lines(strings.TrimSpace(f.typed.Get(name))) {
		line++
		if strings.TrimSpace(text) == "" {
			continue
		}
		if n == 0 {
			return "line " + strconv.Itoa(line) + ": "
		}
		n--
	}
	return ""
}

// defOf is the field of a name, nil where there is none.
func defOf(name string) *fieldDef {
	for _, g := range groups {
		for _, def := range g.Fields {
			if def.Name == name {
				return def
			}
		}
	}
	return nil
}
