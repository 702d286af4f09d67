package shot

import (
	"math"
	"strings"
	"time"
	"unicode/utf8"

	"kitspan/internal/fault"
	"kitspan/internal/finding"
	"kitspan/internal/sun"
)

// Resolve fills in every default and resolves every "auto", or names every fault of the draft at once.
//
// The faults stand in the order of the request's fields, each with the pointer of its field in the body of
// POST /v1/sizings; where there are any, the shot is the zero Shot. Derived numbers keep their full precision: a shot
// that is written out with round-trip floats and read back resolves to itself.
func (d Draft) Resolve() (Shot, []fault.Fault) {
	var r resolver
	s := Shot{Name: d.Name}
	if n := utf8.RuneCountInString(d.Name); n > longestName {
		r.fault("/shot/name", fault.TooLong{Characters: n, Most: longestName})
	}
	var loc *time.Location
	s.Site, loc = resolveSite(&r, d.Site)
	s.Window = resolveWindow(&r, d.Window, s.Site.TimeZone, loc)
	s.Sky = resolveSky(&r, d.Sky, s.Site.Roofed)
	if s.Sky.SunLx != nil || s.Sky.SkyLx != nil {
		s.Sky.ReadAt = s.Window.Mid()
	}
	view := resolveView(&r, d.Camera, d.Framing, d.Zone)
	s.Camera, s.Framing, s.Zone = view.camera, view.framing, view.zone
	behind := resolveBackground(&resolver{}, d.Background) // its faults come in their turn
	s.Look = resolveLook(&r, d.Look, s.Framing.WidthM, keyBefore(&behind, s.Site.Roofed))
	s.Walk = resolveWalk(&r, d.Walk)
	view.walk = s.Walk
	s.OtherZones = resolveOtherZones(&r, d.OtherZones, view, s.Look.KeyStops)
	s.Background = resolveBackground(&r, d.Background)
	s.Exposure = resolveExposure(&r, d.Exposure)
	s.Allowance = resolveAllowance(&r, d.Allowance, view)
	s.GroundAnchor = r.word("/shot/ground_anchor", d.GroundAnchor, AnchorBallast, AnchorBallast, AnchorStakes)
	s.GustMS = resolveGust(&r, d.GustMS, d.MeanWindMS)
	s.SafetyFactor, _ = r.number("/shot/safety_factor", d.SafetyFactor, defaultSafetyFactor, bound{lo: 1, hi: 5})
	s.Supply = resolveSupply(&r, d.Supply, s.Camera.BearingDeg, s.Framing.DistanceM)
	s.Lamps = resolveLamps(&r, d.Lamps, view, s.OtherZones)
	s.Forecast = resolveForecast(&r, d.Forecast, d.ForecastCSV, s.Site.TimeZone, loc)
	s.Limits = resolveLimits(&r, d.Limits)
	s.Prefer = r.word("/prefer", d.Prefer, PreferSmallest,
		PreferSmallest, PreferCheapest, PreferLightest, PreferFewestHands)
	s.CrewLadder = r.crewLadder(d.CrewLadder)
	if len(r.faults) > 0 {
		return Shot{}, r.faults
	}
	checkReadings(&r, &s)
	if s.Look.KeySide == SideAuto {
		s.Look.KeySide = keySide(s.Site, s.Window, s.Camera.BearingDeg)
	}
	s.Notes = r.notes
	return s, nil
}

// sideToleranceRad is how nearly the sun must stand in the lens's vertical plane for neither side to be further from
// it: far below what a bearing is ever known to, far above rounding.
const sideToleranceRad = 1e-9

// keySide is the side, as the camera sees it, that lies further from the sun in the middle of the window: left where
// the sun favours neither, and under a roof.
func keySide(site Site, w Window, bearingDeg float64) string {
	if site.Roofed {
		return SideLeft
	}
	azimuthDeg := sunPosition(site, w.Mid()).AzimuthDeg
	if toRight := math.Sin((azimuthDeg - bearingDeg) * math.Pi / 180); toRight < -sideToleranceRad {
		return SideRight
	}
	return SideLeft
}

func sunPosition(s Site, t time.Time) sun.Position {
	return sun.At(t, s.UnderSun())
}

