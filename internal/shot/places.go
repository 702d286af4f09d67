package shot

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"kitspan/internal/fault"
	"kitspan/internal/geom"
)

// How many further zones and lamps are taken, and how far off they may stand: more than any one picture holds, few
// enough to search. Common practice, no source.
const (
	MaxOtherZones = 12
	MaxLamps      = 12
)

// Ranges of further zones and lamps. The strongest searchlights give under a billion candela.
var (
	placeBound         = bound{lo: -1000, hi: 1000, unit: "m from the origin"}
	lampHeightBound    = bound{lo: 0, hi: 200, unit: "m above the ground"}
	lampElevationBound = bound{lo: -90, hi: 90, unit: "degrees above the horizon"}
	lampLuxBound       = bound{lo: 0, hi: 1e6, open: true, unit: "lx"}
	intensityBound     = bound{lo: 0, hi: 1e9, open: true, unit: "cd"}
	angularRadiusBound = bound{lo: 0, hi: 20, unit: "degrees"}
)

// Answers repeat the name of a shot, and labels many times over. Common practice, no source.
const (
	longestName  = 200
	longestLabel = 60
)

// Labels that are taken already, and by what.
const (
	SunLabel  = "sun"
	MainLabel = "main"
)

// mainZonePointer is the place of the main zone in a request.
const mainZonePointer = "/shot/zone"

// lampSets are what says where a lamp stands: a direction with a level, or a place with an intensity.
var lampSets = [][]string{{"azimuth_deg", "elevation_deg", "illuminance_lx"}, {"position_m", "intensity_cd"}}

// labels keeps the labels of one list apart from one another and from the reserved one.
type labels struct {
	reserved string
	seen     map[string]int
}

func resolveLabel(r *resolver, list string, i int, v *string, l labels) string {
	at := fmt.Sprintf("/shot/%s/%d/label", list, i)
	switch {
	case v == nil || strings.TrimSpace(*v) == "":
		r.fault(at, fault.Missing{Want: fault.WantLabel})
		return ""
	case utf8.RuneCountInString(*v) > longestLabel:
		r.fault(at, fault.TooLong{Got: cut(*v), Most: longestLabel})
		return ""
	case *v == l.reserved:
		r.fault(at, fault.Reserved{Got: cut(*v)})
		return ""
	}
	if first, twice := l.seen[*v]; twice {
		r.fault(at, fault.Repeated{Got: cut(*v), First: fmt.Sprintf("/shot/%s/%d/label", list, first)})
		return ""
	}
	l.seen[*v] = i
	return *v
}

// resolveCoordinates reads a point as a list of numbers, each with its own bound.
func resolveCoordinates(r *resolver, pointer string, v []float64, bounds ...bound) (point []float64, ok bool) {
	point = make([]float64, len(bounds))
	if len(v) != len(bounds) {
		r.fault(pointer, fault.WrongCount{Count: len(v), Axes: []string{"x", "y", "z"}[:len(bounds)]})
		return point, false
	}
	ok = true
	for i, b := range bounds {
		c, okC := r.check(fmt.Sprintf("%s/%d", pointer, i), v[i], b)
		point[i] = c
		ok = ok && okC
	}
	return point, ok
}

// resolveOtherZones reads the further places that need level. Their boxes stand square to the lens as the main zone does;
// none may overlap another. A level left out is that of the main zone.
func resolveOtherZones(r *resolver, ds []DraftOtherZone, view resolvedView, mainKeyStops float64) []OtherZone {
	if len(ds) > MaxOtherZones {
		r.fault("/shot/other_zones", fault.TooMany{Count: len(ds), Most: MaxOtherZones})
		ds = ds[:MaxOtherZones]
	}
	type placed struct {
		pointer string
		at      geom.Bounds
	}
	var taken []placed
	if view.okZone && view.okBearing {
		taken = append(taken, placed{mainZonePointer, view.bounds()})
	}
	l := labels{MainLabel, map[string]int{}}
	var zones []OtherZone
	for i, d := range ds {
		at := fmt.Sprintf("/shot/other_zones/%d", i)
		z := OtherZone{Label: resolveLabel(r, "other_zones", i, d.Label, l)}
		center, okCenter := resolveCoordinates(r, at+"/center_m", d.CenterM, placeBound, placeBound)
		z.CenterX, z.CenterY = center[0], center[1]
		var okWidth, okDepth, okBase, okTop bool
		z.WidthM, okWidth = r.needed(at+"/width_m", d.WidthM, widthBound)
		z.DepthM, okDepth = r.number(at+"/depth_m", d.DepthM, defaultZoneDepthM, widthBound)
		z.BaseM, okBase = r.number(at+"/base_m", d.BaseM, 0, baseBound)
		z.TopM, okTop = r.number(at+"/top_m", d.TopM, standingHeadM, topBound)
		z.KeyStops, _ = r.number(at+"/key_stops", d.KeyStops, mainKeyStops, keyBound)
		okHeight := okBase && okTop && z.BaseM < z.TopM
		if okBase && okTop && !okHeight {
			r.fault(at+"/top_m", fault.TopNotAboveBase{TopM: z.TopM, BaseM: z.BaseM, MostM: topBound.hi})
		}
		zones = append(zones, z)
		if !okCenter || !okWidth || !okDepth || !okHeight || !view.okBearing {
			continue
		}
		b := z.bounds(geom.AxesAlong(view.camera.BearingDeg))
		for _, t := range taken {
			if b.Overlaps(t.at) {
				r.fault(at+"/center_m", fault.Overlaps{CenterM: [2]float64{z.CenterX, z.CenterY}, Other: t.pointer})
				break
			}
		}
		taken = append(taken, placed{at, b})
	}
	return zones
}

