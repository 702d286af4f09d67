package rigging

import "math"

// This file turns wind, weights and levers into conditions that are linear in pressure and ballast.

// sharing is how much of the whole one support takes.
type sharing struct {
	wind  float64 // of the force, at most
	slack float64 // of the force, at most, while its own lines are slack
	least float64 // of the dead weight, where weight helps
	most  float64 // of the dead weight, where it does not
	line  float64 // of the level force, at most, by the lines of one support
}

// sharingOf is how a piece on n supports shares its load. Two at the ends of a side share by statics: the force acts up to
// a quarter of the side off the middle, so that one takes three quarters, and the dead weight is in the middle. Four take
// three quarters on the windward pair (the centre of pressure of canopies), and inside a pair one takes two thirds and the
// other one, because four are never level and rigid frames do not ask how they were shared out: as four-legged slings are
// rated for three legs (ASME B30.9, EN 818-4). Lines stand on the windward side alone, so that with four supports two of
// them take it all, three quarters on one. Adding up to more than the whole is meant: any of them may be the worst.
func sharingOf(n int) sharing {
	switch n {
	case 1:
		return sharing{wind: 1, least: 1, most: 1, line: 1}
	case 2:
		return sharing{wind: 0.75, slack: 0.25, least: 0.5, most: 0.5, line: 0.75}
	}
	return sharing{wind: 0.5, slack: 1.0 / 6, least: 1.0 / 6, most: 1.0 / 3, line: 0.75}
}

// condition holds while dead + perKg·ballast ≥ wind·q, with ballast in kg and q in pascals. The factor is in its numbers.
type condition struct {
	governs           Governs
	dead, perKg, wind float64
}

// fallen is the limit of what does not even stand in calm air: under every gust and every pressure, calm among them.
const fallen = -1

// pressure is the largest velocity pressure at which the condition holds, or fallen.
func (c *condition) pressure(ballastKg float64) float64 {
	left := c.dead + c.perKg*ballastKg
	switch {
	case !(left >= 0) || math.IsNaN(c.wind): // what is no number holds nothing
		return fallen
	case c.wind <= 0:
		return math.Inf(1)
	}
	return left / c.wind
}

// ask is one of the two things that holding a gust asks for: that everything holds, with a factor, the gust over share.
type ask struct{ factor, share float64 }

// asksOf returns both: the gust itself with the safety factor, and more than the gust without any.
func asksOf(safetyFactor float64) [2]ask {
	return [2]ask{{safetyFactor, 1}, {1, LowerShare}}
}

// holds reports whether a pressure, in pascals, up to which everything holds is enough for a gust. The gust that a [Hold] will
// tell decides: the square root may lose the last digit.
func (a ask) holds(pressurePa, gustMS float64) bool {
	return pressurePa >= 0 && a.share*GustOfPressure(pressurePa) >= gustMS
}

// pressurePa is what has to be held for a gust.
func (a ask) pressurePa(gustMS float64) float64 { return VelocityPressure(gustMS / a.share) }

// maxCount is the most bags or weights that are ever counted.
const maxCount = 1 << 20

// count is the least n for which n·unitKg of ballast holds a gust as asked; ok is false where none does, with 0.
func (c *condition) count(gustMS, unitKg float64, a ask) (n int, ok bool) {
	if a.holds(c.pressure(0), gustMS) {
		return 0, true
	}
	each := c.perKg * unitKg
	if !(each > 0) {
		return 0, false
	}
	need := math.Ceil((c.wind*a.pressurePa(gustMS) - c.dead) / each)
	if !(need < maxCount) {
		return 0, false
	}
	holds := func(n int) bool { return a.holds(c.pressure(float64(n)*unitKg), gustMS) }
	n = max(1, int(need))
	for n < maxCount && !holds(n) { // rounding: once at most
		n++
	}
	for n > 1 && holds(n-1) {
		n--
	}
	return n, true
}

// maxConditions is how many conditions a support has at most.
const maxConditions = 5

// moment is what is the same for all supports of a piece, or worked out once.
type moment struct {
	wind   Wind
	share  sharing
	gamma  float64 // the factor, 1 unless set by with
	aboveM float64 // of the force above the points held
	offM   float64 // of the force from the axis of the points held, along the slope
	asideM float64 // of the force from a single mast, along the level side
	levers [MaxSupports]float64
	// Of lines, where there are any: sine and cosine of their angle with the ground, tension over level pull.
	lineSin, lineCos, perPull float64
}

