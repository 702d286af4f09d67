package sizing

import (
	"math"
	"slices"
	"time"

	"kitspan/internal/geom"
	"kitspan/internal/light"
	"kitspan/internal/shot"
)

// scenery is what gives light in mid-window before any kit is up, in the camera's frame, and what is wanted of it.
type scenery struct {
	st     *stage
	window shot.Window
	at     time.Time // mid-window
	skyLx  float64
	ground float64 // reflectance
	hard   []light.Hard
	// paths are the sources that shine at some instant of the window, as the lens sees them.
	paths []path
	// driver is the hard source that reflectors work with in mid-window, −1 where there is none.
	driver int
	shift
	list []*source
	due  []*source // those that must be softened
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

func newScenery(s *shot.Shot, st *stage, list []*source, k *sky, background BackgroundLevel) *scenery {
	w := s.Window
	sc := &scenery{
		st: st, window: w, at: w.Mid(), ground: s.Site.GroundReflectance, driver: -1, list: list,
		reference: background.ReferenceLx, background: background, side: -1,
	}
	if s.Look.KeySide == shot.SideRight {
		sc.side = 1
	}
	sc.key = geom.Toward(180-sc.side*faceTurnDeg, 0)
	sc.fill = geom.Toward(180+sc.side*faceTurnDeg, 0)
	sc.back = geom.Toward(0, hairDeg)
	if !s.Site.Roofed {
		_, d := k.at(sc.at)
		sc.skyLx = d.SkyHorizontalLx
	}
	floor := hardShare * strongestOf(list)
	strongest, wanted := 0.0, sc.reference*math.Exp2(s.Look.KeyStops)
	for _, src := range list {
		if p := src.path(s, st, w, k); len(p.dirs) > 0 {
			sc.paths = append(sc.paths, p)
		}
		h := src.hard(s, st, w, k)
		if h.NormalLx <= 0 && h.At == nil {
			continue
		}
		lux := h.NormalLx
		if h.At != nil {
			d := h.At.Sub(st.mid)
			lux = h.IntensityCd / d.Dot(d)
		}
		sc.hard = append(sc.hard, h)
		if lux <= strongest || lux < worthShare*wanted {
			continue
		}
		if shift := src.shift(s, st, w, k, floor); shift.serves {
			strongest, sc.driver, sc.shift = lux, len(sc.hard)-1, shift
		}
	}
	return sc
}

// hard is the source in mid-window as light sees it.
func (src *source) hard(s *shot.Shot, st *stage, w shot.Window, k *sky) (h light.Hard) {
	h.RadiusDeg = src.radiusDeg
	switch {
	case src.near():
		at := st.fromWorld(*src.lamp.Position)
		h.At, h.IntensityCd = &at, src.lamp.IntensityCd
	case src.lamp != nil:
		h.Dir = geom.Toward(src.lamp.AzimuthDeg-s.Camera.BearingDeg, src.lamp.ElevationDeg)
		h.NormalLx = src.lamp.IlluminanceLx
	default:
		p, d := k.at(w.Mid())
		h.Dir, h.NormalLx = geom.Toward(p.AzimuthDeg-s.Camera.BearingDeg, p.ElevationDeg), d.BeamNormalLx
	}
	return h
}

// shift is when reflectors can count on a source: the directions toward it over that time, the instants at which it stands
// so, whether mid-window is one of them, and whether they are all of the window.
type shift struct {
	ways               []geom.Vec
	times              []time.Time // of a source that moves, ascending
	serves, throughout bool
}

// shift of a lamp is the whole window. The sun can be counted on while it gives at least floor lux, as in what a frame has to
// stop, and is not too low.
func (src *source) shift(s *shot.Shot, st *stage, w shot.Window, k *sky, floor float64) shift {
	out := shift{serves: true, throughout: true}
	switch {
	case src.near():
		out.ways = []geom.Vec{st.fromWorld(*src.lamp.Position).Sub(st.mid).Unit()}
		return out
	case src.lamp != nil:
		out.ways = []geom.Vec{geom.Toward(src.lamp.AzimuthDeg-s.Camera.BearingDeg, src.lamp.ElevationDeg)}
		return out
	}
	works := func(t time.Time) bool {
		p, d := k.at(t)
		return d.BeamNormalLx > 0 && d.BeamNormalLx >= floor && p.ElevationDeg >= lowestSunDeg
	}
	add := func(t time.Time) {
		if n := len(out.times); n > 0 && !out.times[n-1].Before(t) {
			return
		}
		p, _ := k.at(t)
		out.ways = append(out.ways, geom.Toward(p.AzimuthDeg-s.Camera.BearingDeg, p.ElevationDeg))
		out.times = append(out.times, t)
	}
	out.serves = works(w.Mid())
	length := w.To.Sub(w.From)
	n := steps + 2*int(length/stepMost)
	last, on := w.From, false
	for i := range n {
		t := w.From.Add(length * time.Duration(i) / time.Duration(n-1))
		now := works(t)
		out.throughout = out.throughout && now
		switch {
		case now && !on && i > 0:
			add(turning(works, t, last))
		case on && !now:
			add(turning(works, last, t))
		}
		if now {
			add(t)
		}
		last, on = t, now
	}
	return out
}

// turning finds, to well under a second, the last instant from on toward off at which something still holds.
func turning(holds func(time.Time) bool, on, off time.Time) time.Time {
	for range 14 {
		if mid := on.Add(off.Sub(on) / 2); holds(mid) {
			on = mid
		} else {
			off = mid
		}
	}
	return on
}

// way is the direction at a time, between the instants looked at; there are two at least.
func (s *shift) way(at time.Time) geom.Vec {
	i, _ := slices.BinarySearchFunc(s.times, at, time.Time.Compare)
	i = max(1, min(len(s.times)-1, i))
	f := float64(at.Sub(s.times[i-1])) / float64(s.times[i].Sub(s.times[i-1]))
	return s.ways[i-1].Scale(1 - f).Add(s.ways[i].Scale(f)).Unit()
}

// until is the last instant of it.
func (s *shift) until() time.Time { return s.times[len(s.times)-1] }

// path is a source as the lens sees it: the directions toward it while it shines.
type path struct {
	label     string
	radiusDeg float64
	dirs      []geom.Vec
}

// The sun's path is looked at every minute, in which it moves half its width; a longer window than pathMost minutes in as many steps.
const (
	pathStep = time.Minute
	pathMost = 480
)

func (src *source) path(s *shot.Shot, st *stage, w shot.Window, k *sky) path {
	out := path{label: src.label, radiusDeg: src.radiusDeg}
	switch {
	case src.near():
		out.dirs = []geom.Vec{st.fromWorld(*src.lamp.Position).Sub(st.view.Eye).Unit()}
		return out
	case src.lamp != nil:
		out.dirs = []geom.Vec{geom.Toward(src.lamp.AzimuthDeg-s.Camera.BearingDeg, src.lamp.ElevationDeg)}
		return out
	}
	length := w.To.Sub(w.From)
	n := min(int(length/pathStep)+1, pathMost)
	for i := range n + 1 {
		p, d := k.at(w.From.Add(length * time.Duration(i) / time.Duration(n)))
		if d.BeamNormalLx > 0 {
			out.dirs = append(out.dirs, geom.Toward(p.AzimuthDeg-s.Camera.BearingDeg, p.ElevationDeg))
		}
	}
	return out
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
