package draw

import (
	"slices"
	"time"

	"kitspan/internal/scene"

	"kitspan/internal/geom"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
	"kitspan/internal/sun"
)

// stage is an option laid out as the camera sees it: x to the right of the lens, y away along its bearing, z up, metres,
// the origin on the ground under the subject. All drawings to scale work in it.
type stage struct {
	u      Units
	shot   *shot.Shot
	option *sizing.Option
	axes   geom.Axes
	view   geom.View
	lights []light
}

// light is a hard source over the option's window.
type light struct {
	label   string
	sun     bool
	moments []moment  // start, middle and end of the window for the sun, one for a lamp
	near    *geom.Vec // where a lamp stands; nil for what is far
	radius  float64   // angular, degrees
}

// moment is a source at one instant: a unit vector toward it from the zone's middle.
type moment struct {
	clock        string
	toward       geom.Vec
	elevationDeg float64
	lx           float64
	offAxisDeg   float64
	inView       bool
}

func newStage(r *sizing.Result, o *sizing.Option, u Units) *stage {
	s := &r.Shot
	st := &stage{u: u, shot: s, option: o, axes: s.Axes(), view: s.View()}
	for i := range r.Sources {
		if slices.Contains(o.SwitchOff, r.Sources[i].Label) {
			continue
		}
		st.lights = append(st.lights, st.light(&r.Sources[i], i, len(r.Sources)))
	}
	return st
}

// after sets the drawing of what stands after a move apart from that of what stands before: when it begins.
func (st *stage) after() string {
	if w := &st.option.Window; st.option.Label == sizing.LabelMoved && w.From.After(st.shot.Window.From) {
		return w.From.Format("-1504")
	}
	return ""
}

// seen is a point of the answer in the camera's axes.
func (st *stage) seen(v geom.Vec) geom.Vec { return st.axes.FromWorld(v) }

func (st *stage) corners(p *sizing.Piece) []geom.Vec {
	out := make([]geom.Vec, 4)
	for i := range out {
		out[i] = st.seen(p.Corners[i])
	}
	return out
}

// light is a source of the answer. The lamps are the last of the sources, in the shot's order; what is before is the sun.
func (st *stage) light(src *scene.SourceTrack, i, sources int) light {
	l := light{label: src.Label, radius: sunRadiusDeg}
	at := st.instants(src)
	if lamp := i - (sources - len(st.shot.Lamps)); lamp >= 0 {
		l.radius = st.shot.Lamps[lamp].AngularRadiusDeg
		if p := st.shot.Lamps[lamp].Position; p != nil {
			near := st.seen(*p)
			l.near = &near
		}
	} else {
		l.sun = true
		if w := &st.option.Window; !w.From.Equal(st.shot.Window.From) || !w.To.Equal(st.shot.Window.To) {
			at = st.moved(at)
		}
	}
	for _, p := range at {
		l.moments = append(l.moments, moment{
			clock: p.At.Format("15:04"), toward: geom.Toward(p.AzimuthDeg-st.shot.Camera.BearingDeg, p.ElevationDeg),
			elevationDeg: p.ElevationDeg, lx: p.IlluminanceLx, offAxisDeg: p.OffAxisDeg, inView: p.InView,
		})
	}
	return l
}

// sunRadiusDeg is the sun's mean angular radius (959.63″), for drawing alone.
const sunRadiusDeg = 0.2666

// instants are the first point of a track, that nearest to the middle of the window, and the last.
func (st *stage) instants(src *scene.SourceTrack) []scene.TrackPoint {
	t := src.Track
	if len(t) < 3 {
		return t
	}
	mid := middle(t[0].At, t[len(t)-1].At)
	best := slices.MinFunc(t[1:len(t)-1], func(a, b scene.TrackPoint) int {
		return int(a.At.Sub(mid).Abs() - b.At.Sub(mid).Abs())
	})
	return []scene.TrackPoint{t[0], best, t[len(t)-1]}
}

// moved is the sun in an option's own window where that is another than the shot's: the answer's track is of the shot's.
// How strong it is there nobody asks here; it is up or it is down.
func (st *stage) moved(at []scene.TrackPoint) []scene.TrackPoint {
	s, w := &st.shot.Site, &st.option.Window
	site := sun.Site{LatitudeDeg: s.LatitudeDeg, LongitudeDeg: s.LongitudeDeg, ElevationM: s.ElevationM, PressureHPa: s.PressureHPa, TemperatureC: s.TemperatureC}
	var out []scene.TrackPoint
	for _, t := range []time.Time{w.From, middle(w.From, w.To), w.To} {
		p := sun.At(t, site)
		dir := geom.Toward(p.AzimuthDeg-st.shot.Camera.BearingDeg, p.ElevationDeg)
		point := scene.TrackPoint{
			At: t, AzimuthDeg: p.AzimuthDeg, ElevationDeg: p.ElevationDeg,
			OffAxisDeg: geom.AngleDeg(st.view.Forward, dir), InView: st.view.SeesDisc(dir, p.SemidiameterDeg()),
		}
		if p.ElevationDeg > 0 && len(at) > 0 {
			point.IlluminanceLx = 1
		}
		out = append(out, point)
	}
	return out
}

