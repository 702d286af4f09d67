package job

import (
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"kitspan/internal/catalog"
	"kitspan/internal/fault"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
)

// When is the span of a day in which a movable shot is shot.
type When struct {
	Date             catalog.Date
	Earliest, Latest string // HH:MM
	From, To         time.Time
	DurationMin      int
}

// Pins lists what a shot can be pinned to.
func Pins() []string {
	return []string{
		string(sizing.LabelOverhead), string(sizing.LabelOnLift), string(sizing.LabelMoved), string(sizing.LabelReflectors), string(sizing.LabelLamps),
		string(sizing.LabelOtherHour), string(sizing.LabelHandHeld),
	}
}

// nowhere stands for a place that is at fault, so that the rest of its shots is looked at all the same.
func nowhere() Place {
	zero, zone := 0.0, "UTC"
	return Place{DraftSite: shot.DraftSite{LatitudeDeg: &zero, LongitudeDeg: &zero, TimeZone: &zone}}
}

// shots reads the shots in their order.
func (r *resolver) shots(d *Draft) []Shot {
	if len(d.Shots) > MaxShots {
		r.fault("/shots", fault.TooMany{Count: len(d.Shots), Most: MaxShots})
		return nil
	}
	var out []Shot
	first := map[string]int{}
	for i := range d.Shots {
		out = append(out, r.shot(i, &d.Shots[i], d.Places, first))
	}
	return out
}

// shot reads one. first is where each number stands that was read before.
func (r *resolver) shot(i int, d *DraftShot, places map[string]Place, first map[string]int) Shot {
	at := ShotPointer(i)
	out := Shot{Number: r.number(i, d.Number, first), Pin: r.pin(at+"/pin", d.Pin)}
	place, known := r.knownPlace(at+"/place", d.Place, places)
	if known {
		out.Place = *d.Place
	} else {
		place = nowhere()
	}
	draft := d.Draft
	draft.Site, draft.CrewLadder, draft.ForecastCSV = place.DraftSite, nil, nil
	if draft.Forecast == nil {
		draft.Forecast = place.Forecast
	}
	switch {
	case d.When == nil && d.Window == (shot.DraftWindow{}):
		r.faults = append(r.faults, fault.Fault{Pointer: at + "/window", Kind: fault.Missing{Want: fault.WantObject, Instead: []string{"when"}}})
	case d.When != nil && d.Window != (shot.DraftWindow{}):
		r.faults = append(r.faults, fault.Fault{Pointer: at + "/when", Kind: fault.BothGiven{Beside: []string{"window"}, Sets: [][]string{{"window"}, {"when"}}}})
	case d.When != nil:
		if out.When = r.when(at+"/when", d.When, place); out.When != nil {
			draft.Window = windowDraft(out.When.start(0, place.zone()))
		}
	}
	out.draft = draft
	r.texts(at, &d.Draft)
	resolved, faults := draft.Resolve()
	for _, f := range faults {
		switch {
		case strings.HasPrefix(f.Pointer, sitePointer), d.Forecast == nil && strings.HasPrefix(f.Pointer, forecastPointer):
			continue // of the place, which says so itself
		case strings.HasPrefix(f.Pointer, "/shot/window") && (d.Window == (shot.DraftWindow{})):
			continue // of the window that was left out, or of when
		}
		f.Pointer = at + strings.TrimPrefix(f.Pointer, "/shot")
		r.faults = append(r.faults, f)
	}
	out.Shot = resolved
	if out.When != nil && (d.Look.KeySide == nil || *d.Look.KeySide == shot.SideAuto) {
		out.Look.KeySide = shot.SideAuto // it depends on the start
	}
	return out
}

// texts holds the free texts of a shot to what can be kept: the rest of the rules refuses whatever else is not of a closed list.
func (r *resolver) texts(at string, d *shot.Draft) {
	r.printable(at+"/name", &d.Name)
	r.printable(at+"/limits/vehicle_sku", d.Limits.VehicleSKU)
	for i := range d.OtherZones {
		r.printable(at+"/other_zones/"+strconv.Itoa(i)+"/label", d.OtherZones[i].Label)
	}
	for i := range d.Lamps {
		r.printable(at+"/lamps/"+strconv.Itoa(i)+"/label", d.Lamps[i].Label)
	}
}

