package web

import (
	"errors"
	"maps"
	"math"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"github.com/bojanz/currency"

	"kitspan/internal/catalog"
	"kitspan/internal/fault"
	"kitspan/internal/shot"
	"kitspan/internal/text"
)

// kind is how a field is written and read.
type kind string

const (
	asNumber  kind = "number"
	asLength  kind = "length"
	asText    kind = "text"
	asDate    kind = "date"
	asTime    kind = "time"
	asBearing kind = "bearing"
	asChoice  kind = "choice"
	asCheck   kind = "check"
	asLines   kind = "lines"
	asTable   kind = "table" // CSV
)

// fieldDef is one field of the form: how it is asked, which member of a sizing request it is, and how it gets there.
type fieldDef struct {
	Name, Label, Hint, Unit string
	Kind                    kind
	Words                   []word
	pointer                 string // of the member in a sizing request
	number                  func(d *shot.Draft) **float64
	text                    func(d *shot.Draft) **string
	// shown is the value that is taken where nothing is said.
	shown func(s *shot.Shot) float64
}

// word is a choice and what it is called.
type word struct{ Value, Label string }

// groupDef is fields that stand together; the later ones fold away.
type groupDef struct {
	Name, Label string
	Folded      bool
	Fields      []*fieldDef
}

func num(name, label, unit, pointer string, to func(d *shot.Draft) **float64, shown func(s *shot.Shot) float64) *fieldDef {
	return &fieldDef{Name: name, Label: label, Unit: unit, Kind: asNumber, pointer: pointer, number: to, shown: shown}
}

func length(name, label, pointer string, to func(d *shot.Draft) **float64, shown func(s *shot.Shot) float64) *fieldDef {
	return &fieldDef{Name: name, Label: label, Kind: asLength, pointer: pointer, number: to, shown: shown}
}

func said(name, label string, k kind, pointer string, to func(d *shot.Draft) **string) *fieldDef {
	return &fieldDef{Name: name, Label: label, Kind: k, pointer: pointer, text: to}
}

func chosen(name, label, pointer string, to func(d *shot.Draft) **string, words ...word) *fieldDef {
	return &fieldDef{Name: name, Label: label, Kind: asChoice, pointer: pointer, text: to, Words: words}
}

func (f *fieldDef) hint(s string) *fieldDef { f.Hint = s; return f }

