package rigging

import (
	"math"
	"slices"

	"kitspan/internal/geom"
)

// wrench is a force, in newtons, and its moment about the middle of the frame, in newton metres.
type wrench [6]float64

func wrenchOf(force, moment geom.Vec) wrench {
	return wrench{force.X, force.Y, force.Z, moment.X, moment.Y, moment.Z}
}

func (w *wrench) force() geom.Vec { return geom.Vec{X: w[0], Y: w[1], Z: w[2]} }

func (w *wrench) dot(o *wrench) float64 {
	return w[0]*o[0] + w[1]*o[1] + w[2]*o[2] + w[3]*o[3] + w[4]*o[4] + w[5]*o[5]
}

// air is what a load case is about.
type air int

const (
	windy air = iota
	calm
	tilted
)

// load is one load case: what acts on the frame, dead and per pascal of velocity pressure, and where wind or slope push the stands.
type load struct {
	air   air
	dead  wrench
	wind  wrench
	along geom.Vec // of the wind on the masts, or down the slope
	// major is the index of the level axis along which the load is larger, push the sign of the load along each, 0 for none.
	major int
	push  [2]float64
}

// slightN is a level load under which a frame counts as not pushed, as a share of what acts on it.
const slight = 1e-9

// pushing returns a load case with the axis along which the load is larger, and its sign along each.
func (l load) pushing(axes *[2]geom.Vec) load {
	whole := l.dead.force()
	if l.air == windy {
		whole = l.wind.force()
	}
	level := [2]float64{whole.Dot(axes[0]), whole.Dot(axes[1])}
	if math.Abs(level[1]) > math.Abs(level[0]) {
		l.major = 1
	}
	for i, f := range level {
		if math.Abs(f) > slight*whole.Len() {
			l.push[i] = math.Copysign(1, f)
		}
	}
	return l
}

// loads are the load cases of a structure, appended to out.
func (s *Structure) loads(out []load, axes *[2]geom.Vec) []load {
	weight := geom.Vec{Z: -s.MassKg * GravityMS2}
	out = slices.Grow(out, 2*4*WindDirections+WindDirections+1)
	out = append(out, load{air: calm, dead: wrenchOf(weight, geom.Vec{})}.pushing(axes))
	for i := range WindDirections {
		d := compass[i]
		g := d.Scale(tiltedFall).Sub(geom.Vec{Z: tiltedDown}).Scale(s.MassKg * GravityMS2)
		out = append(out, load{air: tilted, dead: wrenchOf(g, geom.Vec{}), along: d}.pushing(axes))
	}
	p := PanelOf(&s.Frame, s.Solidity)
	if s.Round {
		w := p.Wind()
		for i := range WindDirections {
			d := compass[i]
			f := d.Scale(w.Up.Normal)
			out = append(out, load{dead: wrenchOf(weight, geom.Vec{}), wind: wrenchOf(f, geom.Vec{Z: w.RaiseM}.Cross(f)), along: d}.pushing(axes))
		}
		return out
	}
	return s.windy(out, &p, weight, axes)
}

// compass are the directions of wind that turns with nothing, and of slopes.
var compass = func() (out [WindDirections]geom.Vec) {
	for i := range out {
		out[i] = geom.Toward(float64(i)*360/WindDirections, 0)
	}
	return out
}()

// windy appends the cases of wind on a panel.
func (s *Structure) windy(out []load, p *Panel, weight geom.Vec, axes *[2]geom.Vec) []load {
	w := p.Wind()
	normal := s.Frame.U.Cross(s.Frame.V)
	if normal.Z < 0 {
		normal = normal.Scale(-1)
	}
	level, sloping := s.Frame.U, s.Frame.V
	if math.Abs(sloping.Z) < math.Abs(level.Z) {
		level, sloping = sloping, level
	}
	first := level
	if flat := (geom.Vec{X: normal.X, Y: normal.Y}); flat.Len() > slight {
		first = flat
	}
	drag := alongPanel * p.AreaM2() * Relief(p.Solidity)
	offs := []geom.Vec{level.Scale(w.OffWidthM), level.Scale(-w.OffWidthM), sloping.Scale(w.OffSlopeM), sloping.Scale(-w.OffSlopeM)}
	if w.OffSlopeM < slight {
		offs = offs[:2]
	}
	raise := geom.Vec{Z: w.RaiseM}
	var middle [WindDirections]load // pushed in the middle
	for _, c := range [2]float64{-w.Down.Normal, w.Up.Normal} {
		square := normal.Scale(c)
		for i := range middle {
			d := geom.Toward(first.Bearing()+float64(i)*360/WindDirections, 0)
			force := square.Add(d.Sub(normal.Scale(d.Dot(normal))).Scale(drag))
			middle[i] = load{dead: wrenchOf(weight, geom.Vec{}), wind: wrenchOf(force, raise.Cross(force)), along: d}.pushing(axes)
		}
		for _, off := range offs { // with the directions inside, each case is near the one before
			turns := off.Cross(square)
			for i := range middle {
				d := middle[i].along
				if p.TiltDeg > canopyTopDeg && d.X*square.X+d.Y*square.Y < -slight*math.Abs(c) {
					continue // against the push
				}
				out = append(out, middle[i])
				moment := out[len(out)-1].wind[3:]
				moment[0], moment[1], moment[2] = moment[0]+turns.X, moment[1]+turns.Y, moment[2]+turns.Z
			}
		}
	}
	return out
}
