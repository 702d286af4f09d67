package oracle_test

import (
	"encoding/binary"
	"encoding/json"
	"fmt"
	"maps"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/getkin/kin-openapi/openapi3"

	"kitspan/api"
	"kitspan/internal/catalog"
	"kitspan/internal/sun"
)

// mutants change sizing requests member by member, as the contract lets a client say them.
type mutants struct {
	rng    *rand.Rand
	schema *openapi3.Schema // of a sizing request
	leaves []leaf
}

// leaf is a member of a request that holds a number, a word or a flag, by the names that lead to it; an empty name is
// an element of a list.
type leaf struct {
	path   []string
	schema *openapi3.Schema
}

// contract is the schema of a sizing request and all its leaves.
func contract(tb testing.TB) (*openapi3.Schema, []leaf) {
	tb.Helper()
	doc, err := openapi3.NewLoader().LoadFromData(api.YAML)
	if err != nil {
		tb.Fatal(err)
	}
	root := doc.Components.Schemas["SizingRequest"].Value
	var leaves []leaf
	var walk func(s *openapi3.Schema, path []string)
	walk = func(s *openapi3.Schema, path []string) {
		switch {
		case s.Type.Is("object"):
			for _, name := range slices.Sorted(maps.Keys(s.Properties)) {
				walk(s.Properties[name].Value, append(slices.Clone(path), name))
			}
		case s.Type.Is("array"):
			walk(s.Items.Value, append(slices.Clone(path), ""))
		default:
			leaves = append(leaves, leaf{path, s})
		}
	}
	walk(root, nil)
	return root, leaves
}

// entropy makes random numbers of given bytes, and of a generator once they are used up: what a fuzzer changes in the
// bytes changes one choice and leaves the others.
type entropy struct {
	data []byte
	then *rand.PCG
}

func (e *entropy) Uint64() uint64 {
	if len(e.data) < 8 {
		return e.then.Uint64()
	}
	v := binary.LittleEndian.Uint64(e.data)
	e.data = e.data[8:]
	return v
}

// The list sizes that a mutant keeps to: the contract's are twelve, and each lamp is a source to be shared among frames.
const (
	mostLamps = 3
	mostZones = 3
)

// of changes a request in a few places.
func (m *mutants) of(request map[string]any) {
	for range 1 + m.rng.IntN(6) {
		switch m.rng.IntN(8) {
		case 0:
			m.towardSun(request)
		case 1:
			m.acrossSunset(request)
		default:
			l := &m.leaves[m.rng.IntN(len(m.leaves))]
			m.change(request, m.schema, l.path)
		}
	}
}

// change goes down to a member and gives it another value; now and then it leaves one on its way out, or puts another
// element into a list.
func (m *mutants) change(at map[string]any, s *openapi3.Schema, path []string) {
	name := path[0]
	sub := s.Properties[name].Value
	if !slices.Contains(s.Required, name) && m.rng.IntN(8) == 0 {
		delete(at, name)
		return
	}
	switch {
	case sub.Type.Is("object"):
		inner, ok := at[name].(map[string]any)
		if !ok {
			inner = map[string]any{}
			at[name] = inner
			m.require(inner, sub)
		}
		m.change(inner, sub, path[1:])
	case sub.Type.Is("array"):
		at[name] = m.changeList(at[name], name, sub, path[1:])
	default:
		at[name] = m.value(at[name], name, sub)
	}
}

func (m *mutants) changeList(v any, name string, s *openapi3.Schema, path []string) any {
	list, _ := v.([]any)
	most := map[string]int{"lamps": mostLamps, "other_zones": mostZones}[name]
	if most == 0 && s.MaxItems != nil {
		most = int(*s.MaxItems)
	}
	item := s.Items.Value
	element := func() any {
		if !item.Type.Is("object") {
			return m.value(nil, name, item)
		}
		o := map[string]any{}
		m.require(o, item)
		return o
	}
	for uint64(len(list)) < s.MinItems {
		list = append(list, element())
	}
	if len(list) < most && (len(list) == 0 || m.rng.IntN(4) == 0) {
		list = append(list, element())
	}
	if len(list) == 0 {
		return list
	}
	i := m.rng.IntN(len(list))
	if inner, ok := list[i].(map[string]any); ok && len(path) > 1 {
		m.change(inner, item, path[1:])
	} else {
		list[i] = m.value(list[i], name, item)
	}
	return list
}

// require fills in what an object must have; a lamp needs besides one of two sets of members.
func (m *mutants) require(o map[string]any, s *openapi3.Schema) {
	names := slices.Clone(s.Required)
	if _, lamp := s.Properties["illuminance_lx"]; lamp {
		if m.rng.IntN(2) == 0 {
			names = append(names, "azimuth_deg", "elevation_deg", "illuminance_lx")
		} else {
			names = append(names, "position_m", "intensity_cd")
		}
	}
	for _, name := range names {
		sub := s.Properties[name].Value
		switch {
		case sub.Type.Is("array"):
			o[name] = m.changeList(nil, name, sub, nil)
		default:
			o[name] = m.value(nil, name, sub)
		}
	}
}

// value is another value of a member.
func (m *mutants) value(now any, name string, s *openapi3.Schema) any {
	switch {
	case s.Type.Is("boolean"):
		return m.rng.IntN(2) == 0
	case len(s.Enum) > 0:
		return s.Enum[m.rng.IntN(len(s.Enum))]
	case s.Type.Is("integer"):
		return 1 + m.rng.IntN(12)
	case s.Type.Is("number"):
		was, _ := now.(json.Number)
		v, err := was.Float64()
		return m.number(v, err == nil, name, s)
	}
	return m.word(name)
}

