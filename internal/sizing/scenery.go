package sizing

import (
	"math"
	"time"

	"kitspan/internal/geom"
	"kitspan/internal/light"
)

// scenery is what gives light in mid-window before any kit is up, in the camera's frame, and what is wanted of it.
type scenery struct {
	st     *stage
	window Window
	at     time.Time // mid-window
	skyLx  float64
	ground float64 // reflectance
	hard   []light.Hard
	// names are the hard sources' labels, in the order of hard.
	names []string
	// paths are the directions toward each over the whole of the window's track, where it shines.
	paths [][]geom.Vec
	// driver is the hard source that reflectors work with, −1 where none serves all through the window; ways are the
	// directions toward it over the window, the middle one among them.
	driver int
	ways   []geom.Vec
	list   []*source
	due    []*source // those that must be softened
	// reference is the background's level in lux.
	reference  float64
	background BackgroundLevel
	// key, fill and back are the directions that the subject's faces look.
	key, fill, back geom.Vec
	side            float64 // of the key, −1 is left as the camera sees it
}

const (
	// faceTurnDeg is how far the key and the fill face are turned from the lens (domain: 45° each).
	faceTurnDeg = 45
	// hairDeg is how far up the back face looks: hair and shoulders lie between upright and level (common practice, no
	// source).
	hairDeg = 45
	// steps is at how many instants of a short window, ends included, a reflector's light is looked at; a longer one has two
	// more for every stepMost. An odd number: mid-window is one of them.
	steps    = 7
	stepMost = 30 * time.Minute
	// worthShare is the share of the key level wanted that a source must give, square on, to be worth reflecting (common
	// practice, no source).
	worthShare = 0.5
	// lowestSunDeg is the least elevation at which the sun is counted on for a reflector: lower, the nearest house or
	// tree hides it (common practice, no source).
	lowestSunDeg = 3
)

func newScenery(s *Shot, st *stage, list []*source, k *sky, background BackgroundLevel) *scenery {
	w := s.Window
	sc := &scenery{
		st: st, window: w, at: w.mid(), ground: s.Site.GroundReflectance, driver: -1, list: list,
		reference: background.ReferenceLx, background: background, side: -1,
	}
	if s.Look.KeySide == SideRight {
		sc.side = 1
	}
	sc.key = geom.Toward(180-sc.side*faceTurnDeg, 0)
	sc.fill = geom.Toward(180+sc.side*faceTurnDeg, 0)
	sc.back = geom.Toward(0, hairDeg)
	if !s.Site.Roofed {
		_, d := k.at(sc.at)
		sc.skyLx = d.SkyHorizontalLx
	}
	strongest, wanted := 0.0, sc.reference*math.Exp2(s.Look.KeyStops)
	for _, src := range list {
		h, ways, serves := src.hard(s, st, w, k)
		if h.NormalLx <= 0 && h.At == nil {
			continue
		}
		lux := h.NormalLx
		if h.At != nil {
			d := h.At.Sub(st.mid)
			lux = h.IntensityCd / d.Dot(d)
		}
		sc.hard, sc.names = append(sc.hard, h), append(sc.names, src.label)
		sc.paths = append(sc.paths, src.path(s, st))
		if serves && lux > strongest && lux >= worthShare*wanted {
			strongest, sc.driver, sc.ways = lux, len(sc.hard)-1, ways
		}
	}
	return sc
}

// hard is the source in mid-window as light sees it, the directions toward it over the window, and whether it shines all
// through.
func (src *source) hard(s *Shot, st *stage, w Window, k *sky) (h light.Hard, ways []geom.Vec, serves bool) {
	h.RadiusDeg = src.radiusDeg
	switch {
	case src.near():
		at := st.fromWorld(*src.lamp.Position)
		h.At, h.IntensityCd = &at, src.lamp.IntensityCd
		return h, []geom.Vec{at.Sub(st.mid).Unit()}, true
	case src.lamp != nil:
		h.Dir = geom.Toward(src.lamp.AzimuthDeg-s.Camera.BearingDeg, src.lamp.ElevationDeg)
		h.NormalLx = src.lamp.IlluminanceLx
		return h, []geom.Vec{h.Dir}, true
	}
	serves = true
	length := w.To.Sub(w.From)
	n := steps + 2*int(length/stepMost)
	for i := range n {
		p, d := k.at(w.From.Add(length * time.Duration(i) / time.Duration(n-1)))
		ways = append(ways, geom.Toward(p.AzimuthDeg-s.Camera.BearingDeg, p.ElevationDeg))
		serves = serves && d.BeamNormalLx > 0 && p.ElevationDeg >= lowestSunDeg
	}
	p, d := k.at(w.mid())
	h.Dir, h.NormalLx = geom.Toward(p.AzimuthDeg-s.Camera.BearingDeg, p.ElevationDeg), d.BeamNormalLx
	return h, ways, serves
}

// path is the directions toward a source, as the lens sees them, at every instant of its track at which it shines.
func (src *source) path(s *Shot, st *stage) (dirs []geom.Vec) {
	if src.near() {
		return []geom.Vec{st.fromWorld(*src.lamp.Position).Sub(st.view.Eye).Unit()}
	}
	for _, m := range src.moments {
		if m.lux > 0 {
			dirs = append(dirs, geom.Toward(m.az-s.Camera.BearingDeg, m.el))
		}
	}
	return dirs
}

// toward is the direction to the driver from a point.
func (sc *scenery) toward(p geom.Vec) geom.Vec {
	h := &sc.hard[sc.driver]
	if h.At != nil {
		return h.At.Sub(p).Unit()
	}
	return h.Dir
}

// stops is a level against the background's reference; no light at all counts as the darkest there is, so that the
// answer is a number.
func (sc *scenery) stops(lx float64) float64 {
	return light.Stops(math.Max(lx, darkestLx), sc.reference)
}

// panel is the frame of a choice as light sees it.
func (ch *choice) panel() light.Panel {
	f := ch.candidate.fabricSpec()
	s := light.Surface{Diffuse: f.Reflectance}
	return light.Panel{Corners: ch.rigged.opening.Corners(), A: s, B: s, Transmittance: f.Transmittance, BeamShare: f.BeamShare}
}
