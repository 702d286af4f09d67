package shot

import (
	"fmt"
	"math"
	"strings"
	"sync"
	"time"
	// The zone rules travel with the binary: a machine without them resolves the same windows.
	_ "time/tzdata"

	"kitspan/internal/fault"
	"kitspan/internal/geom"
	"kitspan/internal/light"
)

// Ranges of a site. Elevations reach from the lowest dry land to the highest peak; pressures and temperatures from the
// thinnest air at that peak and the coldest on record to more than was ever measured.
var (
	latitudeBound    = bound{lo: -90, hi: 90, unit: "degrees, north positive"}
	longitudeBound   = bound{lo: -180, hi: 180, unit: "degrees, east positive"}
	elevationBound   = bound{lo: -500, hi: 9000, unit: "m above the sea"}
	pressureBound    = bound{lo: 300, hi: 1100, unit: "hPa"}
	temperatureBound = bound{lo: -90, hi: 60, unit: "°C"}
	reflectanceBound = bound{lo: 0, hi: 1}
)

// How many fixed points are taken, how high they may be and what they may bear: common practice, no source. A rope to the tow eye of a
// lorry or to a mooring bollard stays under 50 kN.
const MaxAnchors = 24

var (
	anchorHeightBound = bound{lo: 0, hi: 60, unit: "m above the ground"}
	anchorPullBound   = bound{lo: 0, hi: 50000, open: true, unit: "N"}
)

const (
	defaultTemperatureC = 15.0
	defaultGround       = "concrete"
)

// resolveSite reads where the shot is. The location is nil where the zone's name is wrong.
func resolveSite(r *resolver, d DraftSite) (Site, *time.Location) {
	var s Site
	s.LatitudeDeg, _ = r.needed("/shot/site/latitude_deg", d.LatitudeDeg, latitudeBound)
	s.LongitudeDeg, _ = r.needed("/shot/site/longitude_deg", d.LongitudeDeg, longitudeBound)
	s.ElevationM, _ = r.number("/shot/site/elevation_m", d.ElevationM, 0, elevationBound)
	s.PressureHPa, _ = r.number("/shot/site/pressure_hpa", d.PressureHPa, standardPressureHPa(s.ElevationM), pressureBound)
	s.TemperatureC, _ = r.number("/shot/site/temperature_c", d.TemperatureC, defaultTemperatureC, temperatureBound)
	var loc *time.Location
	s.TimeZone, loc = resolveTimeZone(r, "/shot/site/time_zone", d.TimeZone)
	s.Roofed = d.Roofed != nil && *d.Roofed

	words := light.Grounds()
	if d.Ground != nil || d.GroundReflectance == nil {
		s.Ground = r.word("/shot/site/ground", d.Ground, defaultGround, words...)
	}
	byWord, _ := light.GroundReflectance(s.Ground)
	s.GroundReflectance, _ = r.number("/shot/site/ground_reflectance", d.GroundReflectance, byWord, reflectanceBound)
	s.Anchors = resolveAnchors(r, d.Anchors)
	return s, loc
}

// resolveAnchors reads the fixed points that ropes may be tied to. Nothing of one has a default: what it bears is known to whoever
// answers for it, and to nobody else.
func resolveAnchors(r *resolver, ds []DraftAnchor) []Anchor {
	if len(ds) > MaxAnchors {
		r.fault("/shot/site/anchors", fault.TooMany{Count: len(ds), Most: MaxAnchors})
		ds = ds[:MaxAnchors]
	}
	l := labels{"", map[string]int{}}
	var out []Anchor
	for i, d := range ds {
		at := fmt.Sprintf("/shot/site/anchors/%d", i)
		a := Anchor{Label: resolveLabel(r, "site/anchors", i, d.Label, l)}
		p, _ := resolveCoordinates(r, at+"/position_m", d.PositionM, placeBound, placeBound, anchorHeightBound)
		a.Position = geom.Vec{X: p[0], Y: p[1], Z: p[2]}
		a.SafePullN, _ = r.needed(at+"/safe_pull_n", d.SafePullN, anchorPullBound)
		out = append(out, a)
	}
	return out
}

// resolveTimeZone reads an IANA zone name. Names that mean something else on every machine, or whose clock counts leap
// seconds, are refused with the unknown ones.
func resolveTimeZone(r *resolver, at string, v *string) (string, *time.Location) {
	if v == nil || *v == "" {
		r.fault(at, fault.Missing{Want: fault.WantTimeZone})
		return "", nil
	}
	name := *v
	switch {
	case name == "Local" || name == "localtime" || name == "posixrules":
		r.fault(at, fault.ZoneOfMachine{Got: cut(name)})
		return "", nil
	case strings.HasPrefix(name, "right/") || strings.HasPrefix(name, "posix/"):
		r.fault(at, fault.ZoneInFolder{Got: cut(name)})
		return "", nil
	}
	loc, err := zone(name)
	if err != nil {
		r.fault(at, fault.UnknownZone{Got: cut(name)})
		return "", nil
	}
	return name, loc
}

// zones are the time zones that were read, by name. There are some 600; one zone can be called by any number of names (Europe/./Lisbon), of
// which so many are kept.
var zones struct {
	sync.Mutex
	byName map[string]*time.Location
}

const mostZones = 1000

// zone returns the time zone of a name. A job of 500 shots asks for one 500 times, and reading it takes as long as all the rest of a shot.
func zone(name string) (*time.Location, error) {
	zones.Lock()
	defer zones.Unlock()
	if loc, known := zones.byName[name]; known {
		return loc, nil
	}
	loc, err := time.LoadLocation(name)
	if err != nil {
		return nil, err
	}
	if zones.byName == nil || len(zones.byName) >= mostZones {
		zones.byName = map[string]*time.Location{}
	}
	zones.byName[name] = loc
	return loc, nil
}

// The standard atmosphere's troposphere, ISO 2533:1975 (constants from memory, the pressures agree with its table).
const (
	seaLevelHPa      = 1013.25
	seaLevelK        = 288.15
	lapseKPerM       = 0.0065
	pressureExponent = 9.80665 / (287.05287 * lapseKPerM) // g / (R · lapse rate)
)

// standardPressureHPa is the pressure of the standard atmosphere at an elevation below 11 km.
func standardPressureHPa(elevationM float64) float64 {
	return seaLevelHPa * math.Pow(1-lapseKPerM*elevationM/seaLevelK, pressureExponent)
}
