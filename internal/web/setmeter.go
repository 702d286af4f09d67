package web

import (
	"html/template"
	"math"
	"net/url"
	"slices"
	"strings"

	"kitspan/internal/finding"
	"kitspan/internal/light"
	"kitspan/internal/lighting"
	"kitspan/internal/sizing"
	"kitspan/internal/text"
)

// Readings of a meter on set, typed on the page for the phone, and what they say to change.

// The fields of readings in the address, beside those of the shot.
const (
	readAsField     = "m_as"
	readBackField   = "m_bg"
	readKeyField    = "m_key"
	readCoverField  = "m_cover"
	readFillField   = "m_fill"
	readAsLux       = "lux"
	readAsStop      = "stop"
	readAsEV        = "ev"
	leastEV, mostEV = -6, 22 // starlight to a mirror's sun
)

// meterView is the form of readings and its answer.
type meterView struct {
	As     string
	Fields []readingView
	Shot   []pairView // what the address has besides
	Told   *toldView  // nil as long as nothing sound was read
}

type pairView struct{ Name, Value string }

// readingView is one reading as it was typed.
type readingView struct {
	Name, Value, Error string
	Needed             bool
	lx                 float64
}

// toldView is what readings say, in numbers for the page's sentences.
type toldView struct {
	*sizing.Metered
	// Rest, Board are by how many stops the light differs, with their sign, empty where by no more than a sixth.
	Rest, Board string
	// AimFirst is set where what lifts the key gives so much less than planned that its aim is to be looked at before anything is carried.
	AimFirst bool
	Key      *carryView
	Fill     *carryView
	Next     []nextView
	// Background is the background as it was read, EV at ISO 100, for a plan made anew; Anew is its address.
	Background string
	Anew       template.URL
}

// carryView is a group that is carried.
type carryView struct {
	*lighting.Carry
	Nearer bool
	ByM    float64
	Spots  []setSpot
	Ends   bool // it is as near, or as far, as it may stand
}

// nextView is another way, with the cloth's name.
type nextView struct {
	lighting.NextStep
	Name string
}

// aimFirstStops is by how much less than planned a board gives for its aim to be looked at first (common practice, no source).
const aimFirstStops = -0.5

// readMeter reads the readings of an address; complete reports whether they are enough to say something.
func readMeter(q url.Values, t *taken) (v *meterView, readings lighting.Readings, complete bool) {
	v = &meterView{As: readAsEV}
	if as := q.Get(readAsField); as == readAsLux || as == readAsStop {
		v.As = as
	}
	shotOf, err := url.ParseQuery(t.form.query())
	if err != nil {
		shotOf = nil
	}
	for name := range shotOf {
		v.Shot = append(v.Shot, pairView{name, shotOf.Get(name)})
	}
	slices.SortFunc(v.Shot, func(a, b pairView) int { return strings.Compare(a.Name, b.Name) })
	some, wrong := false, false
	for _, name := range []string{readBackField, readKeyField, readCoverField, readFillField} {
		f := readingView{Name: name, Value: strings.TrimSpace(q.Get(name)), Needed: name == readBackField || name == readKeyField}
		some = some || f.Value != ""
		v.Fields = append(v.Fields, f)
	}
	for i := range v.Fields {
		f := &v.Fields[i]
		switch {
		case f.Value != "":
			f.lx, f.Error = luxOf(f.Value, v.As, t)
		case f.Needed && some:
			f.Error = "read"
		}
		wrong = wrong || f.Error != ""
	}
	if !some || wrong {
		return v, readings, false
	}
	readings = lighting.Readings{BackgroundLx: v.Fields[0].lx, KeyLx: v.Fields[1].lx}
	if f := &v.Fields[2]; f.Value != "" {
		readings.CoveredLx = &f.lx
	}
	if f := &v.Fields[3]; f.Value != "" {
		readings.FillLx = &f.lx
	}
	return v, readings, true
}

// luxOf is a reading in lux; wrong is what is wrong with it: "number" for what is none, "range" for what no meter shows.
func luxOf(s, as string, t *taken) (lx float64, wrong string) {
	n, err := t.reader.notation.number(s)
	if err != nil {
		return 0, "number"
	}
	ev := n
	switch as {
	case readAsLux:
		ev = light.EV100(n)
	case readAsStop: // the stop that the meter shows at the camera's ISO and shutter
		e := &t.job.Shot.Exposure
		ev = light.Exposure{ISO: e.ISO, FrameRateFPS: e.FrameRateFPS, ShutterAngleDeg: e.ShutterAngleDeg, TStop: n}.EV100()
	}
	if !(ev >= leastEV && ev <= mostEV) || as == readAsStop && n <= 0 {
		return 0, "range"
	}
	return light.LuxOfEV100(ev), ""
}

// told is what readings say.
func told(m *sizing.Metered, readings *lighting.Readings, res *sizing.Result, o *optionView, t *taken) *toldView {
	v := &toldView{Metered: m}
	const alike = 1.0 / 6
	if math.Abs(m.RestStops) > alike {
		v.Rest = t.reader.signed(m.RestStops, 1)
	}
	if m.Key != nil && math.Abs(m.BoardStops) > alike {
		v.Board = t.reader.signed(m.BoardStops, 1)
		v.AimFirst = m.BoardStops < aimFirstStops && m.By != lighting.ScaledTogether && m.Key.Role == finding.RoleReflector
	}
	v.Key, v.Fill = carryOf(m.Key, m.KeyPieces, res, o, t), carryOf(m.Fill, m.FillPieces, res, o, t)
	for _, n := range m.Next {
		name := n.SKU
		if item := t.job.Stock.Item(n.SKU); item != nil {
			name = item.Name
		}
		v.Next = append(v.Next, nextView{n, name})
	}
	v.Background = t.reader.number(light.EV100(readings.BackgroundLx), 1)
	v.Anew = template.URL(t.form.query("background", v.Background)) //nolint:gosec // encoded by net/url
	return v
}

// carryOf is a group that is carried, with every spot where it then stands.
func carryOf(c *lighting.Carry, pieces []sizing.Piece, res *sizing.Result, o *optionView, t *taken) *carryView {
	if c == nil {
		return nil
	}
	v := &carryView{Carry: c, Nearer: c.ToM < c.FromM, ByM: math.Abs(c.ToM - c.FromM)}
	v.Ends = c.ToM-c.NearM < endsM || c.FarM-c.ToM < endsM
	if len(pieces) == 0 {
		return v
	}
	then := sizing.Option{Label: o.Label, Window: o.Window, Pieces: pieces}
	eye := res.Shot.View().Eye
	for _, staked := range text.Staking(t.reader.text(), t.reader.length, res, &then, o.Names) {
		for i := range staked.Stakes {
			if spot := setSpotOf(&staked.Stakes[i], eye, t.reader); !spot.Middle {
				v.Spots = append(v.Spots, spot)
			}
		}
	}
	return v
}

// endsM is how near to an end of where it may stand a group is said to be there.
const endsM = 0.1
