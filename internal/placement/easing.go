package placement

import (
	"math"

	"kitspan/internal/geom"
)

// easing is how fast the conditions on a frame at a facing change as it turns: what a turn by a small angle of yaw and
// tilt at once does to each at most, in metres per radian. With the middle of the frame left where it is, a frame that
// fits at the turned facing keeps all conditions here that are eased by so much: where not even that can be, nothing
// fits at any turn so near. The zero value is of no turning, for searches of another slack.
type easing struct {
	f    *Facing
	size Size
	flat float64 // cosine of the tilt
	// more is what the second order adds for turns up to the step asked about, for a corner.
	more float64
}

// easingOf is for turns by up to step radians of yaw and of tilt.
func easingOf(f *Facing, sh *Size, step float64) easing {
	return easing{f, *sh, math.Sqrt(math.Max(0, 1-f.up*f.up)), step * math.Hypot(sh.OutU, sh.OutV)}
}

// corner is for a plane with a normal g (of any length) that the whole frame lies beyond: tilting moves a corner along n,
// yawing around the middle in plan.
func (t *easing) corner(g geom.Vec) float64 {
	if t.f == nil {
		return 0
	}
	return math.Abs(g.Dot(t.f.n))*t.size.OutV + math.Hypot(g.X, g.Y)*math.Hypot(t.size.OutU, t.size.OutV*t.flat) + t.more*g.Len()
}

// held is the same for the points held, count of them.
func (t *easing) held(g geom.Vec, count int) float64 {
	if t.f == nil || count == 4 {
		return t.corner(g)
	}
	return math.Hypot(g.X, g.Y)*t.size.OutU + t.more*g.Len()
}

// rise is for the height of the upper edge over the middle.
func (t *easing) rise() float64 { return t.size.OutV*t.flat + t.more }

// depth is for how far along a ray the frame hangs, times the cosine of the ray's incidence: the plane turns about the
// frame's middle, and a ray that is covered crosses it within the opening.
func (t *easing) depth() float64 { return t.size.HalfV + t.f.up*t.size.HalfU + t.more }

// inset is for how far inside an edge a ray crosses, with k its slope along that side. With (a, b) the crossing from the
// middle along the side and along the other, tilting shifts it by b·k or a·k and yawing by those with the other's part
// of the vertical, and by the other's own turn in plan.
func (t *easing) inset(k float64, alongV bool) float64 {
	return t.size.inset(t.f.up, t.flat, t.more, k, alongV)
}

// inset is [easing.inset] for a tilt of sine up and cosine flat.
func (sh *Size) inset(up, flat, more, k float64, alongV bool) float64 {
	own := sh.HalfV
	if alongV {
		own = sh.HalfU
	}
	k = math.Abs(k)
	return k*(sh.HalfV+up*sh.HalfU) + flat*own + more*(1+k*k)
}