// groups are the form, in its order. The names are short because they are the address of the plan.
var groups = []*groupDef{
	{Name: "shot", Label: "The shot", Fields: []*fieldDef{
		length("width", "Picture width", "/shot/framing/width_m", func(d *shot.Draft) **float64 { return &d.Framing.WidthM },
			func(s *shot.Shot) float64 { return s.Framing.WidthM }).hint("where the people are"),
		length("distance", "Lens to people", "/shot/framing/distance_m", func(d *shot.Draft) **float64 { return &d.Framing.DistanceM }, nil),
		said("bearing", "The lens looks toward", asBearing, "/shot/camera/bearing_deg", nil).hint("degrees from true north, or N, SSW, east"),
		said("date", "Date", asDate, "/shot/window/date", func(d *shot.Draft) **string { return &d.Window.Date }),
		said("from", "From", asTime, "/shot/window/start", func(d *shot.Draft) **string { return &d.Window.Start }),
		said("to", "To", asTime, "/shot/window/end", func(d *shot.Draft) **string { return &d.Window.End }),
	}},
	{Name: "place", Label: "The place", Fields: []*fieldDef{
		num("lat", "Latitude", "°", "/shot/site/latitude_deg", func(d *shot.Draft) **float64 { return &d.Site.LatitudeDeg }, nil).hint("north is positive"),
		num("lon", "Longitude", "°", "/shot/site/longitude_deg", func(d *shot.Draft) **float64 { return &d.Site.LongitudeDeg }, nil).hint("east is positive"),
		said("zone", "Time zone", asText, "/shot/site/time_zone", func(d *shot.Draft) **string { return &d.Site.TimeZone }),
		chosen("ground", "Ground", "/shot/site/ground", func(d *shot.Draft) **string { return &d.Site.Ground },
			word{"", "concrete"}, word{"grass", "grass"}, word{"soil", "soil"}, word{"sand", "sand"},
			word{"asphalt", "asphalt"}, word{"snow", "snow"}, word{"water", "water's edge"}),
		chosen("sky", "Sky", "/shot/sky/condition", func(d *shot.Draft) **string { return &d.Sky.Condition },
			word{"", "clear"}, word{"partly_cloudy", "partly cloudy"}, word{"overcast", "overcast"}),
	}},
	{Name: "look", Label: "The look", Fields: []*fieldDef{
		chosen("soften", "Soften the sun", "/shot/look/soften", func(d *shot.Draft) **string { return &d.Look.Soften },
			word{"", "it must be"}, word{"preferred", "if it can be"}, word{"off", "no"}),
		chosen("side", "Key from the", "/shot/look/key_side", func(d *shot.Draft) **string { return &d.Look.KeySide },
			word{"", "side off the sun"}, word{"left", "left"}, word{"right", "right"}),
		num("background", "Background by a meter", "EV", "/shot/background/ev100", func(d *shot.Draft) **float64 { return &d.Background.EV100 }, nil).
			hint("at ISO 100: read from the lens what is behind the people"),
		chosen("faces", "Not read: it is", "/shot/background/faces", func(d *shot.Draft) **string { return &d.Background.Faces },
			word{"", "upright: walls, trees, people"}, word{shot.FacesLevel, "level: ground, sand, snow"}, word{shot.FacesSky, "sky, or water that mirrors it"}),
		num("key", "Key level", "stops", "/shot/look/key_stops", func(d *shot.Draft) **float64 { return &d.Look.KeyStops },
			func(s *shot.Shot) float64 { return s.Look.KeyStops }).hint("against the background"),
		num("contrast", "Contrast", "stops", "/shot/look/contrast_stops", func(d *shot.Draft) **float64 { return &d.Look.ContrastStops },
			func(s *shot.Shot) float64 { return s.Look.ContrastStops }).hint("key over fill"),
		num("back", "Hair and shoulders", "stops", "/shot/look/back_stops", func(d *shot.Draft) **float64 { return &d.Look.BackStops }, nil).hint("blank: a little over the background, as far as the sun gives it"),
		num("soft", "Key at least so large", "°", "/shot/look/soft_deg", func(d *shot.Draft) **float64 { return &d.Look.SoftDeg },
			func(s *shot.Shot) float64 { return s.Look.SoftDeg }).hint("as it looks from the face"),
		chosen("colour", "Colour of the key", "/shot/look/colour", func(d *shot.Draft) **string { return &d.Look.Colour },
			word{"", "as the sun is"}, word{shot.ColourWarm, "warm: gold"}),
		num("net", "Background net", "stops", "/shot/look/net_stops", func(d *shot.Draft) **float64 { return &d.Look.NetStops },
			func(s *shot.Shot) float64 { return s.Look.NetStops }),
	}},
	{Name: "wind", Label: "Wind, money and hands", Fields: []*fieldDef{
		num("gust", "Gust to hold", "m/s", "/shot/gust_ms", func(d *shot.Draft) **float64 { return &d.GustMS }, func(s *shot.Shot) float64 { return s.GustMS }).
			hint("3-second gust at the piece"),
		chosen("anchor", "Ropes to", "/shot/ground_anchor", func(d *shot.Draft) **string { return &d.GroundAnchor },
			word{"", "dead weights"}, word{"stakes", "stakes"}),
		num("price", "Hire at most, per day", "", "/limits/price_per_day", nil, nil),
		num("crew", "People at most", "", "/limits/crew", nil, nil),
		num("mass", "Kit at most", "kg", "/limits/mass_kg", func(d *shot.Draft) **float64 { return &d.Limits.MassKg }, nil),
		length("high", "Nothing higher than", "/limits/rig_height_m", func(d *shot.Draft) **float64 { return &d.Limits.RigHeightM }, nil),
		chosen("prefer", "Prefer", "/prefer", func(d *shot.Draft) **string { return &d.Prefer },
			word{"", "the smallest"}, word{"cheapest", "the cheapest"}, word{"lightest", "the lightest"},
			word{"fewest_hands", "the fewest hands"}),
	}},
	{Name: "people", Label: "Where the people are", Folded: true, Fields: []*fieldDef{
		length("zone_width", "Lit width", "/shot/zone/width_m", func(d *shot.Draft) **float64 { return &d.Zone.WidthM }, func(s *shot.Shot) float64 { return s.Zone.WidthM }),
		length("zone_depth", "Lit depth", "/shot/zone/depth_m", func(d *shot.Draft) **float64 { return &d.Zone.DepthM }, func(s *shot.Shot) float64 { return s.Zone.DepthM }),
		length("zone_base", "Lit from", "/shot/zone/base_m", func(d *shot.Draft) **float64 { return &d.Zone.BaseM }, func(s *shot.Shot) float64 { return s.Zone.BaseM }),
		length("zone_top", "Lit up to", "/shot/zone/top_m", func(d *shot.Draft) **float64 { return &d.Zone.TopM }, func(s *shot.Shot) float64 { return s.Zone.TopM }),
	}},
	{Name: "camera", Label: "The camera", Folded: true, Fields: []*fieldDef{
		num("focal", "Focal length", "mm", "/shot/framing/focal_length_mm", func(d *shot.Draft) **float64 { return &d.Framing.FocalLengthMM }, nil).
			hint("with the sensor's width, in place of the picture's width"),
		num("sensor", "Sensor width", "mm", "/shot/framing/sensor_width_mm", func(d *shot.Draft) **float64 { return &d.Framing.SensorWidthMM }, nil),
		num("ratio", "Width over height", "", "/shot/framing/aspect_ratio", func(d *shot.Draft) **float64 { return &d.Framing.AspectRatio },
			func(s *shot.Shot) float64 { return s.Framing.AspectRatio }),
		length("lens_height", "Lens height", "/shot/camera/height_m", func(d *shot.Draft) **float64 { return &d.Camera.HeightM }, func(s *shot.Shot) float64 { return s.Camera.HeightM }),
		length("aim_height", "Aimed at a height of", "/shot/camera/aim_height_m", func(d *shot.Draft) **float64 { return &d.Camera.AimHeightM },
			func(s *shot.Shot) float64 { return s.Camera.AimHeightM }),
		num("iso", "ISO", "", "/shot/exposure/iso", func(d *shot.Draft) **float64 { return &d.Exposure.ISO }, func(s *shot.Shot) float64 { return s.Exposure.ISO }),
		num("fps", "Frames a second", "", "/shot/exposure/frame_rate_fps", func(d *shot.Draft) **float64 { return &d.Exposure.FrameRateFPS },
			func(s *shot.Shot) float64 { return s.Exposure.FrameRateFPS }),
		num("shutter", "Shutter angle", "°", "/shot/exposure/shutter_angle_deg", func(d *shot.Draft) **float64 { return &d.Exposure.ShutterAngleDeg },
			func(s *shot.Shot) float64 { return s.Exposure.ShutterAngleDeg }),
		num("stop", "T-stop", "", "/shot/exposure/t_stop", func(d *shot.Draft) **float64 { return &d.Exposure.TStop }, func(s *shot.Shot) float64 { return s.Exposure.TStop }),
	}},
	{Name: "more", Label: "Margins and more", Folded: true, Fields: []*fieldDef{
		length("cover", "Inside the frame's edge", "/shot/allowance/cover_m", func(d *shot.Draft) **float64 { return &d.Allowance.CoverM }, func(s *shot.Shot) float64 { return s.Allowance.CoverM }),
		length("clear", "Out of the picture by", "/shot/allowance/view_m", func(d *shot.Draft) **float64 { return &d.Allowance.ViewM }, func(s *shot.Shot) float64 { return s.Allowance.ViewM }),
		length("head", "Head room", "/shot/allowance/head_m", func(d *shot.Draft) **float64 { return &d.Allowance.HeadM }, func(s *shot.Shot) float64 { return s.Allowance.HeadM }),
		num("ballast", "Ballast on every stand", "kg", "/shot/allowance/ballast_kg", func(d *shot.Draft) **float64 { return &d.Allowance.BallastKg },
			func(s *shot.Shot) float64 { return s.Allowance.BallastKg }).hint("at least, whatever the gust"),
		num("ballast_high", "The same with an arm or over 3 m", "kg", "/shot/allowance/ballast_high_kg", func(d *shot.Draft) **float64 { return &d.Allowance.BallastHighKg },
			func(s *shot.Shot) float64 { return s.Allowance.BallastHighKg }),
		num("safety", "Safety factor", "", "/shot/safety_factor", func(d *shot.Draft) **float64 { return &d.SafetyFactor }, func(s *shot.Shot) float64 { return s.SafetyFactor }),
		num("elevation", "Height above the sea", "m", "/shot/site/elevation_m", func(d *shot.Draft) **float64 { return &d.Site.ElevationM },
			func(s *shot.Shot) float64 { return s.Site.ElevationM }),
		num("sun_lx", "Sun by a meter", "lx", "/shot/sky/sun_lx", func(d *shot.Draft) **float64 { return &d.Sky.SunLx }, nil).hint("facing the sun"),
		num("sky_lx", "Sky by a meter", "lx", "/shot/sky/sky_lx", func(d *shot.Draft) **float64 { return &d.Sky.SkyLx }, nil).hint("level, the sun blocked"),
		{Name: "roofed", Label: "Under a roof", Kind: asCheck, pointer: "/shot/site/roofed"},
		length("walk_east", "They walk to the east by", "/shot/walk/to_m/0", nil, nil).hint("straight, from where they are first; under 0 to the west"),
		length("walk_north", "They walk to the north by", "/shot/walk/to_m", nil, nil).hint("under 0 to the south"),
		{Name: "lamps", Label: "Hard lights beside the sun", Kind: asLines, pointer: "/shot/lamps",
			Hint: "one a line: name; azimuth; elevation; lux – or name; east; north; height; candela (in metres); then off, if you can switch it off"},
		{Name: "others", Label: "Other people in the picture", Kind: asLines, pointer: "/shot/other_zones",
			Hint: "one a line: name; east; north; width – and, if you like, key stops (in metres)"},
		{Name: "anchors", Label: "Fixed points for ropes", Kind: asLines, pointer: "/shot/site/anchors",
			Hint: "one a line: name; east; north; height; newtons it may bear (in metres) – nobody ties to what they have not checked"},
		{Name: "forecast", Label: "Wind forecast", Kind: asTable, pointer: "/shot/forecast",
			Hint: "CSV: at,gust_ms,cloud in the first line, then such as 2027-06-18 16:00,6.5,0.2 (time at the place, m/s, cloud 0 to 1 or left out)",
			text: func(d *shot.Draft) **string { return &d.ForecastCSV }},
	}},
}