func (p *Piece) moment(g *Guys) moment {
	m := moment{wind: p.Panel.Wind(), share: sharingOf(len(p.Supports)), gamma: 1}
	if g != nil {
		m.lineSin, m.lineCos = math.Sincos(g.angle() * math.Pi / 180)
		m.perPull = g.factor() / m.lineCos
	}
	sum := 0.0
	for i := range p.Supports {
		s := &p.Supports[i]
		sum += s.HeightM
		if i > 0 && s.Legs == p.Supports[0].Legs && s.FootprintM == p.Supports[0].FootprintM {
			m.levers[i] = m.levers[0]
		} else {
			m.levers[i] = s.LeverM()
		}
	}
	m.aboveM = m.wind.RaiseM
	if n := len(p.Supports); n > 0 {
		m.aboveM += max(0, p.Panel.MiddleM-sum/float64(n))
	}
	// Four corners take a force off the middle by their shares; an axis or a single mast is turned by it.
	if len(p.Supports) <= 2 {
		m.offM = m.wind.OffSlopeM
	}
	if len(p.Supports) == 1 {
		m.asideM = m.wind.OffWidthM
	}
	return m
}

// with is the same with a factor.
func (m *moment) with(gamma float64) moment {
	at := *m
	at.gamma = gamma
	return at
}

// free writes the conditions of a support that stands by its ballast alone. Wind and arm may point any way, so that the
// worst is taken of each: the load beyond the tipping edge or, lifted, on the far side of it.
func (p *Piece) free(i int, m *moment, out *[maxConditions]condition) []condition {
	s := &p.Supports[i]
	lever, arm := m.levers[i], s.ArmM
	stand := s.MassKg * GravityMS2
	load := p.MassKg * GravityMS2 * m.share.least
	gamma, share := m.gamma, m.share.wind
	mast := mastDrag * mastM * s.HeightM

	over := func(u *Push) float64 { // tipping moment of the level force and of its being off the middle
		return share*(u.Level*(s.HeightM+m.aboveM)+u.Normal*m.offM+u.Vertical*m.asideM) + mast*s.HeightM/2
	}
	down, up := &m.wind.Down, &m.wind.Up
	inside, beyond := max(0, lever-arm), max(0, arm-lever)
	dead := p.standing(i, m)
	perKg := GravityMS2 * lever
	c := append(out[:0],
		condition{GovernsOverturning, dead, perKg, gamma * (over(down) + share*down.Vertical*beyond)},
		condition{GovernsOverturning, dead, perKg, gamma * (over(up) + share*up.Vertical*inside)},
		condition{GovernsOverturning, stand*lever + load*(lever+arm), perKg, gamma * (over(up) + share*up.Vertical*(lever+arm))},
		// Pressed down a piece is pushed no harder than lifted, at any tilt, and has the better grip.
		p.grip(stand+load, gamma*(share*up.Level+mast), gamma*share*up.Vertical),
	)
	return append(c, p.carried(s, m, share*down.Vertical))
}

// grip keeps feet where they are: level ≤ μ·(weight − lift), weight in N, level and lift in m². Lifted off altogether they have
// slid before, so that this is uplift's condition as well; which of the two governs is the larger.
func (p *Piece) grip(weightN, levelM2, liftM2 float64) condition {
	by := GovernsSliding
	if p.Friction*liftM2 > levelM2 {
		by = GovernsUplift
	}
	return condition{by, p.Friction * weightN, p.Friction * GravityMS2, levelM2 + p.Friction*liftM2}
}

// standing is the moment about the tipping edge of what is there without wind and ballast, N·m: the stand, and the load
// inside the edge, or, with the safety factor, beyond it.
func (p *Piece) standing(i int, m *moment) float64 {
	s, lever := &p.Supports[i], m.levers[i]
	load := p.MassKg * GravityMS2
	return s.MassKg*GravityMS2*lever + load*m.share.least*max(0, lever-s.ArmM) -
		m.gamma*load*m.share.most*max(0, s.ArmM-lever)
}

// carried holds the working load against the dead weight and the wind that presses, in m². A working load has its maker's
// factor in it; ours is on the dead weight besides (shared evenly then, or at its worst without it, whichever is more), and
// not once more on the wind.
func (p *Piece) carried(s *Support, m *moment, pressM2 float64) condition {
	share := max(m.gamma/float64(len(p.Supports)), m.share.most)
	return condition{GovernsSupport, (s.SafeLoadKg - share*p.MassKg) * GravityMS2, 0, pressM2}
}

func (p *Piece) conditions(i int, m *moment, g *Guys, out *[maxConditions]condition) []condition {
	if g == nil {
		return p.free(i, m, out)
	}
	return p.guyed(i, m, g, out)
}
