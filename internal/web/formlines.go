package web

import (
	"slices"
	"strconv"
	"strings"
	"unicode"

	"kitspan/internal/fault"
	"kitspan/internal/phrase"
	"kitspan/internal/shot"
	"kitspan/internal/text"
)

// lines reads the fields of which there may be several: a thing a line, its parts between semicolons, the first its name, then numbers by
// their order, then numbers after a word and words alone.
func (f *shotForm) lines(field, typed string) {
	l := f.to.Language()
	for _, text := range strings.Split(typed, "\n") {
		if text = strings.TrimSpace(text); text == "" {
			continue
		}
		parts := strings.Split(text, ";")
		one := line{label: strings.TrimSpace(parts[0]), after: map[string]*float64{}}
		wrong := func(says string) { f.Errors[field] = l.Say("in the line of %q, %s", one.label, says) }
		for i, p := range parts[1:] {
			if p = strings.TrimSpace(p); field == "lamps" && i == len(parts)-2 && strings.EqualFold(p, offWord) {
				one.off = true
				continue
			}
			word, number := wordBefore(p)
			v, err := f.notation.number(number)
			key := strings.ToLower(strings.TrimSpace(word))
			switch {
			case err != nil:
				wrong(f.wrongNumber(err, "%q is no number", p))
				return
			case key == "" && len(one.after) > 0:
				wrong(l.Say("give the numbers without a word before those with one"))
				return
			case key == "":
				one.numbers = append(one.numbers, v)
			case !slices.Contains(lineWords[field], key) || one.after[key] != nil:
				wrong(l.Say("%q is no number, and begins with none of the words %s, each of which may stand once", p, strings.Join(append(lineWords[field], offWords(field)...), ", ")))
				return
			default:
				one.after[key] = &v
			}
		}
		if !f.line(field, &one) {
			f.Errors[field] = l.Count("the line of %[1]q has %[2]d number after the name; see below how many it takes", "the line of %[1]q has %[2]d numbers after the name; see below how many it takes", len(one.numbers), one.label, len(one.numbers))
			return
		}
	}
}

// line is a line of a field that takes several.
type line struct {
	label   string
	numbers []float64
	after   map[string]*float64 // by the word before them
	off     bool
}

// offWord ends the line of a lamp that can be switched off.
const offWord = "off"

// The words before numbers of a line.
const (
	radiusWord = "radius" // of a lamp, as it looks, degrees
	depthWord  = "depth"  // of a zone, as the next two
	baseWord   = "base"
	topWord    = "top"
	keyWord    = "key" // its stops, which may stand without it
)

var lineWords = map[string][]string{"lamps": {radiusWord}, "others": {keyWord, depthWord, baseWord, topWord}}

// offWords are the words that stand alone.
func offWords(field string) []string {
	if field == "lamps" {
		return []string{offWord}
	}
	return nil
}

// wordBefore parts a word from the number after it, the space with the word.
func wordBefore(part string) (word, number string) {
	trimmed := strings.TrimLeft(part, " ")
	at := strings.IndexByte(trimmed, ' ')
	if at < 0 || strings.ContainsFunc(trimmed[:at], func(r rune) bool { return !unicode.IsLetter(r) }) {
		return "", part
	}
	return trimmed[:at+1], trimmed[at+1:]
}

func (f *shotForm) line(field string, l *line) bool {
	d, v := &f.Draft, l.numbers
	var canBeOff *bool
	if l.off {
		canBeOff = &l.off
	}
	switch {
	case field == "lamps" && len(v) == 3:
		d.Lamps = append(d.Lamps, shot.DraftLamp{Label: &l.label, AzimuthDeg: &v[0], ElevationDeg: &v[1], IlluminanceLx: &v[2], AngularRadiusDeg: l.after[radiusWord], CanBeOff: canBeOff})
	case field == "lamps" && len(v) == 4:
		d.Lamps = append(d.Lamps, shot.DraftLamp{Label: &l.label, PositionM: v[:3], IntensityCd: &v[3], AngularRadiusDeg: l.after[radiusWord], CanBeOff: canBeOff})
	case field == "anchors" && (len(v) == 3 || len(v) == 4):
		point := shot.DraftAnchor{Label: &l.label, PositionM: v[:3]}
		if len(v) == 4 { // one without a pull is the engine's to refuse
			point.SafePullN = &v[3]
		}
		d.Site.Anchors = append(d.Site.Anchors, point)
	case field == "others" && (len(v) == 3 || len(v) == 4 && l.after[keyWord] == nil):
		zone := shot.DraftOtherZone{
			Label: &l.label, CenterM: v[:2], WidthM: &v[2], DepthM: l.after[depthWord], BaseM: l.after[baseWord], TopM: l.after[topWord], KeyStops: l.after[keyWord],
		}
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
var parts = map[string]phrase.Key{
	"position_m/0": "east", "position_m/1": "north", "position_m/2": "the height", "center_m/0": "east", "center_m/1": "north",
	"safe_pull_n": "the newtons it may bear", "azimuth_deg": "the azimuth", "elevation_deg": "the elevation", "illuminance_lx": "the lux",
	"intensity_cd": "the candela", "angular_radius_deg": "the radius", "depth_m": "the depth", "base_m": "the base", "top_m": "the top",
	"can_be_off": "off", "width_m": "the width", "key_stops": "the key stops", "label": "the name",
}

// inLine is what is wrong with a part of a field; of one with a thing a line it says in which, and names the part as the hint does.
func (f *shotForm) inLine(name string, wrong fault.Fault) string {
	l, def := f.to.Language(), defOf(name)
	if def == nil || def.Kind != asLines {
		return labelled(f.to.Language(), text.Fault(f.to, wrong))
	}
	element, member, _ := strings.Cut(strings.TrimPrefix(wrong.Pointer, def.pointer+"/"), "/")
	n, err := strconv.Atoi(element)
	if err != nil {
		return labelled(f.to.Language(), text.Fault(f.to, wrong))
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
		return l.Say("line %d, %s: %s", line, l.Say(part), labelled(f.to.Language(), text.FaultBeside(f.to, wrong)))
	}
	return l.Say("line %d: %s", line, labelled(l, text.Fault(f.to, wrong)))
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
