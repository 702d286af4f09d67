package scene

import (
	"math"
	"time"

	"kitspan/internal/geom"
	"kitspan/internal/shot"
	"kitspan/internal/sun"
)

// Source is one hard source over the window: the sun, or a lamp that is there before any kit.
type Source struct {
	Label     string
	RadiusDeg float64
	Lamp      *shot.Lamp // nil for the sun
	Moments   []Moment
	softened  bool
	// Spans are the times at which the source must be stopped; empty where it need not be.
	Spans []Span
	// rays are what a frame must stop, in the camera's axes: few, and together as good as every instant. Those of a
	// lamp at a position depend on the zone: see [Source.RaysOn].
	rays []Ray
	// Samples are the directions at every sampled instant within the spans, for measuring a margin afterwards. A lamp at a
	// position has none.
	Samples []Sample
}

// Moment is a source at one instant as seen from the zone's centre.
type Moment struct {
	At                       time.Time
	AzimuthDeg, ElevationDeg float64 // degrees, in the world's axes
	Lux                      float64
}

// Span is a part of the window, both ends included.
type Span struct{ from, to time.Time }

// Sample is the unit direction toward a directional source at one instant, in the camera's axes.
type Sample struct {
	at  time.Time
	Dir geom.Vec
}

// Ray is a direction toward a source from the whole zone or, where the source is near, from one of its corners.
type Ray struct {
	Dir    geom.Vec // unit
	Corner bool     // the ray is that of the one point From; else From is not set
	From   geom.Vec
	Far    float64 // metres from From to the source; +Inf for a directional one
	Spread float64 // tangent of the source's angular radius, and a tolerance for the thinned path of the sun
}

const (
	// trackStep is the step of the printed track (contract: five minutes).
	trackStep = 5 * time.Minute
	// HardShare is the share of the strongest source from which a source counts as hard light (contract: one
	// eighth, three stops).
	HardShare = 1.0 / 8
	// pathTolerance is how far, in radians, the true path of the sun may lie beside the great circle between two kept
	// directions. It is added to the spread of every ray: 2 mm at 4 m.
	pathTolerance = 5e-4
)

// Sky gives the levels of the sun and the sky over time: a model of the sky, scaled to a meter's reading where there is one.
type Sky struct {
	arc       *sun.Arc
	condition sun.Condition // of the model for the sky
	beam      sun.Condition // of the model for the sun: another where the meter read a sun and the sky's model has none
	sunScale  float64
	skyScale  float64
}

// NewSky returns the sky over a shot's site between two instants.
func NewSky(s *shot.Shot, from, to time.Time) *Sky {
	k := &Sky{arc: sun.NewArc(from, to, s.Site.UnderSun()), condition: sun.Condition(s.Sky.Condition), sunScale: 1, skyScale: 1}
	k.beam = k.condition
	read := func(c sun.Condition) sun.Daylight { return sun.DaylightAt(k.arc.At(s.Sky.ReadAt), c) }
	if r := s.Sky.SunLx; r != nil {
		if read(k.beam).BeamNormalLx == 0 { // an overcast model has no sun to scale: take the clear one's
			k.beam = sun.Clear
		}
		k.sunScale = ratio(*r, read(k.beam).BeamNormalLx)
	}
	if r := s.Sky.SkyLx; r != nil {
		k.skyScale = ratio(*r, read(k.condition).SkyHorizontalLx)
	}
	return k
}

// ratio returns reading over model, or 1 where the model has nothing to scale.
func ratio(reading, model float64) float64 {
	if model <= 0 {
		return 1
	}
	return reading / model
}

// At returns where the sun stands at an instant, and what the sun and the sky give.
func (k *Sky) At(t time.Time) (sun.Position, sun.Daylight) {
	p := k.arc.At(t)
	d := sun.DaylightAt(p, k.condition)
	if k.beam != k.condition {
		d.BeamNormalLx = sun.DaylightAt(p, k.beam).BeamNormalLx
	}
	d.BeamNormalLx *= k.sunScale
	d.SkyHorizontalLx *= k.skyScale
	return p, d
}

// Sources lists the hard sources of a shot with their tracks, marks those that count, and works out the rays that a frame must
// stop.
func Sources(s *shot.Shot, st *Stage, k *Sky) []*Source {
	var list []*Source
	if !s.Site.Roofed {
		sunlight := &Source{Label: "sun"}
		for _, t := range trackTimes(s.Window) {
			p, d := k.At(t)
			sunlight.Moments = append(sunlight.Moments, Moment{t, p.AzimuthDeg, p.ElevationDeg, d.BeamNormalLx})
			sunlight.RadiusDeg = p.SemidiameterDeg()
		}
		list = append(list, sunlight)
	}
	for i := range s.Lamps {
		list = append(list, lampSource(&s.Lamps[i], s, st))
	}
	count(list)
	floor := HardShare * strongestOf(list)
	for _, src := range list {
		if src.softened {
			src.demand(s, k, floor)
		}
	}
	return list
}

