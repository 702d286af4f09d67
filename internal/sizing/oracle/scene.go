package oracle

import (
	"math"
	"time"

	"kitspan/internal/shot"
)

// View is what the camera sees: a rectilinear pyramid from the lens along its axis. tanW and tanH are the tangents of
// the half angles across and up.
type View struct {
	lens, axis, right, up vec
	tanW, tanH            float64
}

// Zone is a box that must be lit well: half width along right, half depth along ahead, from base to top over a point of
// the ground.
type Zone struct {
	label        string
	right, ahead vec
	over         vec // the point of the ground
	halfW, halfD float64
	base, top    float64
	middle       vec
}

// Scene is a shot read by the oracle: the view, the zone, and the hard sources over one window.
type Scene struct {
	Shot    shot.Shot
	View    View
	Zone    Zone // the main one
	Others  []Zone
	Sources []Source
	// From and To are the window.
	From, To time.Time
	// way is half the way of people who walk, from its middle, on which the scene stands; carried is set where what is looked at moves along
	// it with them.
	way     vec
	carried bool
	// Strongest is the greatest illuminance that any source gives the zone's middle at any instant of the window, lux.
	Strongest float64
}

// NewScene reads a shot for a window, which is the shot's own, another one of its day, or a part of it.
func NewScene(shot shot.Shot, from, to time.Time) *Scene {
	s := &Scene{Shot: shot, From: from, To: to}
	b := shot.Camera.BearingDeg * math.Pi / 180
	ahead := vec{math.Sin(b), math.Cos(b), 0}
	right := vec{math.Cos(b), -math.Sin(b), 0}

	v := &s.View
	v.lens = ahead.times(-shot.Framing.DistanceM)
	v.lens.z = shot.Camera.HeightM
	sight := vec{0, 0, shot.Camera.AimHeightM}.minus(v.lens)
	v.axis = sight.unit()
	v.right = right
	v.up = right.cross(v.axis)
	v.tanW = shot.Framing.WidthM / (2 * sight.length())
	v.tanH = v.tanW / shot.Framing.AspectRatio

	s.Zone = Zone{
		label: mainZone, right: right, ahead: ahead,
		halfW: shot.Zone.WidthM / 2, halfD: shot.Zone.DepthM / 2,
		base: shot.Zone.BaseM, top: shot.Zone.TopM,
		middle: vec{0, 0, (shot.Zone.BaseM + shot.Zone.TopM) / 2},
	}
	if w := fromGeom(shot.Walk); w.length() > 0 { // the box around the zone's way, square to the lens
		s.way = w.times(0.5)
		z := &s.Zone
		z.over, z.middle = s.way, z.middle.plus(s.way)
		z.halfW, z.halfD = z.halfW+math.Abs(s.way.dot(right)), z.halfD+math.Abs(s.way.dot(ahead))
	}
	for _, z := range shot.OtherZones {
		s.Others = append(s.Others, Zone{
			label: z.Label, right: right, ahead: ahead, over: vec{z.CenterX, z.CenterY, 0},
			halfW: z.WidthM / 2, halfD: z.DepthM / 2, base: z.BaseM, top: z.TopM,
			middle: vec{z.CenterX, z.CenterY, (z.BaseM + z.TopM) / 2},
		})
	}
	s.readSources(from, to)
	return s
}

// mainZone is what pieces that serve the main zone say.
const mainZone = "main"

// zone finds a zone by label; nil where there is none.
func (s *Scene) zone(label string) *Zone {
	if label == mainZone {
		return &s.Zone
	}
	for i := range s.Others {
		if s.Others[i].label == label {
			return &s.Others[i]
		}
	}
	return nil
}

// zones are all zones, the main one first.
func (s *Scene) zones() []*Zone {
	list := []*Zone{&s.Zone}
	for i := range s.Others {
		list = append(list, &s.Others[i])
	}
	return list
}

func (s *Scene) has(label string) bool { return s.zone(label) != nil }

// at is the point of the zone at shares from -1 to 1 of its half width and half depth and from 0 to 1 of its height.
func (z Zone) at(w, d, h float64) vec {
	p := z.over.plus(z.right.times(w * z.halfW)).plus(z.ahead.times(d * z.halfD))
	p.z = z.base + h*(z.top-z.base)
	return p
}

func (z Zone) corners() [8]vec {
	var c [8]vec
	for i := range c {
		sign := func(bit int) float64 { return float64(2*(i>>bit&1) - 1) }
		c[i] = z.at(sign(0), sign(1), float64(i>>2&1))
	}
	return c
}

// beyond is how far a point lies outside the zone's plan; negative inside.
func (z Zone) beyond(p vec) float64 {
	w := math.Abs(p.minus(z.over).dot(z.right)) - z.halfW
	d := math.Abs(p.minus(z.over).dot(z.ahead)) - z.halfD
	if w > 0 && d > 0 {
		return math.Hypot(w, d)
	}
	return math.Max(w, d)
}

// clear is how far a point lies outside the view, across the axis, at its own depth; negative inside. A point behind
// the plane of the lens has no distance: ok is false.
func (v View) clear(p vec) (distance float64, ok bool) {
	q := p.minus(v.lens)
	depth := q.dot(v.axis)
	if depth < 0 {
		return 0, false
	}
	w := math.Abs(q.dot(v.right)) - v.tanW*depth
	h := math.Abs(q.dot(v.up)) - v.tanH*depth
	if w > 0 && h > 0 {
		return math.Hypot(w, h), true
	}
	return math.Max(w, h), true
}
