package oracle

import (
	"math"
	"sync"
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

// halfDome is what an upright face gets of a dome of even luminance 1 above the horizon, or of ground of even luminance 1 below it, summed
// over small parts of that half: π/2 but for their size.
var halfDome = sync.OnceValue(func() float64 {
	const parts = 400
	step := math.Pi / 2 / parts
	sum := 0.0
	for i := range parts {
		elevation := (float64(i) + 0.5) * step
		for j := range 2 * parts {
			azimuth := (float64(j)+0.5)*step - math.Pi/2
			solid := math.Cos(elevation) * step * step
			sum += solid * math.Cos(elevation) * math.Cos(azimuth) // by the cosine to a face that looks along azimuth 0
		}
	}
	return sum
})

// exposure is the background's level of a window by the contract's own words, under sky and hard sources at mid-window: that of sides
// turned to the lens, of level ground or of the sky, or what was measured. Luminances are those of matt surfaces, E·ρ/π.
func (s *Scene) exposure() scene.BackgroundLevel {
	bg, ex := s.Shot.Background, s.Shot.Exposure
	sky := s.skyAt(s.mid())
	level, sides := sky, 0.0
	toLens := toward(s.Shot.Camera.BearingDeg+180, 0)
	for _, h := range s.hardAt(s.mid()) {
		dir, _ := h.toward(s.Zone.middle)
		level += h.lux * math.Max(0, dir.z)
		sides += h.lux * math.Max(0, dir.dot(toLens))
	}
	sides += halfDome() * (sky + s.Shot.Site.GroundReflectance*level) / math.Pi
	b := scene.BackgroundLevel{UprightLx: sides * bg.Reflectance / midGrey, LevelLx: level * bg.Reflectance / midGrey}
	switch {
	case bg.EV100 != nil:
		b.ReferenceLx = incidentC / 100 * math.Pow(2, *bg.EV100)
	case bg.Faces == "sky":
		b.ReferenceLx = sky / math.Pi * (math.Pi / midGrey)
	case bg.Faces == "level":
		b.ReferenceLx = b.LevelLx
	case bg.Faces == "upright":
		b.ReferenceLx = b.UprightLx
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
	for _, c := range []struct {
		what      string
		told, own float64
	}{{"reference", told.ReferenceLx, want.ReferenceLx}, {"upright", told.UprightLx, want.UprightLx}, {"level", told.LevelLx, want.LevelLx}} {
		if off := math.Abs(c.told-c.own) / math.Max(c.own, noLightLx); !(off <= referenceTolShare) {
			bad = append(bad, broken(RuleBackground, off, "%s: %s %.1f lx, computed %.1f lx", whose, c.what, c.told, c.own))
		}
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