func middle(a, b time.Time) time.Time { return a.Add(b.Sub(a) / 2) }

// mid is a source in the middle of the window.
func (l *light) mid() moment { return l.moments[len(l.moments)/2] }

// toward is the direction from a point to the source.
func (l *light) toward(p geom.Vec, m *moment) geom.Vec {
	if l.near != nil {
		return l.near.Sub(p).Unit()
	}
	return m.toward
}

// lowestShadowDeg is the elevation under which a shadow on the ground is too long to say anything.
const lowestShadowDeg = 3

// shadow is where corners shade the ground; ok is false where they do not, or where it would be too far.
func (l *light) shadow(corners []geom.Vec, m *moment) (ground []geom.Vec, ok bool) {
	if m.lx <= 0 {
		return nil, false
	}
	for _, c := range corners {
		d := l.toward(c, m)
		if d.Elevation() < lowestShadowDeg {
			return nil, false
		}
		q := c.Sub(d.Scale(c.Z / d.Z))
		ground = append(ground, geom.Vec{X: q.X, Y: q.Y})
	}
	return ground, true
}

// block is an upright box that must be lit, in the camera's axes.
type block struct {
	label string
	geom.Box
}

// mainZone is how a piece says that it serves the subject.
const mainZone = "main"

// blocks are the zones, the subject's first. A further zone's sides run along the lens axis as the subject's do.
func (st *stage) blocks() []block {
	list := []block{{st.u.say("subject"), st.shot.Swept()}}
	if st.shot.Walks() {
		list[0].label = st.u.say("subject's way")
	}
	for i := range st.shot.OtherZones {
		o := &st.shot.OtherZones[i]
		list = append(list, block{o.Label, o.Box(st.axes)})
	}
	return list
}

// served is the middle of the zone that a piece serves.
func (st *stage) served(p *sizing.Piece) geom.Vec {
	list := st.blocks()
	for i := range list[1:] {
		if p.Serves != mainZone && list[i+1].label == p.Serves {
			return list[i+1].Mid
		}
	}
	return list[0].Mid
}

// name is the zone's label, cut to what a drawing has room for.
func (b *block) name() string { return clip(b.label, textSize, nameWidth) }

// base is the middle of its base.
func (b *block) base() geom.Vec { return b.Mid.Sub(geom.Vec{Z: b.Half.Z}) }

// middleOf is the middle of an opening, or where a lamp stands.
func (st *stage) middleOf(p *sizing.Piece) geom.Vec {
	if p.Lamp != nil {
		return st.seen(p.Lamp.Position)
	}
	c := p.Corners
	return st.seen(c[0].Add(c[1]).Add(c[2]).Add(c[3]).Scale(0.25))
}

// top is the head of a support's mast.
func (st *stage) top(s *sizing.Support) geom.Vec {
	return st.seen(geom.Vec{X: s.Base.X, Y: s.Base.Y, Z: s.HeightM})
}

// reach takes in all that stands: lens, zones, pieces with their supports and anchors.
func (st *stage) reach(flat func(geom.Vec) (right, up float64)) extent {
	e := nowhere()
	add := func(v geom.Vec) { e.add(flat(v)) }
	add(st.view.Eye)
	for _, b := range st.blocks() {
		for _, c := range b.Corners() {
			add(c)
		}
	}
	for i := range st.option.Pieces {
		p := &st.option.Pieces[i]
		if p.Lamp != nil {
			add(st.seen(p.Lamp.Position))
		} else {
			for _, c := range st.corners(p) {
				add(c)
			}
		}
		for k := range p.Supports {
			s := &p.Supports[k]
			base := st.seen(s.Base)
			for _, d := range [4]geom.Vec{{X: s.FootprintM}, {X: -s.FootprintM}, {Y: s.FootprintM}, {Y: -s.FootprintM}} {
				add(base.Add(d))
			}
			add(st.top(s))
		}
		for k := range p.HeldBy {
			at := st.seen(p.HeldBy[k].Stands)
			add(at)
			add(at.Add(geom.Vec{Z: personM}))
		}
		for k := range p.Lines {
			add(st.seen(p.Lines[k].To))
		}
	}
	return e
}