// outside are members that no field of the table holds: read by hand.
const (
	houseField = "house"
	nameField  = "name"
	unitsField = "units"
	// numbersField is the language whose numbers were typed, so that an address means the same to whoever opens it.
	numbersField = "numbers"
)

// shotForm is a form as it was sent: what was typed, what it means, and what is wrong with it.
type shotForm struct {
	typed url.Values
	House string
	Units string
	// notation is that of what was typed.
	notation notation
	Draft    shot.Draft
	Errors   map[string]string // by field
	// General are faults that no field is to blame for.
	General []string
}

// readForm reads a query; money is in the house's currency, and numbers are the reader's where the query does not say whose.
func readForm(q url.Values, code string, reads notation) *shotForm {
	f := &shotForm{typed: q, notation: notationOf(q.Get(numbersField), reads), House: strings.TrimSpace(q.Get(houseField)), Units: q.Get(unitsField), Errors: map[string]string{}}
	f.Draft.Name = strings.TrimSpace(q.Get(nameField))
	for _, g := range groups {
		for _, def := range g.Fields {
			f.read(def, code)
		}
	}
	return f
}

func (f *shotForm) feet() bool { return f.Units == feetUnit }

func (f *shotForm) read(def *fieldDef, code string) {
	s := strings.TrimSpace(f.typed.Get(def.Name))
	if s == "" {
		return
	}
	var v float64
	var err error
	switch def.Kind {
	case asCheck:
		yes := true
		f.Draft.Site.Roofed = &yes
		return
	case asBearing:
		if v, err = f.notation.bearing(s); err == nil {
			f.Draft.Camera.BearingDeg = &v
		} else {
			f.Errors[def.Name] = wrongNumber(err, "give degrees from 0 to 360, or a point of the compass such as SW")
		}
		return
	case asLength:
		if v, err = f.notation.length(s, f.feet()); err != nil {
			f.Errors[def.Name] = wrongNumber(err, "give a length, such as 3.5, 3.5 m or 11 ft 6 in")
		}
	case asNumber:
		if v, err = f.notation.number(s); err != nil {
			f.Errors[def.Name] = wrongNumber(err, "give a number, such as 1.5")
		}
	case asLines:
		f.lines(def.Name, s)
		return
	default:
		*def.text(&f.Draft) = &s
		return
	}
	switch {
	case err != nil:
	case def.Name == "price":
		f.price(v, code)
	case def.Name == "crew":
		if v != math.Trunc(v) || math.Abs(v) > 1e6 {
			f.Errors["crew"] = "give a whole number of people, such as 6"
			return
		}
		n := int(v)
		f.Draft.Limits.Crew = &n
	case def.Name == "walk_east", def.Name == "walk_north":
		if f.Draft.Walk == nil {
			f.Draft.Walk = &shot.DraftWalk{ToM: make([]float64, 2)}
		}
		axis := 0
		if def.Name == "walk_north" {
			axis = 1
		}
		f.Draft.Walk.ToM[axis] = v
	default:
		*def.number(&f.Draft) = &v
	}
}

