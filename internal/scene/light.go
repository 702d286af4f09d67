package scene

import (
	"math"
	"slices"
	"time"

	"kitspan/internal/geom"
	"kitspan/internal/light"
	"kitspan/internal/shot"
)

// Light is what gives light in mid-window before any kit is up, in the camera's axes, and what is wanted of it.
type Light struct {
	Stage             *Stage
	Window            shot.Window
	At                time.Time // mid-window
	SkyLx             float64
	GroundReflectance float64
	// Hard are the sources that shine in mid-window.
	Hard []light.Hard
	// Paths are the sources that shine at some instant of the window, as the lens sees them.
	Paths []Path
	// Driver is the index in Hard of the source that reflectors work with, −1 where there is none; Hours are that source's.
	Driver int
	Hours
	Sources  []*Source
	ToSoften []*Source // the sources that must be softened
	// Practicals are lamps that count as hard and are left as they are; see [WorthSoftening].
	Practicals []*Source
	// ReferenceLx is the exposure reference of the background.
	ReferenceLx float64
	Background  BackgroundLevel
	// Key, Fill and Back are the directions in which the subject's key, fill and back faces look.
	Key, Fill, Back geom.Vec
	KeySide         float64 // −1 is left as the camera sees it, 1 is right
}

const (
	// faceTurnDeg is how far the key and the fill face are turned from the lens (domain: 45° each).
	faceTurnDeg = 45
	// hairDeg is how far upward the back face looks: hair and shoulders lie between upright and level (common practice, no
	// source).
	hairDeg = 45
	// steps is the number of instants of a short window, ends included, at which a reflector's light is looked at; a longer
	// window has two more for every stepMost. It is odd, so that mid-window is one of them.
	steps    = 7
	stepMost = 30 * time.Minute
	// sweptStep is how far apart the instants are at which shadows on reflectors are looked at: the sun moves its own width.
	sweptStep = 2 * time.Minute
	// worthShare is the share of the key level wanted that a source must give, square on, to be worth reflecting (common
	// practice, no source).
	worthShare = 0.5
	// LowestSunDeg is the least elevation at which the sun is counted on for a reflector: lower, the nearest house or
	// tree hides it (common practice, no source).
	LowestSunDeg = 3
)

// NewLight returns the light of a shot over its window from a list of sources under a sky; it leaves ToSoften empty.
func NewLight(s *shot.Shot, st *Stage, list []*Source, k *Sky, background BackgroundLevel) *Light {
	w := s.Window
	sc := &Light{
		Stage: st, Window: w, At: w.Mid(), GroundReflectance: s.Site.GroundReflectance, Driver: -1, Sources: list,
		ReferenceLx: background.ReferenceLx, Background: background, KeySide: -1,
	}
	if s.Look.KeySide == shot.SideRight {
		sc.KeySide = 1
	}
	sc.Key = geom.Toward(180-sc.KeySide*faceTurnDeg, 0)
	sc.Fill = geom.Toward(180+sc.KeySide*faceTurnDeg, 0)
	sc.Back = geom.Toward(0, hairDeg)
	if !s.Site.Roofed {
		_, d := k.At(sc.At)
		sc.SkyLx = d.SkyHorizontalLx
	}
	floor := HardShare * strongestOf(list)
	strongest, wanted := 0.0, background.KeyLx(s.Look.KeyStops)
	for _, src := range list {
		if p := src.path(s, st, w, k); len(p.Directions) > 0 {
			sc.Paths = append(sc.Paths, p)
		}
		h := src.hard(s, st, w, k)
		if h.NormalLx <= 0 && h.At == nil {
			continue
		}
		lux := h.NormalLx
		if h.At != nil {
			d := h.At.Sub(st.Mid)
			lux = h.IntensityCd / d.Dot(d)
		}
		sc.Hard = append(sc.Hard, h)
		if lux <= strongest || lux < worthShare*wanted {
			continue
		}
		if shift := src.shift(s, st, w, k, floor); shift.serves {
			strongest, sc.Driver, sc.Hours = lux, len(sc.Hard)-1, shift
		}
	}
	return sc
}

// hard is the source in mid-window as package light takes it.
func (src *Source) hard(s *shot.Shot, st *Stage, w shot.Window, k *Sky) (h light.Hard) {
	h.RadiusDeg = src.RadiusDeg
	switch {
	case src.Near():
		at := st.FromWorld(*src.Lamp.Position)
		h.At, h.IntensityCd = &at, src.Lamp.IntensityCd
	case src.Lamp != nil:
		h.Dir = geom.Toward(src.Lamp.AzimuthDeg-s.Camera.BearingDeg, src.Lamp.ElevationDeg)
		h.NormalLx = src.Lamp.IlluminanceLx
	default:
		p, d := k.At(w.Mid())
		h.Dir, h.NormalLx = geom.Toward(p.AzimuthDeg-s.Camera.BearingDeg, p.ElevationDeg), d.BeamNormalLx
	}
	return h
}

// Hours is when reflectors can count on a source: the directions toward it over that time, the instants at which it stands
// there, whether mid-window is one of them, and whether they span the whole window.
type Hours struct {
	Directions []geom.Vec
	Times      []time.Time // ascending; empty for a lamp
	// Swept are directions over the same time, so near each other that little falls into a shadow between them; see sweptStep.
	Swept              []geom.Vec
	serves, Throughout bool
}

