package oracle

import (
	"math"
	"time"

	"kitspan/internal/light"
	"kitspan/internal/scene"
	"kitspan/internal/sun"
)

// mid is the middle of the window.
func (s *Scene) mid() time.Time { return s.From.Add(s.To.Sub(s.From) / 2) }

// instants are the window's start, eighths and end.
func (s *Scene) instants() [9]time.Time {
	var list [9]time.Time
	for i := range list {
		list[i] = s.From.Add(s.To.Sub(s.From) * time.Duration(i) / 8)
	}
	return list
}

// skyAt is what the sky gives on the level, lux: the model's, in the ratio of the reading to it where one was taken.
func (s *Scene) skyAt(at time.Time) float64 {
	if s.Shot.Site.Roofed {
		return 0
	}
	model := func(t time.Time) float64 {
		return sun.DaylightAt(s.sunPosition(t), sun.Condition(s.Shot.Sky.Condition)).SkyHorizontalLx
	}
	lx := model(at)
	if r := s.Shot.Sky.SkyLx; r != nil {
		if read := model(s.Shot.Sky.ReadAt); read > 0 {
			lx *= *r / read
		}
	}
	return lx
}

// shining is a hard source at an instant, with its label and what it gives the middle of the main zone, facing it.
type shining struct {
	label string
	light.Hard
	lux float64
}

// toward is the unit vector to the source from a point, and how far off it is.
func (h shining) toward(p vec) (dir vec, far float64) {
	if h.At == nil {
		return fromGeom(h.Dir), math.Inf(1)
	}
	d := fromGeom(*h.At).minus(p)
	return d.unit(), d.length()
}

// hardAt are the hard sources that shine at an instant.
func (s *Scene) hardAt(at time.Time) []shining {
	var list []shining
	if !s.Shot.Site.Roofed {
		dir, lx, radiusDeg := s.sunAt(at)
		if lx *= s.sunScale(); lx > 0 {
			list = append(list, shining{SunLabel, light.Hard{Dir: toGeom(dir), NormalLx: lx, RadiusDeg: radiusDeg}, lx})
		}
	}
	for _, l := range s.Shot.Lamps {
		h := light.Hard{RadiusDeg: l.AngularRadiusDeg}
		lux := l.IlluminanceLx
		if l.Position != nil {
			p := *l.Position
			h.At, h.IntensityCd = &p, l.IntensityCd
			r := fromGeom(p).minus(s.Zone.middle)
			lux = l.IntensityCd / r.dot(r)
		} else {
			h.Dir, h.NormalLx = toGeom(toward(l.AzimuthDeg, l.ElevationDeg)), l.IlluminanceLx
		}
		list = append(list, shining{l.Label, h, lux})
	}
	return list
}

// noLightLx stands for no light at all where a level is given in stops.
const noLightLx = 1e-3

// midGrey and incidentC are those of the contract: mid grey 0.18, C = 250.
const (
	midGrey   = 0.18
	incidentC = 250.0
)

// exposure is the background's level of a window by the contract's own words: the level ground's under sky and hard
// sources at mid-window, or what was measured.
func (s *Scene) exposure() scene.BackgroundLevel {
	var b scene.BackgroundLevel
	bg, ex := s.Shot.Background, s.Shot.Exposure
	if bg.EV100 != nil {
		b.ReferenceLx = incidentC / 100 * math.Pow(2, *bg.EV100)
	} else {
		lx := s.skyAt(s.mid())
		for _, h := range s.hardAt(s.mid()) {
			dir, _ := h.toward(s.Zone.middle)
			lx += h.lux * math.Max(0, dir.z)
		}
		b.ReferenceLx = lx * bg.Reflectance / midGrey
	}
	b.ReferenceLx = math.Max(b.ReferenceLx, noLightLx)
	b.EV100 = math.Log2(b.ReferenceLx * 100 / incidentC)
	shutterS := ex.ShutterAngleDeg / 360 / ex.FrameRateFPS
	camera := math.Log2(ex.TStop*ex.TStop/shutterS) - math.Log2(ex.ISO/100)
	b.NDStops = b.EV100 - camera - bg.PlacementStops
	b.NDDensity = math.Max(0, b.NDStops*math.Log10(2))
	return b
}

// Tolerances of the background: the same published sky, so only rounding and the arc on which the engine keeps the sun.
const (
	referenceTolShare = 0.005
	stopsTol          = 0.01
)

// CheckBackground holds a background told to the window's light.
func CheckBackground(s *Scene, told scene.BackgroundLevel, whose string) []Violation {
	var bad []Violation
	want := s.exposure()
	if off := math.Abs(told.ReferenceLx-want.ReferenceLx) / want.ReferenceLx; !(off <= referenceTolShare) {
		bad = append(bad, broken(RuleBackground, off, "%s: reference %.1f lx, computed %.1f lx", whose, told.ReferenceLx, want.ReferenceLx))
	}
	for _, c := range []struct {
		what      string
		told, own float64
	}{{"ev100", told.EV100, want.EV100}, {"nd_stops", told.NDStops, want.NDStops}, {"nd_density", told.NDDensity, want.NDDensity}} {
		if off := math.Abs(c.told - c.own); !(off <= stopsTol) {
			bad = append(bad, broken(RuleBackground, off, "%s: %s %.4f, computed %.4f", whose, c.what, c.told, c.own))
		}
	}
	return bad
}