// wrongNumber says what is wrong with a number: that it may be one of two, or what to give.
func wrongNumber(err error, give string) string {
	var two *ambiguousError
	if errors.As(err, &two) {
		return two.Error()
	}
	return give
}

// valueFor is what was typed in a field, as a reader of another notation would have typed it.
func (f *shotForm) valueFor(def *fieldDef, to notation) string {
	s := strings.TrimSpace(f.typed.Get(def.Name))
	switch def.Kind {
	case asNumber:
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
				parts[k] = f.notation.rewrite(parts[k], to, notation.number)
			}
			lines[i] = strings.Join(parts, ";")
		}
		return strings.Join(lines, "\n")
	default:
		return s
	}
}

func (f *shotForm) price(v float64, code string) {
	digits, _ := currency.GetDigits(code)
	written := strconvFixed(v, int(digits))
	a, err := catalog.ParseMoney(written, code)
	if err != nil {
		f.Errors["price"] = "give an amount of 0 or more, such as 400"
		return
	}
	if kept, err := strconv.ParseFloat(written, 64); err != nil || kept != v { // the amount would be another than was typed
		f.Errors["price"] = "give an amount with at most " + strconv.Itoa(int(digits)) + " decimals, such as " + strconvFixed(400, int(digits))
		return
	}
	f.Draft.Limits.PricePerDay = &a
}