// strongestOf returns the most that any source of a list gives at an instant of its track, in lux.
func strongestOf(list []*Source) float64 {
	strongest := 0.0
	for _, src := range list {
		for _, m := range src.Moments {
			strongest = math.Max(strongest, m.Lux)
		}
	}
	return strongest
}

func lampSource(l *shot.Lamp, s *shot.Shot, st *Stage) *Source {
	m := Moment{At: s.Window.From, AzimuthDeg: l.AzimuthDeg, ElevationDeg: l.ElevationDeg, Lux: l.IlluminanceLx}
	if l.Position != nil {
		d := l.Position.Sub(st.ToWorld(st.Mid))
		m.AzimuthDeg, m.ElevationDeg, m.Lux = d.Bearing(), d.Elevation(), l.IntensityCd/d.Dot(d)
	}
	return &Source{Label: l.Label, RadiusDeg: l.AngularRadiusDeg, Lamp: l, Moments: []Moment{m}}
}

// trackTimes returns the window's start, every five minutes from it, and its end.
func trackTimes(w shot.Window) []time.Time {
	var ts []time.Time
	for t := w.From; t.Before(w.To); t = t.Add(trackStep) {
		ts = append(ts, t)
	}
	return append(ts, w.To)
}

// count marks the sources that count as hard light: at some instant at least [HardShare] of the strongest then.
func count(list []*Source) {
	most := 1
	for _, src := range list {
		most = max(most, len(src.Moments))
	}
	for i := range most {
		strongest := 0.0
		for _, src := range list {
			strongest = math.Max(strongest, src.Moments[min(i, len(src.Moments)-1)].Lux)
		}
		for _, src := range list {
			if lux := src.Moments[min(i, len(src.Moments)-1)].Lux; lux > 0 && lux >= HardShare*strongest {
				src.softened = true
			}
		}
	}
}

// demand works out when and from where the source must be stopped: while it gives at least floor lux.
func (src *Source) demand(s *shot.Shot, k *Sky, floor float64) {
	spread := math.Tan(src.RadiusDeg * math.Pi / 180)
	if src.Lamp != nil {
		if src.Moments[0].Lux < floor {
			return
		}
		src.Spans = []Span{{s.Window.From, s.Window.To}}
		if !src.Near() {
			dir := geom.Toward(src.Moments[0].AzimuthDeg-s.Camera.BearingDeg, src.Moments[0].ElevationDeg)
			src.Samples = []Sample{{s.Window.From, dir}}
			src.rays = []Ray{{Dir: dir, Far: math.Inf(1), Spread: spread}}
		}
		return
	}
	bright := func(t time.Time) bool { _, d := k.At(t); return d.BeamNormalLx > 0 && d.BeamNormalLx >= floor }
	for i, m := range src.Moments {
		on := m.Lux >= floor && m.Lux > 0
		var last *Span
		if n := len(src.Spans); n > 0 {
			last = &src.Spans[n-1]
		}
		switch {
		case on && (i == 0 || last == nil || last.to.Before(src.Moments[i-1].At)):
			from := m.At
			if i > 0 {
				from = turning(bright, m.At, src.Moments[i-1].At)
			}
			src.Spans = append(src.Spans, Span{from, m.At})
		case on:
			last.to = m.At
		case i > 0 && last != nil && last.to.Equal(src.Moments[i-1].At):
			last.to = turning(bright, src.Moments[i-1].At, m.At)
		}
	}
	toward := func(t time.Time) geom.Vec {
		p, _ := k.At(t)
		return geom.Toward(p.AzimuthDeg-s.Camera.BearingDeg, p.ElevationDeg)
	}
	for _, sp := range src.Spans {
		dirs := []geom.Vec{toward(sp.from)}
		if sp.to.After(sp.from) {
			dirs = thin(dirs, toward, sp.from, sp.to, dirs[0], toward(sp.to))
		}
		for _, d := range dirs {
			src.rays = append(src.rays, Ray{Dir: d, Far: math.Inf(1), Spread: spread + pathTolerance})
		}
		src.Samples = append(src.Samples, Sample{sp.from, dirs[0]}, Sample{sp.to, dirs[len(dirs)-1]})
	}
	for _, m := range src.Moments {
		for _, sp := range src.Spans {
			if !m.At.Before(sp.from) && !m.At.After(sp.to) {
				src.Samples = append(src.Samples, Sample{m.At, geom.Toward(m.AzimuthDeg-s.Camera.BearingDeg, m.ElevationDeg)})
				break
			}
		}
	}
}