// UnderSun is the site as the sun's position needs it.
func (s *Site) UnderSun() sun.Site {
	return sun.Site{
		LatitudeDeg: s.LatitudeDeg, LongitudeDeg: s.LongitudeDeg, ElevationM: s.ElevationM,
		PressureHPa: s.PressureHPa, TemperatureC: s.TemperatureC,
	}
}

// resolver gathers what is to be said about a draft while its parts are read in the order of the request.
type resolver struct {
	faults []fault.Fault
	notes  []finding.Note
}

func (r *resolver) fault(pointer string, k fault.Kind) {
	r.faults = append(r.faults, fault.Fault{Pointer: pointer, Kind: k})
}

func (r *resolver) note(n finding.Note) { r.notes = append(r.notes, n) }

// bound is the range of a number: lo itself is outside it where open is set.
type bound struct {
	lo, hi float64
	open   bool
	unit   string
}

func (b bound) holds(v float64) bool {
	v = settled(v)
	return v <= b.hi && (v > b.lo || v == b.lo && !b.open) // false for NaN
}

// leastMagnitude is the smallest number but 0 that a request can say: a billionth of a metre, lux or kilogram means nothing on a set
// (common practice, no source), and quotients of still smaller numbers leave the range of floats.
const leastMagnitude = 1e-9

// settled is a number as it is taken: one that is too near 0 to mean anything is 0, as is a negative zero.
func settled(v float64) float64 {
	if math.Abs(v) < leastMagnitude {
		return 0
	}
	return v
}

// asked is the bound as a fault names it.
func (b bound) asked() fault.Range {
	return fault.Range{Least: b.lo, Most: b.hi, Open: b.open, Unit: b.unit}
}

// number reads an optional number. ok is false where it was given and is wrong.
func (r *resolver) number(pointer string, v *float64, def float64, b bound) (value float64, ok bool) {
	if v == nil {
		return def, true
	}
	return r.check(pointer, *v, b)
}

// needed reads a number that has no default.
func (r *resolver) needed(pointer string, v *float64, b bound) (value float64, ok bool) {
	if v == nil {
		want := b.asked()
		r.fault(pointer, fault.Missing{Want: fault.WantNumber, Range: &want})
		return 0, false
	}
	return r.check(pointer, *v, b)
}

// check refuses a value outside its bound, NaN and the infinities included.
func (r *resolver) check(pointer string, v float64, b bound) (value float64, ok bool) {
	switch {
	case math.IsNaN(v) || math.IsInf(v, 0):
		r.fault(pointer, fault.NotFinite{Got: v, Range: b.asked()})
	case !b.holds(v) && v != 0 && settled(v) == 0:
		r.fault(pointer, fault.CountsAsZero{Got: v, Range: b.asked()})
	case !b.holds(v):
		r.fault(pointer, fault.OutOfRange{Got: v, Range: b.asked()})
	default:
		return settled(v), true
	}
	return 0, false
}

// optional reads a number that may be left out.
func (r *resolver) optional(pointer string, v *float64, b bound) *float64 {
	if v == nil {
		return nil
	}
	value, _ := r.check(pointer, *v, b)
	return &value
}

// word reads one of a closed list of words.
func (r *resolver) word(pointer string, v *string, def string, words ...string) string {
	if v == nil {
		return def
	}
	for _, w := range words {
		if *v == w {
			return w
		}
	}
	r.fault(pointer, fault.NotOneOf{Got: cut(*v), Words: words})
	return def
}

// field is the name that a pointer ends in.
func field(pointer string) string { return pointer[strings.LastIndexByte(pointer, '/')+1:] }

// longestQuote is how much of a user's text a fault repeats.
const longestQuote = 60

func cut(s string) string {
	if runes := []rune(s); len(runes) > longestQuote {
		s = string(runes[:longestQuote]) + "…"
	}
	return s
}

// compass brings a bearing or azimuth into [0, 360).
func compass(deg float64) float64 {
	deg = math.Mod(deg, 360)
	if deg < 0 {
		deg += 360
	}
	if deg >= 360 { // a tiny negative angle rounds up to 360
		deg = 0
	}
	return deg + 0
}