// resolveLamps reads the hard sources that are there anyway: each either a direction with the level it gives, or a position
// with its intensity.
func resolveLamps(r *resolver, ds []DraftLamp, view resolvedView, zones []OtherZone) []Lamp {
	if len(ds) > MaxLamps {
		r.fault("/shot/lamps", fault.TooMany{Count: len(ds), Most: MaxLamps})
		ds = ds[:MaxLamps]
	}
	l := labels{SunLabel, map[string]int{}}
	var lamps []Lamp
	for i, d := range ds {
		at := fmt.Sprintf("/shot/lamps/%d", i)
		lamp := Lamp{Label: resolveLabel(r, "lamps", i, d.Label, l)}
		directional := d.AzimuthDeg != nil || d.ElevationDeg != nil || d.IlluminanceLx != nil
		positional := d.PositionM != nil || d.IntensityCd != nil
		switch {
		case directional && positional:
			which := at + "/position_m"
			if d.PositionM == nil {
				which = at + "/intensity_cd"
			}
			r.fault(which, fault.BothGiven{Beside: lampSets[0], Sets: lampSets})
		case directional:
			lamp.AzimuthDeg, _ = r.needed(at+"/azimuth_deg", d.AzimuthDeg, bearingBound)
			lamp.AzimuthDeg = compass(lamp.AzimuthDeg)
			lamp.ElevationDeg, _ = r.needed(at+"/elevation_deg", d.ElevationDeg, lampElevationBound)
			lamp.IlluminanceLx, _ = r.needed(at+"/illuminance_lx", d.IlluminanceLx, lampLuxBound)
		case positional:
			p, ok := resolveCoordinates(r, at+"/position_m", d.PositionM, placeBound, placeBound, lampHeightBound)
			position := geom.Vec{X: p[0], Y: p[1], Z: p[2]}
			if ok {
				checkLampOutside(r, at+"/position_m", position, view, zones)
			}
			lamp.Position = &position
			lamp.IntensityCd, _ = r.needed(at+"/intensity_cd", d.IntensityCd, intensityBound)
		default:
			r.fault(at, fault.NeitherGiven{Sets: lampSets})
		}
		lamp.AngularRadiusDeg, _ = r.number(at+"/angular_radius_deg", d.AngularRadiusDeg, 0, angularRadiusBound)
		lamp.CanBeOff = d.CanBeOff != nil && *d.CanBeOff
		lamps = append(lamps, lamp)
	}
	return lamps
}

// checkLampOutside refuses a lamp within a zone: there is no direction toward it that holds for the zone.
func checkLampOutside(r *resolver, pointer string, p geom.Vec, view resolvedView, zones []OtherZone) {
	if !view.okBearing {
		return
	}
	within := ""
	axes := geom.AxesAlong(view.camera.BearingDeg)
	seen := axes.FromWorld(p)
	if view.okZone && view.bounds().Contains(seen) {
		within = mainZonePointer
	}
	for i, z := range zones {
		if within == "" && z.bounds(axes).Contains(seen) {
			within = fmt.Sprintf("/shot/other_zones/%d", i)
		}
	}
	if within != "" {
		r.fault(pointer, fault.InsideZone{PositionM: [3]float64{p.X, p.Y, p.Z}, Zone: within})
	}
}