// shift returns the hours of a source. A lamp's are the whole window. The sun can be counted on while it gives at least floor
// lux, the level from which a frame has to stop it, and is not too low.
func (src *Source) shift(s *shot.Shot, st *Stage, w shot.Window, k *Sky, floor float64) Hours {
	out := Hours{serves: true, Throughout: true}
	switch {
	case src.Near():
		out.Directions = []geom.Vec{st.FromWorld(*src.Lamp.Position).Sub(st.Mid).Unit()}
		out.Swept = out.Directions
		return out
	case src.Lamp != nil:
		out.Directions = []geom.Vec{geom.Toward(src.Lamp.AzimuthDeg-s.Camera.BearingDeg, src.Lamp.ElevationDeg)}
		out.Swept = out.Directions
		return out
	}
	works := func(t time.Time) bool {
		p, d := k.At(t)
		return d.BeamNormalLx > 0 && d.BeamNormalLx >= floor && p.ElevationDeg >= LowestSunDeg
	}
	add := func(t time.Time) {
		n := len(out.Times)
		if n > 0 && !out.Times[n-1].Before(t) {
			return
		}
		toward := func(t time.Time) geom.Vec {
			p, _ := k.At(t)
			return geom.Toward(p.AzimuthDeg-s.Camera.BearingDeg, p.ElevationDeg)
		}
		if n > 0 {
			gap := t.Sub(out.Times[n-1])
			for i, parts := 1, int(gap/sweptStep)+1; i < parts; i++ {
				if at := out.Times[n-1].Add(gap * time.Duration(i) / time.Duration(parts)); works(at) {
					out.Swept = append(out.Swept, toward(at))
				}
			}
		}
		out.Directions, out.Swept = append(out.Directions, toward(t)), append(out.Swept, toward(t))
		out.Times = append(out.Times, t)
	}
	out.serves = works(w.Mid())
	length := w.To.Sub(w.From)
	n := steps + 2*int(length/stepMost)
	last, on := w.From, false
	for i := range n {
		t := w.From.Add(length * time.Duration(i) / time.Duration(n-1))
		now := works(t)
		out.Throughout = out.Throughout && now
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

// Direction returns the direction at a time, interpolated between the instants; there must be two at least.
func (s *Hours) Direction(at time.Time) geom.Vec {
	i, _ := slices.BinarySearchFunc(s.Times, at, time.Time.Compare)
	i = max(1, min(len(s.Times)-1, i))
	f := float64(at.Sub(s.Times[i-1])) / float64(s.Times[i].Sub(s.Times[i-1]))
	return s.Directions[i-1].Scale(1 - f).Add(s.Directions[i].Scale(f)).Unit()
}

// Until returns the last instant; there must be one.
func (s *Hours) Until() time.Time { return s.Times[len(s.Times)-1] }

// Path is a source as the lens sees it: its angular radius and the unit directions toward it while it shines.
type Path struct {
	Label      string
	RadiusDeg  float64
	Directions []geom.Vec
}

// The sun's path is looked at every minute, in which it moves half its width, and a window of more than pathMost minutes in
// pathMost steps.
const (
	pathStep = time.Minute
	pathMost = 480
)

func (src *Source) path(s *shot.Shot, st *Stage, w shot.Window, k *Sky) Path {
	out := Path{Label: src.Label, RadiusDeg: src.RadiusDeg}
	switch {
	case src.Near():
		out.Directions = []geom.Vec{st.FromWorld(*src.Lamp.Position).Sub(st.View.Eye).Unit()}
		return out
	case src.Lamp != nil:
		out.Directions = []geom.Vec{geom.Toward(src.Lamp.AzimuthDeg-s.Camera.BearingDeg, src.Lamp.ElevationDeg)}
		return out
	}
	length := w.To.Sub(w.From)
	n := min(int(length/pathStep)+1, pathMost)
	for i := range n + 1 {
		p, d := k.At(w.From.Add(length * time.Duration(i) / time.Duration(n)))
		if d.BeamNormalLx > 0 {
			out.Directions = append(out.Directions, geom.Toward(p.AzimuthDeg-s.Camera.BearingDeg, p.ElevationDeg))
		}
	}
	return out
}

// Toward returns the direction from a point to the driver; there must be one.
func (sc *Light) Toward(p geom.Vec) geom.Vec {
	h := &sc.Hard[sc.Driver]
	if h.At != nil {
		return h.At.Sub(p).Unit()
	}
	return h.Dir
}

// Stops returns a level in lux as stops over the background's reference; no light at all counts as [DarkestLx], so that the
// answer is a number.
func (sc *Light) Stops(lx float64) float64 {
	return light.Stops(math.Max(lx, DarkestLx), sc.ReferenceLx)
}

// LightOf lays out the stage of a shot and the light over its window, with what must be softened.
func LightOf(s *shot.Shot) *Light { return lightOn(s, NewStage(s)) }

func lightOn(s *shot.Shot, st *Stage) *Light {
	k := NewSky(s, s.Window.From, s.Window.To)
	list := Sources(s, st, k)
	sc := NewLight(s, st, list, k, BackgroundOf(s, list, k))
	sc.ToSoften, sc.Practicals = WorthSoftening(s, HardOf(list), &sc.Background)
	return sc
}