// number reads the number of a shot.
func (r *resolver) number(i int, v *string, first map[string]int) string {
	at := "/shots/" + strconv.Itoa(i) + "/number"
	if v == nil || strings.TrimSpace(*v) == "" {
		r.fault(at, fault.Missing{Want: fault.WantLabel})
		return ""
	}
	n := *v
	c, found := unprintable(n, false)
	switch {
	case utf8.RuneCountInString(n) > longestNumber:
		r.fault(at, fault.TooLong{Characters: utf8.RuneCountInString(n), Most: longestNumber})
	case found:
		r.fault(at, fault.Unprintable{Character: c})
	case n != strings.TrimSpace(n):
		r.fault(at, fault.SpaceAround{Got: n})
	default:
		if before, twice := first[n]; twice {
			r.fault(at, fault.Repeated{Got: n, First: ShotPointer(before) + "/number"})
			return n
		}
		first[n] = i
	}
	return n
}

// pin reads the label of an option.
func (r *resolver) pin(at string, v *string) string {
	if v == nil {
		return ""
	}
	for _, w := range Pins() {
		if *v == w {
			return w
		}
	}
	r.faults = append(r.faults, fault.Fault{Pointer: at, Kind: fault.NotOneOf{Got: cut(*v), Words: Pins()}})
	return ""
}

// zone is where the place's clocks are; UTC where that is at fault.
func (p Place) zone() *time.Location {
	if loc, faults := shot.ResolveTimeZone("", p.TimeZone); len(faults) == 0 {
		return loc
	}
	return time.UTC
}

// when reads the span of a movable shot; nil where it is at fault.
func (r *resolver) when(at string, d *DraftWhen, place Place) *When {
	zone := "UTC"
	if place.TimeZone != nil {
		zone = *place.TimeZone
	}
	before := len(r.faults)
	w, faults := shot.DraftWindow{Date: d.Date, Start: d.Earliest, End: d.Latest}.Resolve(zone, place.zone())
	renamed := map[string]string{"date": "/date", "start": "/earliest", "end": "/latest"}
	for _, f := range faults {
		if _, wrong := f.Kind.(fault.EndNotAfterStart); wrong {
			f.Kind = fault.NoRoom{Earliest: w.Start, Latest: w.End, DurationMin: max(1, deref(d.DurationMin))}
		}
		f.Pointer = at + renamed[strings.TrimPrefix(f.Pointer, "/shot/window/")]
		r.faults = append(r.faults, f)
	}
	minutes, faults := shot.ResolveNumber(at+"/duration_min", d.DurationMin, 1, 24*60-1, "minutes")
	r.faults = append(r.faults, faults...)
	if len(r.faults) > before {
		return nil
	}
	out := &When{Date: w.Date, Earliest: w.Start, Latest: w.End, From: w.From, To: w.To, DurationMin: minutes}
	if w.From.Add(out.duration()).After(w.To) {
		r.faults = append(r.faults, fault.Fault{Pointer: at + "/latest", Kind: fault.NoRoom{Earliest: w.Start, Latest: w.End, DurationMin: minutes}})
		return nil
	}
	return out
}

func (w *When) duration() time.Duration { return time.Duration(w.DurationMin) * time.Minute }

// quarter is from one start that is tried to the next.
const quarter = 15 * time.Minute

// starts returns the windows that the shot may have: from the earliest on, then from each quarter hour of the clock, in their order.
func (w *When) starts(zone *time.Location) []shot.Window {
	var out []shot.Window
	for k := 0; ; k++ {
		one := w.start(k, zone)
		if one.To.After(w.To) {
			return out
		}
		out = append(out, one)
	}
}

// start returns one of them, from 0 on. What changes clocks does so by whole quarter hours, so that these are those of the clock.
func (w *When) start(k int, zone *time.Location) shot.Window {
	from := w.From
	if k > 0 {
		_, minute, _ := w.From.In(zone).Clock()
		past := time.Duration(minute%15) * time.Minute
		from = w.From.Add(time.Duration(k)*quarter - past)
	}
	return shot.WindowBetween(from.In(zone), from.Add(w.duration()).In(zone))
}

// windowDraft is a window as a request says it.
func windowDraft(w shot.Window) shot.DraftWindow {
	date, end, endDate := w.Date.String(), w.End, w.EndDate.String()
	return shot.DraftWindow{Date: &date, Start: &w.Start, End: &end, EndDate: &endDate}
}

// At returns a movable shot in one of its windows, and any other as it is. The shot is zero where no request could ask for that window: an
// hour that the clocks go through twice has the starts of the first time.
func (s *Shot) At(w shot.Window) shot.Shot {
	if s.When == nil {
		return s.Shot
	}
	d := s.draft
	d.Window = windowDraft(w)
	out, faults := d.Resolve()
	// Of a time that occurs twice a window can say the first alone.
	if len(faults) > 0 || !out.Window.From.Equal(w.From) || !out.Window.To.Equal(w.To) {
		return shot.Shot{}
	}
	return out
}

func deref(v *int) int {
	if v == nil {
		return 0
	}
	return *v
}
