package text

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"kitspan/internal/geom"
	"kitspan/internal/sizing"
)

// Places in words, as the camera sees them: left and right of the lens axis, near and far along it.

// seen is a point or a direction of the answer in the camera's axes.
func seen(p *printer, v geom.Vec) geom.Vec { return p.axes.FromWorld(v) }

// place says where a point lies on the ground, from the middle of the zone.
func place(p *printer, v geom.Vec) string { return Place(p.units, p.axes, v) }

// Place says where a point of an answer lies on the ground from the subject, as a camera along the axes sees it.
func Place(u Reader, axes geom.Axes, v geom.Vec) string {
	return placeFrom(u, axes, v, geom.Vec{}, "the subject", "on the lens axis")
}

// placeFrom says where a point lies on the ground from a mark; inLine is what it is that is to neither side of that.
func placeFrom(u Reader, axes geom.Axes, v, mark geom.Vec, name, inLine string) string {
	const printedAsNothing = 0.05 // metres, at one decimal
	at := axes.FromWorld(v.Sub(mark))
	sideways, along := inLine, "level with "+name
	switch {
	case at.X >= printedAsNothing:
		sideways = u.length(at.X, 1) + " to the right"
	case at.X <= -printedAsNothing:
		sideways = u.length(-at.X, 1) + " to the left"
	}
	switch {
	case at.Y >= printedAsNothing:
		along = u.length(at.Y, 1) + " behind " + name
	case at.Y <= -printedAsNothing:
		along = u.length(-at.Y, 1) + " in front of " + name
	}
	return sideways + ", " + along
}

// frameSides are an opening's half-sides as the camera sees them: across points to the right, away from the camera, or
// up where the frame stands so steep that its sides are upper and lower.
type frameSides struct {
	units        Reader
	middle       geom.Vec
	across, away geom.Vec
	steep        bool
}

func sidesOf(p *printer, corners [4]geom.Vec) frameSides {
	var c [4]geom.Vec
	for i := range c {
		c[i] = seen(p, corners[i])
	}
	s := frameSides{units: p.units, middle: middle(c), across: c[1].Sub(c[0]).Scale(0.5), away: c[2].Sub(c[1]).Scale(0.5)}
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

// words for the two sides of the away direction.
func (s *frameSides) words() (near, far string) {
	if s.steep {
		return "lower", "upper"
	}
	return "near", "far"
}

// heights says how high the edges are: "level at 2.90 m", or the two level edges with their sides' names, lowest first.
func (s *frameSides) heights() string {
	const printedAsLevel = 0.005 // metres, at two decimals
	near, far := s.words()
	edge := s.away
	if math.Abs(s.across.Z) > math.Abs(s.away.Z) {
		near, far, edge = "left", "right", s.across
	}
	if math.Abs(edge.Z) < printedAsLevel {
		return "level at " + s.units.length(s.middle.Z, 2)
	}
	if edge.Z < 0 {
		near, far = far, near
	}
	rise := math.Abs(edge.Z)
	return fmt.Sprintf("%s edge %s up, %s edge %s up", near, s.units.length(s.middle.Z-rise, 2), far, s.units.length(s.middle.Z+rise, 2))
}

// spot is a named point of a frame.
type spot struct {
	at string
	v  geom.Vec
}

// corners are those of the opening, in order around it from the near left.
func (s *frameSides) corners() []spot {
	near, far := s.words()
	left, right := s.middle.Sub(s.across), s.middle.Add(s.across)
	return []spot{
		{near + " left corner", left.Sub(s.away)}, {near + " right corner", right.Sub(s.away)},
		{far + " right corner", right.Add(s.away)}, {far + " left corner", left.Add(s.away)},
	}
}

// ends are the middles of its sides.
func (s *frameSides) ends() []spot {
	near, far := s.words()
	return []spot{
		{"left end", s.middle.Sub(s.across)}, {near + " end", s.middle.Sub(s.away)},
		{"right end", s.middle.Add(s.across)}, {far + " end", s.middle.Add(s.away)},
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

// capital makes a sentence's first letter large.
func capital(s string) string { return strings.ToUpper(s[:1]) + s[1:] }

// metres prints a length in metres and in feet.
func metres(m float64) string { return fmt.Sprintf("%.2f m (%.1f ft)", m, m*feetPerMetre) }

// lux prints a level to three significant digits: no sky model is better than that.
func lux(lx float64) string {
	return threeDigits(lx) + " lx"
}

func threeDigits(v float64) string {
	if v < 1 {
		return fmt.Sprintf("%.2g", v)
	}
	unit := math.Pow(10, math.Max(math.Floor(math.Log10(v))-2, 0))
	return fmt.Sprintf("%.0f", math.Round(v/unit)*unit)
}