// number is a bound of the range, something near the value that is there, or anything; often a round number.
func (m *mutants) number(now float64, said bool, name string, s *openapi3.Schema) json.Number {
	lo, hi := -30.0, 30.0 // of a coordinate: the contract has no more than 1000
	if s.Min != nil && s.Max != nil {
		lo, hi = *s.Min, *s.Max
	}
	var v float64
	switch pick := m.rng.IntN(16); {
	case pick == 0:
		if v = hi; m.rng.IntN(2) == 0 && !s.ExclusiveMin.IsTrue() {
			v = lo
		}
	case pick < 8 && said:
		v = now * math.Exp(0.5*m.rng.NormFloat64())
	case lo >= 0 && hi > 30 && !strings.HasSuffix(name, "_deg"): // what may be a hundredth or a hundred is mostly about one
		v = math.Exp(math.Log(hi*1e-4) + m.rng.Float64()*math.Log(1e4))
	default:
		v = lo + m.rng.Float64()*(hi-lo)
	}
	v = math.Min(math.Max(v, lo), hi)
	for _, digits := range []float64{1, 10, 100, 1000} {
		if r := math.Round(v*digits) / digits; r >= lo && (r > lo || !s.ExclusiveMin.IsTrue()) && m.rng.IntN(2) == 0 {
			v = r
			break
		}
	}
	return json.Number(fmt.Sprint(v))
}

var zones = []string{"Europe/Lisbon", "UTC", "America/Los_Angeles", "Pacific/Auckland", "Asia/Kolkata", "Arctic/Longyearbyen"}

// word is a text of a member that is no closed list.
func (m *mutants) word(name string) any {
	switch name {
	case "house":
		return [2]string{"quayside", "northpier"}[m.rng.IntN(2)]
	case "time_zone":
		return zones[m.rng.IntN(len(zones))]
	case "date", "end_date":
		return time.Date(2027, 1, 1+m.rng.IntN(4*365), 0, 0, 0, 0, time.UTC).Format(time.DateOnly)
	case "start", "end":
		return fmt.Sprintf("%02d:%02d", m.rng.IntN(24), m.rng.IntN(60))
	case "amount":
		return fmt.Sprintf("%d.%02d", m.rng.IntN(2000), m.rng.IntN(100))
	case "currency":
		return "EUR"
	}
	return fmt.Sprintf("%s %d", name, m.rng.IntN(100))
}

// under is an object inside a request, made where it is missing.
func under(o map[string]any, names ...string) map[string]any {
	for _, name := range names {
		inner, ok := o[name].(map[string]any)
		if !ok {
			inner = map[string]any{}
			o[name] = inner
		}
		o = inner
	}
	return o
}

// sunOf is the place of a request for the sun, its clock and its date; ok is false where one of them cannot be read.
func sunOf(request map[string]any) (site sun.Site, loc *time.Location, day catalog.Date, ok bool) {
	at := under(request, "shot", "site")
	number := func(name string) (float64, bool) {
		n, _ := at[name].(json.Number)
		v, err := n.Float64()
		return v, err == nil
	}
	lat, okLat := number("latitude_deg")
	lon, okLon := number("longitude_deg")
	zone, _ := at["time_zone"].(string)
	loc, err := time.LoadLocation(zone)
	date, _ := under(request, "shot", "window")["date"].(string)
	t, errDate := time.Parse(time.DateOnly, date)
	if !okLat || !okLon || err != nil || errDate != nil {
		return site, nil, day, false
	}
	return sun.Site{LatitudeDeg: lat, LongitudeDeg: lon, PressureHPa: 1013.25, TemperatureC: 15}, loc,
		catalog.Date{Year: t.Year(), Month: t.Month(), Day: t.Day()}, true
}

// towardSun turns the lens so that the sun stands behind the subject, more or less, at the window's start.
func (m *mutants) towardSun(request map[string]any) {
	site, loc, day, ok := sunOf(request)
	start, _ := under(request, "shot", "window")["start"].(string)
	clock, err := time.Parse("15:04", start)
	if !ok || err != nil {
		return
	}
	p := sun.At(time.Date(day.Year, day.Month, day.Day, clock.Hour(), clock.Minute(), 0, 0, loc), site)
	bearing := math.Mod(p.AzimuthDeg+40*m.rng.NormFloat64(), 360)
	under(request, "shot", "camera")["bearing_deg"] = json.Number(fmt.Sprint(math.Round(bearing*10) / 10))
}

// acrossSunset moves the window so that the sun sets or rises within it or near it.
func (m *mutants) acrossSunset(request map[string]any) {
	site, loc, day, ok := sunOf(request)
	if !ok {
		return
	}
	events := sun.DayOf(day.Year, day.Month, day.Day, loc, site)
	event := events.Set
	if m.rng.IntN(3) == 0 {
		event = events.Rise
	}
	if event.IsZero() {
		return
	}
	length := time.Duration(10+m.rng.IntN(230)) * time.Minute
	from := event.Add(-time.Duration(m.rng.Float64() * 1.3 * float64(length))).In(loc)
	w := under(request, "shot", "window")
	w["date"], w["start"] = from.Format(time.DateOnly), from.Format("15:04")
	w["end_date"], w["end"] = from.Add(length).Format(time.DateOnly), from.Add(length).Format("15:04")
}
