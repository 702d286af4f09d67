package sizing

import (
	"math"
	"time"

	"kitspan/internal/geom"
	"kitspan/internal/shot"
	"kitspan/internal/sun"
)

// source is one hard source over the window: the sun, or a lamp that is there anyway.
type source struct {
	label     string
	radiusDeg float64
	lamp      *shot.Lamp // nil for the sun
	moments   []moment
	softened  bool
	// spans are the times at which the source must be stopped; empty where it need not be.
	spans []span
	// rays are what a frame must stop, in the camera's frame: few, and together as good as every instant. Those of a
	// lamp at a position depend on the zone: see raysOn.
	rays []ray
	// checks are the directions of every sampled instant within spans, for measuring a margin afterwards.
	checks []check
}

// moment is a source at one instant as seen from the zone's centre.
type moment struct {
	at     time.Time
	az, el float64 // degrees, world
	lux    float64
}

type span struct{ from, to time.Time }

type check struct {
	at  time.Time
	dir geom.Vec
}

// ray is a direction toward a source from the whole zone or, where the source is near, from one of its corners.
type ray struct {
	dir    geom.Vec // unit
	corner bool     // from is the one point that looks along dir
	from   geom.Vec
	far    float64 // metres to the source from that point; +Inf for a directional one
	spread float64 // tangent of the angular radius, and of what thinning the path may hide
}

const (
	// trackStep is the step of the printed track (contract: five minutes).
	trackStep = 5 * time.Minute
	// hardShare is the share of the strongest source from which a source counts as hard light (contract: one
	// eighth, three stops).
	hardShare = 1.0 / 8
	// pathTolerance is how far, in radians, the true path of the sun may lie beside the great circle between two kept
	// directions. It is added to the spread of every ray: 2 mm at 4 m.
	pathTolerance = 5e-4
)

// sky makes the levels of the sun over time: a model of the sky, scaled to the meter's reading of mid-window where
// there is one.
type sky struct {
	arc       *sun.Arc
	condition sun.Condition // of the model for the sky
	beam      sun.Condition // of that for the sun: another where a sun was read that the sky's has not
	sunScale  float64
	skyScale  float64
}