// blame puts the engine's faults beside the fields that they are of. One of the very member that a field holds goes without
// the member's name: the label says it better.
func (f *shotForm) blame(faults []fault.Fault) {
	lines := map[string][]string{} // of tables, by field
	for _, wrong := range faults {
		name, exact := fieldOf(wrong.Pointer)
		switch {
		case name == "":
			f.General = append(f.General, text.Fault(wrong))
		case wrong.Line > 0:
			lines[name] = append(lines[name], text.FaultInLine(wrong))
		case f.Errors[name] != "": // what was typed and could not be read is reported once
		case exact:
			f.Errors[name] = text.FaultBeside(wrong)
		default:
			f.Errors[name] = f.inLine(name, wrong)
		}
	}
	for name, says := range lines {
		if more := len(says) - linesSaid; more > 0 {
			says = append(says[:linesSaid], "and "+strconv.Itoa(more)+" more")
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
	return slices.ContainsFunc(groups, func(g *groupDef) bool {
		return slices.ContainsFunc(g.Fields, func(d *fieldDef) bool { return d.Name == name })
	})
}

// starter is the shot that an empty form begins with: one of the demo job.
var starter = map[string]string{
	houseField: "quayside", nameField: "Two anglers on the jetty", "width": "3", "distance": "5.5", "bearing": "258", "date": "2027-06-18",
	"from": "16:30", "to": "17:30", "lat": "38.6935", "lon": "-9.2057", "zone": "Europe/Lisbon", "aim_height": "1.25", "zone_width": "2.6",
	"zone_depth": "0.8", "zone_base": "0.6", "zone_top": "1.85", "faces": shot.FacesSky,
}

func starterQuery() string {
	q := url.Values{}
	for _, k := range slices.Sorted(maps.Keys(starter)) {
		q.Set(k, starter[k])
	}
	return q.Encode()
}
