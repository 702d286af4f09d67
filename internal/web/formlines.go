package web

import (
	"strconv"
	"strings"

	"kitspan/internal/fault"
	"kitspan/internal/shot"
	"kitspan/internal/text"
)

// lines reads the fields of which there may be several: a thing a line, its parts between semicolons, the first its name.
func (f *shotForm) lines(field, typed string) {
	for _, line := range strings.Split(typed, "\n") {
		if line = strings.TrimSpace(line); line == "" {
			continue
		}
		parts := strings.Split(line, ";")
		label := strings.TrimSpace(parts[0])
		n := len(parts) - 1
		canBeOff := field == "lamps" && n > 0 && strings.EqualFold(strings.TrimSpace(parts[n]), offWord)
		if canBeOff {
			parts = parts[:n]
		}
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
		if canBeOff {
			f.Draft.Lamps[len(f.Draft.Lamps)-1].CanBeOff = &canBeOff
		}
	}
}

// offWord ends the line of a lamp that can be switched off.
const offWord = "off"

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

// parts are what the members of a line are called in its hint, by the end of their pointer.
var parts = map[string]string{
	"position_m/0": "east", "position_m/1": "north", "position_m/2": "the height", "center_m/0": "east", "center_m/1": "north",
	"safe_pull_n": "the newtons it may bear", "azimuth_deg": "the azimuth", "elevation_deg": "the elevation", "illuminance_lx": "the lux",
	"intensity_cd": "the candela", "width_m": "the width", "key_stops": "the key stops", "label": "the name",
}

// inLine is what is wrong with a part of a field; of one with a thing a line it says in which, and names the part as the hint does.
func (f *shotForm) inLine(name string, wrong fault.Fault) string {
	def := defOf(name)
	if def == nil || def.Kind != asLines {
		return text.Fault(wrong)
	}
	element, member, _ := strings.Cut(strings.TrimPrefix(wrong.Pointer, def.pointer+"/"), "/")
	n, err := strconv.Atoi(element)
	if err != nil {
		return text.Fault(wrong)
	}
	line := 0
	for typed := range strings.Lines(strings.TrimSpace(f.typed.Get(name))) {
		line++
		if strings.TrimSpace(typed) == "" {
			continue
		}
		if n == 0 {
			break
		}
		n--
	}
	if part := parts[member]; part != "" {
		return "line " + strconv.Itoa(line) + ", " + part + ": " + text.FaultBeside(wrong)
	}
	return "line " + strconv.Itoa(line) + ": " + text.Fault(wrong)
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