// nearRays returns the rays from the zone's corners to a lamp at a position.
func (src *Source) nearRays(st *Stage) []Ray {
	at := st.FromWorld(*src.Lamp.Position)
	spread := math.Tan(src.RadiusDeg * math.Pi / 180)
	rays := make([]Ray, 0, 8)
	for _, on := range st.ends() {
		for _, p := range st.corners() {
			d := at.Sub(on).Sub(p)
			rays = append(rays, Ray{Dir: d.Unit(), Corner: true, From: p, Far: d.Len(), Spread: spread})
		}
	}
	return rays
}

// RaysOn returns the rays of a source that must be stopped on a stage, whose zone may be wider than the shot's own.
func (src *Source) RaysOn(st *Stage) []Ray {
	if src.Near() && len(src.Spans) > 0 {
		return src.nearRays(st)
	}
	return src.rays
}

// RaysOf returns the rays of a list of sources that must be stopped on a stage.
func RaysOf(st *Stage, list []*Source) []Ray {
	var rays []Ray
	for _, src := range list {
		rays = append(rays, src.RaysOn(st)...)
	}
	return rays
}

// Near reports whether a source is a lamp at a position, whose rays differ over the zone.
func (src *Source) Near() bool { return src.Lamp != nil && src.Lamp.Position != nil }

// thin appends to dirs the directions of the path from a (already there) to b, so few that between neighbours the
// path leaves their great circle by no more than pathTolerance. Rays along a great circle cross a plane on a straight
// line, and the opening is convex, so that neighbours that pass let everything between them pass.
func thin(dirs []geom.Vec, toward func(time.Time) geom.Vec, from, to time.Time, a, b geom.Vec) []geom.Vec {
	mid := from.Add(to.Sub(from) / 2)
	m := toward(mid)
	n := a.Cross(b)
	if l := n.Len(); l > 0 && to.Sub(from) > time.Minute && math.Abs(m.Dot(n))/l > pathTolerance {
		dirs = thin(dirs, toward, from, mid, a, m)
		return thin(dirs, toward, mid, to, m, b)
	}
	return append(dirs, b)
}

// Track returns the source as the answer prints it.
func (src *Source) Track(s *shot.Shot, st *Stage) SourceTrack {
	out := SourceTrack{Label: src.Label, Softened: src.softened, Track: make([]TrackPoint, len(src.Moments))}
	for i, m := range src.Moments {
		dir := geom.Toward(m.AzimuthDeg-s.Camera.BearingDeg, m.ElevationDeg)
		if src.Near() {
			dir = st.FromWorld(*src.Lamp.Position).Sub(st.View.Eye).Unit()
		}
		out.Track[i] = TrackPoint{
			At: m.At, AzimuthDeg: m.AzimuthDeg, ElevationDeg: m.ElevationDeg, IlluminanceLx: m.Lux,
			OffAxisDeg: geom.AngleDeg(st.View.Forward, dir),
			InView:     st.View.SeesDisc(dir, src.RadiusDeg),
		}
	}
	return out
}

// WorthSoftening parts the hard sources of a shot before a background into those that the look asks to soften, and lamps that it leaves
// as they are: where softening is preferred, those that give the zone less than [HardShare] of the key level wanted. A light three stops
// under the strongest is not hard by the rule of the contract, and the key is to be the strongest on the face.
func WorthSoftening(s *shot.Shot, hard []*Source, b *BackgroundLevel) (worth, left []*Source) {
	if s.Look.Soften != shot.SoftenPreferred {
		return hard, nil
	}
	floor := LeastWorthLx(s, b)
	for _, src := range hard {
		if src.Lamp != nil && src.Moments[0].Lux < floor {
			left = append(left, src)
		} else {
			worth = append(worth, src)
		}
	}
	return worth, left
}

// LeastWorthLx returns the level, in lux, from which a lamp is worth softening where that is preferred.
func LeastWorthLx(s *shot.Shot, b *BackgroundLevel) float64 {
	return HardShare * b.KeyLx(s.Look.KeyStops)
}

// SourceTrack is one hard source over the window, as the answer prints it.
type SourceTrack struct {
	Label    string
	Softened bool // counts as hard light to be softened
	Track    []TrackPoint
}

// TrackPoint is a source at one instant: direction and level at the zone's centre, angle from the lens axis to the
// middle of its disc, and whether any part of the disc is in the picture.
type TrackPoint struct {
	At            time.Time
	AzimuthDeg    float64
	ElevationDeg  float64
	IlluminanceLx float64
	OffAxisDeg    float64
	InView        bool
}

// HardOf returns the sources of a list that must be stopped at some instant.
func HardOf(list []*Source) []*Source {
	var hard []*Source
	for _, src := range list {
		if len(src.Spans) > 0 {
			hard = append(hard, src)
		}
	}
	return hard
}
