package text

import (
	"fmt"
	"math"
	"slices"

	"kitspan/internal/geom"
	"kitspan/internal/phrase"
	"kitspan/internal/sizing"
)

// Places in words, as the camera sees them: left and right of the lens axis, near and far along it.

// seen is a point or a direction of the answer in the camera's axes.
func seen(p *printer, v geom.Vec) geom.Vec { return p.axes.FromWorld(v) }

// place says where a point lies on the ground, from the middle of the zone.
func place(p *printer, v geom.Vec) string { return Place(p.to, p.axes, v) }

// Place says where a point of an answer lies on the ground from the subject, as a camera along the axes sees it.
func Place(to Reader, axes geom.Axes, v geom.Vec) string {
	return placeFrom(to, axes, v, geom.Vec{}, mark{})
}

// mark is the point that a place is measured from: the subject, the diffuser of a board or lamp, or the zone of a label; middle means its
// middle.
type mark struct {
	diffuser, middle bool
	label            string
}

// name is the mark itself.
func (m mark) name(to Reader) string {
	switch {
	case m.diffuser:
		return to.say("the diffuser")
	case m.label == "":
		return to.say("the subject")
	}
	return m.label
}

// along says how far behind the mark a point lies, as nothing, before or behind; by is the distance.
func (m mark) along(to Reader, sign int, by string) string {
	say := func(level, behind, front phrase.Key, args ...any) string {
		switch {
		case sign == 0:
			return to.say(level, args...)
		case sign > 0:
			return to.say(behind, append([]any{by}, args...)...)
		}
		return to.say(front, append([]any{by}, args...)...)
	}
	switch {
	case m.middle && m.diffuser:
		return say("level with the middle of the diffuser", "%s behind the middle of the diffuser", "%s in front of the middle of the diffuser")
	case m.middle && m.label == "":
		return say("level with the middle of the subject", "%s behind the middle of the subject", "%s in front of the middle of the subject")
	case m.middle:
		return say("level with the middle of %s", "%s behind the middle of %s", "%s in front of the middle of %s", m.label)
	case m.label == "":
		return say("level with the subject", "%s behind the subject", "%s in front of the subject")
	}
	return say("level with %s", "%s behind %s", "%s in front of %s", m.label)
}

// inLine says of a point that it is to neither side of the mark.
func (m mark) inLine(to Reader) string {
	switch {
	case m.middle:
		return to.say("in line with it")
	case m.label != "":
		return to.say("straight in line")
	}
	return to.say("on the lens axis")
}

// placeFrom says where a point lies on the ground from a mark at a point.
func placeFrom(to Reader, axes geom.Axes, v, from geom.Vec, m mark) string {
	const printedAsNothing = 0.05 // metres, at one decimal
	at := axes.FromWorld(v.Sub(from))
	sideways := m.inLine(to)
	switch {
	case at.X >= printedAsNothing:
		sideways = to.say("%s to the right", to.length(at.X, 1))
	case at.X <= -printedAsNothing:
		sideways = to.say("%s to the left", to.length(-at.X, 1))
	}
	sign := 0
	switch {
	case at.Y >= printedAsNothing:
		sign = 1
	case at.Y <= -printedAsNothing:
		sign = -1
	}
	return sideways + ", " + m.along(to, sign, to.length(math.Abs(at.Y), 1))
}

// frameSides are an opening's half-sides as the camera sees them: across points to the right, away from the camera, or
// up where the frame stands so steep that its sides are upper and lower.
type frameSides struct {
	to           Reader
	middle       geom.Vec
	across, away geom.Vec
	steep        bool
}

func sidesOf(p *printer, corners [4]geom.Vec) frameSides {
	var c [4]geom.Vec
	for i := range c {
		c[i] = seen(p, corners[i])
	}
	s := frameSides{to: p.to, middle: middle(c), across: c[1].Sub(c[0]).Scale(0.5), away: c[2].Sub(c[1]).Scale(0.5)}
	if lateral := func(v geom.Vec) float64 { return math.Abs(v.X) / v.Len() }; lateral(s.away) > lateral(s.across) {
		s.across, s.away = s.away, s.across
	}
	if s.across.X < 0 {
		s.across = s.across.Scale(-1)
	}
	// Within some 12° of upright, near and far no longer tell the two sides apart at a glance.
	const steepRatio = 0.2
	along := s.away.Y
	if s.steep = math.Abs(along) < steepRatio*s.away.Len() && math.Abs(s.away.Z) > math.Abs(along); s.steep {
		along = s.away.Z
	}
	if along < 0 {
		s.away = s.away.Scale(-1)
	}
	return s
}

// sides are the names of an opening's edges, ends and corners; the near ones are the lower ones of one that stands steep.
type sides struct {
	nearEdge, farEdge, nearEnd, farEnd     phrase.Key
	nearLeft, nearRight, farRight, farLeft phrase.Key
}