func newSky(s *shot.Shot, from, to time.Time) *sky {
	k := &sky{arc: sun.NewArc(from, to, s.Site.UnderSun()), condition: sun.Condition(s.Sky.Condition), sunScale: 1, skyScale: 1}
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

// ratio is reading over model, and 1 where the model has nothing to scale.
func ratio(reading, model float64) float64 {
	if model <= 0 {
		return 1
	}
	return reading / model
}

func (k *sky) at(t time.Time) (sun.Position, sun.Daylight) {
	p := k.arc.At(t)
	d := sun.DaylightAt(p, k.condition)
	if k.beam != k.condition {
		d.BeamNormalLx = sun.DaylightAt(p, k.beam).BeamNormalLx
	}
	d.BeamNormalLx *= k.sunScale
	d.SkyHorizontalLx *= k.skyScale
	return p, d
}

// sources lists the hard sources of a shot with their tracks, which of them count, and what a frame must stop.
func sources(s *shot.Shot, st *stage, k *sky) []*source {
	var list []*source
	if !s.Site.Roofed {
		sunlight := &source{label: "sun"}
		for _, t := range trackTimes(s.Window) {
			p, d := k.at(t)
			sunlight.moments = append(sunlight.moments, moment{t, p.AzimuthDeg, p.ElevationDeg, d.BeamNormalLx})
			sunlight.radiusDeg = p.SemidiameterDeg()
		}
		list = append(list, sunlight)
	}
	for i := range s.Lamps {
		list = append(list, lampSource(&s.Lamps[i], s, st))
	}
	count(list)
	floor := hardShare * strongestOf(list)
	for _, src := range list {
		if src.softened {
			src.demand(s, k, floor)
		}
	}
	return list
}

// strongestOf is the most that any source of a list gives at an instant of its track, in lux.
func strongestOf(list []*source) float64 {
	strongest := 0.0
	for _, src := range list {
		for _, m := range src.moments {
			strongest = math.Max(strongest, m.lux)
		}
	}
	return strongest
}

func lampSource(l *shot.Lamp, s *shot.Shot, st *stage) *source {
	m := moment{at: s.Window.From, az: l.AzimuthDeg, el: l.ElevationDeg, lux: l.IlluminanceLx}
	if l.Position != nil {
		d := l.Position.Sub(st.mid)
		m.az, m.el, m.lux = d.Bearing(), d.Elevation(), l.IntensityCd/d.Dot(d)
	}
	return &source{label: l.Label, radiusDeg: l.AngularRadiusDeg, lamp: l, moments: []moment{m}}
}

// trackTimes are the window's start, every five minutes from it, and its end.
func trackTimes(w shot.Window) []time.Time {
	var ts []time.Time
	for t := w.From; t.Before(w.To); t = t.Add(trackStep) {
		ts = append(ts, t)
	}
	return append(ts, w.To)
}

// count marks the sources that count as hard light: at some instant at least hardShare of the strongest then.
func count(list []*source) {
	most := 1
	for _, src := range list {
		most = max(most, len(src.moments))
	}
	for i := range most {
		strongest := 0.0
		for _, src := range list {
			strongest = math.Max(strongest, src.moments[min(i, len(src.moments)-1)].lux)
		}
		for _, src := range list {
			if lux := src.moments[min(i, len(src.moments)-1)].lux; lux > 0 && lux >= hardShare*strongest {
				src.softened = true
			}
		}
	}
}

// demand works out when and from where the source must be stopped: while it gives at least floor lux.
func (src *source) demand(s *shot.Shot, k *sky, floor float64) {
	spread := math.Tan(src.radiusDeg * math.Pi / 180)
	if src.lamp != nil {
		if src.moments[0].lux < floor {
			return
		}
		src.spans = []span{{s.Window.From, s.Window.To}}
		if !src.near() {
			dir := geom.Toward(src.moments[0].az-s.Camera.BearingDeg, src.moments[0].el)
			src.checks = []check{{s.Window.From, dir}}
			src.rays = []ray{{dir: dir, far: math.Inf(1), spread: spread}}
		}
		return
	}
	bright := func(t time.Time) bool { _, d := k.at(t); return d.BeamNormalLx > 0 && d.BeamNormalLx >= floor }
	for i, m := range src.moments {
		on := m.lux >= floor && m.lux > 0
		var last *span
		if n := len(src.spans); n > 0 {
			last = &src.spans[n-1]
		}
		switch {
		case on && (i == 0 || last == nil || last.to.Before(src.moments[i-1].at)):
			from := m.at
			if i > 0 {
				from = turning(bright, m.at, src.moments[i-1].at)
			}
			src.spans = append(src.spans, span{from, m.at})
		case on:
			last.to = m.at
		case i > 0 && last != nil && last.to.Equal(src.moments[i-1].at):
			last.to = turning(bright, src.moments[i-1].at, m.at)
		}
	}
	toward := func(t time.Time) geom.Vec {
		p, _ := k.at(t)
		return geom.Toward(p.AzimuthDeg-s.Camera.BearingDeg, p.ElevationDeg)
	}
	for _, sp := range src.spans {
		dirs := []geom.Vec{toward(sp.from)}
		if sp.to.After(sp.from) {
			dirs = thin(dirs, toward, sp.from, sp.to, dirs[0], toward(sp.to))
		}
		for _, d := range dirs {
			src.rays = append(src.rays, ray{dir: d, far: math.Inf(1), spread: spread + pathTolerance})
		}
		src.checks = append(src.checks, check{sp.from, dirs[0]}, check{sp.to, dirs[len(dirs)-1]})
	}
	for _, m := range src.moments {
		for _, sp := range src.spans {
			if !m.at.Before(sp.from) && !m.at.After(sp.to) {
				src.checks = append(src.checks, check{m.at, geom.Toward(m.az-s.Camera.BearingDeg, m.el)})
				break
			}
		}
	}
}

// nearRays are the rays from the zone's corners to a lamp at a position.
func (src *source) nearRays(st *stage) []ray {
	at := st.fromWorld(*src.lamp.Position)
	spread := math.Tan(src.radiusDeg * math.Pi / 180)
	rays := make([]ray, 0, 8)
	for _, p := range st.corners() {
		d := at.Sub(p)
		rays = append(rays, ray{dir: d.Unit(), corner: true, from: p, far: d.Len(), spread: spread})
	}
	return rays
}

// raysOn are the rays that must be stopped on a stage, whose zone may be wider than the shot's own.
func (src *source) raysOn(st *stage) []ray {
	if src.near() && len(src.spans) > 0 {
		return src.nearRays(st)
	}
	return src.rays
}

// raysOf are the rays of a list of sources.
func raysOf(st *stage, list []*source) []ray {
	var rays []ray
	for _, src := range list {
		rays = append(rays, src.raysOn(st)...)
	}
	return rays
}

func (src *source) near() bool { return src.lamp != nil && src.lamp.Position != nil }

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

// track is the source as the answer prints it.
func (src *source) track(s *shot.Shot, st *stage) SourceTrack {
	out := SourceTrack{Label: src.label, Softened: src.softened, Track: make([]TrackPoint, len(src.moments))}
	for i, m := range src.moments {
		dir := geom.Toward(m.az-s.Camera.BearingDeg, m.el)
		if src.near() {
			dir = st.fromWorld(*src.lamp.Position).Sub(st.view.Eye).Unit()
		}
		out.Track[i] = TrackPoint{
			At: m.at, AzimuthDeg: m.az, ElevationDeg: m.el, IlluminanceLx: m.lux,
			OffAxisDeg: geom.AngleDeg(st.view.Forward, dir),
			InView:     st.view.SeesDisc(dir, src.radiusDeg),
		}
	}
	return out
}

// SourceTrack is one hard source over the window.
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

// hardOf are the sources of a list that must be stopped at some instant.
func hardOf(list []*source) []*source {
	var hard []*source
	for _, src := range list {
		if len(src.spans) > 0 {
			hard = append(hard, src)
		}
	}
	return hard
}