var (
	lyingSides = sides{"near edge", "far edge", "near end", "far end", "near left corner", "near right corner", "far right corner", "far left corner"}
	steepSides = sides{"lower edge", "upper edge", "lower end", "upper end", "lower left corner", "lower right corner", "upper right corner", "upper left corner"}
)

// words are the names of the opening's sides.
func (s *frameSides) words() *sides {
	if s.steep {
		return &steepSides
	}
	return &lyingSides
}

// heights says how high the edges are: "level at 2.90 m", or the two level edges with their sides' names, lowest first.
func (s *frameSides) heights() string {
	const printedAsLevel = 0.005 // metres, at two decimals
	near, far, edge := s.words().nearEdge, s.words().farEdge, s.away
	if math.Abs(s.across.Z) > math.Abs(s.away.Z) {
		near, far, edge = "left edge", "right edge", s.across
	}
	if math.Abs(edge.Z) < printedAsLevel {
		return s.to.say("level at %s", s.to.length(s.middle.Z, 2))
	}
	if edge.Z < 0 {
		near, far = far, near
	}
	rise := math.Abs(edge.Z)
	return s.to.say("%s %s up, %s %s up", s.to.say(near), s.to.length(s.middle.Z-rise, 2), s.to.say(far), s.to.length(s.middle.Z+rise, 2))
}

// spot is a named point of a frame.
type spot struct {
	at string
	v  geom.Vec
}

// corners are those of the opening, in order around it from the near left.
func (s *frameSides) corners() []spot {
	w, left, right := s.words(), s.middle.Sub(s.across), s.middle.Add(s.across)
	return []spot{
		{s.to.say(w.nearLeft), left.Sub(s.away)}, {s.to.say(w.nearRight), right.Sub(s.away)},
		{s.to.say(w.farRight), right.Add(s.away)}, {s.to.say(w.farLeft), left.Add(s.away)},
	}
}

// ends are the middles of its sides.
func (s *frameSides) ends() []spot {
	w := s.words()
	return []spot{
		{s.to.say("left end"), s.middle.Sub(s.across)}, {s.to.say(w.nearEnd), s.middle.Sub(s.away)},
		{s.to.say("right end"), s.middle.Add(s.across)}, {s.to.say(w.farEnd), s.middle.Add(s.away)},
	}
}

// corner names the corner next to a point.
func (s *frameSides) corner(v geom.Vec) string {
	list := s.corners()
	return list[nearestOf(list, v)].at
}

func nearestOf(list []spot, v geom.Vec) (nearest int) {
	for k := range list {
		if v.Sub(list[k].v).Len() < v.Sub(list[nearest].v).Len() {
			nearest = k
		}
	}
	return nearest
}

// hold is a support and the place at the frame that it holds.
type hold struct {
	at      string
	support *sizing.Support
}

// holds are a piece's supports in order around the frame, from the near left. Two hold the middles of opposite sides,
// four the corners.
func holds(p *printer, v *sizing.Piece, s *frameSides) []hold {
	around := s.corners()
	if len(v.Supports) == 2 {
		around = s.ends()
	}
	nearest := make([]int, len(v.Supports))
	order := make([]int, len(v.Supports))
	for i := range v.Supports {
		held := heldBy(&v.Supports[i])
		order[i] = i
		nearest[i] = nearestOf(around, seen(p, held))
	}
	slices.SortStableFunc(order, func(a, b int) int { return nearest[a] - nearest[b] })
	out := make([]hold, len(order))
	for i, k := range order {
		out[i] = hold{around[nearest[k]].at, &v.Supports[k]}
	}
	return out
}

// heldBy is the point that a support holds.
func heldBy(s *sizing.Support) geom.Vec {
	if s.Arm != nil {
		return s.Arm[1]
	}
	return geom.Vec{X: s.Base.X, Y: s.Base.Y, Z: s.HeightM}
}

func middle(c [4]geom.Vec) geom.Vec { return c[0].Add(c[1]).Add(c[2]).Add(c[3]).Scale(0.25) }

// metres prints a length in metres and in feet.
func (to Reader) metres(m float64) string {
	return to.fixed(m, 2) + " m (" + to.fixed(m*feetPerMetre, 1) + " ft)"
}

// lux prints a level to three significant digits: no sky model is better than that.
func (to Reader) lux(lx float64) string { return to.threeDigits(lx) + " lx" }

func (to Reader) threeDigits(v float64) string {
	if v < 1 {
		return to.language.Number(fmt.Sprintf("%.2g", v))
	}
	unit := math.Pow(10, math.Max(math.Floor(math.Log10(v))-2, 0))
	return to.fixed(math.Round(v/unit)*unit, 0)
}
